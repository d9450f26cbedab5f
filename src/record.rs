//! The record of one handover: what was set, for whom, on which bike, by whom, and when to look again.
//! Written as YAML and read back like any other file, with every problem at its place; no figure is judged here.
//! Who reads it later decides what is due; how it was worked out is `advice::handover`.

use jiff::civil::Date;
use serde::{Serialize, Serializer};

use crate::advice::handover::Handover;
use crate::file::{
    Content, Decoder, Document, Error, Named, Node, Problem, Section, Shape, Value, section,
    to_text,
};
use crate::rider::{Measured, Rider, RiderFile, Stage};
use crate::units::Length;
use crate::words::{choice, clip};

choice! {
    /// Name and version of a record.
    pub enum Schema = One {
        /// The first.
        One = "inseam/record/1",
    }
}

/// Whom a bike was set for: a rider file by its name, or the figures themselves.
#[derive(Debug, Clone, PartialEq)]
pub enum Whom {
    /// Name of a rider file.
    File(String),
    /// As a rider file has them.
    Figures(Box<RiderFile>),
}

/// A month of a year, written `2026-05`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Month(Date);

/// Saddle heights to come, mm from the bracket, by month.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Raises(pub Vec<(Month, f64)>);

section! {
    /// A whole record.
    pub struct Record {
        /// Name and version: inseam/record/1.
        schema: Schema, ();
        /// Day of the handover.
        date: Date, ();
        /// Name of a rider file, or the figures as a rider file has them.
        rider: Whom, ();
        /// The frame file's name without its ending, or the sample's name.
        bike: String, ();
        /// What the bike is called.
        bike_name: Option<String>, ();
        /// Serial number, as stamped on the frame.
        serial_number: Option<String>, ();
        /// What was set.
        as_set: AsSet, ();
        /// By whom.
        by: Option<String>, ();
        /// When to look again.
        due: Due, ();
    }
}

section! {
    /// What was set, as a tape and a gauge read it.
    #[derive(Default)]
    pub struct AsSet {
        /// Riding stage that it was set for: learning, steady or confident.
        stage: Option<Stage>, ();
        /// Bottom-bracket centre to saddle top, straight, mm.
        saddle_height_mm: Option<f64>, 50.0..=1200.0;
        /// Ground to saddle top, mm.
        seat_height_mm: Option<f64>, 150.0..=1400.0;
        /// Post above the seat tube, mm.
        exposed_post_mm: Option<f64>, 0.0..=600.0;
        /// Gap at the hand lever that suits least, mm.
        lever_gap_mm: Option<f64>, 15.0..=140.0;
        /// Front tyre, bar.
        front_bar: Option<f64>, 0.2..=12.0;
        /// Rear tyre, bar.
        rear_bar: Option<f64>, 0.2..=12.0;
        /// Air spring of the fork, bar.
        air_spring_bar: Option<f64>, 0.2..=30.0;
    }
}

section! {
    /// When to look again.
    pub struct Due {
        /// Bolts and cables after the first rides.
        first_check: Window, ();
        /// Saddle heights to come, mm from the bracket, by month.
        raises: Raises = Raises::default(), ();
        /// Month in which the bike is outgrown; left out beyond the forecast.
        last_month: Option<LastMonth>, ();
        /// Month in which the child is measured again.
        next_measuring: Month, ();
    }
}

section! {
    /// A stretch of days.
    pub struct Window {
        /// First day.
        from: Date, ();
        /// Last day.
        to: Date, ();
    }
}

section! {
    /// Month by which the bike is outgrown, by chance.
    #[derive(Default)]
    pub struct LastMonth {
        /// In one case of ten.
        p10: Option<Month>, ();
        /// In five cases of ten.
        p50: Option<Month>, ();
        /// In nine cases of ten.
        p90: Option<Month>, ();
    }
}

impl Month {
    /// The month of a day.
    pub fn of(day: Date) -> Self {
        Self(day.first_of_month())
    }

    /// Its first day.
    pub const fn first_day(self) -> Date {
        self.0
    }

    fn from_text(text: &str) -> Result<Self, String> {
        let wrong = || format!("found `{}`; wanted a month, written as 2026-05", clip(text));
        let is_plain = text.len() == "2026-05".len()
            && text.bytes().enumerate().all(|(index, byte)| {
                if index == 4 {
                    byte == b'-'
                } else {
                    byte.is_ascii_digit()
                }
            });
        if !is_plain {
            return Err(wrong());
        }
        format!("{text}-01").parse().map(Self).map_err(|_| wrong())
    }
}

impl std::fmt::Display for Month {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{:04}-{:02}", self.0.year(), self.0.month())
    }
}

impl Serialize for Month {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl Value for Month {
    type Limits = ();
    fn decode<'n>(node: &'n Node<'n>, (): &(), to: &mut Decoder<'n>) -> Option<Self> {
        to.scalar(node, "a month, written as 2026-05", |found| {
            Self::from_text(&found.bare())
        })
    }
    fn shape((): &()) -> Shape {
        Shape::Pattern("^[0-9]{4}-(0[1-9]|1[0-2])$")
    }
}

impl Serialize for Raises {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(self.0.iter().map(|(month, mm)| (month.to_string(), mm)))
    }
}

impl Value for Raises {
    type Limits = ();
    fn decode<'n>(node: &'n Node<'n>, (): &(), to: &mut Decoder<'n>) -> Option<Self> {
        let named = Named::<f64>::decode(node, &SADDLE_MM, to)?;
        let mut raises = Vec::with_capacity(named.0.len());
        for (name, mm) in named.0 {
            match Month::from_text(&name) {
                Ok(month) => raises.push((month, mm)),
                Err(message) => return to.reject(node, message),
            }
        }
        Some(Self(raises))
    }
    fn is_absent(&self) -> bool {
        self.0.is_empty()
    }
    fn shape((): &()) -> Shape {
        Named::<f64>::shape(&SADDLE_MM)
    }
}

/// Saddle heights that a record may hold, mm.
const SADDLE_MM: std::ops::RangeInclusive<f64> = 50.0..=1200.0;

impl Serialize for Whom {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::File(name) => serializer.serialize_str(name),
            Self::Figures(figures) => figures.serialize(serializer),
        }
    }
}

impl Value for Whom {
    type Limits = ();
    fn decode<'n>(node: &'n Node<'n>, (): &(), to: &mut Decoder<'n>) -> Option<Self> {
        match &node.content {
            Content::Section(_) => {
                let figures = RiderFile::decode(node, &(), to)?;
                Some(Self::Figures(Box::new(figures)))
            }
            _ => String::decode(node, &(), to).map(Self::File),
        }
    }
    fn shape((): &()) -> Shape {
        Shape::Either(
            Box::new(Shape::Text),
            Box::new(Shape::Section(RiderFile::fields())),
        )
    }
}

/// A rider's figures as a file has them: what was measured, none of what was estimated.
fn figures(rider: &Rider) -> RiderFile {
    let measured = |measured: Measured, is_estimated: bool| (!is_estimated).then_some(measured);
    RiderFile {
        name: rider.name.clone(),
        inseam: measured(rider.inseam, rider.estimated.inseam),
        height: measured(rider.height, rider.estimated.height),
        arm_reach: measured(rider.arm_reach, rider.estimated.arm_reach),
        age: rider.age,
        sex: rider.sex,
        weight: rider.weight,
        stage: Some(rider.stage),
        measured_by: Some(rider.measured_by),
        sole: Some(Length::from_mm(rider.sole_mm)),
        ..RiderFile::of_segments(rider.segments)
    }
}

impl Record {
    /// What a handover set, at its figures; None for a pair that does not fit, since nothing is set for it.
    /// Without a rider file's name the rider's figures are kept.
    pub fn of(
        handover: &Handover,
        serial_number: Option<&str>,
        by: Option<&str>,
        rider_file: Option<&str>,
    ) -> Option<Self> {
        let work = handover.work.as_ref().ok()?;
        let (fit, set, visits) = (&handover.fit, &work.saddle.setting, &work.visits);
        let text = |text: &str| {
            let clean = crate::words::clean(text).into_owned();
            (!clean.is_empty()).then_some(clean)
        };
        let mut raises: Vec<(Month, f64)> = Vec::new();
        for raise in &visits.raises {
            let (month, mm) = (Month::of(raise.date), tenth(raise.saddle_height_mm));
            match raises.last_mut() {
                Some((last, height)) if *last == month => *height = mm,
                _ => raises.push((month, mm)),
            }
        }
        let [p10, p50, p90] = visits.last_day.map(|day| day.map(Month::of));
        let spring = work.air_spring.as_ref().and_then(|spring| spring.start);
        Some(Self {
            schema: Schema::One,
            date: handover.date,
            rider: rider_file
                .and_then(text)
                .map_or_else(|| Whom::Figures(Box::new(figures(&fit.rider))), Whom::File),
            bike: text(&fit.bike.id).unwrap_or_else(|| fit.bike.spec.name.clone()),
            bike_name: text(&fit.bike.spec.name),
            serial_number: serial_number.and_then(text),
            as_set: AsSet {
                stage: Some(work.saddle.stage),
                saddle_height_mm: Some(tenth(set.saddle_height_mm)),
                seat_height_mm: Some(tenth(set.seat_height_mm)),
                // Which post is assumed on a bike that is not fully drawn.
                exposed_post_mm: (fit.bike.doubt.is_none()).then(|| tenth(set.exposed_post_mm)),
                lever_gap_mm: set.lever_gap_mm.map(tenth),
                front_bar: work.tyres.front.map(|set| hundredth(set.bar)),
                rear_bar: work.tyres.rear.map(|set| hundredth(set.bar)),
                air_spring_bar: spring.map(|set| hundredth(set.bar)),
            },
            by: by.and_then(text),
            due: Due {
                first_check: Window {
                    from: visits.first_check[0],
                    to: visits.first_check[1],
                },
                raises: Raises(raises),
                last_month: (p10.is_some() || p50.is_some() || p90.is_some())
                    .then_some(LastMonth { p10, p50, p90 }),
                next_measuring: Month::of(visits.next_measuring),
            },
        })
    }

    /// The record as YAML.
    ///
    /// # Errors
    /// When it cannot be written out, which its types rule out.
    pub fn to_yaml(&self) -> Result<String, Error> {
        to_text(self)
    }

    /// Reads a record.
    ///
    /// # Errors
    /// Everything that is wrong with it, each with its place.
    pub fn read(document: &Document) -> Result<Self, Error> {
        let record: Self = document.read()?;
        let wrong = record.contradictions();
        if wrong.is_empty() {
            Ok(record)
        } else {
            Err(document.place(wrong.into()))
        }
    }

    /// What cannot be true of one record.
    fn contradictions(&self) -> Vec<Problem> {
        let mut wrong = Vec::new();
        let due = &self.due;
        let Window { from, to } = due.first_check;
        if from > to {
            let message = format!("found {to}, before from, {from}");
            wrong.push(Problem::at_key("due.first_check.to", message));
        }
        if from < self.date {
            let message = format!("found {from}, before the handover on {}", self.date);
            wrong.push(Problem::at_key("due.first_check.from", message));
        }
        let today = Month::of(self.date);
        if due.next_measuring < today {
            let message = format!("found {}, before the handover", due.next_measuring);
            wrong.push(Problem::at_key("due.next_measuring", message));
        }
        let raises = &due.raises.0;
        if raises
            .windows(2)
            .any(|pair| pair[0].0 >= pair[1].0 || pair[0].1 > pair[1].1)
            || raises.first().is_some_and(|(month, _)| *month < today)
        {
            wrong.push(Problem::at_key(
                "due.raises",
                "go back in time or down; months must follow each other from the handover on, heights must rise",
            ));
        }
        if let Some(last) = &due.last_month {
            let months: Vec<_> = [last.p10, last.p50, last.p90]
                .into_iter()
                .flatten()
                .collect();
            if !months.is_sorted() || months.first().is_some_and(|month| *month < today) {
                wrong.push(Problem::at_key(
                    "due.last_month",
                    "p10, p50 and p90 must follow each other from the handover on",
                ));
            }
        }
        wrong
    }
}

/// As a tape is read: to 0.1 mm.
fn tenth(mm: f64) -> f64 {
    (mm * 10.0).round() / 10.0
}

/// As a gauge is set: to 0.01 bar.
fn hundredth(bar: f64) -> f64 {
    (bar * 100.0).round() / 100.0
}
