//! The growth chart: the child's inseam over the coming months, and each bike's inseam window as a band across it.
//! Under the chart each bike has a bar: the months in which it fits this very child.
//! Where the numbers come from is `fit::forecast` and `advice::window`; here they only find their place on paper.

use plotters::backend::SVGBackend;
use plotters::chart::{ChartBuilder, ChartContext};
use plotters::coord::cartesian::Cartesian2d;
use plotters::coord::types::RangedCoordf64;
use plotters::drawing::IntoDrawingArea as _;
use plotters::element::Polygon;
use plotters::series::LineSeries;
use plotters::style::{BLACK, Color as _};
use svg::Document;
use svg::node::Blob;
use svg::node::element::{
    Definitions, Description, Group, Line, Path, Rectangle, Style, Text, Title,
};

use crate::fit::forecast::{GrownMonth, Percentiles, date_after};
use crate::fit::{Growth, RiderFacts, cautions};
use crate::rider::growth::HORIZON_MONTHS;
use crate::units::{MM_PER_INCH, Units};

/// One bike on the chart.
#[derive(Debug, Clone)]
pub struct Track<'a> {
    /// Short name on the chart: A or B.
    pub letter: &'static str,
    /// The bike's name.
    pub name: &'a str,
    /// What becomes of the child on it.
    pub growth: &'a Growth,
    /// Inseams of median riders whom the bike fits, mm, lowest and highest; None where it fits nobody.
    pub window_mm: Option<[f64; 2]>,
}

/// A4 across, mm of paper.
const SHEET: [f64; 2] = [297.0, 210.0];
/// The chart itself: left, top, right, bottom, mm of paper.
const LEFT: f64 = 24.0;
const TOP: f64 = 38.0;
const RIGHT: f64 = 226.0;
const BOTTOM: f64 = 150.0;
/// Where the words to the right of the chart begin.
const WORDS: f64 = 231.0;
/// First bar under the chart, and the distance from bar to bar.
const FIRST_BAR: f64 = 170.0;
const BAR_STEP: f64 = 12.0;
const BAR_HEIGHT: f64 = 6.0;
/// Height of a line of words.
const LINE: f64 = 4.2;
/// Canvas units of the chart library to a mm of paper: it rounds to whole units.
const CANVAS_PER_MM: f64 = 20.0;
/// How far below the child's inseam today, and above its last, a band is still shown, mm.
const BELOW_MM: f64 = 100.0;
const ABOVE_MM: f64 = 60.0;
/// Letters that fit on a line to the right of the chart.
const WORDS_LETTERS: usize = 32;

const STYLE: &str = "\
text{font-family:Helvetica,Arial,sans-serif;font-size:3.3px;fill:#1a1a1a}\
.title{font-size:5.2px;font-weight:bold}.small{font-size:2.9px}.letter{font-weight:bold;font-size:4.2px}\
.right{text-anchor:end}.middle{text-anchor:middle}\
.grid line{stroke:#c8c8c8;stroke-width:.15}.frame{fill:none;stroke:#1a1a1a;stroke-width:.3}\
.band polygon{opacity:1}.a polygon{fill:url(#hatch-a)}.b polygon{fill:url(#hatch-b)}\
.bar-a{fill:url(#hatch-bar-a);stroke:#0b5fa5;stroke-width:.5}.bar-b{fill:url(#hatch-bar-b);stroke:#a34700;stroke-width:.5}\
.edge polyline{stroke-width:9}.edge.a polyline{stroke:#0b5fa5}.edge.b polyline{stroke:#a34700;stroke-dasharray:60 30}\
.child-band polygon{fill:#1a1a1a;opacity:.22}.child polyline{stroke:#000;stroke-width:16;stroke-linecap:round;stroke-linejoin:round}\
.whisker{fill:none;stroke:#1a1a1a;stroke-width:.4}.lead{fill:none;stroke:#777;stroke-width:.2}";

/// Two hatches at the canvas's size for bands, and at the paper's for bars: told apart without colour.
const HATCHES: &str = "\
<pattern id=\"hatch-a\" width=\"60\" height=\"60\" patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\"><rect width=\"60\" height=\"60\" fill=\"#dcebf8\" fill-opacity=\".4\"/><path d=\"M0 0V60\" stroke=\"#0b5fa5\" stroke-width=\"7\" stroke-opacity=\".55\"/></pattern>\
<pattern id=\"hatch-b\" width=\"60\" height=\"60\" patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(-45)\"><rect width=\"60\" height=\"60\" fill=\"#fbe6d4\" fill-opacity=\".4\"/><path d=\"M0 0V60\" stroke=\"#a34700\" stroke-width=\"7\" stroke-opacity=\".55\" stroke-dasharray=\"14 10\"/></pattern>\
<pattern id=\"hatch-bar-a\" width=\"2\" height=\"2\" patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\"><rect width=\"2\" height=\"2\" fill=\"#dcebf8\"/><path d=\"M0 0V2\" stroke=\"#0b5fa5\" stroke-width=\".5\"/></pattern>\
<pattern id=\"hatch-bar-b\" width=\"2\" height=\"2\" patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(-45)\"><rect width=\"2\" height=\"2\" fill=\"#fbe6d4\"/><path d=\"M0 0V2\" stroke=\"#a34700\" stroke-width=\".5\" stroke-dasharray=\".7 .5\"/></pattern>";

/// What the chart shows: months from now and inseams, and where they lie on paper.
struct View {
    months: f64,
    low_mm: f64,
    high_mm: f64,
    step_mm: f64,
}

impl View {
    /// Fits everything that will be drawn before anything is.
    fn new(tracks: &[Track<'_>; 2], units: Units) -> Self {
        const SHORTEST: f64 = 24.0;
        const SPARE: f64 = 6.0;
        let horizon = whole(HORIZON_MONTHS);
        let latest = tracks
            .iter()
            .map(|track| latest_month(track.growth))
            .fold(0.0, f64::max);
        let months = (((latest + SPARE) / 6.0).ceil() * 6.0).clamp(SHORTEST, horizon);
        let shown = || {
            tracks[0]
                .growth
                .months
                .iter()
                .filter(|month| whole(month.month) <= months)
        };
        let child_low = shown()
            .map(|m| m.inseam_low_mm)
            .fold(f64::INFINITY, f64::min);
        let child_high = shown().map(|m| m.inseam_high_mm).fold(0.0, f64::max);
        let windows = || tracks.iter().filter_map(|track| track.window_mm);
        let low = windows()
            .map(|[low, _]| low.max(child_low - BELOW_MM))
            .fold(child_low, f64::min);
        let high = windows()
            .map(|[_, high]| high.min(child_high + ABOVE_MM))
            .fold(child_high, f64::max);
        let step_mm = match units {
            Units::Mm | Units::Cm => [10.0, 20.0, 50.0],
            Units::In => [0.5 * MM_PER_INCH, MM_PER_INCH, 2.0 * MM_PER_INCH],
        }
        .into_iter()
        .find(|step| (high - low) / step <= 9.0)
        .unwrap_or(100.0);
        Self {
            months,
            low_mm: (low / step_mm).floor() * step_mm,
            high_mm: (high / step_mm).ceil() * step_mm,
            step_mm,
        }
    }

    fn x(&self, month: f64) -> f64 {
        LEFT + (RIGHT - LEFT) * (month / self.months).clamp(0.0, 1.0)
    }

    fn y(&self, inseam_mm: f64) -> f64 {
        let share = (inseam_mm - self.low_mm) / (self.high_mm - self.low_mm);
        BOTTOM - (BOTTOM - TOP) * share.clamp(0.0, 1.0)
    }

    fn shows(&self, inseam_mm: f64) -> bool {
        (self.low_mm..=self.high_mm).contains(&inseam_mm)
    }
}

/// Month after which a bike has no more to tell.
fn latest_month(growth: &Growth) -> f64 {
    let ends = |months: Percentiles| [months.p10, months.p50, months.p90];
    let beyond =
        growth.first_month.p50.is_some() && ends(growth.last_month).iter().any(Option::is_none);
    if beyond {
        return whole(HORIZON_MONTHS);
    }
    ends(growth.first_month)
        .into_iter()
        .chain(ends(growth.last_month))
        .flatten()
        .fold(0.0, f64::max)
}

#[expect(clippy::cast_precision_loss, reason = "small whole number")]
fn whole(month: usize) -> f64 {
    month as f64
}

/// The chart of two bikes for one rider: a whole SVG document. None without a forecast.
///
/// # Errors
/// What the chart library could not draw.
pub fn svg(rider: &RiderFacts, tracks: &[Track<'_>; 2], units: Units) -> Result<String, DrawError> {
    let view = View::new(tracks, units);
    let months: Vec<_> = tracks[0]
        .growth
        .months
        .iter()
        .filter(|month| whole(month.month) <= view.months)
        .copied()
        .collect();
    let headline = format!(
        "{}: inseam in the months to come, against two bikes",
        rider.title
    );
    let description = tracks
        .iter()
        .map(|track| {
            format!(
                "{} {}: {}.",
                track.letter,
                track.name,
                in_words(track, units)
            )
        })
        .collect::<Vec<_>>()
        .join(" ");
    let mut document = Document::new()
        .set("viewBox", (0, 0, SHEET[0], SHEET[1]))
        .set("width", format!("{}mm", SHEET[0]))
        .set("height", format!("{}mm", SHEET[1]))
        .set("role", "img")
        .add(Title::new(headline.clone()))
        .add(Description::new().add(svg::node::Text::new(description)))
        .add(Style::new(STYLE))
        .add(Definitions::new().add(Blob::new(HATCHES)))
        .add(
            Rectangle::new()
                .set("width", SHEET[0])
                .set("height", SHEET[1])
                .set("fill", "#fff"),
        )
        .add(words(LEFT, 14.0, "title", &headline))
        .add(words(LEFT, 21.0, "small", "Hatched bands: inseams that a bike fits on a child of average build at this riding stage. Black: this child, grey one standard deviation to either side."))
        .add(words(LEFT, 25.5, "small", "Bars under the chart: the months in which the bike fits this very child, arms, height and all; whiskers from the earliest tenth to the latest."));
    // Areas first, so that no line lies under another bike's band.
    for part in [area, edges] {
        for track in tracks {
            document = document.add(part(&view, track)?);
        }
    }
    document = document.add(grid(&view, tracks[0].growth, units));
    for layer in child(&view, &months)? {
        document = document.add(layer);
    }
    document = document.add(
        Rectangle::new()
            .set("class", "frame")
            .set("x", LEFT)
            .set("y", TOP)
            .set("width", RIGHT - LEFT)
            .set("height", BOTTOM - TOP),
    );
    document = document.add(labels(&view, tracks, &months, units));
    for (index, track) in tracks.iter().enumerate() {
        document = document.add(bar(&view, track, FIRST_BAR + BAR_STEP * whole(index)));
    }
    document = document.add(words(LEFT, SHEET[1] - 8.0, "small", cautions::CAUTIONS[0]));
    Ok(format!("{document}\n"))
}

/// The chart library's refusal.
#[derive(Debug, thiserror::Error)]
#[error("the growth chart could not be drawn: {0}")]
pub struct DrawError(String);

type Chart<'a> = ChartContext<'a, SVGBackend<'a>, Cartesian2d<RangedCoordf64, RangedCoordf64>>;

/// One layer of the chart, drawn by the library on its own canvas, placed on the paper.
fn layer(
    view: &View,
    class: &str,
    draw: impl FnOnce(&mut Chart<'_>) -> Result<(), DrawError>,
) -> Result<Group, DrawError> {
    let mut text = String::new();
    {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a few thousand units"
        )]
        let canvas = [RIGHT - LEFT, BOTTOM - TOP].map(|mm| (mm * CANVAS_PER_MM) as u32);
        let area = SVGBackend::with_string(&mut text, (canvas[0], canvas[1])).into_drawing_area();
        let mut chart = ChartBuilder::on(&area)
            .build_cartesian_2d(0.0..view.months, view.low_mm..view.high_mm)
            .map_err(|error| DrawError(error.to_string()))?;
        draw(&mut chart)?;
        area.present()
            .map_err(|error| DrawError(error.to_string()))?;
    }
    let inner = inner_elements(&text)
        .ok_or_else(|| DrawError("the library's document has no content".to_owned()))?;
    Ok(Group::new()
        .set("class", class)
        .set(
            "transform",
            format!("translate({LEFT} {TOP}) scale({})", 1.0 / CANVAS_PER_MM),
        )
        .add(Blob::new(inner)))
}

/// What stands between the outer tags.
fn inner_elements(document: &str) -> Option<&str> {
    let start = document.find("<svg")?;
    let start = start + document.get(start..)?.find('>')? + 1;
    let end = document.rfind("</svg>")?;
    document.get(start..end).map(str::trim)
}

fn polygon(
    chart: &mut Chart<'_>,
    points: impl IntoIterator<Item = (f64, f64)>,
) -> Result<(), DrawError> {
    let points: Vec<_> = points.into_iter().collect();
    chart
        .draw_series(std::iter::once(Polygon::new(points, BLACK.filled())))
        .map(drop)
        .map_err(|error| DrawError(error.to_string()))
}

fn line(
    chart: &mut Chart<'_>,
    points: impl IntoIterator<Item = (f64, f64)>,
) -> Result<(), DrawError> {
    chart
        .draw_series(LineSeries::new(points, BLACK.stroke_width(1)))
        .map(drop)
        .map_err(|error| DrawError(error.to_string()))
}

fn class_of(track: &Track<'_>) -> &'static str {
    if track.letter == "A" { "a" } else { "b" }
}

/// A bike's window, hatched.
fn area(view: &View, track: &Track<'_>) -> Result<Group, DrawError> {
    layer(view, &format!("band {}", class_of(track)), |chart| {
        let Some(window) = track.window_mm else {
            return Ok(());
        };
        let [low, high] = window.map(|mm| mm.clamp(view.low_mm, view.high_mm));
        if high <= low {
            return Ok(());
        }
        let end = view.months;
        polygon(chart, [(0.0, low), (end, low), (end, high), (0.0, high)])
    })
}

/// Lines where the window itself ends rather than the paper.
fn edges(view: &View, track: &Track<'_>) -> Result<Group, DrawError> {
    layer(view, &format!("edge {}", class_of(track)), |chart| {
        for end in track.window_mm.into_iter().flatten() {
            if view.shows(end) {
                line(chart, [(0.0, end), (view.months, end)])?;
            }
        }
        Ok(())
    })
}

/// The child's band and line.
fn child(view: &View, months: &[GrownMonth]) -> Result<[Group; 2], DrawError> {
    let band = layer(view, "child-band", |chart| {
        let low = months
            .iter()
            .map(|month| (whole(month.month), month.inseam_low_mm));
        let high = months
            .iter()
            .rev()
            .map(|month| (whole(month.month), month.inseam_high_mm));
        polygon(chart, low.chain(high))
    })?;
    let middle = layer(view, "child", |chart| {
        line(
            chart,
            months
                .iter()
                .map(|month| (whole(month.month), month.inseam_mm)),
        )
    })?;
    Ok([band, middle])
}

fn words(x: f64, y: f64, class: &str, text: &str) -> Text {
    Text::new(text).set("class", class).set("x", x).set("y", y)
}

fn grid(view: &View, growth: &Growth, units: Units) -> Group {
    let mut lines = Group::new().set("class", "grid");
    let mut text = Group::new().set("class", "axes");
    let mut mm = view.low_mm;
    while mm <= view.high_mm + view.step_mm / 2.0 {
        let y = view.y(mm);
        lines = lines.add(straight(LEFT, y, RIGHT, y));
        text = text.add(words(LEFT - 2.0, y + 1.1, "right", &units.bare(mm)));
        mm += view.step_mm;
    }
    text = text.add(words(
        LEFT - 2.0,
        TOP - 4.0,
        "right",
        &format!("inseam, {}", units.word()),
    ));
    let apart = if view.months > 36.0 { 12 } else { 6 };
    for month in (0..=HORIZON_MONTHS).step_by(apart) {
        let at = whole(month);
        if at > view.months {
            break;
        }
        let x = view.x(at);
        lines = lines.add(straight(x, TOP, x, BOTTOM));
        let date = date_after(growth.as_of, at).strftime("%b %Y").to_string();
        let from_now = if month == 0 {
            "now".to_owned()
        } else {
            format!("+{month} months")
        };
        text = text.add(words(x, BOTTOM + 5.0, "middle", &date)).add(words(
            x,
            BOTTOM + 9.2,
            "middle small",
            &from_now,
        ));
    }
    Group::new().set("id", "grid").add(lines).add(text)
}

fn straight(x1: f64, y1: f64, x2: f64, y2: f64) -> Line {
    Line::new()
        .set("x1", round(x1))
        .set("y1", round(y1))
        .set("x2", round(x2))
        .set("y2", round(y2))
}

/// To 0.01 mm of paper.
fn round(mm: f64) -> f64 {
    (mm * 100.0).round() / 100.0
}

/// One block of words to the right of the chart, and the height that it points at.
struct Block {
    at: f64,
    letter: &'static str,
    lines: Vec<String>,
}

fn labels(view: &View, tracks: &[Track<'_>; 2], months: &[GrownMonth], units: Units) -> Group {
    let mut blocks = Vec::new();
    for track in tracks {
        let mut lines = broken(track.name);
        let [low, high] = track.window_mm.unwrap_or([view.low_mm; 2]);
        lines.push(if track.window_mm.is_some() {
            format!("{} to {}", units.bare(low), units.length(high))
        } else {
            "fits no child of average build".to_owned()
        });
        let [low, high] = [low, high].map(|mm| mm.clamp(view.low_mm, view.high_mm));
        let at = view.y(f64::midpoint(low, high));
        blocks.push(Block {
            at,
            letter: track.letter,
            lines,
        });
    }
    if let Some(last) = months.last() {
        blocks.push(Block {
            at: view.y(last.inseam_mm),
            letter: "",
            lines: vec![
                "this child's inseam".to_owned(),
                format!(
                    "{} to {}",
                    units.bare(last.inseam_low_mm),
                    units.length(last.inseam_high_mm)
                ),
            ],
        });
    }
    blocks.sort_by(|a, b| a.at.total_cmp(&b.at));
    let heights: Vec<_> = blocks
        .iter()
        .map(|block| whole(block.lines.len()) * LINE + 2.0)
        .collect();
    let mut tops: Vec<f64> = Vec::new();
    for (block, height) in blocks.iter().zip(&heights) {
        let free = tops
            .last()
            .zip(heights.get(tops.len().wrapping_sub(1)))
            .map_or(TOP, |(top, height)| top + height);
        tops.push((block.at - height / 2.0).max(free));
    }
    // What was pushed past the foot is pushed back up, the last one first.
    let mut foot = BOTTOM;
    for (top, height) in tops.iter_mut().zip(&heights).rev() {
        *top = top.min(foot - height);
        foot = *top;
    }
    let mut group = Group::new().set("id", "labels");
    for ((block, top), height) in blocks.iter().zip(tops).zip(heights) {
        let middle = top + height / 2.0;
        group = group.add(Path::new().set("class", "lead").set(
            "d",
            format!(
                "M{RIGHT} {}L{} {}",
                round(block.at),
                WORDS - 1.0,
                round(middle)
            ),
        ));
        let indent = if block.letter.is_empty() { 0.0 } else { 5.0 };
        let first = top + LINE;
        if !block.letter.is_empty() {
            group = group.add(words(WORDS, round(first), "letter", block.letter));
        }
        for (index, line) in block.lines.iter().enumerate() {
            let y = round(first + LINE * whole(index));
            group = group.add(words(WORDS + indent, y, "", line));
        }
    }
    group
}

/// A name on as many lines as it needs, at most two.
fn broken(name: &str) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in name.split_whitespace() {
        let Some(line) = lines.last_mut() else { break };
        if line.is_empty() {
            line.push_str(word);
        } else if line.chars().count() + 1 + word.chars().count() <= WORDS_LETTERS - 5 {
            line.push(' ');
            line.push_str(word);
        } else {
            lines.push(word.to_owned());
        }
    }
    let cut = lines.len() > 2;
    lines.truncate(2);
    for line in &mut lines {
        if line.chars().count() > WORDS_LETTERS {
            *line = line.chars().take(WORDS_LETTERS - 1).collect();
            line.push('…');
        }
    }
    if cut && let Some(line) = lines.last_mut() {
        line.push('…');
    }
    lines
}

/// The months in which a bike fits this child.
fn bar(view: &View, track: &Track<'_>, top: f64) -> Group {
    let class = class_of(track);
    let growth = track.growth;
    let middle = top + BAR_HEIGHT / 2.0;
    let mut group = Group::new()
        .set("id", format!("months-{class}"))
        .add(words(
            LEFT - 8.0,
            round(middle + 1.5),
            "letter",
            track.letter,
        ))
        .add(straight(LEFT, middle, RIGHT, middle).set("class", "lead"));
    if let Some(first) = growth.first_month.p50 {
        let last = growth.last_month.p50;
        let (from, to) = (view.x(first), last.map_or(RIGHT, |last| view.x(last)));
        group = group.add(
            Rectangle::new()
                .set("class", format!("bar-{class}"))
                .set("x", round(from))
                .set("y", top)
                .set("width", round(to - from))
                .set("height", BAR_HEIGHT),
        );
        if last.is_none() {
            // Goes on: an arrow at the edge of the paper's time.
            group = group.add(Path::new().set("class", "whisker").set(
                "d",
                format!(
                    "M{} {}L{} {middle}L{} {}",
                    RIGHT - 2.0,
                    top - 1.0,
                    RIGHT + 1.5,
                    RIGHT - 2.0,
                    top + BAR_HEIGHT + 1.0
                ),
            ));
        }
        for months in [growth.first_month, growth.last_month] {
            if let Percentiles {
                p10: Some(early),
                p50: Some(_),
                p90,
            } = months
            {
                let early = view.x(early);
                let late = p90.map_or(RIGHT, |late| view.x(late));
                if late - early > 0.1 {
                    group = group.add(whisker(early, late, middle));
                }
            }
        }
    }
    for (index, line) in months_in_words(growth).iter().enumerate() {
        let y = round(middle - 0.6 + LINE * whole(index));
        group = group.add(words(WORDS, y, "", line));
    }
    group
}

fn whisker(early: f64, late: f64, y: f64) -> Path {
    const TICK: f64 = 1.6;
    let (early, late) = (round(early), round(late));
    Path::new().set("class", "whisker").set(
        "d",
        format!(
            "M{early} {}V{}M{early} {y}H{late}M{late} {}V{}",
            y - TICK,
            y + TICK,
            y - TICK,
            y + TICK
        ),
    )
}

/// When a bike fits, on two lines.
fn months_in_words(growth: &Growth) -> [String; 2] {
    let name = |months: f64| {
        date_after(growth.as_of, months)
            .strftime("%b %Y")
            .to_string()
    };
    if growth.is_outgrown() {
        return ["outgrown already".to_owned(), String::new()];
    }
    let Some(first) = growth.first_month.p50 else {
        return [
            "does not fit".to_owned(),
            format!("to {}", name(whole(HORIZON_MONTHS))),
        ];
    };
    let from = if first <= 0.0 {
        "fits now".to_owned()
    } else {
        format!("fits from about {}", name(first))
    };
    let to = match growth.last_month.p50 {
        Some(last) => format!("to about {}", name(last)),
        None => format!("beyond {}", name(whole(HORIZON_MONTHS))),
    };
    [from, to]
}

fn in_words(track: &Track<'_>, units: Units) -> String {
    let window = match track.window_mm {
        Some([low, high]) => format!(
            "window {} to {} of inseam",
            units.length(low),
            units.length(high)
        ),
        None => "fits no child of average build".to_owned(),
    };
    format!("{window}; {}", months_in_words(track.growth).join(" "))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_stands_between_the_outer_tags_is_kept() {
        let document = "<?xml?>\n<svg width=\"4\" xmlns=\"x\">\n<line x1=\"1\"/>\n</svg>\n";
        assert_eq!(inner_elements(document), Some("<line x1=\"1\"/>"));
        assert_eq!(inner_elements("<svg/>"), None);
    }

    #[test]
    fn a_long_name_takes_two_lines_and_no_more() {
        assert_eq!(broken("Sample street 20"), ["Sample street 20"]);
        let long = broken("A bicycle with a name that nobody in the shop can say in one breath");
        assert_eq!(long.len(), 2);
        assert!(
            long.iter()
                .all(|line| line.chars().count() <= WORDS_LETTERS)
        );
        assert!(long[1].ends_with('…'));
        assert_eq!(broken(&"x".repeat(90))[0].chars().count(), WORDS_LETTERS);
    }
}
