//! What every screen shows alike: the frame around it, the child's form, the verdict, signs and findings.
//! Words and figures come from `report` and the findings; only where they stand is decided here.
//! The screens themselves are `screens`, one file each.

use crate::advice::stop::Stop;
use crate::bike::Bike;
use crate::fit::{Finding, Fit};
use crate::page::query::Query;
use crate::page::shop::Shop;
use crate::page::{Kept, Question, Slip};
use crate::report::handover_text::NOTHING_FITS;
use crate::report::verdict_text::{
    NEAREST, about, rider_figures, sentence, shown, shown_advice, stop_lines, sureness,
};
use crate::rider::{MeasuredBy, Measurement, Rider, Sex, Stage};
use crate::units::Units;
use crate::words::{Word, percent, tidy};

pub(super) use crate::fit::Sign;

impl Sign {
    /// Its strokes in a box from -12 to 12.
    pub(super) const fn strokes(self) -> &'static str {
        match self {
            Self::Ok => "M-8.5 1 -2.5 7.5 9 -7.5",
            Self::Set => "M-8.5 8.5 1 -1 M4.2 -9.8A5.6 5.6 0 1 0 9.8 -4.2",
            Self::Caution => "M0 -9 10 8.5H-10Z M0 -2.5V2.5 M0 5.4V5.6",
            Self::Fail => "M-9 -9H9V9H-9Z M-9 -9 9 9 M-9 9 9 -9",
            Self::Unknown => "M-5 -5C-4.5 -11 5.5 -11 5 -4.5 4.8 -1 0 -1 0 3 M0 8.4V8.6",
        }
    }
}

/// The verdict on a pair, and why it gets no work order.
#[derive(Debug)]
pub(super) struct VerdictView {
    pub(super) sign: Sign,
    pub(super) word: String,
    pub(super) meaning: &'static str,
    pub(super) sure: Option<String>,
    pub(super) stop: Vec<String>,
    /// What to look at instead: words, and where a bike fits its address and name.
    pub(super) instead: Option<(&'static str, Option<[String; 2]>)>,
    pub(super) about: &'static str,
}

impl VerdictView {
    pub(super) fn new(fit: &Fit, stop: Option<&Stop>, units: Units) -> Self {
        Self {
            sign: Sign::of_verdict(fit.verdict),
            word: spoken(fit.verdict.word()),
            meaning: fit.verdict.meaning(),
            sure: sureness(fit),
            stop: stop_lines(fit, stop, units),
            instead: None,
            about: about(fit.verdict),
        }
    }

    /// The same, with the bike of the rack to look at instead.
    pub(super) fn offering(self, instead: Option<&Bike>, frame: &Frame) -> Self {
        let words = if instead.is_some() {
            NEAREST
        } else {
            NOTHING_FITS
        };
        let link = instead.map(|bike| [frame.about("/fit", &bike.id), bike.spec.name.clone()]);
        Self {
            instead: Some((words, link)),
            ..self
        }
    }
}

/// A word of the contract as people write it, with a capital.
pub(super) fn spoken(word: &str) -> String {
    let sentence = sentence(&word.replace(['-', '_'], " "));
    sentence.trim_end_matches('.').to_owned()
}

/// Lines as sentences.
pub(super) fn sentences(lines: &[String]) -> Vec<String> {
    lines.iter().map(|line| sentence(line)).collect()
}

/// Ends the address of a picture's narrow form.
pub(super) const FOR_A_PHONE: &str = "-upright";

/// A picture on a screen: wide where there is room, narrow on a phone, both of the same answer.
#[derive(Debug)]
pub(super) struct Shown {
    pub(super) wide: String,
    pub(super) narrow: String,
    /// What it shows, for those who do not see it.
    pub(super) says: String,
    /// Not needed before somebody scrolls to it.
    pub(super) is_lazy: bool,
    /// Screens up to this width get the narrow one, em.
    pub(super) narrow_to_em: u8,
}

impl Shown {
    /// Of the kinds that `screens::picture` knows; `asked_at` puts the question behind a path.
    pub(super) fn new(
        kind: &str,
        asked_at: impl Fn(&str) -> String,
        says: impl Into<String>,
    ) -> Self {
        Self {
            wide: asked_at(&format!("/picture/{kind}")),
            narrow: asked_at(&format!("/picture/{kind}{FOR_A_PHONE}")),
            says: says.into(),
            is_lazy: false,
            narrow_to_em: 60,
        }
    }

    /// The same, where a form takes a part of the width.
    pub(super) fn beside_a_form(self) -> Self {
        Self {
            narrow_to_em: 78,
            ..self
        }
    }

    /// The same, fetched once it is scrolled to.
    pub(super) fn lazily(self) -> Self {
        Self {
            is_lazy: true,
            ..self
        }
    }
}

/// One finding in plain words, and in the trade's on demand.
#[derive(Debug)]
pub(super) struct FindingView {
    pub(super) sign: Sign,
    pub(super) title: String,
    pub(super) advice: String,
    pub(super) measured: Option<String>,
    pub(super) wanted: Option<String>,
    pub(super) chance: Option<String>,
    pub(super) sources: Vec<&'static str>,
}

impl FindingView {
    fn new(fit: &Fit, finding: &Finding, units: Units) -> Self {
        Self {
            sign: finding.sign(),
            title: spoken(finding.id.name()),
            advice: sentence(&shown_advice(fit, finding, units)),
            measured: finding.measured(units),
            wanted: finding.wanted(units),
            chance: finding.odds.map(|odds| percent(odds.chance)),
            sources: finding
                .sources()
                .map(crate::sources::Source::citation)
                .collect(),
        }
    }

    /// The findings to show, what needs reading first.
    pub(super) fn all(fit: &Fit, stop: Option<&Stop>, units: Units) -> Vec<Self> {
        let mut all: Vec<_> = shown(fit, stop)
            .iter()
            .map(|finding| Self::new(fit, finding, units))
            .collect();
        if stop.is_none() {
            all.sort_by_key(|finding| match finding.sign {
                Sign::Fail => 0,
                Sign::Caution => 1,
                Sign::Set => 2,
                Sign::Unknown => 3,
                Sign::Ok => 4,
            });
        }
        all
    }
}

/// One of several words to choose from.
#[derive(Debug)]
pub(super) struct Choice {
    pub(super) word: String,
    pub(super) label: String,
    pub(super) is_chosen: bool,
}

/// A box of a form.
#[derive(Debug)]
pub(super) struct Field {
    pub(super) flag: &'static str,
    pub(super) label: &'static str,
    pub(super) hint: &'static str,
    pub(super) kind: &'static str,
    pub(super) value: String,
    /// What the kept child's file says, where the box is empty.
    pub(super) kept: Option<String>,
    pub(super) slips: Vec<String>,
}

impl Field {
    /// A box with what was asked in it.
    pub(super) fn new(query: &Query, (flag, label, hint, kind): Row, slips: Vec<String>) -> Self {
        Self {
            flag,
            label,
            hint,
            kind,
            value: query.in_box(flag, !slips.is_empty()),
            kept: None,
            slips,
        }
    }

    /// Whether it holds a figure.
    pub(super) fn is_figure(&self) -> bool {
        self.kind == FIGURE
    }
}

/// Several words in a box.
#[derive(Debug)]
pub(super) struct Pick {
    pub(super) flag: &'static str,
    pub(super) label: &'static str,
    pub(super) choices: Vec<Choice>,
    pub(super) slips: Vec<String>,
}

/// The child's form.
#[derive(Debug)]
#[expect(
    clippy::struct_excessive_bools,
    reason = "each says whether one part of the form shows"
)]
pub(super) struct Form {
    /// Where its answer is asked for.
    pub(super) action: &'static str,
    /// Whether it is open; on other screens than the child's it is folded.
    pub(super) is_open: bool,
    /// The child in one line.
    pub(super) line: Option<String>,
    pub(super) measures: Vec<Field>,
    pub(super) about: Vec<Field>,
    pub(super) more: Vec<Field>,
    pub(super) more_is_open: bool,
    pub(super) stages: Vec<Choice>,
    pub(super) sexes: Vec<Choice>,
    pub(super) tapes: Vec<Choice>,
    pub(super) units: [Choice; 3],
    pub(super) riders: Vec<Choice>,
    /// The kept child whose figures the boxes show.
    pub(super) shown_for: Option<String>,
    /// What the form passes on unseen.
    pub(super) hidden: Vec<(String, String)>,
    /// What no single box is to blame for.
    pub(super) slips: Vec<String>,
    pub(super) can_keep: bool,
    /// For a rider that is about to be kept.
    pub(super) keep_as: Field,
    /// Keyboard for figures: feet, inches and fractions take the full one.
    pub(super) keys: &'static str,
    pub(super) asks_to_replace: bool,
}

/// Kind of a box that holds a figure.
pub(super) const FIGURE: &str = "decimal";

/// Keyboard for figures in these units: feet, inches and fractions take the full one.
pub(super) const fn keys(units: Units) -> &'static str {
    match units {
        Units::In => "text",
        Units::Mm | Units::Cm => FIGURE,
    }
}

/// Flag, label, hint and kind of box.
pub(super) type Row = (&'static str, &'static str, &'static str, &'static str);

const KEEP_AS: Row = ("keep-as", "Name to keep them under", "", "text");
/// What other boxes are called.
const OTHER_LABELS: &[(&str, &str)] = &[
    ("rider", "Kept child"),
    ("units", "Unit"),
    ("stage", "How the child rides"),
    ("sex", "Growth chart"),
    ("measured-by", "Measured"),
    ("frame", "Bike"),
    ("on", "Day"),
    ("within", "Look ahead"),
    ("title", "Heading of the list"),
    ("serial-number", "Serial number"),
    ("technician", "Set by"),
];

const MEASURES: &[Row] = &[
    (
        "inseam",
        "Inside leg",
        "floor to crotch, book pressed up firmly",
        FIGURE,
    ),
    ("height", "Height", "barefoot, back to the wall", FIGURE),
    (
        "arm-reach",
        "Arm reach",
        "shoulder tip to the middle of the fist",
        FIGURE,
    ),
];
const ABOUT_CHILD: &[Row] = &[(
    "age",
    "Age",
    "years, such as 7 or 7y4m, on the day of measuring: how long a bike lasts",
    "text",
)];
const MORE: &[Row] = &[
    (
        "weight",
        "Weight",
        "kg, with clothes and helmet: tyres and bike weight",
        FIGURE,
    ),
    (
        "born",
        "Date of birth",
        "instead of the age: 2019-07-02",
        "text",
    ),
    (
        "hand-length",
        "Hand length",
        "wrist crease to the tip of the middle finger",
        FIGURE,
    ),
    (
        "knee-height",
        "Knee height",
        "floor to the gap of the knee joint, standing",
        FIGURE,
    ),
    (
        "hip-height",
        "Hip height",
        "floor to the bony knob at the side of the hip, standing",
        FIGURE,
    ),
    (
        "foot-length",
        "Foot length",
        "heel against a wall, to the longest toe",
        FIGURE,
    ),
    (
        "measured-on",
        "Measured on",
        "where it lies back: 2026-01-31; the age is that of this day",
        "text",
    ),
    ("sole", "Shoe sole", "its thickness", FIGURE),
];

impl Form {
    /// The form with what was asked in it, and every slip beside its box.
    pub(super) fn new(
        shop: &Shop,
        action: &'static str,
        query: &Query,
        question: Option<&Question>,
        slips: &[Slip],
    ) -> Self {
        let mut rest: Vec<&Slip> = slips.iter().collect();
        let kept = question.filter(|question| question.rider_file.is_some());
        let kept = kept.and_then(|question| Some((question.rider.as_deref().ok()?, question)));
        let not_said = if kept.is_some() {
            "as kept"
        } else {
            "not said"
        };
        let mut fields = |rows: &[Row]| -> Vec<Field> {
            rows.iter()
                .map(|&row| Field {
                    kept: kept.and_then(|(rider, question)| figure(rider, row.0, question)),
                    ..Field::new(query, row, take(&mut rest, row.0))
                })
                .collect()
        };
        let (measures, about, more) = (fields(MEASURES), fields(ABOUT_CHILD), fields(MORE));
        // Whether to replace is asked about the name.
        let unkept = [take(&mut rest, KEEP_AS.0), take(&mut rest, "replace")].concat();
        let keep_as = Field::new(query, KEEP_AS, unkept);
        let rider = question.and_then(|question| question.rider.as_ref().ok());
        // The form shows the units and the stage that the answer has.
        let stage = match rider {
            Some(rider) => rider.stage,
            None => query
                .get("stage")
                .and_then(|word| Stage::from_word(word).ok())
                .unwrap_or(Stage::Steady),
        };
        let units = query.units();
        let names = shop.counter.riders();
        let shown_for = shown_for(query, question, &names);
        let own = query.carried();
        let hidden = query.flags().keeping(|flag| {
            own.get(flag).is_none() && flag != "format" || ["exact", "on"].contains(&flag)
        });
        Self {
            action,
            is_open: ["/", "/size"].contains(&action) || rider.is_none(),
            line: question.and_then(|question| {
                let rider = question.rider.as_ref().ok()?;
                let figures = rider_figures(rider, question.units);
                Some(match &rider.name {
                    Some(_) => format!("{}: {figures}", rider.title()),
                    None => figures,
                })
            }),
            more_is_open: more
                .iter()
                .any(|field| !field.slips.is_empty() || !field.value.is_empty()),
            measures,
            about,
            more,
            stages: Stage::ALL
                .iter()
                .map(|of| choice(of.word(), stage_words(*of), stage == *of))
                .collect(),
            sexes: chosen(
                query,
                "sex",
                &std::iter::once(("", not_said))
                    .chain(Sex::ALL.iter().map(|sex| (sex.word(), sex.word())))
                    .collect::<Vec<_>>(),
            ),
            tapes: chosen(
                query,
                "measured-by",
                &[
                    ("", not_said),
                    (MeasuredBy::Parent.word(), "at home"),
                    (MeasuredBy::Shop.word(), "here in the shop"),
                ],
            ),
            units: unit_choices(units),
            shown_for: shown_for.clone(),
            riders: names
                .into_iter()
                .map(|name| choice(&name, &name, shown_for.as_deref() == Some(name.as_str())))
                .collect(),
            hidden: hidden
                .pairs()
                .map(|(flag, value)| (flag.to_owned(), value.to_owned()))
                .collect(),
            slips: rest.iter().map(|slip| told(slip)).collect(),
            can_keep: shop.counter.keeps(Kept::Rider),
            keep_as,
            keys: keys(units),
            asks_to_replace: slips.iter().any(|slip| slip.field == "replace"),
        }
    }
}

/// The kept child whose figures the boxes show, also where something else that was asked cannot be used.
fn shown_for(query: &Query, question: Option<&Question>, names: &[String]) -> Option<String> {
    let asked = query.get("rider");
    question
        .and_then(Question::kept_as)
        .or(asked.filter(|asked| names.iter().any(|name| name == asked)))
        .map(str::to_owned)
}

/// What is known of a rider under a box of the form; None where it is estimated, or not said.
fn figure(rider: &Rider, flag: &str, question: &Question) -> Option<String> {
    let units = question.units;
    let measured = |which, mm| rider.has_measured(which).then(|| units.length(mm));
    // What was measured on an earlier day is not what the answer rests on.
    let is_old = rider.measured_on < question.options.on;
    let grows = ["inseam", "height", "arm-reach"].contains(&flag);
    let whence = if is_old && grows { "by now" } else { "kept" };
    let figure = match flag {
        "inseam" => measured(Measurement::Inseam, rider.inseam.mm()),
        "height" => measured(Measurement::Height, rider.height.mm()),
        "arm-reach" => measured(Measurement::ArmReach, rider.arm_reach.mm()),
        "age" => rider.age.map(|age| age.to_string()),
        "weight" => rider
            .weight
            .map(|weight| format!("{} kg", tidy(weight.kg(), 1))),
        "measured-on" => Some(rider.measured_on.to_string()),
        _ => None,
    };
    Some(format!("{whence}: {}", figure?))
}

/// The slips of one box.
pub(super) fn take(slips: &mut Vec<&Slip>, flag: &str) -> Vec<String> {
    let (own, rest) = slips.iter().partition(|slip| slip.field == flag);
    *slips = rest;
    let own: Vec<&Slip> = own;
    let mut messages: Vec<String> = own.iter().map(|slip| slip.message.clone()).collect();
    // Two keys behind one box say the same.
    messages.dedup();
    messages
}

/// A slip away from its box names it, as the form does.
pub(super) fn told(slip: &Slip) -> String {
    told_as(slip, label(&slip.field))
}

/// The same under the label that its box has; what belongs to no box says all itself.
pub(super) fn told_as(slip: &Slip, label: Option<&str>) -> String {
    match label.unwrap_or(&slip.field) {
        "" | "replace" => slip.message.clone(),
        label => format!("{label}: {}", slip.message),
    }
}

/// What the box of a flag is called.
fn label(flag: &str) -> Option<&'static str> {
    let rows = [MEASURES, ABOUT_CHILD, MORE, &[KEEP_AS]];
    let rows = rows.into_iter().flatten().map(|row| (row.0, row.1));
    let mut labels = rows.chain(OTHER_LABELS.iter().copied());
    labels.find(|(of, _)| *of == flag).map(|(_, label)| label)
}

pub(super) fn choice(word: &str, label: &str, is_chosen: bool) -> Choice {
    Choice {
        word: word.to_owned(),
        label: label.to_owned(),
        is_chosen,
    }
}

/// The units that a form offers.
pub(super) fn unit_choices(chosen: Units) -> [Choice; 3] {
    [Units::Cm, Units::Mm, Units::In].map(|of| choice(of.word(), of.word(), chosen == of))
}

/// Words of a flag; the first where none is chosen.
pub(super) fn chosen(query: &Query, flag: &str, words: &[(&str, &str)]) -> Vec<Choice> {
    let given = query.get(flag);
    words
        .iter()
        .enumerate()
        .map(|(place, (word, label))| {
            choice(
                word,
                label,
                given.map_or(place == 0, |given| given == *word),
            )
        })
        .collect()
}

/// A stage in a parent's words.
pub(super) const fn stage_words(stage: Stage) -> &'static str {
    match stage {
        Stage::Learning => "First rides: both feet flat on the ground",
        Stage::Steady => "Starts and stops alone: balls of the feet down",
        Stage::Confident => {
            "Rides with ease: legs nearly straight, feet do not reach the ground from the saddle"
        }
    }
}

/// The frame around every screen.
#[derive(Debug)]
pub(super) struct Frame {
    pub(super) title: String,
    /// The address, without its query.
    pub(super) here: &'static str,
    /// The child and the units, for every other screen.
    pub(super) carried: String,
    pub(super) form: Form,
}

impl Frame {
    pub(super) fn new(title: &str, here: &'static str, query: &Query, form: Form) -> Self {
        Self {
            title: title.to_owned(),
            here,
            carried: query.carried().encoded(),
            form,
        }
    }

    /// Another screen for the same child.
    pub(super) fn to(&self, path: &str) -> String {
        if self.carried.is_empty() {
            path.to_owned()
        } else {
            format!("{path}?{}", self.carried)
        }
    }

    /// Another screen for the same child, about a bike.
    pub(super) fn about(&self, path: &str, frame: &str) -> String {
        let bike = Query::default().with("frame", frame).encoded();
        format!(
            "{}{}{bike}",
            self.to(path),
            if self.carried.is_empty() { "?" } else { "&" }
        )
    }
}

impl Frame {
    /// The build sheet of a bike for whoever comes.
    pub(super) fn build_sheet_of(&self, frame: &str) -> String {
        let sheet = Query::parse(&self.carried)
            .keeping(|flag| flag == "units")
            .with("frame", frame)
            .with("format", "build-sheet");
        format!("/handover?{}", sheet.encoded())
    }

    /// The child and the units, for a form of its own.
    pub(super) fn carried_pairs(&self) -> Vec<(String, String)> {
        let carried = Query::parse(&self.carried);
        carried
            .pairs()
            .map(|(flag, value)| (flag.to_owned(), value.to_owned()))
            .collect()
    }
}
