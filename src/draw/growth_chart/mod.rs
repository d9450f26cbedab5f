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
use crate::draw::growth_chart::layout::{BAR_STEP, FIRST_BAR, Room, Track};
use crate::draw::heading;
use crate::draw::lettering::{Face, LEGEND, TITLE};
use crate::draw::page::{A4_LONG, A4_SHORT, Align, Form, Page};
use crate::draw::paper::Spot;
use crate::draw::pen::{group, rectangle};
use crate::draw::plan::Picture;
use crate::fit::forecast::GrownMonth;
use crate::units::Units;
use crate::words::sentence;

const SMALL: Face = LEGEND.sized(2.9);

/// Classes of the two bikes.
const CLASSES: [&str; 2] = ["first", "second"];

/// What the bands and the line are.
const OF_THE_CHART: &str = "Hatched bands: inseams that a bike fits on a child of average build at this riding stage. Dark line: this child; in four of five cases inside the grey.";
/// What band and bar of a bike are that its file leaves open.
const OF_THE_ASSUMED: &str = "Of a bike not measured in full, the band is what 19 in 20 of the bikes that it may be would fit; the bar is what is expected of it.";
/// What the bars are.
const OF_THE_BARS: &str = "Bars under the chart: the months in which the bike fits this very child, arms, height and all.";

/// The chart of two bikes for one rider; None where nothing can be foretold of one of them.
///
/// # Errors
/// What the chart library could not draw; it has no reason to.
pub fn growth_chart(
    comparison: &Comparison,
    units: Units,
    form: Form,
) -> Result<Option<Picture>, ChartError> {
    let [first, second] = &comparison.fits;
    let [of_first, of_second] = comparison.windows;
    let names = comparison.names();
    let [Some(of_first), Some(of_second)] = [
        Track::new(&names[0], first, of_first),
        Track::new(&names[1], second, of_second),
    ] else {
        return Ok(None);
    };
    let tracks = &[of_first, of_second];
    let headline = format!(
        "{}: inseam in the months to come, against two bikes",
        first.rider.title()
    );
    let description: Vec<_> = tracks
        .iter()
        .map(|track| format!("{}: {}.", track.name, words::in_words(track, units)))
        .collect();
    let description = description.join(" ");
    let of_the_assumed = tracks.iter().any(|track| track.is_assumed);
    let of_the_assumed = of_the_assumed.then_some(OF_THE_ASSUMED);
    let caution = CAUTIONS.first().copied().unwrap_or_default();
    let page = match form {
        Form::Lying => {
            let room = Room::LYING;
            let left = room.plot.x;
            let wide = A4_LONG - 2.0 * left;
            let mut page = Page::new(A4_LONG, A4_SHORT, &headline, &description).of_chart();
            for (y, face, text) in [
                (15.0, TITLE.sized(5.2), headline.as_str()),
                (21.5, SMALL.shrunk(OF_THE_CHART, wide), OF_THE_CHART),
                (26.0, SMALL.shrunk(OF_THE_BARS, wide), OF_THE_BARS),
            ] {
                page.write(Spot::new(left, y), Align::Left, face, wide, text);
            }
            if let Some(text) = of_the_assumed {
                let at = Spot::new(left, 30.5);
                page.write(at, Align::Left, SMALL.shrunk(text, wide), wide, text);
            }
            plot(&mut page, room, tracks, units)?;
            let mut end = FIRST_BAR;
            let axes = series::axes(room, tracks, units);
            for (index, track) in tracks.iter().zip(CLASSES).enumerate() {
                let top = FIRST_BAR + BAR_STEP * index as f64;
                end = bars::put(&mut page, room, &axes, track, top, units);
            }
            bars::key(&mut page, left, end + 6.5);
            let at = Spot::new(left, A4_SHORT - 6.0);
            page.write(at, Align::Left, LEGEND, wide, caution);
            page
        }
        Form::Upright => {
            /// From the words above the chart to its edge, and from its edge to the words below.
            const ABOVE: f64 = 6.5;
            const DATES: f64 = 16.0;
            let mut page = Page::narrow(&headline, &description).of_chart();
            let y = heading::title(&mut page, &headline);
            let mut y = heading::lines(&mut page, LEGEND, OF_THE_CHART, y);
            if let Some(text) = of_the_assumed {
                y = heading::lines(&mut page, LEGEND, text, y);
            }
            let room = Room::narrow(y + ABOVE);
            let months = plot(&mut page, room, tracks, units)?;
            let mut y = room.plot.bottom() + DATES;
            if let Some(last) = months.last() {
                let [what, figures] = words::child(last, units);
                let end = months::name(tracks[0].growth, last.month as f64);
                let child = sentence(&format!("{what} in {end}: {figures}"));
                y = heading::lines(&mut page, LEGEND, &child, y);
            }
            y = heading::lines(&mut page, LEGEND, OF_THE_BARS, y) + 3.0;
            let axes = series::axes(room, tracks, units);
            for track in tracks.iter().zip(CLASSES) {
                y = bars::put(&mut page, room, &axes, track, y, units) + 7.5;
            }
            let left = page.margin();
            let end = bars::key(&mut page, left, y);
            heading::end(&mut page, caution, end + 2.0);
            page
        }
    };
    Ok(Some(page.finish()))
}

/// The chart itself; returns the months that it shows.
fn plot(
    page: &mut Page,
    room: Room,
    tracks: &[Track<'_>; 2],
    units: Units,
) -> Result<Vec<GrownMonth>, ChartError> {
    let axes = series::axes(room, tracks, units);
    let months = series::shown(tracks, &axes);
    // Areas first, so that no line lies under another bike's band.
    for (track, class) in tracks.iter().zip(CLASSES) {
        page.add(series::area(&axes, track, class)?);
    }
    for (track, class) in tracks.iter().zip(CLASSES) {
        page.add(series::edges(&axes, track, class)?);
    }
    series::grid(page, room, &axes, tracks[0].growth, units);
    for layer in series::child(&axes, &months)? {
        page.add(layer);
    }
    page.add(group("plots").add(rectangle("plot", room.plot)));
    if let Some(left) = room.words {
        words::write(page, (room, left), &axes, tracks, &months, units);
    }
    Ok(months)
}
