//! The rack chart: every bike's rider windows on one axis of heights, with ages for the median child.
//! Three bars a bike, told apart by place and form as well as colour; names beside them, on a phone above them.
//! The windows themselves are `advice::rack`'s.

use crate::draw::element::Element;

use crate::advice::rack::{Rack, RackBike, STAGES};
use crate::advice::window::Window;
use crate::cautions::CAUTIONS;
use crate::draw::chart::{Axes, ChartError};
use crate::draw::heading;
use crate::draw::lettering::{Face, TITLE, Weight};
use crate::draw::page::{A4_LONG, Align, Form as Sheet, NARROW, Page};
use crate::draw::palette::{CONFIDENT, Colour, LEARNING, PAPER, STEADY};
use crate::draw::paper::{Rect, Spot};
use crate::draw::pen::{group, line, rectangle};
use crate::draw::plan::Picture;
use crate::rider::Stage;
use crate::rider::growth::{CHART_MONTHS, median_height_mm};
use crate::rider::measures::HEIGHT_MM;
use crate::units::{MM_PER_INCH, Units, tidy};

/// Margin of a lying sheet.
const MARGIN: f64 = 10.0;
/// Above the first row of a lying sheet: title, legend, ages.
const HEAD: f64 = 40.0;
/// Below its last row: heights, notes.
const FOOT: f64 = 30.0;
/// Height of a row's bars.
const BARS: f64 = 9.0;
/// Height of the name above them on a narrow sheet.
const OVER: f64 = 5.2;
/// The column of names is no wider than this.
const NAMES: f64 = 52.0;
const GAP: f64 = 3.0;
/// Between lines of words in a row.
const LINE: f64 = 4.0;
/// Top of a balance bike's only bar in its row.
const BALANCE_TOP: f64 = 5.2;
const TICK: f64 = 1.6;
/// Least white between neighbouring figures on an axis.
const BETWEEN_TICKS: f64 = 1.5;

const HEADLINE: Face = TITLE.sized(5.5);
const BIKE: Face = face(3.2, Weight::Bold);
const WORDS: Face = face(3.2, Weight::Regular);
const FIGURE: Face = face(2.5, Weight::Regular);
/// The same on a narrow sheet.
const NARROW_FIGURE: Face = FIGURE.sized(3.2);
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

/// Where everything stands on the sheet, mm.
struct Room {
    axes: Axes,
    margin: f64,
    /// Of a row, above its bars.
    over: f64,
    figure: Face,
}

impl Room {
    fn row(&self) -> f64 {
        self.over + BARS
    }

    fn is_narrow(&self) -> bool {
        self.over > 0.0
    }
}

/// The chart of a rack; figures in `units`.
///
/// # Errors
/// Where the drawing library fails; it has no reason to.
pub fn rack_chart(rack: &Rack, units: Units, sheet: Sheet) -> Result<Picture, ChartError> {
    let description = description(rack, units);
    let [caution, growing] =
        CAUTION_LINES.map(|line| CAUTIONS.get(line).copied().unwrap_or_default());
    match sheet {
        Sheet::Lying => {
            let room = Room {
                axes: axes(rack, units, BARS, beside_names(rack, HEAD)),
                margin: MARGIN,
                over: 0.0,
                figure: FIGURE,
            };
            let height = room.axes.place.bottom() + FOOT;
            let mut page = Page::new(A4_LONG, height, NAME, &description).of_chart();
            say(&mut page, NAME, MARGIN, 13.0, HEADLINE, Align::Left);
            legend(&mut page, MARGIN, 23.0);
            rows(&mut page, &room, rack, units)?;
            let mut y = room.axes.place.bottom() + 13.0;
            for line in [PROPORTIONS_NOTE, caution, growing] {
                say(&mut page, line, MARGIN, y, SMALL, Align::Left);
                y += 5.0;
            }
            Ok(page.finish())
        }
        Sheet::Upright => {
            const TICKS: f64 = 11.0;
            let mut page = Page::narrow(NAME, &description).of_chart();
            let margin = page.margin();
            let y = heading::title(&mut page, NAME);
            let y = legend(&mut page, margin, y);
            // Half a figure of the axis stands out to either side.
            let side = margin + NARROW_FIGURE.width("1000") / 2.0;
            let place = Rect::new(side, y + TICKS, NARROW - 2.0 * side, 0.0);
            let room = Room {
                axes: axes(rack, units, OVER + BARS, place),
                margin,
                over: OVER,
                figure: NARROW_FIGURE,
            };
            rows(&mut page, &room, rack, units)?;
            let mut y = room.axes.place.bottom() + 17.0;
            for words in [PROPORTIONS_NOTE, growing] {
                y = heading::lines(&mut page, SMALL, words, y) + 1.0;
            }
            heading::end(&mut page, caution, y);
            Ok(page.finish())
        }
    }
}

/// Stripes, scales, names and bars.
fn rows(page: &mut Page, room: &Room, rack: &Rack, units: Units) -> Result<(), ChartError> {
    page.add(stripes(page.width(), room, rack.bikes.len()));
    let mut bars = Vec::new();
    scales(page, room, units);
    for (row, bike) in rack.bikes.iter().enumerate() {
        bars.extend(self::row(page, room, bike, row as f64, units));
    }
    for stage in STAGES {
        let form = form(stage);
        page.add(room.axes.layer(form.class, |layer| {
            for bar in bars.iter().filter(|bar| bar.stage == stage) {
                let [low, high] = bar.heights;
                let (top, foot) = (
                    bar.row + bar.top / room.row(),
                    bar.row + (bar.top + form.height) / room.row(),
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
    Ok(())
}

fn say(page: &mut Page, text: &str, x: f64, y: f64, face: Face, align: Align) {
    let at = Spot::new(x, y + face.below_middle());
    page.write(at, align, face, page.width() - 2.0 * page.margin(), text);
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

/// The room for bars beside a column of names, from `top` down.
fn beside_names(rack: &Rack, top: f64) -> Rect {
    let widest = rack
        .bikes
        .iter()
        .map(|bike| BIKE.width(&bike.bike.id))
        .fold(SMALL.width(AGE_TITLE), f64::max);
    let left = MARGIN + widest.min(NAMES) + 2.0 * GAP;
    Rect::new(left, top, A4_LONG - MARGIN - left, 0.0)
}

/// Heights across `place`, to the next grid line outside every window; rows downwards, as many as there are bikes.
fn axes(rack: &Rack, units: Units, row: f64, place: Rect) -> Axes {
    let rows = rack.bikes.len() as f64;
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
        place: Rect {
            height: row * rows,
            ..place
        },
        x: (low / step).floor() * step..((high / step).floor() + 1.0) * step,
        y: rows..0.0,
    }
}

/// Every other row in a shade.
fn stripes(width: f64, room: &Room, rows: usize) -> Element {
    let mut drawn = group("stripes");
    for row in (0..rows).step_by(2) {
        let y = room.axes.place.y + room.row() * row as f64;
        let stripe = Rect::new(room.margin, y, width - 2.0 * room.margin, room.row());
        drawn = drawn.add(rectangle("stripe", stripe));
    }
    drawn
}

/// The legend from the line `y` down, as many of a line as there is room for; returns the next line.
fn legend(page: &mut Page, margin: f64, y: f64) -> f64 {
    const SAMPLE: f64 = 10.0;
    const LINE: f64 = 5.4;
    let (mut x, mut y) = (margin, y);
    let right = page.width() - margin;
    let mut samples = group("samples");
    for stage in STAGES {
        let form = form(stage);
        let wide = SAMPLE + 2.0 + WORDS.width(form.meaning);
        if x > margin && x + wide > right {
            (x, y) = (margin, y + LINE);
        }
        let place = Rect::new(x, y - form.height / 2.0, SAMPLE, form.height);
        samples = samples.add(rectangle(&format!("sample-{}", form.class), place));
        page.mark(form.meaning, place);
        say(page, form.meaning, x + SAMPLE + 2.0, y, WORDS, Align::Left);
        x += wide + 6.0;
    }
    page.add(samples);
    if x + SMALL.width(BALANCE_NOTE) <= right {
        say(page, BALANCE_NOTE, x, y, SMALL, Align::Left);
        return y + LINE;
    }
    heading::lines(page, SMALL, BALANCE_NOTE, y + LINE + SMALL.below_middle())
}

/// The grid of heights with its figures below, and the ages above.
fn scales(page: &mut Page, room: &Room, units: Units) {
    /// From a scale to its name on a narrow sheet.
    const NEXT: f64 = 5.0;
    let axes = &room.axes;
    let (above, below) = (axes.place.y - 5.0, axes.place.bottom() + 5.0);
    let heights = format!("height, {}", units.word());
    if room.is_narrow() {
        say(
            page,
            AGE_TITLE,
            room.margin,
            above - NEXT,
            SMALL,
            Align::Left,
        );
        say(
            page,
            &heights,
            room.margin,
            below + NEXT,
            SMALL,
            Align::Left,
        );
    } else {
        // Clear of the figure under the first grid line.
        let names = axes.place.x - 2.0 * GAP;
        say(page, AGE_TITLE, names, above, SMALL, Align::Right);
        say(page, &heights, names, below, SMALL, Align::Right);
    }
    let mut grid = group("grid");
    let step = step_mm(units);
    let mut height = axes.x.start;
    let mut figures = Vec::new();
    while height <= axes.x.end + 1e-6 {
        grid = grid.add(axes.upright(height));
        figures.push((axes.x_at(height), units.bare(height)));
        height += step;
    }
    page.add(grid);
    let every = every_with_room(&figures, room.figure);
    for (x, text) in figures.iter().step_by(every) {
        say(page, text, *x, below, room.figure, Align::Middle);
    }
    let mut ages = group("ages");
    let mut free_from = f64::NEG_INFINITY;
    let mut months = *CHART_MONTHS.start();
    while months <= *CHART_MONTHS.end() {
        if let Some(height) = median_height_mm(None, months)
            && (axes.x.start..=axes.x.end).contains(&height)
        {
            let x = axes.x_at(height);
            let age = tidy(months / 12.0, 0);
            let after = tick(page, room.figure, &age, (x, above), free_from);
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

/// Every how many lines of a grid there is room for a figure.
fn every_with_room(figures: &[(f64, String)], face: Face) -> usize {
    let has_room = |every: &usize| {
        let shown: Vec<_> = figures.iter().step_by(*every).collect();
        shown.windows(2).all(|pair| match pair {
            [(left, before), (right, after)] => {
                let half = f64::midpoint(face.width(before), face.width(after));
                right - left >= half + BETWEEN_TICKS
            }
            _ => true,
        })
    };
    let most = figures.len().max(1);
    (1..most).find(has_room).unwrap_or(most)
}

/// Writes a figure at an axis where there is room; returns from where there is room again.
fn tick(page: &mut Page, face: Face, text: &str, (x, y): (f64, f64), free_from: f64) -> f64 {
    let half = face.width(text) / 2.0;
    if x - half < free_from {
        return free_from;
    }
    say(page, text, x, y, face, Align::Middle);
    x + half + BETWEEN_TICKS
}

/// One bike: its name and figures are written, its bars returned.
fn row(page: &mut Page, room: &Room, bike: &RackBike, row: f64, units: Units) -> Vec<Bar> {
    let axes = &room.axes;
    let top = axes.place.y + room.row() * row + room.over;
    let middle = top + BARS / 2.0;
    let (at, align, wide) = if room.is_narrow() {
        let at = Spot::new(room.margin + 1.0, top - 1.2);
        (at, Align::Left, page.width() - 2.0 * at.x)
    } else {
        let right = axes.place.x - GAP;
        let at = Spot::new(right, middle + BIKE.below_middle());
        (at, Align::Right, right - room.margin)
    };
    let about = (bike.bike.id.as_str(), Spot::new(axes.place.x, middle));
    page.write_about(about, at, align, BIKE, wide, &bike.bike.id);
    let say_instead = |page: &mut Page, words: &str| {
        if !room.is_narrow() {
            say(
                page,
                words,
                axes.place.x + GAP,
                middle,
                room.figure,
                Align::Left,
            );
            return;
        }
        let lines = room.figure.wrapped_to(words, wide, 2);
        let mut y = middle - (lines.len() as f64 - 1.0) * LINE / 2.0;
        for words in lines {
            say(page, &words, at.x, y, room.figure, Align::Left);
            y += LINE;
        }
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
            figures(page, room, &bike.bike.id, window, place, units);
        }
        bars.push(Bar {
            stage,
            row,
            top: room.over + below,
            heights,
        });
    }
    if is_for_nobody {
        say_instead(page, NOBODY);
    }
    bars
}

/// The heights at a bar's ends: inside where there is room, else beside it, or above a thin one.
fn figures(page: &mut Page, room: &Room, id: &str, window: Window, bar: Rect, units: Units) {
    const INSIDE: f64 = 1.0;
    let (axes, figure) = (&room.axes, room.figure);
    let [low, high] = window.printed_mm(units);
    let low = match window.low.bound_by {
        Some(_) => units.bare(low),
        None => format!("≤{}", units.bare(*HEIGHT_MM.start())),
    };
    let high = match window.high.bound_by {
        Some(_) => units.bare(high),
        None => format!("≥{}", units.bare(*HEIGHT_MM.end())),
    };
    let width = |text: &str| figure.width(text);
    let mut write = |text: &str, x: f64, y: f64, face: Face, align: Align| {
        let at = Spot::new(x, y + face.below_middle());
        page.write_about((id, bar.centre()), at, align, face, axes.place.width, text);
    };
    let y = bar.centre().y;
    let both = format!("{low} to {high}");
    if bar.height < figure.size {
        let half = width(&both) / 2.0;
        let x = bar
            .centre()
            .x
            .clamp(axes.place.x + half, axes.place.right() - half);
        let above = bar.y - INSIDE - figure.size / 2.0;
        write(&both, x, above, figure, Align::Middle);
    } else if width(&low) + width(&high) + 3.0 * INSIDE <= bar.width {
        let light = figure.class("light");
        write(&low, bar.x + INSIDE, y, light, Align::Left);
        write(&high, bar.right() - INSIDE, y, light, Align::Right);
    } else if bar.right() + INSIDE + width(&both) <= axes.place.right() {
        write(&both, bar.right() + INSIDE, y, figure, Align::Left);
    } else {
        write(&both, bar.x - INSIDE, y, figure, Align::Right);
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
