//! The record of one handover: what was set, for whom, on which bike, by whom, and when to look again.
//! Written as YAML and read back like any other file, with every problem at its place; no figure is judged here.
//! What follows from it is `advice::due`; how it was worked out, and who writes it, is `advice::handover`.

use jiff::civil::Date;
use serde::{Serialize, Serializer};

use crate::file::{
    Content, Decoder, Document, Error, Named, Node, Problem, Section, Shape, Value, section,
    to_text,
};
use crate::rider::{RiderFile, Stage};
use crate::units::Units;
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
        /// What the child of a rider file is called.
        rider_name: Option<String>, ();
        /// The frame file's name without its ending, or the sample's name.
        bike: String, ();
        /// What the bike is called.
        bike_name: Option<String>, ();
        /// Serial number, as stamped on the frame.
        serial_number: Option<String>, ();
        /// What was set: the work list's figures, until somebody writes over them what tape and gauge read.
        as_set: AsSet, ();
        /// The same with the post at its mark: never above.
        at_mark: Option<AtMark>, ();
        /// By whom.
        by: Option<String>, ();
        /// Day on which the child was measured.
        measured_on: Option<Date>, ();
        /// Day on which the bike came back; from then on nothing is due.
        left: Option<Date>, ();
        /// When to look again.
        due: Due, ();
    }
}

section! {
    /// What was set: the work list's figures, until somebody writes over them what tape and gauge read.
    #[derive(Default)]
    pub struct AsSet {
        /// Riding stage that it was set for: learning, steady or confident.
        stage: Option<Stage>, ();
        /// Bottom-bracket centre to saddle top, straight, mm; none on a bike without cranks.
        saddle_height_mm: Option<f64>, 50.0..=1200.0;
        /// Ground to saddle top, mm.
        seat_height_mm: Option<f64>, 150.0..=1400.0;
        /// Post above the seat tube, mm.
        exposed_post_mm: Option<f64>, 0.0..=600.0;
        /// Gap at the hand lever, or at both, mm.
        lever_gap_mm: Option<f64>, 15.0..=140.0;
        /// Gap at the front brake's lever where the rear one is set otherwise, mm.
        front_lever_gap_mm: Option<f64>, 15.0..=140.0;
        /// Gap at the rear brake's lever where the front one is set otherwise, mm.
        rear_lever_gap_mm: Option<f64>, 15.0..=140.0;
        /// Front tyre, bar.
        front_bar: Option<f64>, 0.2..=12.0;
        /// Rear tyre, bar.
        rear_bar: Option<f64>, 0.2..=12.0;
        /// Air spring of the fork, bar.
        air_spring_bar: Option<f64>, 0.2..=30.0;
    }
}

section! {
    /// The saddle with the post at its minimum-insertion mark, as far as that is known: never above.
    #[derive(Default)]
    pub struct AtMark {
        /// Bottom-bracket centre to saddle top, straight, mm.
        saddle_height_mm: Option<f64>, 50.0..=1200.0;
        /// Ground to saddle top, mm.
        seat_height_mm: Option<f64>, 150.0..=1400.0;
        /// Post above the seat tube, mm.
        exposed_post_mm: Option<f64>, 0.0..=600.0;
    }
}

section! {
    /// When to look again.
    pub struct Due {
        /// Bolts and cables after the first rides.
        first_check: FirstCheck, ();
        /// Saddle heights to come, mm, by month; seat heights where only a seat height was set.
        raises: Raises = Raises::default(), ();
        /// Month in which the bike is outgrown; left out beyond the forecast.
        last_month: Option<LastMonth>, ();
        /// Month in which the rider is measured again; left out once growing is over.
        next_measuring: Option<Month>, ();
    }
}

section! {
    /// The look at bolts and cables after the first rides.
    pub struct FirstCheck {
        /// First day.
        from: Date, ();
        /// Last day.
        to: Date, ();
        /// Day on which it was done; from then on it is no longer due.
        done: Option<Date>, ();
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
        /// Day on which the size was looked at again; from then on the first of these months is no longer due.
        done: Option<Date>, ();
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

impl Whom {
    /// What tells one child from another: the file's name, or the name among the figures, where there is one.
    pub fn name(&self) -> Option<&str> {
        match self {
            Self::File(name) => Some(name),
            Self::Figures(figures) => figures.name.as_deref(),
        }
    }
}

/// For people: the name, a file's without its ending, or `Rider` where there is none.
impl std::fmt::Display for Whom {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let name = self.name().unwrap_or("Rider");
        f.write_str(match self {
            Self::File(_) => without_ending(name),
            Self::Figures(_) => name,
        })
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

/// A tape is not read closer, mm.
pub(crate) const TAPE_MM: f64 = 2.0;

/// What was set past the mark of its post, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PastMark {
    /// The key of `as_set`.
    pub key: &'static str,
    /// What was set.
    pub set_mm: f64,
    /// With the post at its mark.
    pub most_mm: f64,
}

/// Figures of one record that cannot both be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum AtOdds {
    /// Two of `as_set`.
    Set {
        /// The key of the one.
        key: &'static str,
        /// The key of the other.
        other: &'static str,
    },
    /// A raise that is planned past the mark of the post.
    Raise {
        /// Its month.
        month: Month,
        /// By how far.
        past: PastMark,
    },
}

impl AtOdds {
    /// The key that is to be looked at again.
    pub fn key(&self) -> String {
        match self {
            Self::Set { key, .. } => format!("as_set.{key}"),
            Self::Raise { month, .. } => format!("due.raises.{month}"),
        }
    }

    /// In one sentence without an end.
    pub fn words(&self, units: Units) -> String {
        match self {
            Self::Set { key, other } => {
                let [one, other] =
                    [key, other].map(|key| key.trim_end_matches("_mm").replace('_', " "));
                format!(
                    "the {one} does not go with the {other}, by what both are with the post at its mark: measure both"
                )
            }
            Self::Raise { month, past } => format!(
                "the raise of {month} to {} would pull the post's mark out of the tube, never above {}: correct the record",
                units.length(past.set_mm),
                units.length_at_most(past.most_mm)
            ),
        }
    }
}

impl AtMark {
    /// The first figure that was set past the mark, by more than a tape is misread.
    pub fn passed_by(&self, set: &AsSet) -> Option<PastMark> {
        self.passed_beyond(set, TAPE_MM)
    }

    /// The first raise of a record that is planned past the mark. Nothing is read off a tape here: what is beyond
    /// rounding to a tenth is past it.
    pub fn passed_by_raise(&self, record: &Record) -> Option<AtOdds> {
        const ROUNDED_MM: f64 = 0.2;
        record.due.raises.0.iter().find_map(|&(month, mm)| {
            let (saddle, seat) = if record.as_set.raises_are_seat_heights() {
                (None, Some(mm))
            } else {
                (Some(mm), None)
            };
            let raised = AsSet {
                saddle_height_mm: saddle,
                seat_height_mm: seat,
                ..AsSet::default()
            };
            let past = self.passed_beyond(&raised, ROUNDED_MM)?;
            Some(AtOdds::Raise { month, past })
        })
    }

    fn passed_beyond(&self, set: &AsSet, room_mm: f64) -> Option<PastMark> {
        let figures = [
            ("exposed_post_mm", set.exposed_post_mm, self.exposed_post_mm),
            (
                "saddle_height_mm",
                set.saddle_height_mm,
                self.saddle_height_mm,
            ),
            ("seat_height_mm", set.seat_height_mm, self.seat_height_mm),
        ];
        figures.into_iter().find_map(|(key, set, most)| {
            let (set_mm, most_mm) = set.zip(most)?;
            (set_mm > most_mm + room_mm).then_some(PastMark {
                key,
                set_mm,
                most_mm,
            })
        })
    }
}

impl PastMark {
    /// In one sentence without an end.
    pub fn words(&self, units: Units) -> String {
        let [set, most] = [
            units.length(self.set_mm),
            units.length_at_most(self.most_mm),
        ];
        let what = match self.key {
            "exposed_post_mm" => format!("{set} of it shows, at most {most} may"),
            "seat_height_mm" => {
                format!("the saddle is set to {set} from the ground, never above {most}")
            }
            _ => format!("the saddle is set to {set}, never above {most}"),
        };
        format!("the post's mark is out of the tube: {what}; do not ride before it is hidden")
    }
}

impl AsSet {
    /// The height that raises are counted from, mm: the saddle height, or the seat height where only that was set.
    pub fn told_mm(&self) -> Option<f64> {
        self.saddle_height_mm.or(self.seat_height_mm)
    }

    /// Whether raises are told from the ground, as what was set is.
    pub fn raises_are_seat_heights(&self) -> bool {
        self.saddle_height_mm.is_none() && self.seat_height_mm.is_some()
    }
}

/// A record with the file that keeps it.
#[derive(Debug, Clone, PartialEq)]
pub struct Filed {
    /// The record.
    pub record: Record,
    /// The file, as people find it among those that were read.
    pub file: String,
}

impl std::ops::Deref for Filed {
    type Target = Record;
    fn deref(&self) -> &Record {
        &self.record
    }
}

impl Filed {
    /// The child for people: one without a name by the file, since nobody knows whether two of them are one.
    pub fn child(&self) -> String {
        let child = self.record.child();
        match self.rider.name() {
            Some(_) => child,
            None => format!("{child} ({})", without_ending(&self.file)),
        }
    }
}

/// A file's name without the ending of YAML.
fn without_ending(name: &str) -> &str {
    let endings = [".yaml", ".yml"];
    let stem = endings.iter().find_map(|ending| name.strip_suffix(ending));
    stem.unwrap_or(name)
}

/// Said of a day of something done that is not here yet.
pub(crate) const STILL_TO_COME: &str = "a day still to come";

/// Stands above a record that is written: what a person does with it.
const HOW: &str = "# as_set: the work list's figures; write over them what tape and gauge read after setting.\n\
    # at_mark: the same with the post at its mark, to hold them against; leave it as it is.\n\
    # Add `done: 2026-05-01` under first_check once it is made, under last_month once the size was checked again,\n\
    # `left: 2026-05-01` at the end once the bike came back.\n";

impl Record {
    /// The record as YAML.
    ///
    /// # Errors
    /// When it cannot be written out, which its types rule out.
    pub fn to_yaml(&self) -> Result<String, Error> {
        Ok(format!("{HOW}{}", to_text(self)?))
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

    /// The child for people: by name, and by the rider file where that is called otherwise.
    pub fn child(&self) -> String {
        let file = self.rider.to_string();
        match &self.rider_name {
            Some(name) if name.eq_ignore_ascii_case(&file) => name.clone(),
            Some(name) => format!("{name} ({file})"),
            None => file,
        }
    }

    /// What tells its bike from another: its number, in whichever case and with whichever blanks it was written, and the
    /// model; None without a number.
    pub fn numbered(&self) -> Option<(String, String)> {
        let number = self.serial_number.as_ref()?;
        let letters = number.chars().filter(|letter| !letter.is_whitespace());
        let same = letters.flat_map(char::to_lowercase).collect();
        Some((same, self.bike.clone()))
    }

    /// What was set past the mark of the post; None where nothing was, and where the record does not keep the mark.
    pub fn past_mark(&self) -> Option<PastMark> {
        self.at_mark.as_ref()?.passed_by(&self.as_set)
    }

    /// Whether the saddle is set above every raise that is planned, so that none of them is ever due.
    pub fn is_set_above_raises(&self) -> bool {
        let (set, raises) = (self.as_set.told_mm(), &self.due.raises.0);
        let is_below = |set: f64| raises.iter().all(|(_, raise)| *raise < set);
        !raises.is_empty() && set.is_some_and(is_below)
    }

    /// The same in words; None where it is not so.
    pub fn set_above_raises(&self, units: Units) -> Option<String> {
        let (_, last) = self.due.raises.0.last()?;
        let set = self
            .as_set
            .told_mm()
            .filter(|_| self.is_set_above_raises())?;
        Some(format!(
            "{} is set, the last raise is to {}: measure again",
            units.length(set),
            units.length(*last)
        ))
    }

    /// What its figures tell to look at again on a day, each with its key.
    pub fn doubts(&self, on: Date, units: Units) -> Vec<String> {
        let set = &self.as_set;
        let mut doubts = Vec::new();
        if let Some(past) = self.past_mark() {
            doubts.push(format!("as_set.{}: {}", past.key, past.words(units)));
        }
        if let Some(said) = self.set_above_raises(units) {
            let key = match set.saddle_height_mm {
                Some(_) => "saddle_height_mm",
                None => "seat_height_mm",
            };
            doubts.push(format!("as_set.{key}: {said}, or correct the record"));
        }
        for odd in self.at_odds() {
            doubts.push(format!("{}: {}", odd.key(), odd.words(units)));
        }
        let last = self.due.last_month.as_ref();
        for (key, day) in [
            ("due.first_check.done", self.due.first_check.done),
            ("due.last_month.done", last.and_then(|last| last.done)),
            ("left", self.left),
        ] {
            if let Some(day) = day.filter(|day| *day > on) {
                doubts.push(format!("{key}: {day} is {STILL_TO_COME}: is it right?"));
            }
        }
        let by_wheel = set.front_lever_gap_mm.or(set.rear_lever_gap_mm);
        if set.lever_gap_mm.is_some() && by_wheel.is_some() {
            doubts.push(
                "as_set.lever_gap_mm: is for both levers, and a gap of one wheel stands beside it: keep one or the other"
                    .to_owned(),
            );
        }
        doubts
    }

    /// The raises that are told, by month: none that is planned past the mark.
    pub fn raises_to_mark(&self) -> &[(Month, f64)] {
        let raises = &self.due.raises.0;
        let end = match self.raise_past_mark() {
            Some(AtOdds::Raise { month, .. }) => raises.partition_point(|(one, _)| *one < month),
            _ => raises.len(),
        };
        &raises[..end]
    }

    /// What of it cannot be, with the post at its mark in view: two figures that were set, a raise that is planned.
    pub fn at_odds(&self) -> Vec<AtOdds> {
        let set = self.set_at_odds();
        set.into_iter().chain(self.raise_past_mark()).collect()
    }

    fn raise_past_mark(&self) -> Option<AtOdds> {
        self.at_mark.as_ref()?.passed_by_raise(self)
    }

    /// Two figures that were set and cannot both be, by how far each is below the post's mark.
    fn set_at_odds(&self) -> Option<AtOdds> {
        /// What two readings of a tape and an odd saddle put between them, mm (own rule).
        const APART_MM: f64 = 8.0;
        /// By how much a seat tube may lie flatter than upright: the rise of a saddle for a step of its post.
        const LEAST_RISE: f64 = 0.85;
        let (set, mark) = (&self.as_set, self.at_mark.as_ref()?);
        let below = |set: Option<f64>, mark: Option<f64>| Some(mark? - set?);
        let post = below(set.exposed_post_mm, mark.exposed_post_mm);
        let saddle = below(set.saddle_height_mm, mark.saddle_height_mm);
        let seat = below(set.seat_height_mm, mark.seat_height_mm);
        let is_odd = |along: f64, up: f64| {
            let [low, high] = [along * LEAST_RISE, along];
            up < low.min(high) - APART_MM || up > low.max(high) + APART_MM
        };
        if let Some((saddle, post)) = saddle.zip(post)
            && (saddle - post).abs() > APART_MM
        {
            return Some(AtOdds::Set {
                key: "saddle_height_mm",
                other: "exposed_post_mm",
            });
        }
        let along = saddle.map(|mm| ("saddle_height_mm", mm));
        let (other, along) = along.or_else(|| post.map(|mm| ("exposed_post_mm", mm)))?;
        is_odd(along, seat?).then_some(AtOdds::Set {
            key: "seat_height_mm",
            other,
        })
    }

    /// What cannot be true of one record.
    fn contradictions(&self) -> Vec<Problem> {
        let mut wrong = Vec::new();
        let mut not_before = |key: &str, found: String, is_before: bool, what: &str| {
            if is_before {
                let message = format!("found {found}, before {what}");
                wrong.push(Problem::at_key(key, message));
            }
        };
        let (handed, due) = (self.date, &self.due);
        let handover = format!("the handover on {handed}");
        if let Some(measured) = self.measured_on {
            let measuring = format!("the day of the measuring, {measured}");
            not_before("date", handed.to_string(), handed < measured, &measuring);
        }
        if let Some(left) = self.left {
            not_before("left", left.to_string(), left < handed, &handover);
        }
        let FirstCheck { from, to, done } = due.first_check;
        not_before(
            "due.first_check.from",
            from.to_string(),
            from < handed,
            &handover,
        );
        let first_day = format!("its first day, {from}");
        not_before("due.first_check.to", to.to_string(), to < from, &first_day);
        if let Some(done) = done {
            let is_before = done < handed;
            not_before(
                "due.first_check.done",
                done.to_string(),
                is_before,
                &handover,
            );
        }
        let today = Month::of(handed);
        if let Some(next) = due.next_measuring {
            let is_before = next < today;
            not_before("due.next_measuring", next.to_string(), is_before, &handover);
        }
        let last = due.last_month.clone().unwrap_or_default();
        if let Some(done) = last.done {
            let is_before = done < handed;
            not_before(
                "due.last_month.done",
                done.to_string(),
                is_before,
                &handover,
            );
        }
        let mut before = (today, handover.clone());
        for (key, month) in [
            ("due.last_month.p10", last.p10),
            ("due.last_month.p50", last.p50),
            ("due.last_month.p90", last.p90),
        ] {
            let Some(month) = month else { continue };
            not_before(key, month.to_string(), month < before.0, &before.1);
            if month > before.0 {
                before = (
                    month,
                    format!("the month before it in this record, {month}"),
                );
            }
        }
        if let (Some(saddle), Some(seat)) =
            (self.as_set.saddle_height_mm, self.as_set.seat_height_mm)
            && saddle >= seat
        {
            wrong.push(Problem::at_key(
                "as_set.saddle_height_mm",
                format!("found {saddle} mm from the bracket, with the saddle top {seat} mm above the ground"),
            ));
        }
        let mut lowest = (None, 0.0);
        for &(month, mm) in &due.raises.0 {
            if month < today || lowest.0.is_some_and(|last| month <= last) || mm < lowest.1 {
                wrong.push(Problem::at_key(
                    format!("due.raises.{month}"),
                    "goes back in time or down; months must follow each other from the handover on, heights must rise",
                ));
                break;
            }
            lowest = (Some(month), mm);
        }
        wrong
    }
}
