//! What every command reads: the rider from flags and file, a bike from a path or a sample's name.
//! Flags and file keys share their ranges: `rider::measures`, and `rider::segments` for single segments.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use clap::builder::{PossibleValue, PossibleValuesParser, TypedValueParser};

use jiff::civil::Date;
use serde::Serialize;

use crate::bike::{Bike, library};
use crate::cli::delivery::json_bytes;
use crate::cli::kind::Kind;
use crate::cli::mistakes;
use crate::cli::outcome::Error;
use crate::cli::paths::{id_of, not_a_file, shown};
use crate::draw::Form;
use crate::file::{Document, Problem, in_range};
use crate::fit::Options;
use crate::report::terminal::Layout;
use crate::rider::measures::{ARM_REACH_MM, HEIGHT_MM, INSEAM_MM, SOLE_MM, WEIGHT_KG, length};
use crate::rider::{Measured, MeasuredBy, Rider, RiderFile, Segment, Sex, Stage};
use crate::units::{Age, Length, Mass, Units};
use crate::words::{Word, choice};

/// The rider, from flags or a file; flags win.
#[derive(Debug, Default, PartialEq, clap::Args)]
#[command(next_help_heading = "Rider")]
pub(super) struct RiderArgs {
    /// Rider file (- reads standard input); flags win over it
    #[arg(long, value_name = "FILE")]
    rider: Option<PathBuf>,
    /// Floor to crotch, barefoot, book pressed up firmly: 61cm, "24 in", "61 cm ± 5 mm"
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true, value_parser = |t: &str| length(t, &INSEAM_MM))]
    inseam: Option<Measured>,
    /// Barefoot height
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true, value_parser = |t: &str| length(t, &HEIGHT_MM))]
    height: Option<Measured>,
    /// Shoulder tip to the middle of a closed fist, arm straight
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true, value_parser = |t: &str| length(t, &ARM_REACH_MM))]
    arm_reach: Option<Measured>,
    /// Wrist crease to the tip of the middle finger
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true, value_parser = |t: &str| segment(t, Segment::HandLength))]
    hand_length: Option<Measured>,
    /// Floor to the gap of the knee joint, standing
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true, value_parser = |t: &str| segment(t, Segment::KneeHeight))]
    knee_height: Option<Measured>,
    /// Floor to the bony knob at the side of the hip, standing
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true, value_parser = |t: &str| segment(t, Segment::HipHeight))]
    hip_height: Option<Measured>,
    /// Heel against a wall, to the longest toe
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true, value_parser = |t: &str| segment(t, Segment::FootLength))]
    foot_length: Option<Measured>,
    /// Age on the day of measuring, for growth: 7y, 7y4m, "88 months"
    #[arg(long, value_name = "AGE", allow_hyphen_values = true, conflicts_with = "born", value_parser = mistakes::age)]
    age: Option<Age>,
    /// Date of birth instead of the age
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = mistakes::date)]
    born: Option<Date>,
    /// For the growth charts: girl or boy, woman or man
    #[arg(long, value_name = "SEX", value_parser = mistakes::sex)]
    sex: Option<Sex>,
    /// Weight with clothes and helmet: 27kg, "60 lb"
    #[arg(long, value_name = "WEIGHT", allow_hyphen_values = true, value_parser = |t: &str| in_range::<Mass>(&t.into(), &WEIGHT_KG))]
    weight: Option<Mass>,
    /// Riding stage: learning, steady (default) or confident
    #[arg(long, value_name = "STAGE")]
    stage: Option<Stage>,
    /// Who held the tape: parent (default) or shop
    #[arg(long, value_name = "WHO")]
    measured_by: Option<MeasuredBy>,
    /// The day of the measuring, where it lies back: the figures are brought forward
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = mistakes::date)]
    measured_on: Option<Date>,
    /// Thickness of the shoe's sole
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true, value_parser = |t: &str| in_range::<Length>(&t.into(), &SOLE_MM))]
    sole: Option<Length>,
}

/// A segment's length, within its range.
fn segment(text: &str, segment: Segment) -> Result<Measured, String> {
    Measured::from_text(text, &segment.row().range())
}

impl RiderArgs {
    /// The rider on the given day.
    pub(super) fn rider(&self, on: Date) -> Result<Arc<Rider>, Error> {
        let (document, file, left_out) = self.as_file(on)?;
        let rider = Rider::new(&file, on).map_err(|error| match &document {
            Some(document) => document.place(error),
            None => error.named("rider"),
        })?;
        Ok(Arc::new(match left_out {
            Some(day) => rider.without_those_of(day),
            None => rider,
        }))
    }

    /// The rider file that file and flags make together, the document that it came from, and the day of the figures
    /// that are left out of it.
    fn as_file(&self, on: Date) -> Result<(Option<Document>, RiderFile, Option<Date>), Error> {
        let open = |path| open(path).map(|document| (path, document));
        let opened = self.rider.as_deref().map(open).transpose()?;
        let mut file = match &opened {
            Some((path, document)) => rider_file(path, document)?,
            None => RiderFile::default(),
        };
        // What is measured today takes the place of what was measured on another day.
        let is_anew = self.height.is_some() || self.inseam.is_some();
        let left_out = is_anew.then(|| {
            let new = RiderFile {
                inseam: self.inseam,
                height: self.height,
                arm_reach: self.arm_reach,
                hand_length: self.hand_length,
                knee_height: self.knee_height,
                hip_height: self.hip_height,
                foot_length: self.foot_length,
                weight: self.weight,
                ..RiderFile::default()
            };
            file.measured_anew(&new, self.measured_on.unwrap_or(on))
        });
        win(self.hand_length, &mut file.hand_length);
        win(self.knee_height, &mut file.knee_height);
        win(self.hip_height, &mut file.hip_height);
        win(self.foot_length, &mut file.foot_length);
        win(self.sex, &mut file.sex);
        win(self.weight, &mut file.weight);
        win(self.stage, &mut file.stage);
        win(self.measured_by, &mut file.measured_by);
        // The arm alone belongs to the newest set that is left.
        let newest = file.measurements.iter_mut().max_by_key(|set| set.on);
        win(
            self.arm_reach,
            newest.map_or(&mut file.arm_reach, |set| &mut set.arm_reach),
        );
        win(self.measured_on, &mut file.measured_on);
        win(self.sole, &mut file.sole);
        // One flag replaces either way of giving the age.
        if self.age.is_some() || self.born.is_some() {
            (file.age, file.born) = (self.age, self.born);
        }
        let document = opened.map(|(_, document)| document);
        Ok((document, file, left_out.flatten()))
    }

    /// The same as the text of a rider file under a name. It says when the figures were taken.
    #[cfg(feature = "page")]
    pub(super) fn text_to_keep(&self, on: Date, name: &str) -> Result<String, Error> {
        let (_, mut file, _) = self.as_file(on)?;
        file.name
            .get_or_insert_with(|| crate::words::clean(name).into_owned());
        if file.measurements.is_empty() {
            file.measured_on.get_or_insert(on);
        }
        Ok(crate::file::to_text(&file.tidied())?)
    }

    /// The riding stage, if it is given.
    #[cfg(feature = "page")]
    pub(super) fn stage(&self) -> Option<Stage> {
        self.stage
    }

    /// Whether nothing at all is said of the rider.
    pub(super) fn is_empty(&self) -> bool {
        *self == Self::default()
    }

    /// The rider file, if one is named.
    pub(super) fn file(&self) -> impl Iterator<Item = &Path> {
        self.rider.as_deref().into_iter()
    }
}

fn win<T: Copy>(flag: Option<T>, key: &mut Option<T>) {
    *key = flag.or(*key);
}

/// How a command about one or two bikes shows its answer.
#[derive(Debug, clap::Args)]
#[command(next_help_heading = "Output")]
pub(super) struct ShowArgs {
    /// text or json
    #[arg(long, value_name = "FORMAT", default_value = "text", value_parser = word::<Format>())]
    pub(super) format: Format,
    #[command(flatten)]
    pub(super) figures: FigureArgs,
    #[command(flatten)]
    pub(super) pictures: PictureArgs,
}

/// Where pictures go, and the sheet that they are drawn on.
#[derive(Debug, clap::Args)]
pub(super) struct PictureArgs {
    /// Folder for pictures
    #[arg(long, value_name = "DIR", default_value = "out")]
    pub(super) out: PathBuf,
    /// Draw the pictures narrow and upright, for a phone
    #[arg(long)]
    portrait: bool,
}

impl PictureArgs {
    /// The sheet.
    pub(super) fn form(&self) -> Form {
        if self.portrait {
            Form::Upright
        } else {
            Form::Lying
        }
    }
}

impl ShowArgs {
    /// The answer of a command about one or two bikes, in the form asked for.
    pub(super) fn answer<J: Serialize>(
        &self,
        contract: impl FnOnce() -> J,
        text: impl FnOnce(Layout) -> String,
        columns: usize,
    ) -> Result<Vec<u8>, Error> {
        match self.format {
            Format::Json => json_bytes(&contract()),
            Format::Text => Ok(text(self.figures.layout(columns)).into_bytes()),
        }
    }
}

/// In what units, how exact and for which day figures are.
#[derive(Debug, clap::Args)]
#[command(next_help_heading = "Output")]
pub(super) struct FigureArgs {
    /// Length unit of words and tables: mm, cm or in
    #[arg(long, value_name = "UNIT", default_value = "mm")]
    pub(super) units: Units,
    /// Take every figure as exact: no chances, no ± figures
    #[arg(long)]
    exact: bool,
    /// The day to count ages and forecasts from, instead of today
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = mistakes::date)]
    on: Option<Date>,
}

impl FigureArgs {
    /// What a fit needs to know.
    pub(super) fn options(&self) -> Options {
        Options {
            on: self.on.unwrap_or_else(today),
            exact: self.exact,
            forecast: true,
        }
    }

    /// How a text report is laid out.
    pub(super) fn layout(&self, columns: usize) -> Layout {
        Layout {
            columns,
            units: self.units,
        }
    }
}

choice! {
    /// Form of the answer on standard output.
    pub(super) enum Format {
        /// For people.
        Text = "text",
        /// For programs.
        Json = "json",
    }
}

choice! {
    /// Form of a table on standard output.
    pub(super) enum TableFormat {
        /// For people.
        Text = "text",
        /// For programs.
        Json = "json",
        /// For spreadsheets.
        Csv = "csv",
    }
}

/// A word given as a flag; help and completions list what is allowed.
pub(super) fn word<T: Word>() -> impl TypedValueParser<Value = T> {
    let allowed = T::ALL.iter().map(|word| {
        let about = word.about().trim_end_matches('.');
        PossibleValue::new(word.word()).help(about)
    });
    PossibleValuesParser::new(allowed).try_map(|text| T::from_word(&text))
}

/// Today, by the clock.
pub(super) fn today() -> Date {
    jiff::ZonedDateTime::now().date()
}

/// A bike from a path, `-`, or the name of a sample.
pub(super) fn bike(frame: &Path) -> Result<Arc<Bike>, crate::Error> {
    let name = frame.to_str().unwrap_or_default();
    if let Some(bike) = library::sample(name) {
        return Ok(bike);
    }
    let looks_like_a_name =
        frame.extension().is_none() && frame.components().count() == 1 && name != "-";
    if looks_like_a_name && !frame.exists() {
        let names: Vec<_> = library::SAMPLES.iter().map(|(id, _)| *id).collect();
        let near = names
            .iter()
            .min_by_key(|id| strsim::damerau_levenshtein(id, name));
        let hint = near.map_or_else(String::new, |near| format!("; did you mean `{near}`?"));
        let message = format!(
            "is neither a file nor a sample bike; samples: {}{hint}",
            names.join(", ")
        );
        return Err(Problem::of_file(shown(frame), message).into());
    }
    bike_of_file(frame)
}

/// A bike from a file, or standard input for `-`, whatever it is called.
pub(super) fn bike_of_file(frame: &Path) -> Result<Arc<Bike>, crate::Error> {
    let document = open(frame)?;
    match library::read(&id_of(frame), &document) {
        Ok(bike) => Ok(Arc::new(bike)),
        Err(error) => Err(Kind::Frame.instead_of(frame, &document).unwrap_or(error)),
    }
}

/// What a rider file says.
pub(super) fn rider_file(path: &Path, document: &Document) -> Result<RiderFile, crate::Error> {
    let read = document.read::<RiderFile>();
    read.map_err(|error| Kind::Rider.instead_of(path, document).unwrap_or(error))
}

/// Opens a file, or standard input for `-`. Anything else with a name is refused before it is read: a pipe would
/// wait for ever, and a device might never end.
pub(super) fn open(path: &Path) -> Result<Document, crate::Error> {
    use std::io::IsTerminal as _;
    let fail = |message: String| Err(Problem::of_file(shown(path), message).into());
    if path == Path::new("-") {
        if std::io::stdin().is_terminal() {
            return fail(
                "is standard input, and nothing is sent to it; name a file, or send one: inseam … - < FILE"
                    .to_owned(),
            );
        }
        return Document::open(path);
    }
    match std::fs::metadata(path).map(|found| not_a_file(&found)) {
        Ok(Some("a folder")) => fail(
            "is a folder; name one file in it (a folder of frame files: size --frames or rack --frames)".to_owned(),
        ),
        Ok(Some(kind)) => fail(format!(
            "is {kind}; a YAML file is needed, or - for standard input"
        )),
        // What cannot be looked at cannot be opened either, and that says why.
        Ok(None) | Err(_) => Document::open(path),
    }
}
