//! A maker's chart as a spreadsheet writes it, read into frame files: one bike a row, or one a column.
//! Knows the trade's names for figures; what is understood stands under `published`, the rest is listed.
//! Nothing is guessed: a name or a number that could mean two things is left out and says why.

use std::fmt::Write as _;
use std::ops::RangeInclusive;

use crate::bike::figure::Figure;
use crate::bike::spec::{Style, WEIGHT_KG};
use crate::bike::tyre::TyreSize;
use crate::file::{Content, in_range};
use crate::units::{Length, Mass, clip, tidy};
use crate::words::either;

/// What a chart holds.
#[derive(Debug, Clone, PartialEq)]
pub struct Chart {
    /// Its bikes.
    pub bikes: Vec<Charted>,
    /// Headings of which nothing is taken for any bike, each with why.
    pub unknown: Vec<String>,
    /// Rows that cannot be a bike, each with its place and why.
    pub skipped: Vec<String>,
    /// Lines of one cell, taken for titles and remarks.
    pub remarks: Vec<String>,
}

/// One bike of a chart.
#[derive(Debug, Clone, PartialEq)]
pub struct Charted {
    /// Name and size, as the chart has them.
    pub name: String,
    /// Where it stands in the chart: `row 3` or `column 2`.
    pub place: String,
    /// A whole frame file.
    pub text: String,
    /// Keys that the file has.
    pub understood: Vec<&'static str>,
    /// What the chart has and the file has not: its name there, and why.
    pub left_out: Vec<String>,
}

/// Why a chart cannot be read at all.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ChartError {
    /// Not a table.
    #[error("line {line}: is not a table that can be read: {why}")]
    NotATable {
        /// Line, from 1.
        line: u64,
        /// The reader's words.
        why: String,
    },
    /// No figure's name in the first row or column.
    #[error(
        "names no figure of a bike in its first row or column; wanted names such as wheelbase, chainstay, head angle, standover"
    )]
    NoNames,
    /// Names, but no bike.
    #[error("names figures, but holds no bike")]
    NoBikes,
    /// A bike whose tyre is of another wheel.
    #[error(
        "{place}, {bike}: the chart says {named} wheels, the tyre {tyre} is of another; give each size its own tyres"
    )]
    OtherWheel {
        /// Where it stands.
        place: String,
        /// The bike.
        bike: String,
        /// The wheel as the chart has it, such as `24-inch`.
        named: String,
        /// The tyre.
        tyre: TyreSize,
    },
    /// A bike without a tyre of its own whose wheel cannot be read: tyres given for a whole chart may not be on it.
    #[error("{place}, {bike}: {why}")]
    NoWheel {
        /// Where it stands.
        place: String,
        /// The bike.
        bike: String,
        /// The cell, what it says and what is allowed.
        why: String,
    },
    /// A bike without a tyre.
    #[error(
        "{place}, {bike}: no tyre in the chart; add a column `tyre` with the marking on the sidewall, such as 54-507, or give the tyres of all such bikes with --tyres"
    )]
    NoTyre {
        /// Where it stands.
        place: String,
        /// The bike.
        bike: String,
    },
}

/// What a chart says of a bike's wheels.
enum Wheel {
    /// The trade's name, inches.
    Named(f64),
    /// The marking of its tyre.
    Marked(TyreSize),
    /// What cannot be read: where it stands, and what is allowed.
    Unread(String),
}

impl Wheel {
    fn of(cell: &str, place: &str) -> Self {
        let named = TyreSize::named_wheel(&cell.replace(',', ".")).map(Self::Named);
        let read = named.or_else(|| cell.parse().ok().map(Self::Marked));
        read.unwrap_or_else(|| {
            Self::Unread(format!(
                "{place}: `{}` is no wheel known here; allowed {} inches, or the marking of its tyre such as 54-507",
                clip(cell),
                TyreSize::wheel_names()
            ))
        })
    }

    /// Its words, where it is not the wheel of a tyre.
    fn other_than(&self, tyre: TyreSize) -> Option<String> {
        match self {
            // A rim that has no name in inches is called by those of another.
            Self::Named(inches) => {
                let is_other = (tyre.wheel_inches()? - inches).abs() > 0.1;
                is_other.then(|| format!("{}-inch", tidy(*inches, 1)))
            }
            Self::Marked(marked) => (!marked.has_rim_of(tyre)).then(|| marked.to_string()),
            Self::Unread(_) => None,
        }
    }
}

/// What a row or column of a chart is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Heading {
    Name,
    Size,
    Tyre,
    FrontTyre,
    RearTyre,
    Crank,
    Wheel,
    Price,
    /// With the unit that the heading names, if it does.
    Weight(Option<&'static str>),
    Figure(Figure),
    /// Known, but with two meanings: why it is left out.
    Unclear(&'static str),
}

const TOP_TUBE: Heading =
    Heading::Unclear("level or along the tube? name it effective top tube or actual top tube");
const SADDLE: Heading = Heading::Unclear(
    "from ground or from the bracket? name it seat height (ground) or saddle height from bracket",
);

/// The trade's names, in lower case and single spaces, without units.
const NAMES: &[(&str, Heading)] = &[
    ("name", Heading::Name),
    ("model", Heading::Name),
    ("bike", Heading::Name),
    ("frame", Heading::Name),
    ("size", Heading::Size),
    ("frame size", Heading::Size),
    ("tyre", Heading::Tyre),
    ("tyres", Heading::Tyre),
    ("tire", Heading::Tyre),
    ("tires", Heading::Tyre),
    ("tyre size", Heading::Tyre),
    ("tire size", Heading::Tyre),
    ("front tyre", Heading::FrontTyre),
    ("front tire", Heading::FrontTyre),
    ("tyre front", Heading::FrontTyre),
    ("rear tyre", Heading::RearTyre),
    ("rear tire", Heading::RearTyre),
    ("tyre rear", Heading::RearTyre),
    ("crank", Heading::Crank),
    ("cranks", Heading::Crank),
    ("crank length", Heading::Crank),
    ("crank arm length", Heading::Crank),
    ("crankarm length", Heading::Crank),
    ("wheel", Heading::Wheel),
    ("wheels", Heading::Wheel),
    ("wheel size", Heading::Wheel),
    ("price", Heading::Price),
    ("weight", Heading::Weight(None)),
    ("bike weight", Heading::Weight(None)),
    ("weight kg", Heading::Weight(Some("kg"))),
    ("bike weight kg", Heading::Weight(Some("kg"))),
    ("weight lb", Heading::Weight(Some("lb"))),
    ("weight lbs", Heading::Weight(Some("lb"))),
    ("bike weight lb", Heading::Weight(Some("lb"))),
    ("bike weight lbs", Heading::Weight(Some("lb"))),
    (
        "effective top tube",
        Heading::Figure(Figure::EffectiveTopTube),
    ),
    (
        "effective top tube length",
        Heading::Figure(Figure::EffectiveTopTube),
    ),
    (
        "top tube effective",
        Heading::Figure(Figure::EffectiveTopTube),
    ),
    (
        "top tube length effective",
        Heading::Figure(Figure::EffectiveTopTube),
    ),
    (
        "horizontal top tube",
        Heading::Figure(Figure::EffectiveTopTube),
    ),
    (
        "horizontal top tube length",
        Heading::Figure(Figure::EffectiveTopTube),
    ),
    (
        "top tube horizontal",
        Heading::Figure(Figure::EffectiveTopTube),
    ),
    (
        "top tube length horizontal",
        Heading::Figure(Figure::EffectiveTopTube),
    ),
    (
        "virtual top tube",
        Heading::Figure(Figure::EffectiveTopTube),
    ),
    ("ett", Heading::Figure(Figure::EffectiveTopTube)),
    ("actual top tube", Heading::Figure(Figure::TopTubeLength)),
    (
        "actual top tube length",
        Heading::Figure(Figure::TopTubeLength),
    ),
    ("top tube actual", Heading::Figure(Figure::TopTubeLength)),
    (
        "top tube length actual",
        Heading::Figure(Figure::TopTubeLength),
    ),
    ("top tube", TOP_TUBE),
    ("top tube length", TOP_TUBE),
    ("tt", TOP_TUBE),
    ("seat tube", Heading::Figure(Figure::SeatTubeLength)),
    ("seat tube length", Heading::Figure(Figure::SeatTubeLength)),
    (
        "seat tube centre to top",
        Heading::Figure(Figure::SeatTubeLength),
    ),
    (
        "seat tube center to top",
        Heading::Figure(Figure::SeatTubeLength),
    ),
    ("seat tube c t", Heading::Figure(Figure::SeatTubeLength)),
    ("seat angle", Heading::Figure(Figure::SeatTubeAngle)),
    ("seat tube angle", Heading::Figure(Figure::SeatTubeAngle)),
    ("seattube angle", Heading::Figure(Figure::SeatTubeAngle)),
    ("head angle", Heading::Figure(Figure::HeadAngle)),
    ("head tube angle", Heading::Figure(Figure::HeadAngle)),
    ("headtube angle", Heading::Figure(Figure::HeadAngle)),
    ("steering angle", Heading::Figure(Figure::HeadAngle)),
    ("head tube", Heading::Figure(Figure::HeadTubeLength)),
    ("head tube length", Heading::Figure(Figure::HeadTubeLength)),
    ("headtube", Heading::Figure(Figure::HeadTubeLength)),
    ("headtube length", Heading::Figure(Figure::HeadTubeLength)),
    ("bb drop", Heading::Figure(Figure::BottomBracketDrop)),
    (
        "bottom bracket drop",
        Heading::Figure(Figure::BottomBracketDrop),
    ),
    ("bb height", Heading::Figure(Figure::BottomBracketHeight)),
    (
        "bottom bracket height",
        Heading::Figure(Figure::BottomBracketHeight),
    ),
    ("rake", Heading::Figure(Figure::ForkOffset)),
    ("fork rake", Heading::Figure(Figure::ForkOffset)),
    ("fork offset", Heading::Figure(Figure::ForkOffset)),
    ("offset", Heading::Figure(Figure::ForkOffset)),
    ("trail", Heading::Figure(Figure::Trail)),
    ("axle to crown", Heading::Figure(Figure::AxleToCrown)),
    ("fork axle to crown", Heading::Figure(Figure::AxleToCrown)),
    ("fork length", Heading::Figure(Figure::AxleToCrown)),
    ("wheelbase", Heading::Figure(Figure::Wheelbase)),
    ("wheel base", Heading::Figure(Figure::Wheelbase)),
    ("chainstay", Heading::Figure(Figure::Chainstay)),
    ("chainstays", Heading::Figure(Figure::Chainstay)),
    ("chainstay length", Heading::Figure(Figure::Chainstay)),
    ("chain stay", Heading::Figure(Figure::Chainstay)),
    ("chain stay length", Heading::Figure(Figure::Chainstay)),
    ("rear centre", Heading::Figure(Figure::Chainstay)),
    ("rear center", Heading::Figure(Figure::Chainstay)),
    ("front centre", Heading::Figure(Figure::FrontCentre)),
    ("front center", Heading::Figure(Figure::FrontCentre)),
    ("standover", Heading::Figure(Figure::Standover)),
    ("standover height", Heading::Figure(Figure::Standover)),
    ("stand over", Heading::Figure(Figure::Standover)),
    ("stand over height", Heading::Figure(Figure::Standover)),
    ("stack", Heading::Figure(Figure::Stack)),
    ("frame stack", Heading::Figure(Figure::Stack)),
    ("reach", Heading::Figure(Figure::Reach)),
    ("frame reach", Heading::Figure(Figure::Reach)),
    ("seat height min", Heading::Figure(Figure::SeatHeightLowest)),
    (
        "seat height lowest",
        Heading::Figure(Figure::SeatHeightLowest),
    ),
    ("min seat height", Heading::Figure(Figure::SeatHeightLowest)),
    (
        "minimum seat height",
        Heading::Figure(Figure::SeatHeightLowest),
    ),
    (
        "seat height max",
        Heading::Figure(Figure::SeatHeightHighest),
    ),
    (
        "seat height highest",
        Heading::Figure(Figure::SeatHeightHighest),
    ),
    (
        "max seat height",
        Heading::Figure(Figure::SeatHeightHighest),
    ),
    (
        "maximum seat height",
        Heading::Figure(Figure::SeatHeightHighest),
    ),
    ("seat min", SADDLE),
    ("min seat", SADDLE),
    ("seat max", SADDLE),
    ("max seat", SADDLE),
    ("saddle min", SADDLE),
    ("min saddle", SADDLE),
    ("saddle max", SADDLE),
    ("max saddle", SADDLE),
    ("saddle height", SADDLE),
    ("saddle height lowest", SADDLE),
    ("saddle height highest", SADDLE),
    ("saddle height min", SADDLE),
    ("min saddle height", SADDLE),
    ("minimum saddle height", SADDLE),
    ("saddle height max", SADDLE),
    ("max saddle height", SADDLE),
    ("maximum saddle height", SADDLE),
];

/// Units that a chart writes, and what one of them is in mm or degrees.
const UNITS: &[(&str, f64)] = &[
    ("mm", 1.0),
    ("cm", 10.0),
    ("inches", 25.4),
    ("inch", 25.4),
    ("in", 25.4),
    ("\"", 25.4),
    ("″", 25.4),
    ("degrees", 1.0),
    ("deg", 1.0),
    ("°", 1.0),
    ("º", 1.0),
];

/// A heading's words, and the unit that it names.
fn heading(cell: &str) -> (Option<Heading>, Option<f64>) {
    let lower = cell.to_lowercase();
    let mut unit = None;
    let mut words = Vec::new();
    let marks = |c: char| c.is_whitespace() || "()[]{}/,:;_-–.".contains(c);
    for word in lower.split(marks).filter(|word| !word.is_empty()) {
        match UNITS.iter().find(|(name, _)| *name == word) {
            Some((_, factor)) => unit = Some(*factor),
            None => words.push(word.trim_end_matches(['°', 'º'])),
        }
    }
    let name = words.join(" ");
    let name = name.trim();
    let found = NAMES.iter().find(|(known, _)| *known == name);
    (found.map(|(_, heading)| *heading), unit)
}

/// Units that a length without one may be meant in, each with its word for people.
const SLIPS: [(&str, &str, f64); 2] = [
    ("cm", "centimetres", 10.0),
    ("in", "inches", crate::units::MM_PER_INCH),
];

/// A cell's number as written: what it may say, and its own unit or that of its heading.
struct Written {
    values: Vec<f64>,
    unit: Option<f64>,
}

impl Written {
    /// A comma is a decimal point, or parts thousands; it is no unit.
    fn new(cell: &str, unit: Option<f64>) -> Result<Self, String> {
        let is_none = || format!("`{}` is not one number", clip(cell));
        let text = cell.trim().to_lowercase();
        // A whole number and a fraction are read as everywhere.
        if text.contains('/') {
            let length: Length = text.parse().map_err(|_| is_none())?;
            let is_plain = text.ends_with(|c: char| c.is_ascii_digit());
            return Ok(Self {
                values: vec![length.mm()],
                unit: if is_plain { unit } else { Some(1.0) },
            });
        }
        let end = text
            .find(|c: char| !(c.is_ascii_digit() || ".,+-−".contains(c)))
            .unwrap_or(text.len());
        let (digits, after) = text.split_at(end);
        let own = after.trim().trim_end_matches('.');
        let unit = if own.is_empty() {
            unit
        } else {
            let known = UNITS.iter().find(|(name, _)| *name == own);
            Some(known.ok_or_else(is_none)?.1)
        };
        let digits = digits.replace('−', "-");
        let parts_thousands = digits
            .split(',')
            .skip(1)
            .all(|group| group.find('.').unwrap_or(group.len()) == 3);
        let thousands = parts_thousands.then(|| digits.replace(',', ""));
        let values: Vec<_> = [Some(digits.replacen(',', ".", 1)), thousands]
            .into_iter()
            .flatten()
            .filter_map(|digits| digits.parse::<f64>().ok())
            .filter(|value| value.is_finite())
            .collect();
        if values.is_empty() {
            return Err(is_none());
        }
        Ok(Self { values, unit })
    }

    /// What it says in a unit, where that is allowed.
    fn at(&self, factor: f64, range: &RangeInclusive<f64>) -> Option<f64> {
        let mut values = self.values.iter().map(|value| value * factor);
        values.find(|value| range.contains(value))
    }

    /// What it says, in mm or degrees. `others` are the units beside mm that lengths of this table are in.
    fn value(
        &self,
        (title, cell): (&str, &str),
        kind: &Kind,
        others: &[(&str, &str, f64)],
    ) -> Result<f64, String> {
        let (title, cell) = (clip(title), clip(cell));
        let found = self.at(self.unit.unwrap_or(1.0), &kind.range);
        let (low, high, base) = (kind.range.start(), kind.range.end(), kind.base());
        let outside = format!("`{cell}` is outside {low} to {high} {base}");
        if !kind.is_length {
            return found.ok_or(outside);
        }
        if let Some(factor) = self.unit {
            return found.ok_or_else(|| self.named_unit_is_wrong(factor, &cell, kind));
        }
        let fits = |(_, _, factor): &&(&str, &str, f64)| self.at(*factor, &kind.range).is_some();
        let in_heading = |units: &[&(&str, &str, f64)]| {
            let headings = units.iter().map(|(unit, _, _)| format!("{title} ({unit})"));
            either(&headings.collect::<Vec<_>>())
        };
        let words = |units: &[&(&str, &str, f64)]| {
            let words = units.iter().map(|(_, words, _)| *words);
            words.collect::<Vec<_>>().join(" or ")
        };
        let Some(found) = found else {
            let slips: Vec<_> = SLIPS.iter().filter(fits).collect();
            return Err(if slips.is_empty() {
                format!("{outside}; is its unit named?")
            } else {
                format!(
                    "{outside}: are these {}? write the unit in the heading, {}",
                    words(&slips),
                    in_heading(&slips)
                )
            });
        };
        // Nothing in every unit.
        let others: Vec<_> = others.iter().filter(fits).collect();
        if others.is_empty() || found == 0.0 {
            return Ok(found);
        }
        Err(format!(
            "`{cell}` has no unit, and other lengths here are in {} or look like it: write the unit in the heading, {} or `{title} (mm)`",
            words(&others),
            in_heading(&others)
        ))
    }

    /// What a length comes to in the unit that heading or cell names, where that is not allowed, and in which it would be.
    fn named_unit_is_wrong(&self, factor: f64, cell: &str, kind: &Kind) -> String {
        let (low, high, base) = (kind.range.start(), kind.range.end(), kind.base());
        let read = self.values.first().map_or(0.0, |value| value * factor);
        let read = tidy(read, 1);
        let outside =
            format!("`{cell}` in the unit named is {read} {base}, outside {low} to {high} {base}");
        let units = [("mm", "millimetres", 1.0)].iter().chain(&SLIPS);
        let units = units.filter(|(_, _, other)| {
            other.to_bits() != factor.to_bits() && self.at(*other, &kind.range).is_some()
        });
        let words: Vec<_> = units.map(|(_, words, _)| *words).collect();
        if words.is_empty() {
            outside
        } else {
            format!("{outside}: is it in {}?", words.join(" or "))
        }
    }
}

/// An amount of money with or without its currency; None where point and comma could mean two things.
fn money(cell: &str) -> Option<f64> {
    let digits = cell.trim_matches(|c: char| !c.is_ascii_digit());
    let (whole, cents) = digits.rsplit_once(['.', ',']).unwrap_or((digits, ""));
    let is_whole = |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    match cents.len() {
        0 if is_whole(whole) => whole.parse().ok(),
        2 if is_whole(whole) && is_whole(cents) => format!("{whole}.{cents}").parse().ok(),
        _ => None,
    }
}

/// What a bike weighs; a number needs its unit, for kilograms and pounds of bikes overlap.
fn weight(cell: &str, unit: Option<&str>) -> Result<Mass, String> {
    let cell = cell.trim().replacen(',', ".", 1);
    let is_bare = cell.ends_with(|c: char| c.is_ascii_digit());
    let text = match unit {
        Some(unit) if is_bare => format!("{cell} {unit}"),
        None if is_bare => {
            return Err(format!(
                "`{}` has no unit: write it in the heading, weight (kg) or weight (lb)",
                clip(&cell)
            ));
        }
        _ => cell,
    };
    in_range(&Content::from(text.as_str()), &WEIGHT_KG)
}

/// What kind of number a heading asks for.
struct Kind {
    range: RangeInclusive<f64>,
    is_length: bool,
}

impl Kind {
    fn of(heading: Heading) -> Option<Self> {
        match heading {
            Heading::Crank => Some(Self {
                range: 60.0..=190.0,
                is_length: true,
            }),
            Heading::Figure(figure) => Some(Self {
                range: figure.range(),
                is_length: !figure.is_angle(),
            }),
            _ => None,
        }
    }

    const fn base(&self) -> &'static str {
        if self.is_length { "mm" } else { "degrees" }
    }
}

/// Units beside mm that lengths of the table are in: named, or the only ones that a length without a unit fits.
/// A length that names no unit and fits one of these as well as mm could be either.
fn other_units(
    headings: &[String],
    bikes: &[Vec<String>],
) -> Vec<(&'static str, &'static str, f64)> {
    let mut others = SLIPS.to_vec();
    others.retain(|(_, _, factor)| {
        let is_in = |(title, cell): (&String, &String)| {
            let (found, unit) = heading(title);
            let kind = found.and_then(Kind::of).filter(|kind| kind.is_length);
            let (Some(kind), Ok(written)) = (kind, Written::new(cell, unit)) else {
                return false;
            };
            match written.unit {
                Some(unit) => unit.to_bits() == factor.to_bits(),
                None => {
                    written.at(1.0, &kind.range).is_none()
                        && written.at(*factor, &kind.range).is_some()
                }
            }
        };
        bikes
            .iter()
            .any(|cells| headings.iter().zip(cells).any(is_in))
    });
    others
}

/// A row of the table, and the line that it starts in.
#[derive(Debug)]
struct Row {
    line: u64,
    cells: Vec<String>,
}

/// Where the cells of a table stand in the file, whether bikes are its rows or its columns.
struct Places {
    lines: Vec<u64>,
    bikes_are_rows: bool,
}

impl Places {
    /// Where a bike stands, from 0 for the headings.
    fn bike(&self, index: usize) -> String {
        if self.bikes_are_rows {
            self.row(index)
        } else {
            column(index)
        }
    }

    /// Where one of its cells stands.
    fn cell(&self, bike: usize, figure: usize) -> String {
        if self.bikes_are_rows {
            format!("{}, {}", self.row(bike), column(figure))
        } else {
            format!("{}, {}", self.row(figure), column(bike))
        }
    }

    fn row(&self, index: usize) -> String {
        let line = self.lines.get(index).copied().unwrap_or_default();
        format!("row {line}")
    }
}

/// A column by its number, as a reader counts.
fn column(index: usize) -> String {
    format!("column {}", index + 1)
}

/// The names that a chart may use, one of each kind.
pub fn known_names() -> Vec<&'static str> {
    let mut kinds = Vec::new();
    let mut names = Vec::new();
    for (name, kind) in NAMES {
        if !matches!(kind, Heading::Unclear(_)) && !kinds.contains(kind) {
            kinds.push(*kind);
            names.push(*name);
        }
    }
    names
}

/// The table's cells, row by row; empty rows are passed over.
fn cells(text: &str) -> Result<Vec<Row>, ChartError> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let first = text
        .lines()
        .find(|line| !line.trim().is_empty())
        .unwrap_or("");
    // A comma may also be a decimal point; tab and semicolon never are.
    let delimiter = [b'\t', b';']
        .into_iter()
        .find(|mark| first.as_bytes().contains(mark))
        .unwrap_or(b',');
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .trim(csv::Trim::All)
        .delimiter(delimiter)
        .from_reader(text.as_bytes());
    let mut rows = Vec::new();
    for record in reader.records() {
        let record = record.map_err(|error| ChartError::NotATable {
            line: error.position().map_or(1, csv::Position::line),
            why: error.to_string(),
        })?;
        if record.iter().any(|cell| !cell.is_empty()) {
            rows.push(Row {
                line: record.position().map_or(0, csv::Position::line),
                cells: record.iter().map(str::to_owned).collect(),
            });
        }
    }
    Ok(rows)
}

/// The same table with rows and columns changed over.
fn turned(rows: &[Vec<String>]) -> Vec<Vec<String>> {
    let width = rows.iter().map(Vec::len).max().unwrap_or(0);
    let cell = |row: &Vec<String>, column: usize| row.get(column).cloned().unwrap_or_default();
    (0..width)
        .map(|column| rows.iter().map(|row| cell(row, column)).collect())
        .collect()
}

/// What the headings say: names of figures, from one row or column.
fn known<'a>(headings: impl IntoIterator<Item = &'a String>) -> usize {
    headings
        .into_iter()
        .filter(|cell| {
            let (found, _) = heading(cell);
            found.is_some_and(|found| !matches!(found, Heading::Name | Heading::Size))
        })
        .count()
}

/// Reads a chart. `tyres` are those of every bike whose row names none.
///
/// # Errors
/// What leaves no frame file to write; single figures that cannot be read are listed with their bike instead.
pub fn read(text: &str, style: Style, tyres: Option<TyreSize>) -> Result<Chart, ChartError> {
    let mut rows = cells(text)?;
    // A line of one cell is a title or a remark.
    let filled = |row: &Row| row.cells.iter().filter(|cell| !cell.is_empty()).count();
    let remarks = rows.extract_if(.., |row| filled(row) <= 1);
    let remarks = remarks.filter_map(|row| {
        let cell = row.cells.iter().find(|cell| !cell.is_empty())?;
        Some(format!("line {}: {}", row.line, clip(cell)))
    });
    let remarks: Vec<_> = remarks.collect();
    let lines = rows.iter().map(|row| row.line).collect();
    let rows: Vec<Vec<String>> = rows.into_iter().map(|row| row.cells).collect();
    let across = rows.first().map_or(0, known);
    let down = known(rows.iter().filter_map(|row| row.first()));
    if across.max(down) == 0 {
        return Err(ChartError::NoNames);
    }
    let places = Places {
        lines,
        bikes_are_rows: across >= down,
    };
    let rows = if places.bikes_are_rows {
        rows
    } else {
        turned(&rows)
    };
    let Some((headings, bikes)) = rows.split_first().filter(|(_, bikes)| !bikes.is_empty()) else {
        return Err(ChartError::NoBikes);
    };
    // A column of figures only, or of nothing, is no bike.
    let is_bike = |(_, cells): &(usize, &Vec<String>)| {
        let filled = headings.iter().zip(cells.iter());
        let mut filled = filled.filter(|(_, cell)| !cell.is_empty());
        filled.any(|(title, _)| known([title]) > 0)
    };
    let names = named_by(headings, bikes);
    let others = other_units(headings, bikes);
    let all = bikes;
    // The headings come first.
    let (bikes, bare): (Vec<_>, Vec<_>) = (1..).zip(bikes).partition(is_bike);
    // One that is named is a bike all the same, and is told.
    let is_name = |(column, title): (usize, &String)| {
        names == Some(column) || matches!(heading(title).0, Some(Heading::Name | Heading::Size))
    };
    let named = headings
        .iter()
        .enumerate()
        .filter(|(column, title)| is_name((*column, title)));
    let named: Vec<_> = named.map(|(column, _)| column).collect();
    let nameless = bare.into_iter().filter_map(|(place, cells)| {
        let names = named.iter().filter_map(|column| cells.get(*column));
        let names: Vec<_> = names
            .filter(|cell| !cell.is_empty())
            .map(|cell| clip(cell))
            .collect();
        let told = || {
            format!(
                "{}, {}: no figure of it is understood",
                places.bike(place),
                names.join(" ")
            )
        };
        (!names.is_empty()).then(told)
    });
    let nameless: Vec<_> = nameless.collect();
    let bikes = bikes.into_iter().enumerate();
    let mut chart = Chart {
        bikes: Vec::new(),
        unknown: unknown(headings, names, all, style),
        skipped: nameless,
        remarks,
    };
    let mut first = None;
    for (count, (place, cells)) in bikes {
        match bike(
            (headings, names),
            cells,
            (count, place, &places),
            style,
            tyres,
            &others,
        ) {
            Ok(bike) => chart.bikes.push(bike),
            Err(why) => {
                chart.skipped.push(why.to_string());
                first.get_or_insert(why);
            }
        }
    }
    if chart.bikes.is_empty() {
        return Err(first.unwrap_or(ChartError::NoBikes));
    }
    Ok(chart)
}

/// Headings with cells below them of which nothing is taken, whatever the cells hold.
fn unknown(
    headings: &[String],
    named_by: Option<usize>,
    bikes: &[Vec<String>],
    style: Style,
) -> Vec<String> {
    let why = |title: &String| match heading(title).0 {
        None => Some("no name known here"),
        Some(Heading::Unclear(why)) => Some(why),
        Some(Heading::Crank) if style == Style::Balance => Some("a balance bike has none"),
        Some(_) => None,
    };
    let is_filled = |column: usize| {
        let cell = |cells: &Vec<String>| cells.get(column).is_some_and(|cell| !cell.is_empty());
        bikes.iter().any(cell)
    };
    let titles = headings.iter().enumerate();
    titles
        .filter(|(column, _)| named_by != Some(*column) && is_filled(*column))
        .filter_map(|(_, title)| Some(format!("{}: {}", clip(title), why(title)?)))
        .collect()
}

/// The column that names the bikes where no heading says so: the first of words, under a heading of another kind,
/// such as the chart's own name.
fn named_by(headings: &[String], bikes: &[Vec<String>]) -> Option<usize> {
    let kind = |title: &String| heading(title).0;
    let says_so = |title| matches!(kind(title), Some(Heading::Name | Heading::Size));
    let is_word = |cell: &String| cell.starts_with(char::is_alphabetic);
    (0..headings.len()).find(|column| {
        let cells = || bikes.iter().filter_map(|cells| cells.get(*column));
        let mut filled = cells().filter(|cell| !cell.is_empty()).peekable();
        !headings.iter().any(says_so)
            && kind(&headings[*column]).is_none()
            && filled.peek().is_some()
            && filled.all(is_word)
    })
}

fn bike(
    (headings, named_by): (&[String], Option<usize>),
    cells: &[String],
    (index, place, places): (usize, usize, &Places),
    style: Style,
    tyres: Option<TyreSize>,
    others: &[(&str, &str, f64)],
) -> Result<Charted, ChartError> {
    let mut names = [None, None];
    let (mut front, mut rear) = (None, None);
    let (mut crank, mut mass, mut price, mut wheel) = (None, None, None, None);
    let mut published: Vec<(Figure, f64)> = Vec::new();
    let mut left_out = Vec::new();
    for (column, (title, cell)) in headings.iter().zip(cells).enumerate() {
        if cell.is_empty() {
            continue;
        }
        let (found, unit) = if named_by == Some(column) {
            (Some(Heading::Size), None)
        } else {
            heading(title)
        };
        let mut leave = |why: &str| {
            let cell = places.cell(place, column);
            left_out.push(format!("{cell}, {}: {why}", clip(title)));
        };
        let mut tyre = |places: &mut [&mut Option<TyreSize>]| match cell.parse() {
            Ok(size) => places.iter_mut().for_each(|place| **place = Some(size)),
            Err(why) => leave(&why),
        };
        match found {
            // Told once for the chart.
            None | Some(Heading::Unclear(_)) => {}
            Some(Heading::Name) => names[0] = Some(cell.as_str()),
            Some(Heading::Size) => names[1] = Some(cell.as_str()),
            Some(Heading::Tyre) => tyre(&mut [&mut front, &mut rear]),
            Some(Heading::FrontTyre) => tyre(&mut [&mut front]),
            Some(Heading::RearTyre) => tyre(&mut [&mut rear]),
            Some(Heading::Crank) if style == Style::Balance => {}
            Some(Heading::Wheel) => {
                let of = format!("{}, {}", places.cell(place, column), clip(title));
                wheel = Some(Wheel::of(cell, &of));
            }
            Some(Heading::Price) => match money(cell) {
                Some(amount) => price = Some(amount),
                None => leave("is not one amount"),
            },
            Some(Heading::Weight(unit)) => match weight(cell, unit) {
                Ok(read) => mass = Some(read),
                Err(why) => leave(&why),
            },
            Some(found @ (Heading::Crank | Heading::Figure(_))) => {
                let Some(kind) = Kind::of(found) else {
                    continue;
                };
                let value = Written::new(cell, unit)
                    .and_then(|written| written.value((title, cell), &kind, others));
                let is_given = |figure| published.iter().any(|(given, _)| *given == figure);
                match (value, found) {
                    (Err(why), _) => leave(&why),
                    (Ok(_), Heading::Figure(figure)) if is_given(figure) => {
                        leave("is given twice; the first is kept");
                    }
                    (Ok(value), Heading::Figure(figure)) => published.push((figure, value)),
                    (Ok(mm), _) => crank = Some(mm),
                }
            }
        }
    }
    let name = match names {
        [None, None] => format!("bike {}", index + 1),
        [one, other] => [one, other]
            .into_iter()
            .flatten()
            .collect::<Vec<_>>()
            .join(" "),
    };
    let tyres = both_tyres(
        [front, rear],
        wheel.as_ref(),
        tyres,
        &places.bike(place),
        &name,
    )?;
    // A tyre of its own tells the wheel as well.
    if let Some(Wheel::Unread(why)) = wheel {
        left_out.push(why);
    }
    published.sort_by_key(|(figure, _)| *figure);
    Ok(Charted {
        place: places.bike(place),
        text: frame_file(&name, style, tyres, &published, crank, mass, price),
        name,
        understood: published
            .iter()
            .map(|(figure, _)| figure.key())
            .chain(crank.map(|_| "cranks.length"))
            .chain(mass.map(|_| "weight"))
            .chain(price.map(|_| "price"))
            .collect(),
        left_out,
    })
}

/// Front and rear tyre: the bike's own, else the one that its wheel is told by, else that of the whole chart.
fn both_tyres(
    [front, rear]: [Option<TyreSize>; 2],
    wheel: Option<&Wheel>,
    of_chart: Option<TyreSize>,
    place: &str,
    name: &str,
) -> Result<[TyreSize; 2], ChartError> {
    let (place, bike) = (place.to_owned(), clip(name));
    let has_own = front.or(rear).is_some();
    let given = match wheel {
        Some(Wheel::Unread(why)) if !has_own => {
            let why = why.clone();
            return Err(ChartError::NoWheel { place, bike, why });
        }
        Some(Wheel::Marked(size)) if !has_own => Some(*size),
        _ => of_chart,
    };
    let (front, rear) = (front.or(given), rear.or(given));
    let (Some(front), Some(rear)) = (front.or(rear), rear.or(front)) else {
        return Err(ChartError::NoTyre { place, bike });
    };
    // Tyres given for a whole chart are not those of its larger and smaller wheels.
    if let Some(named) = wheel.and_then(|wheel| wheel.other_than(rear)) {
        return Err(ChartError::OtherWheel {
            place,
            bike,
            named,
            tyre: rear,
        });
    }
    Ok([front, rear])
}

fn frame_file(
    name: &str,
    style: Style,
    [front, rear]: [TyreSize; 2],
    published: &[(Figure, f64)],
    crank: Option<f64>,
    mass: Option<Mass>,
    price: Option<f64>,
) -> String {
    // To a hundredth, finer than any chart; text in quotes as JSON has it, which YAML reads as well.
    let plain = |value: f64| crate::units::tidy(value, 2);
    let kept: String = name
        .chars()
        .filter(|c| !c.is_control())
        .take(crate::file::LONGEST_TEXT)
        .collect();
    let mut text = String::from(
        "# From a maker's chart. Lengths in mm, angles in degrees; what a tape says goes under `measured`.\n",
    );
    let _ = writeln!(text, "name: {}", serde_json::Value::from(kept));
    let _ = writeln!(
        text,
        "style: {style}\ntyres: {{front: {front}, rear: {rear}}}"
    );
    if !published.is_empty() {
        text += "published:\n";
        for (figure, value) in published {
            let _ = writeln!(text, "  {}: {}", figure.key(), plain(*value));
        }
    }
    if let Some(length) = crank {
        let _ = writeln!(text, "cranks: {{length: {}}}", plain(length));
    }
    if let Some(mass) = mass {
        let _ = writeln!(text, "weight: {} kg", plain(mass.kg()));
    }
    if let Some(price) = price {
        let _ = writeln!(text, "price: {}", plain(price));
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bike::spec::FrameSpec;
    use crate::file::Document;

    fn spec(bike: &Charted) -> FrameSpec {
        let document = Document::from_text("chart", bike.text.as_str());
        document
            .read()
            .unwrap_or_else(|why| panic!("{why:?}\n{}", bike.text))
    }

    fn published(bike: &Charted, figure: Figure) -> Option<f64> {
        let mut readings = spec(bike).readings().collect::<Vec<_>>().into_iter();
        readings
            .find(|reading| reading.figure == figure)
            .map(|reading| reading.value)
    }

    const ROWS: &str = "Model;Size;Tyre;Wheelbase (mm);Head Tube Angle;Chain stay [cm];BB drop;Horizontal top tube;Rake;Crank;Colour\n\
        Invented;24;54-507;937,5;67,5°;38,5;30;49 cm;40;140 mm;red\n\
        Invented;26;57-559;1041;66.5 deg;41.5;41,5;532;42;152;blue\n";

    #[test]
    fn a_bike_a_row_and_a_bike_a_column_say_the_same() {
        let rows = read(ROWS, Style::Trail, None).unwrap();
        let turned: Vec<Vec<&str>> = ROWS.lines().map(|line| line.split(';').collect()).collect();
        let columns: String = (0..turned[0].len())
            .map(|column| {
                let cells: Vec<_> = turned.iter().map(|row| row[column]).collect();
                cells.join("\t") + "\n"
            })
            .collect();
        let columns = read(&columns, Style::Trail, None).unwrap();
        assert_eq!((&rows.unknown, rows.bikes.len()), (&columns.unknown, 2));
        let says = |chart: &Chart| -> Vec<_> {
            let bikes = chart.bikes.iter();
            bikes
                .map(|bike| (bike.name.clone(), bike.text.clone()))
                .collect()
        };
        assert_eq!(says(&rows), says(&columns));
        let places = [&rows, &columns].map(|chart| chart.bikes[1].place.as_str());
        assert_eq!(places, ["row 3", "column 3"]);
        assert_eq!(rows.unknown, ["Colour: no name known here"]);
        let rows = rows.bikes;
        assert_eq!(rows[0].name, "Invented 24");
        for (figure, value) in [
            (Figure::Wheelbase, 937.5),
            (Figure::HeadAngle, 67.5),
            (Figure::Chainstay, 385.0),
            (Figure::BottomBracketDrop, 30.0),
            (Figure::EffectiveTopTube, 490.0),
            (Figure::ForkOffset, 40.0),
        ] {
            assert_eq!(published(&rows[0], figure), Some(value), "{figure:?}");
        }
        let crank = spec(&rows[1]).cranks.unwrap().length;
        assert_eq!(crank, Some(crate::units::Length::from_mm(152.0)));
        assert_eq!(rows[0].left_out, Vec::<String>::new());
    }

    #[test]
    fn commas_part_cells_decimals_and_thousands_as_the_range_says() {
        let text = "name,tyre,wheelbase,stack\nA,24x1.95,\"1,016\",\"452,5\"\n";
        let bikes = read(text, Style::Street, None).unwrap().bikes;
        assert_eq!(published(&bikes[0], Figure::Wheelbase), Some(1016.0));
        assert_eq!(published(&bikes[0], Figure::Stack), Some(452.5));
    }

    #[test]
    fn a_weight_needs_its_unit() {
        // A pound is 0.45359237 kg by definition.
        for (heading, cell, wanted) in [
            ("weight (kg)", "9,8", Ok(9.8)),
            ("Weight", "9.8 kg", Ok(9.8)),
            ("Weight (lbs)", "21.6", Ok(9.8)),
            ("Weight", "21.6 lb", Ok(9.8)),
            ("Weight", "9.8", Err("weight (kg) or weight (lb)")),
            ("Weight (kg)", "98", Err("allowed 1 to 40 kg")),
        ] {
            let text = format!("name;tyre;wheelbase;{heading}\nA;24x1.95;1016;{cell}\n");
            let bike = read(&text, Style::Street, None).unwrap().bikes.remove(0);
            match wanted {
                Ok(kg) => {
                    let read = spec(&bike).weight.unwrap().kg();
                    approx::assert_abs_diff_eq!(read, kg, epsilon = 0.005);
                }
                Err(why) => {
                    assert!(bike.left_out[0].contains(why), "{:?}", bike.left_out);
                    assert_eq!(spec(&bike).weight, None);
                }
            }
        }
    }

    #[test]
    fn tyres_of_another_wheel_and_a_row_without_a_figure_are_told_and_prices_are_taken() {
        let text = "name;wheel;wheelbase;price\nA;20;880;349,90 EUR\nB;24;950;1.299,00\nC;20;;1.299,00\nD;20;880;$400\n;;;\nE;;;\n";
        let tyres = "54-406".parse().unwrap();
        let chart = read(text, Style::Trail, Some(tyres)).unwrap();
        let prices: Vec<_> = chart.bikes.iter().map(|bike| spec(bike).price).collect();
        assert_eq!(prices, [Some(349.9), None, Some(400.0)]);
        assert_eq!(chart.skipped.len(), 1, "{:?}", chart.skipped);
        assert!(
            chart
                .skipped
                .iter()
                .any(|why| why.contains("row 3, B: the chart says 24-inch"))
        );
        assert!(chart.remarks.iter().any(|line| line.contains("line 7: E")));
    }

    #[test]
    fn a_wheel_that_cannot_be_read_is_given_no_tyres_of_the_whole_chart() {
        let text = "name,wheel,tyre,wheelbase\nA,20x1.95,,880\nB,24 inch,,950\nC,650b,,960\nD,650b,57-584,970\nE,50-406,57-584,980\n";
        let chart = read(text, Style::Trail, "54-507".parse().ok()).unwrap();
        let bead_seats: Vec<_> = chart
            .bikes
            .iter()
            .map(|bike| (bike.name.as_str(), spec(bike).tyres.rear.bead_seat_mm))
            .collect();
        // Bead seats of ISO 5775 for 20 and 24 inches by a decimal width.
        assert_eq!(bead_seats, [("A", 406.0), ("B", 507.0), ("D", 584.0)]);
        let told = &chart.bikes[2].left_out;
        assert!(told.len() == 1 && told[0].contains("`650b`"), "{told:?}");
        let [unread, other] = chart.skipped.as_slice() else {
            panic!("{:?}", chart.skipped);
        };
        for wanted in ["row 4, C", "column 2, wheel: `650b`", "27.5", "54-507"] {
            assert!(unread.contains(wanted), "{wanted}: {unread}");
        }
        assert!(
            other.contains("row 6, E: the chart says 50-406 wheels"),
            "{other}"
        );
    }

    #[test]
    fn a_title_an_empty_column_and_sizes_under_the_charts_own_name_are_what_they_look_like() {
        let tyre = "54-507".parse().unwrap();
        for text in [
            "Invented geometry,,,\nGeometry,XS,S,\nWheelbase,960,1000,\nStandover,520,560,\n",
            "Geometry,Wheelbase,Standover\nXS,960,520\nS,1000,560\n",
        ] {
            let chart = read(text, Style::Trail, Some(tyre)).unwrap();
            assert_eq!(chart.unknown, Vec::<String>::new());
            let bikes = chart.bikes;
            let names: Vec<_> = bikes.iter().map(|bike| bike.name.as_str()).collect();
            assert_eq!(names, ["XS", "S"], "{text}");
            for bike in &bikes {
                assert_eq!(bike.left_out, Vec::<String>::new());
                assert_eq!(bike.understood.len(), 2);
            }
        }
    }

    #[test]
    fn what_could_mean_two_things_is_left_out_with_its_reason() {
        let text = "name,top tube,wheelbase,min saddle height\n=cmd()\\,520,93.7,600\n";
        let tyre: TyreSize = "54-507".parse().unwrap();
        let chart = read(text, Style::Street, Some(tyre)).unwrap();
        let bikes = chart.bikes;
        assert!(bikes[0].understood.is_empty());
        assert_eq!(chart.unknown.len(), 2, "{:?}", chart.unknown);
        assert_eq!(bikes[0].left_out.len(), 1, "{:?}", bikes[0].left_out);
        assert!(bikes[0].left_out[0].contains("unit"));
        assert_eq!(spec(&bikes[0]).name, "=cmd()\\");
    }

    #[test]
    fn a_length_that_cannot_be_in_the_unit_named_says_what_it_comes_to_and_asks_for_the_other() {
        let text = "Name,Reach (cm),Stack (mm),Wheelbase\nA,350,45,880\n";
        let tyre = "47-406".parse().ok();
        let chart = read(text, Style::Trail, tyre).unwrap();
        let [reach, stack] = chart.bikes[0].left_out.as_slice() else {
            panic!("{:?}", chart.bikes[0].left_out);
        };
        assert!(
            reach.contains("is 3500 mm, outside") && reach.ends_with("is it in millimetres?"),
            "{reach}"
        );
        assert!(stack.ends_with("is it in centimetres?"), "{stack}");
    }

    /// What a chart in centimetres has, by its own heading; the same lengths in mm by the decimal system.
    #[test]
    fn a_chart_in_centimetres_that_does_not_say_so_is_asked_and_not_guessed() {
        let tyre = "54-507".parse().ok();
        let chart = |stack: &str, cells: &str| {
            let text = format!(
                "Name;{stack};Reach;BB drop;Rake;Chainstay;Crank;Head angle\nA;{cells};67,5\n"
            );
            read(&text, Style::Trail, tyre).unwrap().bikes.remove(0)
        };
        for cells in ["43,5;33,5;3,0;4,0;38,5;14,0", "43.5;33.5;3;4;38.5;14"] {
            let bike = chart("Stack", cells);
            assert_eq!(bike.understood, ["head_angle"], "{cells}");
            assert_eq!(bike.left_out.len(), 6, "{:?}", bike.left_out);
            let stack = &bike.left_out[0];
            assert!(
                stack.contains("are these centimetres?") && stack.contains("`Stack (cm)`"),
                "{stack}"
            );
            let drop = &bike.left_out[2];
            assert!(drop.contains("`BB drop (cm)` or `BB drop (mm)`"), "{drop}");
        }
        // Named once, the unit throws the same doubt on the lengths that have none.
        let named = chart("Stack (cm)", "43,5;335;3,0;40;385;140");
        assert_eq!(published(&named, Figure::Stack), Some(435.0));
        assert_eq!(published(&named, Figure::Reach), Some(335.0));
        assert_eq!(published(&named, Figure::BottomBracketDrop), None);
        // Millimetres stay what they are beside one slip of the keyboard.
        let slip = chart("Stack", "43,5;335;30;40;385;140");
        assert_eq!(slip.left_out.len(), 1, "{:?}", slip.left_out);
    }

    #[test]
    fn a_comma_parts_thousands_only_before_three_digits() {
        let range = 300.0..=1400.0;
        let read = |cell| Written::new(cell, None).ok()?.at(1.0, &range);
        for (cell, value) in [
            ("1,016", Some(1016.0)),
            ("1,016.5", Some(1016.5)),
            ("937,5", Some(937.5)),
            ("93,75", None),
            ("93,7", None),
            ("9,3,7", None),
        ] {
            assert_eq!(read(cell), value, "{cell}");
        }
    }

    /// 35 1/2 in are 901.7 mm by the inch's definition, 25.4 mm.
    #[test]
    fn a_fraction_in_a_cell_is_read_like_a_length() {
        let text =
            "name,tyre,wheelbase (in),standover,head angle\nA,54-507,35 1/2,20 1/2 in,67 1/2\n";
        let bikes = read(text, Style::Street, None).unwrap().bikes;
        assert_eq!(bikes[0].left_out, Vec::<String>::new());
        for (figure, value) in [
            (Figure::Wheelbase, 901.7),
            (Figure::Standover, 520.7),
            (Figure::HeadAngle, 67.5),
        ] {
            let read = published(&bikes[0], figure).expect("it is read");
            approx::assert_abs_diff_eq!(read, value, epsilon = 1e-9);
        }
    }

    #[test]
    fn a_bad_cell_is_told_with_its_place_and_a_bad_row_leaves_the_others() {
        let text = "An invented chart\n\nname,tyre,wheelbase\nA,54-507,long\nB,,950\n";
        let chart = read(text, Style::Street, None).unwrap();
        assert_eq!(chart.bikes.len(), 1);
        let left = &chart.bikes[0].left_out;
        assert!(
            left[0].starts_with("row 4, column 3, wheelbase: `long`"),
            "{left:?}"
        );
        assert!(
            chart.skipped[0].starts_with("row 5, B: no tyre"),
            "{:?}",
            chart.skipped
        );
        let turned = "name,A,B\ntyre,54-507,54-507\nwheelbase,950,long\n";
        let chart = read(turned, Style::Street, None).unwrap();
        let left = &chart.bikes[1].left_out;
        assert!(
            left[0].starts_with("row 3, column 3, wheelbase"),
            "{left:?}"
        );
    }

    #[test]
    fn every_name_that_is_told_as_known_is_known() {
        let names = known_names();
        assert!(names.len() > 20, "{names:?}");
        for name in names {
            assert!(heading(name).0.is_some(), "{name}");
        }
    }

    #[test]
    fn what_is_no_chart_says_why() {
        assert_eq!(read("", Style::Street, None), Err(ChartError::NoNames));
        assert_eq!(
            read("a,b\n1,2\n", Style::Street, None),
            Err(ChartError::NoNames)
        );
        assert_eq!(
            read("name,stack\n", Style::Street, None),
            Err(ChartError::NoBikes)
        );
        let no_tyre = read("name,stack\nA,400\n", Style::Street, None);
        assert!(matches!(no_tyre, Err(ChartError::NoTyre { .. })));
    }
}
