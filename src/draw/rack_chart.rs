//! The rack chart: every bike's rider windows side by side on one axis of heights, with ages for the median child.
//! Three bars a bike, told apart by place and form as well as colour; a lay-out first, then the drawing.
//! The windows themselves are `advice::rack`'s.

use plotters::element::PathElement;
use plotters::style::{Color, RGBColor};

use crate::advice::rack::{Rack, RackBike, STAGES};
use crate::advice::window::Window;
use crate::bike::Style;
use crate::draw::chart::{Anchor, ChartError, Layer, Sheet, Text, fill, outline, units};
use crate::draw::label::{Plan, Rect, Weight, fitted, text_width};
use crate::cautions::CAUTIONS;
use crate::rider::Stage;
use crate::rider::growth::{CHART_MONTHS, median_height_mm};
use crate::rider::measures::HEIGHT_MM;
use crate::units::{MM_PER_INCH, Units};

/// Paper, mm: the width of A4 lying; as high as the rack needs.
const WIDTH: f64 = 297.0;
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
const TITLE_SIZE: f64 = 5.5;
const SIZE: f64 = 3.2;
const FIGURE_SIZE: f64 = 2.5;
const NOTE_SIZE: f64 = 2.8;
const TICK: f64 = 1.6;
/// Least white between neighbouring figures on an axis.
const BETWEEN_TICKS: f64 = 1.5;

const INK: RGBColor = RGBColor(0x22, 0x22, 0x22);
const QUIET: RGBColor = RGBColor(0xd5, 0xd5, 0xd5);
const SHADE: RGBColor = RGBColor(0xf4, 0xf4, 0xf4);
const WHITE: RGBColor = RGBColor(0xff, 0xff, 0xff);

/// How the bar of a stage is drawn. Colours that remain apart for the colour-blind and in grey print.
struct Form {
    /// Below the top of the row, mm.
    top: f64,
    height: f64,
    colour: RGBColor,
    hollow: bool,
}

const fn form(stage: Stage) -> Form {
    match stage {
        Stage::Learning => Form {
            top: 0.9,
            height: 1.3,
            colour: RGBColor(0xe6, 0x9f, 0x00),
            hollow: false,
        },
        Stage::Steady => Form {
            top: 2.7,
            height: 3.5,
            colour: RGBColor(0x00, 0x5a, 0x9c),
            hollow: false,
        },
        Stage::Confident => Form {
            top: 6.8,
            height: 1.3,
            colour: RGBColor(0x00, 0x7a, 0x5a),
            hollow: true,
        },
    }
}

const fn class(stage: Stage) -> &'static str {
    match stage {
        Stage::Learning => "learning",
        Stage::Steady => "steady",
        Stage::Confident => "confident",
    }
}

const fn meaning(stage: Stage) -> &'static str {
    match stage {
        Stage::Learning => "learning: both feet flat",
        Stage::Steady => "steady: balls of both feet",
        Stage::Confident => "confident: leg extended",
    }
}

/// A bar of one stage, mm of paper.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Bar {
    stage: Stage,
    place: Rect,
}

/// The chart, laid out.
#[derive(Debug)]
pub struct RackChart {
    sheet: Rect,
    plot: Rect,
    rows: usize,
    bars: Vec<Bar>,
    texts: Vec<Text>,
    /// x of the grid's lines and the ages' ticks.
    heights_at: Vec<f64>,
    ages_at: Vec<f64>,
    description: String,
}

/// Height to paper and back.
#[derive(Debug, Clone, Copy)]
struct Scale {
    low_mm: f64,
    high_mm: f64,
    left: f64,
    right: f64,
}

impl Scale {
    fn x(self, height_mm: f64) -> f64 {
        let share = (height_mm - self.low_mm) / (self.high_mm - self.low_mm);
        self.left + share * (self.right - self.left)
    }
}

/// Whether the stage has a bar of its own: a bike without cranks is judged as learning at each.
fn has_bar(bike: &RackBike, stage: Stage) -> bool {
    bike.style != Style::Balance || stage == Stage::Learning
}

fn windows(rack: &Rack) -> impl Iterator<Item = Window> {
    let of = |bike: &RackBike| STAGES.map(|stage| bike.stages.get(stage).exact.ok());
    rack.bikes.iter().flat_map(of).flatten()
}

impl RackChart {
    /// Lays the chart out; figures in `units`.
    pub fn new(rack: &Rack, units: Units) -> Self {
        let rows = rack.bikes.len();
        #[expect(clippy::cast_precision_loss, reason = "bikes in a shop")]
        let rows_height = ROW * rows as f64;
        let widest = rack
            .bikes
            .iter()
            .map(|bike| text_width(&bike.id, SIZE, Weight::Bold))
            .fold(text_width(AGE_TITLE, NOTE_SIZE, Weight::Regular), f64::max);
        let left = MARGIN + widest.min(NAMES) + 2.0 * GAP;
        let plot = Rect {
            x: left,
            y: HEAD,
            width: WIDTH - MARGIN - left,
            height: rows_height,
        };
        let step = match units {
            Units::Mm | Units::Cm => 100.0,
            Units::In => 4.0 * MM_PER_INCH,
        };
        let scale = scale(rack, step, plot);
        let mut chart = Self {
            sheet: Rect {
                x: 0.0,
                y: 0.0,
                width: WIDTH,
                height: HEAD + rows_height + FOOT,
            },
            plot,
            rows,
            bars: Vec::new(),
            texts: Vec::new(),
            heights_at: Vec::new(),
            ages_at: Vec::new(),
            description: description(rack, units),
        };
        chart.head();
        chart.axes(scale, step, units);
        for (row, bike) in rack.bikes.iter().enumerate() {
            #[expect(clippy::cast_precision_loss, reason = "bikes in a shop")]
            chart.row(bike, HEAD + ROW * row as f64, scale, units);
        }
        chart.foot();
        chart
    }

    fn say(&mut self, line: impl Into<String>, x: f64, y: f64, size: f64, anchor: Anchor) {
        self.texts.push(Text {
            line: line.into(),
            x,
            y,
            size,
            weight: Weight::Regular,
            anchor,
            colour: INK,
        });
    }

    fn head(&mut self) {
        self.texts.push(Text {
            line: TITLE.to_owned(),
            x: MARGIN,
            y: 13.0,
            size: TITLE_SIZE,
            weight: Weight::Bold,
            anchor: Anchor::Start,
            colour: INK,
        });
        let mut x = MARGIN;
        for stage in STAGES {
            let form = form(stage);
            let place = Rect {
                x,
                y: 23.0 - form.height / 2.0,
                width: 10.0,
                height: form.height,
            };
            self.bars.push(Bar { stage, place });
            self.say(meaning(stage), x + 12.0, 23.0, SIZE, Anchor::Start);
            x += 12.0 + text_width(meaning(stage), SIZE, Weight::Regular) + 6.0;
        }
        self.say(BALANCE_NOTE, x, 23.0, NOTE_SIZE, Anchor::Start);
    }

    fn axes(&mut self, scale: Scale, step: f64, units: Units) {
        // Clear of the figure under the first grid line.
        let names = self.plot.x - 2.0 * GAP;
        let (above, below) = (self.plot.y - 5.0, self.plot.bottom() + 5.0);
        self.say(AGE_TITLE, names, above, NOTE_SIZE, Anchor::End);
        let heights = format!("height, {}", units.word());
        self.say(heights, names, below, NOTE_SIZE, Anchor::End);

        let mut height = (scale.low_mm / step).ceil() * step;
        let mut free_from = f64::NEG_INFINITY;
        while height <= scale.high_mm + 1e-6 {
            let x = scale.x(height);
            self.heights_at.push(x);
            let text = units.bare(height);
            free_from = self.tick(text, x, below, free_from);
            height += step;
        }
        let mut free_from = f64::NEG_INFINITY;
        let mut months = *CHART_MONTHS.start();
        while months <= *CHART_MONTHS.end() {
            if let Some(height) = median_height_mm(None, months)
                && (scale.low_mm..=scale.high_mm).contains(&height)
            {
                let x = scale.x(height);
                let years = crate::units::tidy(months / 12.0, 0);
                let after = self.tick(years, x, above, free_from);
                if after > free_from {
                    self.ages_at.push(x);
                    free_from = after;
                }
            }
            months += 12.0;
        }
    }

    /// Writes a figure at an axis where there is room; returns from where there is room again.
    fn tick(&mut self, text: String, x: f64, y: f64, free_from: f64) -> f64 {
        let half = text_width(&text, FIGURE_SIZE, Weight::Regular) / 2.0;
        if x - half < free_from {
            return free_from;
        }
        self.say(text, x, y, FIGURE_SIZE, Anchor::Middle);
        x + half + BETWEEN_TICKS
    }

    fn row(&mut self, bike: &RackBike, top: f64, scale: Scale, units: Units) {
        let middle = top + ROW / 2.0;
        let name = fitted(&bike.id, SIZE, Weight::Bold, self.plot.x - GAP - MARGIN);
        self.texts.push(Text {
            line: name,
            x: self.plot.x - GAP,
            y: middle,
            size: SIZE,
            weight: Weight::Bold,
            anchor: Anchor::End,
            colour: INK,
        });
        let mut nobody = true;
        for stage in STAGES {
            let Ok(window) = bike.stages.get(stage).exact else {
                continue;
            };
            nobody = false;
            if !has_bar(bike, stage) {
                continue;
            }
            let mut form = form(stage);
            if bike.style == Style::Balance {
                // Alone in its row, under its figures.
                form.top = BALANCE_TOP;
            }
            let (left, right) = (
                scale.x(window.low.height_mm),
                scale.x(window.high.height_mm),
            );
            let place = Rect {
                x: left,
                y: top + form.top,
                width: right - left,
                height: form.height,
            };
            self.bars.push(Bar { stage, place });
            if stage == Stage::Steady || bike.style == Style::Balance {
                self.figures(window, place, units);
            }
        }
        if nobody {
            let x = self.plot.x + GAP;
            self.say(NOBODY, x, middle, FIGURE_SIZE, Anchor::Start);
        }
    }

    /// The heights at a bar's ends: inside where there is room, else beside it, or above a thin one.
    fn figures(&mut self, window: Window, bar: Rect, units: Units) {
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
        let width = |text: &str| text_width(text, FIGURE_SIZE, Weight::Regular);
        let y = bar.y + bar.height / 2.0;
        let both = format!("{low} to {high}");
        if bar.height < FIGURE_SIZE {
            let half = width(&both) / 2.0;
            let x = (bar.x + bar.width / 2.0).clamp(self.plot.x + half, self.plot.right() - half);
            self.say(
                both,
                x,
                bar.y - INSIDE - FIGURE_SIZE / 2.0,
                FIGURE_SIZE,
                Anchor::Middle,
            );
            return;
        }
        if width(&low) + width(&high) + 3.0 * INSIDE <= bar.width {
            for (text, x, anchor) in [
                (low, bar.x + INSIDE, Anchor::Start),
                (high, bar.right() - INSIDE, Anchor::End),
            ] {
                self.say(text, x, y, FIGURE_SIZE, anchor);
                if let Some(last) = self.texts.last_mut() {
                    last.colour = WHITE;
                }
            }
            return;
        }
        if bar.right() + INSIDE + width(&both) <= self.plot.right() {
            self.say(both, bar.right() + INSIDE, y, FIGURE_SIZE, Anchor::Start);
        } else {
            self.say(both, bar.x - INSIDE, y, FIGURE_SIZE, Anchor::End);
        }
    }

    fn foot(&mut self) {
        let lines = [PROPORTIONS_NOTE].into_iter();
        let cautions = CAUTION_LINES.iter().filter_map(|line| CAUTIONS.get(*line));
        let mut y = self.plot.bottom() + 13.0;
        for line in lines.chain(cautions.copied()) {
            let line = fitted(line, NOTE_SIZE, Weight::Regular, WIDTH - 2.0 * MARGIN);
            self.say(line, MARGIN, y, NOTE_SIZE, Anchor::Start);
            y += 5.0;
        }
    }

    /// The lay-out, mm of paper, for checks by box arithmetic.
    pub fn plan(&self) -> Plan {
        Plan {
            view_box: self.sheet,
            scale: 1.0,
            labels: self.texts.iter().map(Text::label).collect(),
        }
    }

    /// The picture: a whole SVG document.
    ///
    /// # Errors
    /// Where the drawing library fails; it has no reason to.
    pub fn svg(&self) -> Result<String, ChartError> {
        let mut sheet = Sheet::new(self.sheet.width, self.sheet.height);
        sheet.layer("rows", |area| {
            (0..self.rows).step_by(2).try_for_each(|row| {
                #[expect(clippy::cast_precision_loss, reason = "bikes in a shop")]
                let y = self.plot.y + ROW * row as f64;
                let stripe = Rect {
                    x: MARGIN,
                    y,
                    width: WIDTH - 2.0 * MARGIN,
                    height: ROW,
                };
                fill(area, stripe, SHADE)
            })
        })?;
        sheet.layer("grid", |area| {
            self.heights_at
                .iter()
                .try_for_each(|x| upright(area, *x, self.plot.y, self.plot.bottom() + TICK, QUIET))
        })?;
        sheet.layer("ages", |area| {
            self.ages_at
                .iter()
                .try_for_each(|x| upright(area, *x, self.plot.y - TICK, self.plot.y, INK))
        })?;
        for stage in STAGES {
            let form = form(stage);
            sheet.layer(class(stage), |area| {
                let bars = self.bars.iter().filter(|bar| bar.stage == stage);
                bars.into_iter().try_for_each(|bar| {
                    if form.hollow {
                        fill(area, bar.place, WHITE)?;
                        outline(area, bar.place, form.colour)
                    } else {
                        fill(area, bar.place, form.colour)
                    }
                })
            })?;
        }
        sheet.texts("words", &self.texts)?;
        Ok(sheet.finish(TITLE, &self.description, STYLE))
    }
}

const TITLE: &str = "Rider windows: the heights that each bike fits";
const AGE_TITLE: &str = "median age, years";
const BALANCE_NOTE: &str = "A bike without cranks is judged as learning at every stage.";
const NOBODY: &str = "fits nobody of median proportions";
const PROPORTIONS_NOTE: &str = "Riders of median proportions, everything estimated from the height: the rider's own inseam, arms and hands decide. Measure, then fit.";
/// Which of the cautions the chart carries: no certificate, and nothing to grow into.
const CAUTION_LINES: [usize; 2] = [0, 4];
const STYLE: &str =
    ".grid polyline{stroke-width:2}.ages polyline{stroke-width:3}.confident rect{stroke-width:4}";

fn upright(
    area: &Layer<'_>,
    x: f64,
    top: f64,
    bottom: f64,
    colour: RGBColor,
) -> Result<(), ChartError> {
    let ends = [(units(x), units(top)), (units(x), units(bottom))];
    area.draw(&PathElement::new(ends, colour.stroke_width(2)))?;
    Ok(())
}

/// The range of heights shown: every window, to the next grid line outside.
fn scale(rack: &Rack, step: f64, plot: Rect) -> Scale {
    let low = windows(rack).map(|window| window.low.height_mm);
    let high = windows(rack).map(|window| window.high.height_mm);
    let (low, high) = (low.fold(f64::MAX, f64::min), high.fold(0.0, f64::max));
    let (low, high) = if low <= high {
        (low, high)
    } else {
        (*HEIGHT_MM.start(), *HEIGHT_MM.end())
    };
    Scale {
        low_mm: (low / step).floor() * step,
        high_mm: ((high / step).floor() + 1.0) * step,
        left: plot.x,
        right: plot.right(),
    }
}

/// The chart in words, for those who do not see it.
fn description(rack: &Rack, units: Units) -> String {
    let of = |bike: &RackBike| match bike.stages.steady.exact {
        Ok(window) => {
            let [low, high] = window.printed_mm(units).map(|mm| units.length(mm));
            format!("{} {low} to {high}", bike.id)
        }
        Err(_) => format!("{} fits nobody", bike.id),
    };
    let bikes: Vec<String> = rack.bikes.iter().map(of).collect();
    format!(
        "Heights of median-proportioned riders whom each bike fits when riding steadily, with balls of both feet on the ground: {}.",
        bikes.join("; ")
    )
}
