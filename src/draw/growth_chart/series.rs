//! The chart's axes and grid, the bikes' bands, the child's line with its own.
//! The view is fitted to everything that will be drawn before anything is.
//! Names and figures beside the chart are `words`.

use crate::draw::element::Element;

use crate::draw::chart::{Axes, ChartError};
use crate::draw::growth_chart::layout::{Room, Track};
use crate::draw::growth_chart::months;
use crate::draw::lettering::LEGEND;
use crate::draw::page::{Align, Page};
use crate::draw::palette::{CHILD, FIRST, SECOND};
use crate::draw::paper::Spot;
use crate::draw::pen::group;
use crate::fit::Growth;
use crate::fit::forecast::GrownMonth;
use crate::rider::growth::HORIZON_MONTHS;
use crate::units::{MM_PER_INCH, Units};

/// How far below the child's inseam today, and above its last, a band is still shown, mm.
const BELOW_MM: f64 = 100.0;
const ABOVE_MM: f64 = 60.0;

fn step_mm(units: Units, range_mm: f64) -> f64 {
    match units {
        Units::Mm | Units::Cm => [10.0, 20.0, 50.0],
        Units::In => [0.5 * MM_PER_INCH, MM_PER_INCH, 2.0 * MM_PER_INCH],
    }
    .into_iter()
    .find(|step| range_mm / step <= 9.0)
    .unwrap_or(match units {
        Units::Mm | Units::Cm => 100.0,
        Units::In => 4.0 * MM_PER_INCH,
    })
}

/// Axes that hold everything that will be drawn.
pub(super) fn axes(room: Room, tracks: &[Track<'_>; 2], units: Units) -> Axes {
    const SHORTEST: f64 = 24.0;
    const SPARE: f64 = 6.0;
    let latest = tracks
        .iter()
        .map(|track| months::latest(track.growth))
        .fold(0.0, f64::max);
    let last = (((latest + SPARE) / 6.0).ceil() * 6.0).clamp(SHORTEST, months::horizon());
    let shown = || {
        let all = tracks[0].growth.months.iter();
        all.filter(|month| month.month as f64 <= last)
    };
    let child_low = shown()
        .map(|month| months::inseam_mm(month)[0])
        .fold(f64::INFINITY, f64::min);
    let child_high = shown()
        .map(|month| months::inseam_mm(month)[1])
        .fold(0.0, f64::max);
    let windows = || tracks.iter().filter_map(|track| track.window_mm);
    let low = windows()
        .map(|[low, _]| low.max(child_low - BELOW_MM))
        .fold(child_low, f64::min);
    let high = windows()
        .map(|[_, high]| high.min(child_high + ABOVE_MM))
        .fold(child_high, f64::max);
    let step = step_mm(units, high - low);
    Axes {
        place: room.plot,
        x: 0.0..last,
        y: (low / step).floor() * step..(high / step).ceil() * step,
    }
}

/// The months that the axes show.
pub(super) fn shown(tracks: &[Track<'_>; 2], axes: &Axes) -> Vec<GrownMonth> {
    let all = tracks[0].growth.months.iter();
    all.filter(|month| month.month as f64 <= axes.x.end)
        .copied()
        .collect()
}

/// A bike's window, hatched.
pub(super) fn area(axes: &Axes, track: &Track<'_>, class: &str) -> Result<Element, ChartError> {
    axes.layer(&format!("band {class}"), |layer| {
        let Some(window) = track.window_mm else {
            return Ok(());
        };
        let [low, high] = window.map(|mm| mm.clamp(axes.y.start, axes.y.end));
        if high <= low {
            return Ok(());
        }
        let end = axes.x.end;
        layer.area([(0.0, low), (end, low), (end, high), (0.0, high)], CHILD)
    })
}

/// Lines where the window itself ends rather than the paper.
pub(super) fn edges(axes: &Axes, track: &Track<'_>, class: &str) -> Result<Element, ChartError> {
    let colour = if class == "first" { FIRST } else { SECOND };
    axes.layer(&format!("edge-line {class}"), |layer| {
        let ends = track.window_mm.into_iter().flatten();
        for end in ends.filter(|end| (axes.y.start..=axes.y.end).contains(end)) {
            layer.line([(0.0, end), (axes.x.end, end)], colour)?;
        }
        Ok(())
    })
}

/// The child's band and line.
pub(super) fn child(axes: &Axes, shown: &[GrownMonth]) -> Result<[Element; 2], ChartError> {
    let at = |month: &GrownMonth| month.month as f64;
    let band = axes.layer("child-band", |layer| {
        let low = shown
            .iter()
            .map(|month| (at(month), months::inseam_mm(month)[0]));
        let high = shown
            .iter()
            .rev()
            .map(|month| (at(month), months::inseam_mm(month)[1]));
        layer.area(low.chain(high), CHILD)
    })?;
    let middle = axes.layer("child", |layer| {
        let line = shown.iter().map(|month| (at(month), month.inseam_mm));
        layer.line(line, CHILD)
    })?;
    Ok([band, middle])
}

/// The months that have a grid line and a date.
pub(super) fn dates(room: Room, axes: &Axes) -> impl Iterator<Item = f64> {
    let last = axes.x.end;
    let apart = match room.words {
        Some(_) if last > 36.0 => 12,
        Some(_) => 6,
        None if last > 36.0 => 24,
        None => 12,
    };
    (0..=HORIZON_MONTHS)
        .step_by(apart)
        .map(|month| month as f64)
        .take_while(move |month| *month <= last)
}

/// Grid lines with their figures and dates.
pub(super) fn grid(page: &mut Page, room: Room, axes: &Axes, growth: &Growth, units: Units) {
    let plot = room.plot;
    let figures = plot.x - 2.0;
    let mut lines = group("grid");
    let step = step_mm(units, axes.y.end - axes.y.start);
    let mut mm = axes.y.start;
    while mm <= axes.y.end + step / 2.0 {
        lines = lines.add(axes.level(mm));
        let at = Spot::new(figures, axes.y_at(mm) + LEGEND.below_middle());
        page.write(at, Align::Right, LEGEND, figures, &units.bare(mm));
        mm += step;
    }
    let title = format!("inseam, {}", units.word());
    let above = plot.y - 4.5;
    if room.words.is_some() {
        let at = Spot::new(figures, above);
        page.write(at, Align::Right, LEGEND, figures, &title);
    } else {
        let at = Spot::new(page.margin(), above);
        page.write(at, Align::Left, LEGEND, plot.width, &title);
    }
    for at in dates(room, axes) {
        lines = lines.add(axes.upright(at));
        let from_now = if at > 0.0 {
            format!("+{at} months")
        } else {
            "now".to_owned()
        };
        let below = |by: f64| Spot::new(axes.x_at(at), plot.bottom() + by);
        let room = plot.width / 3.0;
        let date = months::name(growth, at);
        page.write(below(5.0), Align::Middle, LEGEND, room, &date);
        let small = LEGEND.sized(2.8).class("quiet");
        page.write(below(9.2), Align::Middle, small, room, &from_now);
    }
    page.add(lines);
}
