//! Call-outs: a name, a figure and how it came out, in columns left and right of the drawing, each led to its place.
//! Also the furniture that pictures share: ground line, scale bar, legend, status signs.
//! The arithmetic that keeps boxes apart is `label`.

use svg::node::element::{Group, Rectangle};

use crate::draw::ink::{Outline, Spot, circle, group, line, short};
use crate::draw::label::{ASCENT, DESCENT, Weight, Wish, stack, text_width, wrapped};
use crate::draw::sheet::{
    Align, FIGURE, Face, HATCH, HEIGHT, LEGEND, MARGIN, NAME, NOTE, Sheet, WIDTH,
};
use crate::fit::{Misfit, Status};
use crate::units::Units;

/// Width of a column, mm.
const COLUMN: f64 = 51.0;
/// Columns begin here, mm from the top.
const TOP: f64 = 30.0;
/// Columns end here, mm from the sheet's lower edge.
const FOOT: f64 = 30.0;
/// Between two call-outs, mm.
const GAP: f64 = 4.0;
/// Between the base lines of a note that takes two, mm.
const NOTE_LEADING: f64 = 3.7;
/// From a column to where its leaders start, mm.
const LEAD: f64 = 1.5;

/// Which column a call-out stands in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Side {
    Left,
    Right,
}

/// The last line of a call-out.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Note {
    pub(super) status: Option<Status>,
    pub(super) text: String,
}

impl Note {
    pub(super) fn plain(text: &str) -> Self {
        Self {
            status: None,
            text: text.to_owned(),
        }
    }

    /// Room that the status sign takes beside the words, mm.
    fn indent(&self) -> f64 {
        if self.status.is_some() { 4.0 } else { 0.0 }
    }
}

/// What is said about one place in the drawing.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Callout {
    pub(super) side: Side,
    pub(super) name: String,
    pub(super) figure: String,
    pub(super) note: Option<Note>,
    /// Where its leader goes; None when there is nothing to point at.
    pub(super) at: Option<Spot>,
}

impl Callout {
    fn name_line() -> f64 {
        ASCENT * NAME.size
    }

    fn figure_line() -> f64 {
        Self::name_line() + DESCENT * NAME.size + ASCENT * FIGURE.size + 0.1
    }

    fn note_line() -> f64 {
        Self::figure_line() + DESCENT * FIGURE.size + ASCENT * NOTE.size + 0.1
    }

    /// The note's words, in lines.
    fn note_lines(&self) -> Vec<String> {
        let Some(note) = &self.note else {
            return Vec::new();
        };
        let words = match note.status {
            Some(status) => format!("{}: {}", status.word(), note.text),
            None => note.text.clone(),
        };
        let room = COLUMN - note.indent();
        // One line set a little smaller reads better than two.
        let least = shrunk(NOTE, &words, room).size;
        if text_width(&words, least, NOTE.weight) <= room {
            vec![words]
        } else {
            wrapped(&words, NOTE.size, NOTE.weight, room)
        }
    }

    fn height(&self) -> f64 {
        match self.note_lines().len() {
            0 => Self::figure_line() + DESCENT * FIGURE.size,
            #[expect(clippy::cast_precision_loss, reason = "a line or two")]
            lines => Self::note_line() + (lines - 1) as f64 * NOTE_LEADING + DESCENT * NOTE.size,
        }
    }

    fn wish(&self) -> Wish {
        Wish {
            height: self.height(),
            // What points nowhere goes to the foot and makes room for what does.
            middle: self.at.map_or(HEIGHT, |spot| spot.y),
        }
    }

    fn leader_start(&self, top: f64) -> Spot {
        let x = match self.side {
            Side::Left => MARGIN + COLUMN + LEAD,
            Side::Right => WIDTH - MARGIN - COLUMN - LEAD,
        };
        Spot::new(x, top + Self::figure_line() - 0.35 * FIGURE.size)
    }
}

/// Writes every call-out into its column, with leaders that do not cross.
pub(super) fn write(sheet: &mut Sheet, callouts: Vec<Callout>) {
    let (left, right): (Vec<_>, Vec<_>) = callouts
        .into_iter()
        .partition(|callout| callout.side == Side::Left);
    let mut leaders = group("leaders");
    for column in [left, right] {
        for (callout, top) in arranged(column, sheet.height() - FOOT) {
            if let Some(spot) = callout.at {
                let start = callout.leader_start(top);
                leaders = leaders
                    .add(line("leader-halo", start, spot))
                    .add(line("leader", start, spot))
                    .add(circle("leader-dot", spot, 0.65));
            }
            put(sheet, &callout, top);
        }
    }
    sheet.add(leaders);
}

/// Whether two straight strokes cross between their ends.
fn cross(one: (Spot, Spot), other: (Spot, Spot)) -> bool {
    let side = |(from, to): (Spot, Spot), spot: Spot| {
        (to.x - from.x) * (spot.y - from.y) - (to.y - from.y) * (spot.x - from.x)
    };
    side(one, other.0) * side(one, other.1) < 0.0 && side(other, one.0) * side(other, one.1) < 0.0
}

/// The column from top to bottom with each call-out's top, in the order in which leaders do not
/// cross and are shortest.
fn arranged(column: Vec<Callout>, bottom: f64) -> Vec<(Callout, f64)> {
    let mut column: Vec<(Callout, Wish)> = column
        .into_iter()
        .map(|callout| {
            let wish = callout.wish();
            (callout, wish)
        })
        .collect();
    column.sort_by(|(_, a), (_, b)| a.middle.total_cmp(&b.middle));
    let tops = |column: &[(Callout, Wish)]| {
        let wishes: Vec<_> = column.iter().map(|(_, wish)| *wish).collect();
        stack(&wishes, TOP, bottom, GAP)
    };
    // Leaders' length, and far more than any length for each pair that crosses: call-outs of different
    // height move each other, so that the shortest order alone may leave a crossing.
    let cost = |column: &[(Callout, Wish)]| -> f64 {
        const CROSSING: f64 = 1e4;
        let leaders: Vec<(Spot, Spot)> = column
            .iter()
            .zip(tops(column))
            .filter_map(|((callout, _), top)| Some((callout.leader_start(top), callout.at?)))
            .collect();
        let mut cost = 0.0;
        for (index, leader) in leaders.iter().enumerate() {
            cost += leader.0.distance(leader.1);
            for other in &leaders[..index] {
                if cross(*leader, *other) {
                    cost += CROSSING;
                }
            }
        }
        cost
    };
    let mut best = cost(&column);
    let mut improved = true;
    while improved {
        improved = false;
        for first in 0..column.len() {
            for second in first + 1..column.len() {
                column.swap(first, second);
                let now = cost(&column);
                // Far above rounding, so that the search ends.
                if now < best - 1e-6 {
                    best = now;
                    improved = true;
                } else {
                    column.swap(first, second);
                }
            }
        }
    }
    let tops = tops(&column);
    let callouts = column.into_iter().map(|(callout, _)| callout);
    callouts.zip(tops).collect()
}

fn put(sheet: &mut Sheet, callout: &Callout, top: f64) {
    const SIGN: f64 = 1.45;
    let (x, align) = match callout.side {
        Side::Left => (MARGIN + COLUMN, Align::Right),
        Side::Right => (WIDTH - MARGIN - COLUMN, Align::Left),
    };
    let at = |down: f64| Spot::new(x, top + down);
    sheet.write(at(Callout::name_line()), align, NAME, COLUMN, &callout.name);
    let face = shrunk(FIGURE, &callout.figure, COLUMN);
    sheet.write(
        at(Callout::figure_line()),
        align,
        face,
        COLUMN,
        &callout.figure,
    );
    let Some(note) = &callout.note else {
        return;
    };
    let inwards = match callout.side {
        Side::Left => -1.0,
        Side::Right => 1.0,
    };
    let room = COLUMN - note.indent();
    let mut base = at(Callout::note_line());
    if let Some(status) = note.status {
        let centre = base.moved(inwards * SIGN, -0.35 * NOTE.size);
        sheet.add_to_words(status_sign(status, centre, SIGN));
    }
    for words in callout.note_lines() {
        let face = shrunk(NOTE, &words, room);
        sheet.write(
            base.moved(inwards * note.indent(), 0.0),
            align,
            face,
            room,
            &words,
        );
        base = base.moved(0.0, NOTE_LEADING);
    }
}

/// The smallest type that is still easily read on an A4 print, mm.
const SMALLEST: f64 = 2.5;

/// A smaller face where the text would not fit its room, down to [`SMALLEST`].
pub(super) fn shrunk(face: Face, text: &str, room: f64) -> Face {
    let width = text_width(text, face.size, face.weight);
    if width <= room {
        return face;
    }
    Face {
        // A hair less than the room, so that rounding does not cut the text after all.
        size: (face.size * 0.999 * room / width).max(SMALLEST),
        ..face
    }
}

/// A status as a shape: tick in a disc, triangle, diamond, cross in a square, dash in a disc.
pub(super) fn status_sign(status: Status, centre: Spot, radius: f64) -> Group {
    let at = |x: f64, y: f64| centre.moved(x * radius, y * radius);
    let class = status_class(status);
    let sign = group("status");
    let stroke = |outline: Outline| {
        outline
            .path("sign")
            .set("stroke-width", short(0.32 * radius))
    };
    match status {
        Status::Ok => sign.add(circle(class, centre, radius)).add(stroke(
            Outline::from(at(-0.5, 0.05))
                .line(at(-0.12, 0.42))
                .line(at(0.5, -0.38)),
        )),
        Status::Caution => sign
            .add(
                Outline::from(at(0.0, -1.05))
                    .line(at(1.1, 0.9))
                    .line(at(-1.1, 0.9))
                    .close()
                    .path(class),
            )
            .add(stroke(
                Outline::from(at(0.0, -0.35))
                    .line(at(0.0, 0.2))
                    .then(at(0.0, 0.6))
                    .line(at(0.0, 0.62)),
            )),
        Status::Adjust => sign.add(
            Outline::from(at(0.0, -1.15))
                .line(at(1.15, 0.0))
                .line(at(0.0, 1.15))
                .line(at(-1.15, 0.0))
                .close()
                .path(class),
        ),
        Status::Fail(_) => sign
            .add(
                Rectangle::new()
                    .set("class", class)
                    .set("x", short(centre.x - radius))
                    .set("y", short(centre.y - radius))
                    .set("width", short(2.0 * radius))
                    .set("height", short(2.0 * radius)),
            )
            .add(stroke(
                Outline::from(at(-0.5, -0.5))
                    .line(at(0.5, 0.5))
                    .then(at(-0.5, 0.5))
                    .line(at(0.5, -0.5)),
            )),
        Status::NotChecked(_) => sign
            .add(circle(class, centre, radius))
            .add(stroke(Outline::from(at(-0.5, 0.0)).line(at(0.5, 0.0)))),
    }
}

fn status_class(status: Status) -> &'static str {
    match status {
        Status::Ok => "ok",
        Status::Caution => "caution",
        Status::Adjust => "adjust",
        Status::Fail(_) => "fail",
        Status::NotChecked(_) => "unknown",
    }
}

/// The ground line with its hatching.
pub(super) fn ground(y: f64, left: f64, right: f64) -> Group {
    const STEP: f64 = 4.0;
    const DEPTH: f64 = 2.0;
    let mut hatch = Outline::default();
    let mut x = left + STEP;
    while x < right {
        hatch = hatch
            .then(Spot::new(x, y))
            .line(Spot::new(x - DEPTH, y + DEPTH));
        x += STEP;
    }
    group("ground-line")
        .add(hatch.path("ground-hatch"))
        .add(line("ground", Spot::new(left, y), Spot::new(right, y)))
}

/// The scale bar's line, mm from the lower edge.
const SCALE_BAR: f64 = 23.0;
/// Base line of the legend's first row, mm from the lower edge.
const LEGEND_ROW: f64 = 15.5;

/// A scale bar of a round length.
pub(super) fn scale_bar(sheet: &mut Sheet, scale: f64, units: Units) {
    const LONGEST: f64 = 45.0;
    const MM_PER_INCH: f64 = 25.4;
    let rounds: [f64; 6] = match units {
        Units::Mm | Units::Cm => [500.0, 300.0, 200.0, 100.0, 50.0, 20.0],
        Units::In => [20.0, 12.0, 8.0, 4.0, 2.0, 1.0].map(|inches| inches * MM_PER_INCH),
    };
    let longest = rounds.into_iter().find(|mm| mm / scale <= LONGEST);
    let bar = longest.unwrap_or(rounds[5]);
    let start = Spot::new(MARGIN, sheet.height() - SCALE_BAR);
    sheet.scale_bar(
        start,
        bar / scale,
        &format!(
            "{}; 1 : {} when printed at full size, A4",
            units.length(bar),
            short(scale)
        ),
    );
}

/// A sign that the legend explains.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Key {
    Mark,
    Range,
    Wanted,
    Setting,
    Doubt,
    Status(Status),
    First,
    Second,
}

impl Key {
    fn words(self) -> &'static str {
        match self {
            Self::Mark => "minimum-insertion mark",
            Self::Range => "post permits",
            Self::Wanted => "wanted saddle height",
            Self::Setting => "set here",
            Self::Doubt => "± one sd",
            Self::Status(status) => match status {
                Status::Ok => "ok",
                Status::Caution => "caution: near a limit",
                Status::Adjust => "adjust: can be set",
                Status::Fail(_) => "fail",
                Status::NotChecked(_) => "not checked",
            },
            Self::First => "bike A",
            Self::Second => "bike B",
        }
    }

    /// The sign itself, centred.
    pub(super) fn sign(self, centre: Spot) -> Group {
        let bar = |class: &str| {
            Rectangle::new()
                .set("class", class)
                .set("x", short(centre.x - 1.2))
                .set("y", short(centre.y - 1.6))
                .set("width", "2.4")
                .set("height", "3.2")
        };
        let wide = |class: &str| line(class, centre.moved(-2.4, 0.0), centre.moved(2.4, 0.0));
        let triangle = |class: &str, wide: f64, half: f64| {
            Outline::from(centre.moved(-wide / 2.0, 0.0))
                .line(centre.moved(wide / 2.0, -half))
                .line(centre.moved(wide / 2.0, half))
                .close()
                .path(class)
        };
        let drawn = group("key");
        match self {
            Self::Mark => drawn
                .add(line(
                    "mark",
                    centre.moved(-3.0, 0.0),
                    centre.moved(-0.6, 0.0),
                ))
                .add(triangle("mark-flag", 2.4, 1.0)),
            Self::Range => drawn.add(bar("range")),
            Self::Wanted => drawn.add(bar("wanted").set("fill", format!("url(#{HATCH})"))),
            Self::Setting => drawn.add(triangle("setting", 2.4, 1.2)),
            Self::Doubt => drawn.add(bar("doubt")),
            Self::Status(status) => drawn.add(status_sign(status, centre, 1.5)),
            Self::First => drawn.add(wide("first")),
            Self::Second => drawn.add(wide("second")),
        }
    }
}

/// The legend, in rows under the scale bar.
pub(super) fn legend(sheet: &mut Sheet, keys: &[Key]) {
    const SIGN: f64 = 7.0;
    const BETWEEN: f64 = 1.8;
    const ROW: f64 = 5.0;
    let (mut x, mut y) = (MARGIN, sheet.height() - LEGEND_ROW);
    for key in keys {
        let width = SIGN + text_width(key.words(), LEGEND.size, Weight::Regular);
        if x + width > WIDTH - MARGIN && y + ROW < sheet.height() - MARGIN {
            (x, y) = (MARGIN, y + ROW);
        }
        sheet.add_to_words(key.sign(Spot::new(x + SIGN / 2.0 - 0.5, y - 0.35 * LEGEND.size)));
        let room = (WIDTH - MARGIN - x - SIGN).max(0.0);
        sheet.write(
            Spot::new(x + SIGN, y),
            Align::Left,
            LEGEND,
            room,
            key.words(),
        );
        x += width + BETWEEN;
    }
}

/// A failed check's sign for a verdict that fails.
pub(super) const FAILED: Status = Status::Fail(Misfit::NotSize);
