//! Under the chart, each bike's name and its bar: the months in which it fits this child.
//! Whiskers say how doubtful either end is; an arrow says that it goes on.
//! Where the months come from is `fit::forecast`.

use svg::node::element::Path;

use crate::draw::chart::Axes;
use crate::draw::growth_chart::layout::{LINE, PLOT, Track, WORDS, WORDS_WIDE};
use crate::draw::growth_chart::months;
use crate::draw::growth_chart::words::BIKE;
use crate::draw::lettering::LEGEND;
use crate::draw::page::{Align, Page};
use crate::draw::paper::{Rect, Spot};
use crate::draw::pen::{Outline, group, line, rectangle};
use crate::fit::forecast::Percentiles;

const HEIGHT: f64 = 6.0;
/// From the name's base line down to the bar.
const BELOW_NAME: f64 = 1.6;

/// Puts one bike's name at `top` and its bar under it.
pub(super) fn put(page: &mut Page, axes: &Axes, track: &Track<'_>, class: &str, top: f64) {
    let growth = track.growth;
    let bar_top = top + BELOW_NAME;
    let middle = bar_top + HEIGHT / 2.0;
    let at = |x: f64| Spot::new(x, middle);
    let mut drawn = group("months").add(line("hair-line", at(PLOT.x), at(PLOT.right())));
    if let Some(first) = growth.first_month.p50 {
        let last = growth.last_month.p50;
        let (from, to) = (
            axes.x_at(first),
            last.map_or(PLOT.right(), |last| axes.x_at(last)),
        );
        let place = Rect::new(from, bar_top, to - from, HEIGHT);
        drawn = drawn.add(rectangle(&format!("bar-{class}"), place));
        page.mark(track.name, place);
        if last.is_none() {
            drawn = drawn.add(goes_on(middle));
        }
        for months in [growth.first_month, growth.last_month] {
            if let Percentiles {
                p10: Some(early),
                p50: Some(_),
                p90,
            } = months
            {
                let early = axes.x_at(early);
                let late = p90.map_or(PLOT.right(), |late| axes.x_at(late));
                if late - early > 0.1 {
                    drawn = drawn.add(whisker(early, late, middle));
                }
            }
        }
    }
    page.add(drawn);
    page.write_about(
        (track.name, Spot::new(PLOT.x, middle)),
        Spot::new(PLOT.x, top),
        Align::Left,
        BIKE,
        PLOT.width,
        track.name,
    );
    for (index, text) in months::in_words(growth).iter().enumerate() {
        if !text.is_empty() {
            let y = middle - 0.6 + LINE * index as f64;
            page.write_about(
                (track.name, Spot::new(PLOT.right(), middle)),
                Spot::new(WORDS, y),
                Align::Left,
                LEGEND.shrunk(text, WORDS_WIDE),
                WORDS_WIDE,
                text,
            );
        }
    }
}

/// An arrow at the edge of the paper's time.
fn goes_on(middle: f64) -> Path {
    let (back, out) = (PLOT.right() - 2.0, PLOT.right() + 1.5);
    let half = HEIGHT / 2.0 + 1.0;
    Outline::from(Spot::new(back, middle - half))
        .line(Spot::new(out, middle))
        .line(Spot::new(back, middle + half))
        .path("whisker")
}

fn whisker(early: f64, late: f64, y: f64) -> Path {
    const TICK: f64 = 1.6;
    let mut outline = Outline::from(Spot::new(early, y)).line(Spot::new(late, y));
    for x in [early, late] {
        outline = outline
            .then(Spot::new(x, y - TICK))
            .line(Spot::new(x, y + TICK));
    }
    outline.path("whisker")
}
