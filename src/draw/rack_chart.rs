//! The rack chart: every bike's rider windows side by side on one axis of heights, with ages for the median child.
//! Three bars a bike, told apart by place and form as well as colour.
//! The windows themselves are `advice::rack`'s.

use svg::node::element::Group;

use crate::advice::rack::{Rack, RackBike, STAGES};
use crate::advice::window::Window;
use crate::cautions::CAUTIONS;
use crate::draw::chart::{Axes, ChartError};
use crate::draw::lettering::{Face, TITLE, Weight};
use crate::draw::page::{A4_LONG, Align, Page};
use crate::draw::palette::{CONFIDENT, Colour, LEARNING, PAPER, STEADY};
use crate::draw::paper::{Rect, Spot};
use crate::draw::pen::{group, line, rectangle};
use crate::draw::plan::Picture;
use crate::rider::Stage;
use crate::rider::growth::{CHART_MONTHS, median_height_mm};
use crate::rider::measures::HEIGHT_MM;
use crate::units::{MM_PER_INCH, Units, tidy};

const MARGIN: f64 = 10.0;
/// Above the first row: title, legend, ages.
const HEAD: f64 = 40.0;
/// Below the last row: heights, notes.
const FOOT: f64 = 30.0;
const ROW: f64 = 9.0;
/// The column of names is no wider than this.
const NAMES: f64 = 52.0;
const GAP: f64 = 3.0;
/// Top of a balance bike's only bar in its row.
const BALANCE_TOP: f64 = 5.2;
const TICK: f64 = 1.6;
/// Least white between neighbouring figures on an axis.
const BETWEEN_TICKS: f64 = 1.5;

const HEADLINE: Face = TITLE.sized(5.5);
const BIKE: Face = face(3.2, Weight::Bold);
const WORDS: Face = face(3.2, Weight::Regular);
const FIGURE: Face = face(2.5, Weight::Regular);
const SMALL: Face = face(2.8, Weight::Regular);

const fn face(size: f64, weight: Weight) -> Face {
    Face {
        size,
        weight,
        class: "ink",
    }
}

const NAME: &str = "Rider windows: the heights that each bike fits";
const AGE_TITLE: &str = "median age, years";
const BALANCE_NOTE: &str = "A bike without cranks is judged as learning at every stage.";
const NOBODY: &str = "fits nobody of median proportions";
const PROPORTIONS_NOTE: &str = "Riders of median proportions, everything estimated from the height: the rider's own inseam, arms and hands decide. Measure, then fit.";
/// Which of the cautions the chart carries: no certificate, and nothing to grow into.
const CAUTION_LINES: [usize; 2] = [0, 4];

/// How the bar of a stage is drawn.
struct Form {
    /// Below the top of the row, mm.
    top: f64,
    height: f64,
    colour: Colour,
    is_hollow: bool,
    class: &'static str,
    meaning: &'static str,
}

const fn form(stage: Stage) -> Form {
    match stage {
        Stage::Learning => Form {
            top: 0.9,
            height: 1.3,
            colour: LEARNING,
            is_hollow: false,
            class: "learning",
            meaning: "learning: both feet flat",
        },
        Stage::Steady => Form {
            top: 2.7,
            height: 3.5,
            colour: STEADY,
            is_hollow: false,
            class: "steady",
            meaning: "steady: balls of both feet",
        },
        Stage::Confident => Form {
            top: 6.8,
            height: 1.3,
            colour: CONFIDENT,
            is_hollow: true,
            class: "confident",
            meaning: "confident: leg extended",
        },
    }
}

/// A bar of one stage in one row, mm of rider's height.
struct Bar {
    stage: Stage,
    row: f64,
    /// Below the top of the row, mm.
    top: f64,
    heights: [f64; 2],
}

/// The chart of a rack; figures in `units`.
///
/// # Errors
/// Where the drawing library fails; it has no reason to.
pub fn rack_chart(rack: &Rack, units: Units) -> Result<Picture, ChartError> {
    let axes = axes(rack, units);
    let height = axes.place.bottom() + FOOT;
    let mut page = Page::new(A4_LONG, height, NAME, &description(rack, units)).of_chart();
    page.add(stripes(&axes, rack.bikes.len()));
    let mut bars = Vec::new();
    head(&mut page);
    scales(&mut page, &axes, units);
    for (row, bike) in rack.bikes.iter().enumerate() {
        bars.extend(self::row(&mut page, &axes, bike, row as f64, units));
    }
    for stage in STAGES {
        let form = form(stage);
        page.add(axes.layer(form.class, |layer| {
            for bar in bars.iter().filter(|bar| bar.stage == stage) {
                let [low, high] = bar.heights;
                let (top, foot) = (
                    bar.row + bar.top / ROW,
                    bar.row + (bar.top + form.height) / ROW,
                );
                let corners = [(low, top), (high, foot)];
                if form.is_hollow {
                    layer.bar(corners, PAPER, true)?;
                }
                layer.bar(corners, form.colour, !form.is_hollow)?;
            }
            Ok(())
        })?);
    }
    foot(&mut page, &axes);
    Ok(page.finish())
}

fn say(page: &mut Page, text: &str, x: f64, y: f64, face: Face, align: Align) {
    let at = Spot::new(x, y + face.below_middle());
    page.write(at, align, face, page.width() - 2.0 * MARGIN, text);
}

/// Whether the stage has a bar of its own: a bike without cranks is judged as learning at each.
fn has_bar(bike: &RackBike, stage: Stage) -> bool {
    !bike.bike.is_balance() || stage == Stage::Learning
}

/// Whether the figures of a bike stand at this stage's bar.
fn has_figures(bike: &RackBike, stage: Stage) -> bool {
    stage == Stage::Steady || bike.bike.is_balance()
}

fn windows(rack: &Rack) -> impl Iterator<Item = Window> {
    let of = |bike: &RackBike| STAGES.map(|stage| bike.window(stage).as_ref().ok().copied());
    rack.bikes.iter().flat_map(of).flatten()
}

fn step_mm(units: Units) -> f64 {
    match units {
        Units::Mm | Units::Cm => 100.0,
        Units::In => 4.0 * MM_PER_INCH,
    }
}

/// Heights across, to the next grid line outside every window; rows downwards.
fn axes(rack: &Rack, units: Units) -> Axes {
    let rows = rack.bikes.len() as f64;
    let widest = rack
        .bikes
        .iter()
        .map(|bike| BIKE.width(&bike.bike.id))
        .fold(SMALL.width(AGE_TITLE), f64::max);
    let left = MARGIN + widest.min(NAMES) + 2.0 * GAP;
    let low = windows(rack).map(|window| window.low.height_mm);
    let high = windows(rack).map(|window| window.high.height_mm);
    let (low, high) = (low.fold(f64::MAX, f64::min), high.fold(0.0, f64::max));
    let (low, high) = if low <= high {
        (low, high)
    } else {
        (*HEIGHT_MM.start(), *HEIGHT_MM.end())
    };
    let step = step_mm(units);
    Axes {
        place: Rect::new(left, HEAD, A4_LONG - MARGIN - left, ROW * rows),
        x: (low / step).floor() * step..((high / step).floor() + 1.0) * step,
        y: rows..0.0,
    }
}

/// Every other row in a shade.
fn stripes(axes: &Axes, rows: usize) -> Group {
    let mut drawn = group("stripes");
    for row in (0..rows).step_by(2) {
        let y = axes.place.y + ROW * row as f64;
        let stripe = Rect::new(MARGIN, y, A4_LONG - 2.0 * MARGIN, ROW);
        drawn = drawn.add(rectangle("stripe", stripe));
    }
    drawn
}

/// Title and legend.
fn head(page: &mut Page) {
    const Y: f64 = 23.0;
    const SAMPLE: f64 = 10.0;
    say(page, NAME, MARGIN, 13.0, HEADLINE, Align::Left);
    let mut x = MARGIN;
    let mut samples = group("samples");
    for stage in STAGES {
        let form = form(stage);
        let place = Rect::new(x, Y - form.height / 2.0, SAMPLE, form.height);
        samples = samples.add(rectangle(&format!("sample-{}", form.class), place));
        page.mark(form.meaning, place);
        say(page, form.meaning, x + SAMPLE + 2.0, Y, WORDS, Align::Left);
        x += SAMPLE + 8.0 + WORDS.width(form.meaning);
    }
    page.add(samples);
    say(page, BALANCE_NOTE, x, Y, SMALL, Align::Left);
}

/// The grid of heights with its figures below, and the ages above.
fn scales(page: &mut Page, axes: &Axes, units: Units) {
    // Clear of the figure under the first grid line.
    let names = axes.place.x - 2.0 * GAP;
    let (above, below) = (axes.place.y - 5.0, axes.place.bottom() + 5.0);
    say(page, AGE_TITLE, names, above, SMALL, Align::Right);
    let heights = format!("height, {}", units.word());
    say(page, &heights, names, below, SMALL, Align::Right);
    let mut grid = group("grid");
    let step = step_mm(units);
    let mut height = axes.x.start;
    let mut free_from = f64::NEG_INFINITY;
    while height <= axes.x.end + 1e-6 {
        let x = axes.x_at(height);
        grid = grid.add(axes.upright(height));
        free_from = tick(page, &units.bare(height), x, below, free_from);
        height += step;
    }
    page.add(grid);
    let mut ages = group("ages");
    let mut free_from = f64::NEG_INFINITY;
    let mut months = *CHART_MONTHS.start();
    while months <= *CHART_MONTHS.end() {
        if let Some(height) = median_height_mm(None, months)
            && (axes.x.start..=axes.x.end).contains(&height)
        {
            let x = axes.x_at(height);
            let after = tick(page, &tidy(months / 12.0, 0), x, above, free_from);
            if after > free_from {
                let foot = Spot::new(x, axes.place.y);
                ages = ages.add(line("tick", foot.moved(0.0, -TICK), foot));
                free_from = after;
            }
        }
        months += 12.0;
    }
    page.add(ages);
}

/// Writes a figure at an axis where there is room; returns from where there is room again.
fn tick(page: &mut Page, text: &str, x: f64, y: f64, free_from: f64) -> f64 {
    let half = FIGURE.width(text) / 2.0;
    if x - half < free_from {
        return free_from;
    }
    say(page, text, x, y, FIGURE, Align::Middle);
    x + half + BETWEEN_TICKS
}

/// One bike: its name and figures are written, its bars returned.
fn row(page: &mut Page, axes: &Axes, bike: &RackBike, row: f64, units: Units) -> Vec<Bar> {
    let top = axes.place.y + ROW * row;
    let middle = top + ROW / 2.0;
    let right = axes.place.x - GAP;
    page.write_about(
        (&bike.bike.id, Spot::new(axes.place.x, middle)),
        Spot::new(right, middle + BIKE.below_middle()),
        Align::Right,
        BIKE,
        right - MARGIN,
        &bike.bike.id,
    );
    let say_instead = |page: &mut Page, words: &str| {
        say(page, words, axes.place.x + GAP, middle, FIGURE, Align::Left);
    };
    // A bar says whom a bike fits: before that can be said, its size is told in words.
    if let Some(why) = bike.nobody_yet() {
        let size = match *bike.window(Stage::Steady) {
            Ok(window) => {
                let [low, high] = window.printed_mm(units).map(|mm| units.bare(mm));
                format!("; by its size alone {low} to {high}")
            }
            Err(_) => String::new(),
        };
        say_instead(page, &format!("{why}{size}"));
        return Vec::new();
    }
    let mut bars = Vec::new();
    let mut is_for_nobody = true;
    for stage in STAGES {
        let Ok(window) = *bike.window(stage) else {
            continue;
        };
        is_for_nobody = false;
        if !has_bar(bike, stage) {
            continue;
        }
        let form = form(stage);
        // A balance bike's is alone in its row, under its figures.
        let below = if bike.bike.is_balance() {
            BALANCE_TOP
        } else {
            form.top
        };
        let heights = [window.low.height_mm, window.high.height_mm];
        let [left, right] = heights.map(|height| axes.x_at(height));
        let place = Rect::new(left, top + below, right - left, form.height);
        page.mark(&format!("{} {}", bike.bike.id, form.class), place);
        if has_figures(bike, stage) {
            figures(page, axes, &bike.bike.id, window, place, units);
        }
        bars.push(Bar {
            stage,
            row,
            top: below,
            heights,
        });
    }
    if is_for_nobody {
        say_instead(page, NOBODY);
    }
    bars
}

/// The heights at a bar's ends: inside where there is room, else beside it, or above a thin one.
fn figures(page: &mut Page, axes: &Axes, id: &str, window: Window, bar: Rect, units: Units) {
    const INSIDE: f64 = 1.0;
    let [low, high] = window.printed_mm(units);
    let low = match window.low.bound_by {
        Some(_) => units.bare(low),
        None => format!("≤{}", units.bare(*HEIGHT_MM.start())),
    };
    let high = match window.high.bound_by {
        Some(_) => units.bare(high),
        None => format!("≥{}", units.bare(*HEIGHT_MM.end())),
    };
    let width = |text: &str| FIGURE.width(text);
    let mut write = |text: &str, x: f64, y: f64, face: Face, align: Align| {
        let at = Spot::new(x, y + face.below_middle());
        page.write_about((id, bar.centre()), at, align, face, axes.place.width, text);
    };
    let y = bar.centre().y;
    let both = format!("{low} to {high}");
    if bar.height < FIGURE.size {
        let half = width(&both) / 2.0;
        let x = bar
            .centre()
            .x
            .clamp(axes.place.x + half, axes.place.right() - half);
        let above = bar.y - INSIDE - FIGURE.size / 2.0;
        write(&both, x, above, FIGURE, Align::Middle);
    } else if width(&low) + width(&high) + 3.0 * INSIDE <= bar.width {
        let light = FIGURE.class("light");
        write(&low, bar.x + INSIDE, y, light, Align::Left);
        write(&high, bar.right() - INSIDE, y, light, Align::Right);
    } else if bar.right() + INSIDE + width(&both) <= axes.place.right() {
        write(&both, bar.right() + INSIDE, y, FIGURE, Align::Left);
    } else {
        write(&both, bar.x - INSIDE, y, FIGURE, Align::Right);
    }
}

fn foot(page: &mut Page, axes: &Axes) {
    let cautions = CAUTION_LINES.iter().filter_map(|line| CAUTIONS.get(*line));
    let mut y = axes.place.bottom() + 13.0;
    for line in [PROPORTIONS_NOTE].into_iter().chain(cautions.copied()) {
        say(page, line, MARGIN, y, SMALL, Align::Left);
        y += 5.0;
    }
}

/// The chart in words, for those who do not see it.
fn description(rack: &Rack, units: Units) -> String {
    let of = |bike: &RackBike| match (bike.nobody_yet(), bike.window(Stage::Steady)) {
        (Some(why), _) => format!("{} {why}", bike.bike.id),
        (None, Ok(window)) => {
            let [low, high] = window.printed_mm(units).map(|mm| units.length(mm));
            format!("{} {low} to {high}", bike.bike.id)
        }
        (None, Err(_)) => format!("{} fits nobody", bike.bike.id),
    };
    let bikes: Vec<String> = rack.bikes.iter().map(of).collect();
    format!(
        "Heights of median-proportioned riders whom each bike fits when riding steadily, with balls of both feet on the ground: {}.",
        bikes.join("; ")
    )
}
