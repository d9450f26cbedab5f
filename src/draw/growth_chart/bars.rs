//! Under the chart, each bike's name and its bar: the months in which it fits this child, on a track of all that are shown.
//! Whiskers say how doubtful either end is; an arrow says that it goes on. The key to them stands under the bars.
//! Where the months come from is `fit::forecast`.

use crate::draw::element::Element;

use crate::draw::chart::Axes;
use crate::draw::growth_chart::layout::{LINE, Room, Track, words_wide};
use crate::draw::growth_chart::words::{self, BIKE};
use crate::draw::growth_chart::{months, series};
use crate::draw::lettering::LEGEND;
use crate::draw::page::{Align, Page};
use crate::draw::paper::{Rect, Spot};
use crate::draw::pen::{Outline, group, line, rectangle};
use crate::fit::forecast::Percentiles;
use crate::units::Units;
use crate::words::sentence;

const HEIGHT: f64 = 6.0;
/// Half of a whisker's end.
const TICK: f64 = 1.6;
const KEY: &str = "when it starts or stops fitting: in four of five cases between the two strokes";
/// From the name's base line down to the bar.
const BELOW_NAME: f64 = 1.6;

/// Puts one bike's name at `top` and its bar under it; returns where both end.
pub(super) fn put(
    page: &mut Page,
    room: Room,
    axes: &Axes,
    (track, class): (&Track<'_>, &str),
    top: f64,
    units: Units,
) -> f64 {
    let (plot, growth) = (room.plot, track.growth);
    let bar_top = top + BELOW_NAME;
    let middle = bar_top + HEIGHT / 2.0;
    // A line along the middle would look like a whisker.
    let ground = Rect::new(plot.x, bar_top, plot.width, HEIGHT);
    let mut dates = group("grid");
    for month in series::dates(room, axes) {
        let head = Spot::new(axes.x_at(month), bar_top);
        dates = dates.add(line("", head, head.moved(0.0, HEIGHT)));
    }
    page.add(group("track").add(rectangle("stripe", ground)));
    page.add(dates);
    let mut drawn = group("months");
    if let Some(first) = growth.first_month.p50 {
        let last = growth.last_month.p50;
        let (from, to) = (
            axes.x_at(first),
            last.map_or(plot.right(), |last| axes.x_at(last)),
        );
        let place = Rect::new(from, bar_top, to - from, HEIGHT);
        drawn = drawn.add(rectangle(&format!("bar-{class}"), place));
        page.mark(track.name, place);
        if last.is_none() {
            drawn = drawn.add(goes_on(plot.right(), middle));
        }
        for months in [growth.first_month, growth.last_month] {
            if let Percentiles {
                p10: Some(early),
                p50: Some(_),
                p90,
            } = months
            {
                let early = axes.x_at(early);
                let late = p90.map(|late| axes.x_at(late));
                if late.unwrap_or(plot.right()) - early > 0.1 {
                    drawn = drawn.add(whisker(early, late, plot.right(), middle));
                }
            }
        }
    }
    page.add(drawn);
    page.write_about(
        (track.name, Spot::new(plot.x, middle)),
        Spot::new(plot.x, top),
        Align::Left,
        BIKE,
        plot.width,
        track.name,
    );
    let end = bar_top + HEIGHT;
    let Some(left) = room.words else {
        let lines = [
            months::in_words(track).join(" "),
            words::window(track, units),
        ];
        let lines = lines.map(|text| sentence(text.trim()));
        for (index, text) in lines.iter().enumerate() {
            let y = end + 4.2 + LINE * index as f64;
            let at = Spot::new(plot.x, y);
            let wide = page.width() - page.margin() - plot.x;
            page.write(at, Align::Left, LEGEND.shrunk(text, wide), wide, text);
        }
        return end + 4.2 + LINE;
    };
    for (index, text) in months::in_words(track).iter().enumerate() {
        if !text.is_empty() {
            let y = middle - 0.6 + LINE * index as f64;
            let wide = words_wide(left);
            page.write_about(
                (track.name, Spot::new(plot.right(), middle)),
                Spot::new(left, y),
                Align::Left,
                LEGEND.shrunk(text, wide),
                wide,
                text,
            );
        }
    }
    end
}

/// What a whisker is, beside one, from the base line `y` down; returns the last.
pub(super) fn key(page: &mut Page, left: f64, y: f64) -> f64 {
    const SAMPLE: f64 = 10.0;
    let centre = y - LEGEND.below_middle();
    let place = Rect::around(Spot::new(left + SAMPLE / 2.0, centre), SAMPLE / 2.0, TICK);
    page.add(group("key").add(whisker(place.x, Some(place.right()), place.right(), centre)));
    page.mark("key: whisker", place);
    let x = left + SAMPLE + 2.5;
    let wide = page.width() - page.margin() - x;
    let lines = LEGEND.wrapped(KEY, wide);
    for (index, text) in lines.iter().enumerate() {
        let at = Spot::new(x, y + LINE * index as f64);
        page.write(at, Align::Left, LEGEND, wide, text);
    }
    y + LINE * (lines.len() as f64 - 1.0)
}

/// How far an arrow reaches over the edge of the paper's time.
const OVER: f64 = 1.5;
/// And how far back over the track.
const BACK: f64 = 2.0;

/// An arrow at the edge of the paper's time.
fn goes_on(right: f64, middle: f64) -> Element {
    let (back, half) = (right - BACK, HEIGHT / 2.0 + 1.0);
    Outline::from(Spot::new(back, middle - half))
        .line(Spot::new(right + OVER, middle))
        .line(Spot::new(back, middle + half))
        .path("whisker")
}

/// From the earliest tenth to the latest; with an arrow at the edge `right` where that lies beyond it.
fn whisker(early: f64, late: Option<f64>, right: f64, y: f64) -> Element {
    let stroke = |outline: Outline, x: f64| {
        outline
            .then(Spot::new(x, y - TICK))
            .line(Spot::new(x, y + TICK))
    };
    let line = |to: f64| Outline::from(Spot::new(early, y)).line(Spot::new(to, y));
    let outline = match late {
        Some(late) => stroke(stroke(line(late), early), late),
        None => stroke(line(right + OVER), early)
            .then(Spot::new(right - BACK, y - TICK))
            .line(Spot::new(right + OVER, y))
            .line(Spot::new(right - BACK, y + TICK)),
    };
    outline.path("whisker")
}
