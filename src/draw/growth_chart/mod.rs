//! The growth chart: the child's inseam over the coming months, and each bike's inseam window as a band across it.
//! Under the chart each bike has a bar: the months in which it fits this very child.
//! Where the numbers come from is `fit::forecast` and `advice::window`; here they only find their place on paper.

mod bars;
mod layout;
mod months;
mod series;
mod words;

use crate::advice::compare::Comparison;
use crate::cautions::CAUTIONS;
use crate::draw::chart::ChartError;
use crate::draw::growth_chart::layout::{BAR_STEP, FIRST_BAR, PLOT, Track};
use crate::draw::lettering::{LEGEND, TITLE};
use crate::draw::page::{A4_LONG, A4_SHORT, Align, Page};
use crate::draw::paper::Spot;
use crate::draw::pen::{group, rectangle};
use crate::draw::plan::Picture;
use crate::units::Units;

/// Classes of the two bikes.
const CLASSES: [&str; 2] = ["first", "second"];

/// The chart of two bikes for one rider; None where nothing can be foretold of one of them.
///
/// # Errors
/// What the chart library could not draw; it has no reason to.
pub fn growth_chart(comparison: &Comparison, units: Units) -> Result<Option<Picture>, ChartError> {
    let [first, second] = &comparison.fits;
    let [Some(first_growth), Some(second_growth)] = [first.growth(), second.growth()] else {
        return Ok(None);
    };
    let [of_first, of_second] = comparison.windows;
    let names = comparison.names();
    let tracks = &[
        Track::new(&names[0], first_growth, of_first),
        Track::new(&names[1], second_growth, of_second),
    ];
    let axes = series::axes(tracks, units);
    let months = series::shown(tracks, &axes);
    let headline = format!(
        "{}: inseam in the months to come, against two bikes",
        first.rider.title()
    );
    let description: Vec<_> = tracks
        .iter()
        .map(|track| format!("{}: {}.", track.name, words::in_words(track, units)))
        .collect();
    let mut page = Page::new(A4_LONG, A4_SHORT, &headline, &description.join(" ")).of_chart();
    let room = A4_LONG - 2.0 * PLOT.x;
    page.write(
        Spot::new(PLOT.x, 15.0),
        Align::Left,
        TITLE.sized(5.2),
        room,
        &headline,
    );
    for (y, text) in [
        (
            21.5,
            "Hatched bands: inseams that a bike fits on a child of average build at this riding stage. Dark line: this child, grey one standard deviation to either side.",
        ),
        (
            26.0,
            "Bars under the chart: the months in which the bike fits this very child, arms, height and all; whiskers from the earliest tenth to the latest.",
        ),
    ] {
        let face = LEGEND.sized(2.9).shrunk(text, room);
        page.write(Spot::new(PLOT.x, y), Align::Left, face, room, text);
    }
    // Areas first, so that no line lies under another bike's band.
    for (track, class) in tracks.iter().zip(CLASSES) {
        page.add(series::area(&axes, track, class)?);
    }
    for (track, class) in tracks.iter().zip(CLASSES) {
        page.add(series::edges(&axes, track, class)?);
    }
    series::grid(&mut page, &axes, tracks[0].growth, units);
    for layer in series::child(&axes, &months)? {
        page.add(layer);
    }
    page.add(group("plots").add(rectangle("plot", PLOT)));
    words::write(&mut page, &axes, tracks, &months, units);
    for (index, (track, class)) in tracks.iter().zip(CLASSES).enumerate() {
        let top = FIRST_BAR + BAR_STEP * index as f64;
        bars::put(&mut page, &axes, track, class, top);
    }
    let caution = CAUTIONS.first().copied().unwrap_or_default();
    page.write(
        Spot::new(PLOT.x, A4_SHORT - 6.0),
        Align::Left,
        LEGEND,
        room,
        caution,
    );
    Ok(Some(page.finish()))
}
