//! Reading and writing frame and rider files: every problem with file, line, column, key, found, allowed.
//! The only module that knows the YAML crate; `section!` makes a struct, its reader and its schema from one table.
//! What the keys are lives in `bike::spec` and `rider::measures`.

use std::cell::{Cell, RefCell};
use std::fmt;
use std::io::Read as _;
use std::marker::PhantomData;
use std::ops::RangeInclusive;
use std::path::Path;

use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};
use serde::Serialize;
use serde::de::{
    self, DeserializeSeed, Deserializer, EnumAccess, IgnoredAny, MapAccess, SeqAccess,
    VariantAccess as _, Visitor,
};

use crate::units::{Quantity, clip, tidy};

/// Largest file that is read at all, bytes. A frame file is about 1 KiB; the parser's time grows with the
/// square of some contents, and a file is read once for every problem in it.
pub const LARGEST_FILE: u64 = 64 << 10;
/// Brackets that may stand open at once. A frame file has 2; the parser's time grows with their square.
const MOST_BRACKETS: usize = 32;
/// Longest text that a key takes, characters: a name on a card.
pub const LONGEST_TEXT: usize = 120;
/// Problems listed for one file; a file with more is not a frame or a rider.
const MOST_PROBLEMS: usize = 25;

/// One thing wrong with one file.
#[derive(Debug, Clone, PartialEq)]
pub struct Problem {
    /// The file as the user named it.
    pub file: String,
    /// Line and column, from 1, where the file has lines.
    pub place: Option<(usize, usize)>,
    /// The key, as a dotted path; empty when the file as a whole is meant.
    pub key: String,
    /// What was found, what is allowed, what to do.
    pub message: String,
    line_text: String,
}

impl Problem {
    /// A problem of a file as a whole, or of a command-line value.
    pub fn of_file(file: impl Into<String>, message: impl Into<String>) -> Self {
        Self {
            file: file.into(),
            place: None,
            key: String::new(),
            message: message.into(),
            line_text: String::new(),
        }
    }

    /// The same problem, about one key.
    #[must_use]
    pub fn at_key(mut self, key: impl Into<String>) -> Self {
        self.key = key.into();
        self
    }

    /// The message with an excerpt of the file, as compilers print it. `colour` adds ANSI styles.
    pub fn excerpt(&self, colour: bool) -> String {
        let renderer = if colour {
            Renderer::styled()
        } else {
            Renderer::plain()
        };
        let title = if self.key.is_empty() {
            self.message.clone()
        } else {
            format!("{}: {}", self.key, self.message)
        };
        let report = match self.place {
            Some((line, column)) => {
                let snippet = Snippet::source(self.line_text.as_str())
                    .line_start(line)
                    .path(self.file.as_str())
                    .annotation(AnnotationKind::Primary.span(value_at(&self.line_text, column)));
                Level::ERROR.primary_title(title).element(snippet)
            }
            None => {
                Group::with_title(Level::ERROR.primary_title(format!("{}: {title}", self.file)))
            }
        };
        renderer.render(&[report])
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.file)?;
        if let Some((line, column)) = self.place {
            write!(f, ":{line}:{column}")?;
        }
        if !self.key.is_empty() {
            write!(f, ": {}", self.key)?;
        }
        write!(f, ": {}", self.message)
    }
}

/// A document's text and the name to use for it in messages.
#[derive(Debug, Clone)]
pub struct Document {
    /// How messages name it.
    pub label: String,
    text: String,
}

impl Document {
    /// A document that is already in memory.
    pub fn from_text(label: impl Into<String>, text: impl Into<String>) -> Self {
        let text = text.into();
        let text = text.strip_prefix('\u{feff}').unwrap_or(&text);
        // A lone carriage return ends a line for the parser, but for nobody who counts lines here.
        let text = text.replace("\r\n", "\n").replace('\r', "\n");
        Self {
            label: label.into(),
            text,
        }
    }

    /// Reads a file, or standard input for `-`. Refuses what cannot be a frame or rider file.
    pub fn open(path: &Path) -> Result<Self, Problem> {
        let label = if path == Path::new("-") {
            "<stdin>".to_owned()
        } else {
            path.display().to_string()
        };
        let fail = |message: String| Problem::of_file(label.clone(), message);
        let mut bytes = Vec::new();
        let outcome = if path == Path::new("-") {
            std::io::stdin()
                .lock()
                .take(LARGEST_FILE + 1)
                .read_to_end(&mut bytes)
        } else {
            if path.is_dir() {
                return Err(fail("is a folder; a YAML file is needed".to_owned()));
            }
            std::fs::File::open(path)
                .and_then(|file| file.take(LARGEST_FILE + 1).read_to_end(&mut bytes))
        };
        outcome.map_err(|error| fail(format!("cannot be read: {error}")))?;
        if bytes.len() as u64 > LARGEST_FILE {
            return Err(fail(
                "is larger than 64 KiB; a frame or rider file is about 1 KiB".to_owned(),
            ));
        }
        match String::from_utf8(bytes) {
            Ok(text) if text.contains('\0') => Err(fail("is not a text file".to_owned())),
            Ok(text) => Ok(Self::from_text(label, text)),
            Err(_) => Err(fail("is not a text file (UTF-8 is needed)".to_owned())),
        }
    }

    /// Whether a line starts with this key, which tells a frame from a rider before either is read.
    pub fn has_key(&self, key: &str) -> bool {
        self.text.lines().any(|line| {
            line.strip_prefix(key)
                .is_some_and(|rest| rest.trim_start().starts_with(':'))
        })
    }

    /// Whether a line starts with any of these keys.
    pub fn has_any_key(&self, keys: &[&str]) -> bool {
        keys.iter().any(|key| self.has_key(key))
    }

    /// Reads the whole document, or says everything that is wrong with it.
    pub fn read<T: Value<Limits = ()>>(&self) -> Result<T, Vec<Problem>> {
        if self.is_empty() {
            return Err(vec![Problem::of_file(
                &self.label,
                "is empty; see `inseam schema` for the keys",
            )]);
        }
        if let Some((place, message)) = self.unreadable() {
            return Err(vec![self.placed("", message, Some(place))]);
        }
        // Each pass passes over what earlier passes reported, so the next problem surfaces with its own position.
        let mut problems: Vec<Problem> = Vec::new();
        while problems.len() < MOST_PROBLEMS {
            let run = Run {
                budget: Cell::new(problems.len()),
                ..Run::default()
            };
            match T::read(serde_yaml::Deserializer::from_str(&self.text), &(), &run) {
                Ok(Some(value)) => return Ok(value),
                Ok(None) => break,
                Err(error) => {
                    let problem = self.problem(&error, &run);
                    let is_syntax = run.raised.borrow().is_none();
                    problems.push(problem);
                    // Nothing behind broken syntax can be read.
                    if is_syntax {
                        break;
                    }
                }
            }
        }
        problems.sort_by_key(|problem| problem.place);
        if problems.len() == MOST_PROBLEMS {
            let message =
                format!("these are the first {MOST_PROBLEMS} problems; there may be more");
            problems.push(Problem::of_file(&self.label, message));
        }
        Err(problems)
    }

    /// Whether nothing but comments and document marks is in it.
    fn is_empty(&self) -> bool {
        self.lines().all(|line| {
            let line = line.trim();
            line.is_empty() || line.starts_with('#') || line == "---" || line == "..."
        })
    }

    /// The lines as the parser counts them: YAML 1.1 also breaks at three characters beyond ASCII.
    fn lines(&self) -> impl Iterator<Item = &str> {
        self.text.split(['\n', '\u{85}', '\u{2028}', '\u{2029}'])
    }

    /// What the parser would refuse without a place, or only after a long time.
    fn unreadable(&self) -> Option<((usize, usize), String)> {
        for (line, text) in (1..).zip(self.lines()) {
            if let Some(at) = text.chars().position(|c| c.is_control() && c != '\t') {
                return Some(((line, at + 1), "has a control character".to_owned()));
            }
        }
        let mut open = 0_usize;
        for (line, text) in (1..).zip(self.lines()) {
            for (column, c) in (1..).zip(text.chars()) {
                match c {
                    '[' | '{' => open += 1,
                    ']' | '}' => open = open.saturating_sub(1),
                    _ => {}
                }
                if open > MOST_BRACKETS {
                    let message =
                        format!("has more than {MOST_BRACKETS} brackets inside each other");
                    return Some(((line, column), message));
                }
            }
        }
        None
    }

    /// Where the second document starts.
    fn second_document(&self) -> Option<(usize, usize)> {
        let mut has_content = false;
        for (line, text) in (1..).zip(self.lines()) {
            if text == "---" || text.starts_with("--- ") {
                if has_content {
                    return Some((line, 1));
                }
                has_content = !text["---".len()..].trim().is_empty();
            } else {
                has_content |= !text.trim().is_empty() && !text.trim_start().starts_with('#');
            }
        }
        None
    }

    /// A problem that only shows when values are put together, placed at its key (or the nearest parent).
    pub fn problem_at<T: Value<Limits = ()>>(
        &self,
        key: &str,
        message: impl Into<String>,
    ) -> Problem {
        let mut target = key;
        let place = loop {
            let run = Run {
                stop_at: Some(target.to_owned()),
                ..Run::default()
            };
            if let Err(error) = T::read(serde_yaml::Deserializer::from_str(&self.text), &(), &run)
                && run.is_stopped.get()
            {
                break place_of(&error);
            }
            match target.rsplit_once('.') {
                Some((parent, _)) => target = parent,
                None => break None,
            }
        };
        self.placed(key, message.into(), place)
    }

    fn problem(&self, error: &serde_yaml::Error, run: &Run) -> Problem {
        let start = Some((1, 1));
        if let Some(raised) = run.raised.borrow().as_ref() {
            let place = place_of(error).or(start);
            return self.placed(&raised.key, raised.message.clone(), place);
        }
        let place = place_of(error).or_else(|| self.second_document());
        self.placed("", syntax_message(error), place.or(start))
    }

    fn placed(&self, key: &str, message: String, place: Option<(usize, usize)>) -> Problem {
        // From the column on the renderer cuts what is too long; before it, it needs all to count.
        const WIDEST: usize = 80;
        let line_text = place.and_then(|(line, column)| {
            let text = self.lines().nth(line - 1)?;
            Some(text.chars().take(column + WIDEST).collect())
        });
        Problem {
            file: self.label.clone(),
            place,
            key: key.to_owned(),
            message,
            line_text: line_text.unwrap_or_default(),
        }
    }
}

/// A contradiction inside a file: the key it shows at, and what is wrong.
#[derive(Debug, Clone, PartialEq)]
pub struct Contradiction {
    /// Dotted path of the key.
    pub key: &'static str,
    /// What was found, what is allowed, what to do.
    pub message: String,
}

impl Contradiction {
    pub(crate) fn new(key: &'static str, message: impl Into<String>) -> Self {
        Self {
            key,
            message: message.into(),
        }
    }
}

fn place_of(error: &serde_yaml::Error) -> Option<(usize, usize)> {
    error
        .location()
        .map(|location| (location.line(), location.column()))
}

/// The parser's own words without the position, which is printed once, in front.
fn syntax_message(error: &serde_yaml::Error) -> String {
    let text = error.to_string();
    let place = error
        .location()
        .map(|l| format!(" at line {} column {}", l.line(), l.column()));
    let bare = place
        .and_then(|place| text.strip_suffix(&place).map(str::to_owned))
        .unwrap_or(text);
    if bare.contains("more than one document") {
        "holds more than one document; keep one bike or rider to a file".to_owned()
    } else {
        format!("is not YAML that can be read: {bare}")
    }
}

/// Bytes of the value at a column (from 1) of a line: a quoted one ends at its quote, a plain one at the
/// next mark of the line.
fn value_at(line: &str, column: usize) -> std::ops::Range<usize> {
    let mut places = line.char_indices().map(|(byte, _)| byte);
    let start = places.nth(column.saturating_sub(1)).unwrap_or(line.len());
    let rest = &line[start..];
    let quote = rest.chars().next().filter(|c| ['"', '\''].contains(c));
    let end = match quote {
        Some(quote) => rest[1..].find(quote).map(|at| at + 2),
        None => rest.find([',', '}', '#']),
    };
    start..start + rest[..end.unwrap_or(rest.len())].trim_end().len()
}

/// The text of a value as YAML.
pub fn to_text<T: Serialize>(value: &T) -> Result<String, serde_yaml::Error> {
    serde_yaml::to_string(value)
}

/// State of one pass over a document. Readers return `None` for what an earlier pass reported.
#[derive(Debug, Default)]
pub struct Run {
    budget: Cell<usize>,
    is_stopped: Cell<bool>,
    stop_at: Option<String>,
    path: RefCell<Vec<String>>,
    raised: RefCell<Option<Raised>>,
}

#[derive(Debug)]
struct Raised {
    key: String,
    message: String,
}

impl Run {
    /// Passes over what earlier passes reported; the first new problem ends the pass, and the parser
    /// adds its position on the way up.
    fn reject<T, E: de::Error>(&self, message: impl Into<String>) -> Result<Option<T>, E> {
        if let Some(left) = self.budget.get().checked_sub(1) {
            self.budget.set(left);
            return Ok(None);
        }
        let message = message.into();
        let error = E::custom(&message);
        *self.raised.borrow_mut() = Some(Raised {
            key: self.path.borrow().join("."),
            message,
        });
        Err(error)
    }

    fn is_target(&self) -> bool {
        self.stop_at.as_ref().is_some_and(|target| {
            self.path
                .borrow()
                .iter()
                .map(String::as_str)
                .eq(target.split('.'))
        })
    }

    fn inside<T>(&self, key: &str, read: impl FnOnce() -> T) -> T {
        self.path.borrow_mut().push(key.to_owned());
        let value = read();
        self.path.borrow_mut().pop();
        value
    }
}

/// What a value may look like in a file, for the JSON Schema.
#[derive(Debug, Clone)]
pub enum Shape {
    /// A number, or text with a unit.
    Quantity {
        /// Base unit.
        unit: &'static str,
        /// Allowed range in the base unit.
        range: RangeInclusive<f64>,
        /// What may follow the number in a text; an empty spelling where a bare number will do.
        spellings: Vec<&'static str>,
        /// Whether `±` and a spread may follow.
        with_spread: bool,
    },
    /// A bare number.
    Number(RangeInclusive<f64>),
    /// One of these words.
    Choice(Vec<&'static str>),
    /// Free text.
    Text,
    /// Text of one form, as a regular expression.
    Pattern(&'static str),
    /// Yes or no.
    Flag,
    /// A calendar date.
    Date,
    /// Named fields.
    Section(Vec<Field>),
    /// Free names with values of one shape.
    Map(Box<Shape>),
    /// Either of two shapes.
    Either(Box<Shape>, Box<Shape>),
}

/// One key of a section.
#[derive(Debug, Clone)]
pub struct Field {
    /// The key.
    pub key: &'static str,
    /// What it means.
    pub doc: String,
    /// Whether the file must have it.
    pub required: bool,
    /// Its shape.
    pub shape: Shape,
}

/// A type that can stand in a file.
pub trait Value: Sized {
    /// What the field's row in the table adds: a range for numbers, nothing for sections.
    type Limits;
    /// Reads the value; None when it is wrong and already reported.
    fn read<'de, D: Deserializer<'de>>(
        source: D,
        limits: &Self::Limits,
        run: &Run,
    ) -> Result<Option<Self>, D::Error>;
    /// The value of a key that the file leaves out, if it may.
    fn absent() -> Option<Self> {
        None
    }
    /// Whether writing it can be left out.
    fn is_absent(&self) -> bool {
        false
    }
    /// Its shape, for the schema.
    fn shape(limits: &Self::Limits) -> Shape;
}

impl<T: Value> Value for Option<T> {
    type Limits = T::Limits;
    fn read<'de, D: Deserializer<'de>>(
        source: D,
        limits: &T::Limits,
        run: &Run,
    ) -> Result<Option<Self>, D::Error> {
        Ok(T::read(source, limits, run)?.map(Some))
    }
    fn absent() -> Option<Self> {
        Some(None)
    }
    fn is_absent(&self) -> bool {
        self.is_none()
    }
    fn shape(limits: &T::Limits) -> Shape {
        T::shape(limits)
    }
}

/// A YAML scalar, before it means anything.
#[derive(Debug, Clone, Copy)]
pub enum Scalar<'a> {
    /// A number.
    Number(f64),
    /// A text.
    Text(&'a str),
    /// `true` or `false`.
    Flag(bool),
    /// Nothing after the colon.
    Empty,
}

impl fmt::Display for Scalar<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Number(number) if number.is_finite() => write!(f, "`{}`", tidy(*number, 6)),
            Self::Number(number) => write!(f, "`{number}`"),
            Self::Text(text) => write!(f, "`{}`", clip(text)),
            Self::Flag(flag) => write!(f, "`{flag}`"),
            Self::Empty => write!(f, "nothing"),
        }
    }
}

/// Reads a scalar and turns it into a value; a list or a section in its place is a problem like any other.
pub fn read_scalar<'de, D, T>(
    source: D,
    run: &Run,
    wanted: &str,
    parse: impl FnOnce(Scalar<'_>) -> Result<T, String>,
) -> Result<Option<T>, D::Error>
where
    D: Deserializer<'de>,
{
    struct ScalarVisitor<'r, F> {
        run: &'r Run,
        wanted: &'r str,
        parse: F,
    }
    impl<T, F: FnOnce(Scalar<'_>) -> Result<T, String>> ScalarVisitor<'_, F> {
        fn visit<E: de::Error>(self, scalar: Scalar<'_>) -> Result<Option<T>, E> {
            match (self.parse)(scalar) {
                Ok(value) => Ok(Some(value)),
                Err(message) => self.run.reject(message),
            }
        }
    }
    impl<'de, T, F: FnOnce(Scalar<'_>) -> Result<T, String>> Visitor<'de> for ScalarVisitor<'_, F> {
        type Value = Option<T>;
        fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
            f.write_str(self.wanted)
        }
        fn visit_bool<E: de::Error>(self, v: bool) -> Result<Option<T>, E> {
            self.visit(Scalar::Flag(v))
        }
        #[expect(
            clippy::cast_precision_loss,
            reason = "beyond 2^53 every range check fails anyway"
        )]
        fn visit_i64<E: de::Error>(self, v: i64) -> Result<Option<T>, E> {
            self.visit(Scalar::Number(v as f64))
        }
        #[expect(
            clippy::cast_precision_loss,
            reason = "beyond 2^53 every range check fails anyway"
        )]
        fn visit_u64<E: de::Error>(self, v: u64) -> Result<Option<T>, E> {
            self.visit(Scalar::Number(v as f64))
        }
        #[expect(
            clippy::cast_precision_loss,
            reason = "beyond 2^53 every range check fails anyway"
        )]
        fn visit_i128<E: de::Error>(self, v: i128) -> Result<Option<T>, E> {
            self.visit(Scalar::Number(v as f64))
        }
        #[expect(
            clippy::cast_precision_loss,
            reason = "beyond 2^53 every range check fails anyway"
        )]
        fn visit_u128<E: de::Error>(self, v: u128) -> Result<Option<T>, E> {
            self.visit(Scalar::Number(v as f64))
        }
        fn visit_f64<E: de::Error>(self, v: f64) -> Result<Option<T>, E> {
            self.visit(Scalar::Number(v))
        }
        fn visit_str<E: de::Error>(self, v: &str) -> Result<Option<T>, E> {
            self.visit(Scalar::Text(v))
        }
        fn visit_unit<E: de::Error>(self) -> Result<Option<T>, E> {
            self.visit(Scalar::Empty)
        }
        fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<Option<T>, A::Error> {
            while seq.next_element::<IgnoredAny>()?.is_some() {}
            self.run
                .reject(format!("found a list; wanted {}", self.wanted))
        }
        fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Option<T>, A::Error> {
            while map.next_entry::<IgnoredAny, IgnoredAny>()?.is_some() {}
            self.run.reject(format!(
                "found a section with keys of its own; wanted {}",
                self.wanted
            ))
        }
        fn visit_enum<A: EnumAccess<'de>>(self, tagged: A) -> Result<Option<T>, A::Error> {
            let tag = tag_of(tagged)?;
            self.run
                .reject(format!("found the tag `{tag}`; wanted {}", self.wanted))
        }
    }
    source.deserialize_any(ScalarVisitor { run, wanted, parse })
}

/// Passes over a value with a tag of its own, such as `!mm 3`, which no key takes. Returns the tag.
fn tag_of<'de, A: EnumAccess<'de>>(tagged: A) -> Result<String, A::Error> {
    let (tag, value) = tagged.variant::<String>()?;
    value.newtype_variant::<IgnoredAny>()?;
    Ok(clip(&format!("!{tag}")))
}

/// A quantity from a scalar, inside its range, or a sentence that says what is allowed.
pub(crate) fn quantity_in_range<Q: Quantity>(
    scalar: Scalar<'_>,
    range: &RangeInclusive<f64>,
) -> Result<Q, String> {
    let value = match scalar {
        Scalar::Number(number) if !number.is_finite() => {
            return Err(format!("`{number}` is not a finite number"));
        }
        // A bare number takes the base unit by the same grammar, which an age refuses.
        Scalar::Number(number) if "1".parse::<Q>().is_ok() => Q::from_number(number),
        Scalar::Number(number) => tidy(number, 9)
            .parse::<Q>()
            .map_err(|error| error.to_string())?,
        Scalar::Text(text) => text.parse::<Q>().map_err(|error| error.to_string())?,
        Scalar::Flag(_) | Scalar::Empty => {
            return Err(format!(
                "found {scalar}; wanted a number in {} or a text with a unit",
                Q::UNIT
            ));
        }
    };
    if range.contains(&value.number()) {
        return Ok(value);
    }
    let slip = match scalar {
        Scalar::Number(number) => Q::likely_slip(number, range),
        // A bare number given as text, as on a command line.
        Scalar::Text(text) => text
            .trim()
            .parse()
            .ok()
            .and_then(|number| Q::likely_slip(number, range)),
        Scalar::Flag(_) | Scalar::Empty => None,
    };
    let unit = Q::UNIT;
    let found = tidy(value.number(), 3);
    let (low, high) = (tidy(*range.start(), 3), tidy(*range.end(), 3));
    Err(format!(
        "found {found} {unit}; allowed {low} to {high} {unit}{}",
        slip.map_or_else(String::new, |s| format!("; {s}"))
    ))
}

macro_rules! quantity_values {
    ($($name:ty),*) => {$(
        impl Value for $name {
            type Limits = RangeInclusive<f64>;
            fn read<'de, D: Deserializer<'de>>(source: D, limits: &Self::Limits, run: &Run) -> Result<Option<Self>, D::Error> {
                read_scalar(source, run, "a number or a text with a unit", |scalar| quantity_in_range(scalar, limits))
            }
            fn shape(limits: &Self::Limits) -> Shape {
                Shape::Quantity { unit: <$name as Quantity>::UNIT, range: limits.clone(), spellings: <$name as Quantity>::spellings(), with_spread: false }
            }
        }
    )*};
}
quantity_values!(
    crate::units::Length,
    crate::units::Angle,
    crate::units::Mass,
    crate::units::Pressure,
    crate::units::Torque,
    crate::units::Age
);

impl Value for f64 {
    type Limits = RangeInclusive<f64>;
    fn read<'de, D: Deserializer<'de>>(
        source: D,
        limits: &Self::Limits,
        run: &Run,
    ) -> Result<Option<Self>, D::Error> {
        let (low, high) = (limits.start(), limits.end());
        let wanted = format!("a number from {low} to {high}");
        read_scalar(source, run, &wanted, |scalar| match scalar {
            Scalar::Number(number) if limits.contains(&number) => Ok(number),
            other => Err(format!("found {other}; allowed {wanted}")),
        })
    }
    fn shape(limits: &Self::Limits) -> Shape {
        Shape::Number(limits.clone())
    }
}

impl Value for bool {
    type Limits = ();
    fn read<'de, D: Deserializer<'de>>(
        source: D,
        (): &(),
        run: &Run,
    ) -> Result<Option<Self>, D::Error> {
        read_scalar(source, run, "true or false", |scalar| match scalar {
            Scalar::Flag(flag) => Ok(flag),
            other => Err(format!("found {other}; allowed true or false")),
        })
    }
    fn shape((): &()) -> Shape {
        Shape::Flag
    }
}

impl Value for String {
    type Limits = ();
    fn read<'de, D: Deserializer<'de>>(
        source: D,
        (): &(),
        run: &Run,
    ) -> Result<Option<Self>, D::Error> {
        read_scalar(source, run, "a text", |scalar| match scalar {
            Scalar::Text(text) if text.trim().is_empty() => Err("found an empty text".to_owned()),
            Scalar::Text(text) if text.chars().count() > LONGEST_TEXT => Err(format!(
                "found {} characters; allowed at most {LONGEST_TEXT}",
                text.chars().count()
            )),
            Scalar::Text(text) if text.chars().any(char::is_control) => Err(format!(
                "`{}` has a line break or another control character; one line of plain text is allowed",
                clip(text)
            )),
            Scalar::Text(text) => Ok(text.trim().to_owned()),
            Scalar::Number(number) if number.is_finite() => Ok(tidy(number, 6)),
            other => Err(format!("found {other}; wanted a text")),
        })
    }
    fn shape((): &()) -> Shape {
        Shape::Text
    }
}

impl Value for jiff::civil::Date {
    type Limits = ();
    fn read<'de, D: Deserializer<'de>>(
        source: D,
        (): &(),
        run: &Run,
    ) -> Result<Option<Self>, D::Error> {
        read_scalar(source, run, "a date", |scalar| match scalar {
            Scalar::Text(text) => text
                .parse()
                .map_err(|_| format!("`{}` is not a date; write it as 2019-07-02", clip(text))),
            other => Err(format!(
                "found {other}; wanted a date, written as 2019-07-02"
            )),
        })
    }
    fn shape((): &()) -> Shape {
        Shape::Date
    }
}

/// Free names with values of one kind, in the order of the file.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Named<T>(pub Vec<(String, T)>);

impl<T: Serialize> Serialize for Named<T> {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(self.0.iter().map(|(name, value)| (name, value)))
    }
}

impl<T: Value> FromMap for Named<T> {
    type Limits = T::Limits;
    fn from_map<'de, A: MapAccess<'de>>(
        map: A,
        limits: &T::Limits,
        run: &Run,
    ) -> Result<Option<Self>, A::Error> {
        let mut entries = Entries::new(map, None, run);
        let mut named = Vec::new();
        while let Some(name) = entries.next_key()? {
            if let Some(value) = entries.value(limits)? {
                named.push((name, value));
            }
        }
        Ok((!entries.is_broken).then_some(Self(named)))
    }
}

impl<T: Value> Value for Named<T> {
    type Limits = T::Limits;
    fn read<'de, D: Deserializer<'de>>(
        source: D,
        limits: &T::Limits,
        run: &Run,
    ) -> Result<Option<Self>, D::Error> {
        source.deserialize_any(MapVisitor {
            run,
            limits,
            marker: PhantomData,
        })
    }
    fn absent() -> Option<Self> {
        Some(Self(Vec::new()))
    }
    fn is_absent(&self) -> bool {
        self.0.is_empty()
    }
    fn shape(limits: &T::Limits) -> Shape {
        Shape::Map(Box::new(T::shape(limits)))
    }
}

/// Visitor methods that turn every scalar and list into one sentence; the visitor adds what it does accept.
macro_rules! refuse_scalars {
    ($wanted:literal) => {
        fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
            f.write_str($wanted)
        }
        fn visit_i64<E: de::Error>(self, found: i64) -> Result<Self::Value, E> {
            self.refuse(&format!("`{found}`"))
        }
        fn visit_u64<E: de::Error>(self, found: u64) -> Result<Self::Value, E> {
            self.refuse(&format!("`{found}`"))
        }
        fn visit_i128<E: de::Error>(self, found: i128) -> Result<Self::Value, E> {
            self.refuse(&format!("`{found}`"))
        }
        fn visit_u128<E: de::Error>(self, found: u128) -> Result<Self::Value, E> {
            self.refuse(&format!("`{found}`"))
        }
        fn visit_f64<E: de::Error>(self, found: f64) -> Result<Self::Value, E> {
            self.refuse(&Scalar::Number(found).to_string())
        }
        fn visit_str<E: de::Error>(self, found: &str) -> Result<Self::Value, E> {
            self.refuse(&format!("`{}`", clip(found)))
        }
        fn visit_unit<E: de::Error>(self) -> Result<Self::Value, E> {
            self.refuse("nothing")
        }
        fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<Self::Value, A::Error> {
            while seq.next_element::<IgnoredAny>()?.is_some() {}
            self.refuse("a list")
        }
        fn visit_enum<A: EnumAccess<'de>>(self, tagged: A) -> Result<Self::Value, A::Error> {
            let tag = tag_of(tagged)?;
            self.refuse(&format!("the tag `{tag}`"))
        }
    };
}

/// `true`, `false`, or a section with the details.
#[derive(Debug, Clone, PartialEq, Default)]
pub enum Toggle<T> {
    /// Not there.
    #[default]
    Off,
    /// There, without details.
    On,
    /// There, with details.
    Detailed(T),
}

impl<T: Serialize> Serialize for Toggle<T> {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::Off => serializer.serialize_bool(false),
            Self::On => serializer.serialize_bool(true),
            Self::Detailed(details) => details.serialize(serializer),
        }
    }
}

impl<T: Section> Value for Toggle<T> {
    type Limits = ();
    fn read<'de, D: Deserializer<'de>>(
        source: D,
        (): &(),
        run: &Run,
    ) -> Result<Option<Self>, D::Error> {
        struct ToggleVisitor<'r, T>(&'r Run, PhantomData<T>);
        impl<T> ToggleVisitor<'_, T> {
            fn refuse<E: de::Error>(&self, found: &str) -> Result<Option<Toggle<T>>, E> {
                self.0.reject(format!(
                    "found {found}; allowed true, false or a section with keys"
                ))
            }
        }
        impl<'de, T: Section> Visitor<'de> for ToggleVisitor<'_, T> {
            type Value = Option<Toggle<T>>;
            refuse_scalars!("true, false or a section with keys");
            fn visit_bool<E: de::Error>(self, there: bool) -> Result<Self::Value, E> {
                Ok(Some(if there { Toggle::On } else { Toggle::Off }))
            }
            fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<Self::Value, A::Error> {
                Ok(T::from_map(map, &(), self.0)?.map(Toggle::Detailed))
            }
        }
        source.deserialize_any(ToggleVisitor(run, PhantomData))
    }
    fn absent() -> Option<Self> {
        Some(Self::Off)
    }
    fn is_absent(&self) -> bool {
        matches!(self, Self::Off)
    }
    fn shape((): &()) -> Shape {
        Shape::Either(Box::new(Shape::Flag), Box::new(Shape::Section(T::fields())))
    }
}

/// A type that is read from a mapping.
pub trait FromMap: Sized {
    /// What the entries' values need to be checked.
    type Limits;
    /// Reads the mapping to its end; None when an entry is wrong and already reported.
    fn from_map<'de, A: MapAccess<'de>>(
        map: A,
        limits: &Self::Limits,
        run: &Run,
    ) -> Result<Option<Self>, A::Error>;
}

/// A struct that is a mapping with known keys in the file; made by `section!`.
pub trait Section: FromMap<Limits = ()> {
    /// One row per key.
    fn fields() -> Vec<Field>;
}

/// Reads a mapping; anything else in its place is an error that can be passed over.
#[derive(Debug)]
pub struct MapVisitor<'r, T: FromMap> {
    /// The pass.
    pub run: &'r Run,
    /// Limits of the entries.
    pub limits: &'r T::Limits,
    /// The type to read.
    pub marker: PhantomData<T>,
}

impl<T: FromMap> MapVisitor<'_, T> {
    fn refuse<E: de::Error>(&self, found: &str) -> Result<Option<T>, E> {
        self.run.reject(format!(
            "found {found}; wanted a section with keys of its own"
        ))
    }
}

impl<'de, T: FromMap> Visitor<'de> for MapVisitor<'_, T> {
    type Value = Option<T>;
    refuse_scalars!("a section with keys");
    fn visit_bool<E: de::Error>(self, found: bool) -> Result<Option<T>, E> {
        self.refuse(&format!("`{found}`"))
    }
    fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<Option<T>, A::Error> {
        T::from_map(map, self.limits, self.run)
    }
}

/// The entries of one mapping.
#[derive(Debug)]
pub struct Entries<'r, A> {
    map: A,
    known: Option<&'static [&'static str]>,
    seen: Vec<String>,
    run: &'r Run,
    /// Whether an entry is wrong and already reported.
    is_broken: bool,
}

impl<'de, 'r, A: MapAccess<'de>> Entries<'r, A> {
    /// Entries with the `known` keys, or with free names.
    pub fn new(map: A, known: Option<&'static [&'static str]>, run: &'r Run) -> Self {
        Self {
            map,
            known,
            seen: Vec::new(),
            run,
            is_broken: false,
        }
    }

    /// The next good key.
    pub fn next_key(&mut self) -> Result<Option<String>, A::Error> {
        loop {
            let seed = KeySeed {
                known: self.known,
                seen: &self.seen,
                run: self.run,
            };
            match self.map.next_key_seed(seed)? {
                Some(Some(key)) => {
                    self.seen.push(key.clone());
                    return Ok(Some(key));
                }
                None => return Ok(None),
                Some(None) => {
                    self.is_broken = true;
                    self.map.next_value::<IgnoredAny>()?;
                }
            }
        }
    }

    /// The value of the key just read.
    pub fn value<T: Value>(&mut self, limits: &T::Limits) -> Result<Option<T>, A::Error> {
        let (map, run) = (&mut self.map, self.run);
        let key = self.seen.last().map_or("", String::as_str);
        let value = run.inside(key, || {
            if run.is_target() {
                map.next_value_seed(Stop(run)).map(|()| None)
            } else {
                map.next_value_seed(Seed {
                    limits,
                    run,
                    marker: PhantomData,
                })
            }
        })?;
        self.is_broken |= value.is_none();
        Ok(value)
    }

    /// What a section does with a key that the mapping did not have.
    pub fn missing<T: Value>(
        &mut self,
        key: &str,
        default: Option<T>,
    ) -> Result<Option<T>, A::Error> {
        if self.seen.iter().any(|seen| seen == key) {
            return Ok(None);
        }
        match default.or_else(T::absent) {
            Some(value) => Ok(Some(value)),
            None => self
                .run
                .inside(key, || self.run.reject("is missing and has no default")),
        }
    }

    /// Whether every entry was good.
    pub fn are_good(&self) -> bool {
        !self.is_broken
    }
}

struct KeySeed<'a> {
    known: Option<&'static [&'static str]>,
    seen: &'a [String],
    run: &'a Run,
}

impl<'de> DeserializeSeed<'de> for KeySeed<'_> {
    type Value = Option<String>;
    fn deserialize<D: Deserializer<'de>>(self, source: D) -> Result<Option<String>, D::Error> {
        read_scalar(source, self.run, "a key", |scalar| {
            let key = match scalar {
                Scalar::Text(text) => text.trim().to_owned(),
                other => other.to_string().replace('`', ""),
            };
            if self.seen.contains(&key) {
                return Err(format!("`{}` is given twice; keep one", clip(&key)));
            }
            match self.known {
                Some(known) if !known.contains(&key.as_str()) => Err(unknown_key(&key, known)),
                _ => Ok(key),
            }
        })
    }
}

fn unknown_key(key: &str, known: &[&str]) -> String {
    let near = known
        .iter()
        .filter(|k| strsim::damerau_levenshtein(k, key) <= 2 || key.contains(*k))
        .min_by_key(|k| strsim::damerau_levenshtein(k, key));
    let hint = near.map_or_else(String::new, |near| format!("; did you mean `{near}`?"));
    format!(
        "`{}` is not a key here; allowed: {}{hint}",
        clip(key),
        known.join(", ")
    )
}

struct Seed<'r, T: Value> {
    limits: &'r T::Limits,
    run: &'r Run,
    marker: PhantomData<T>,
}

impl<'de, T: Value> DeserializeSeed<'de> for Seed<'_, T> {
    type Value = Option<T>;
    fn deserialize<D: Deserializer<'de>>(self, source: D) -> Result<Option<T>, D::Error> {
        T::read(source, self.limits, self.run)
    }
}

/// Ends the pass at the value whose position is wanted.
struct Stop<'r>(&'r Run);

impl<'de> DeserializeSeed<'de> for Stop<'_> {
    type Value = ();
    fn deserialize<D: Deserializer<'de>>(self, source: D) -> Result<(), D::Error> {
        self.0.is_stopped.set(true);
        // A value that nothing visits is an error at its own place.
        source.deserialize_any(Nothing)
    }
}

struct Nothing;

impl Visitor<'_> for Nothing {
    type Value = ();
    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("the place of this value")
    }
}

/// Makes a struct, its reader, its writer's rules and its schema rows from one table:
/// `key: Type [= default], limits;` with the doc comment of each row.
macro_rules! section {
    (
        $(#[doc = $doc:literal])*
        $(#[derive($derive:ident)])?
        pub struct $name:ident {
            $( $(#[doc = $field_doc:literal])* $field:ident: $type:ty $(= $default:expr)?, $limits:expr; )*
        }
    ) => {
        $(#[doc = $doc])*
        #[derive(Debug, Clone, PartialEq, serde::Serialize $(, $derive)?)]
        pub struct $name {
            $(
                $(#[doc = $field_doc])*
                #[serde(skip_serializing_if = "crate::yaml::Value::is_absent")]
                pub $field: $type,
            )*
        }

        impl crate::yaml::FromMap for $name {
            type Limits = ();
            fn from_map<'de, A: serde::de::MapAccess<'de>>(
                map: A,
                (): &(),
                run: &crate::yaml::Run,
            ) -> Result<Option<Self>, A::Error> {
                let mut entries = crate::yaml::Entries::new(map, Some(&[$(stringify!($field)),*]), run);
                $(let mut $field: Option<$type> = None;)*
                while let Some(key) = entries.next_key()? {
                    match key.as_str() {
                        $(stringify!($field) => $field = entries.value(&$limits)?,)*
                        _ => {}
                    }
                }
                $(
                    if $field.is_none() {
                        $field = entries.missing(stringify!($field), section!(@default $($default)?))?;
                    }
                )*
                // None where an entry is missing or wrong, which is already reported.
                let read = || Some(Self { $($field: $field?,)* });
                Ok(if entries.are_good() { read() } else { None })
            }
        }

        impl crate::yaml::Section for $name {
            fn fields() -> Vec<crate::yaml::Field> {
                vec![$({
                    let default: Option<$type> = section!(@default $($default)?);
                    crate::yaml::Field {
                        key: stringify!($field),
                        doc: concat!($($field_doc),*).trim().to_owned(),
                        required: default.or_else(<$type as crate::yaml::Value>::absent).is_none(),
                        shape: <$type as crate::yaml::Value>::shape(&$limits),
                    }
                }),*]
            }
        }

        impl crate::yaml::Value for $name {
            type Limits = ();
            fn read<'de, D: serde::Deserializer<'de>>(
                source: D,
                limits: &(),
                run: &crate::yaml::Run,
            ) -> Result<Option<Self>, D::Error> {
                source.deserialize_any(crate::yaml::MapVisitor { run, limits, marker: std::marker::PhantomData })
            }
            fn shape((): &()) -> crate::yaml::Shape {
                crate::yaml::Shape::Section(<Self as crate::yaml::Section>::fields())
            }
        }
    };
    (@default) => { None };
    (@default $default:expr) => { Some($default) };
}
pub(crate) use section;

/// Makes an enum whose variants are words in the file.
macro_rules! choice {
    (
        $(#[doc = $doc:literal])*
        pub enum $name:ident { $( $(#[doc = $variant_doc:literal])* $variant:ident = $word:literal, )* }
    ) => {
        $(#[doc = $doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, serde::Serialize)]
        pub enum $name {
            $( $(#[doc = $variant_doc])* #[serde(rename = $word)] $variant, )*
        }

        impl $name {
            /// Every variant, in the order of the manual.
            pub const ALL: &'static [Self] = &[$(Self::$variant),*];

            /// The word for it in files, flags and reports.
            pub const fn word(self) -> &'static str {
                match self { $(Self::$variant => $word),* }
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str(self.word())
            }
        }

        impl std::str::FromStr for $name {
            type Err = String;
            fn from_str(text: &str) -> Result<Self, String> {
                match text.trim() {
                    $($word => Ok(Self::$variant),)*
                    other => Err(format!("found `{}`; allowed {}", crate::units::clip(other), [$($word),*].join(", "))),
                }
            }
        }

        impl crate::yaml::Value for $name {
            type Limits = ();
            fn read<'de, D: serde::Deserializer<'de>>(
                source: D,
                (): &(),
                run: &crate::yaml::Run,
            ) -> Result<Option<Self>, D::Error> {
                crate::yaml::read_scalar(source, run, "one word", |scalar| match scalar {
                    crate::yaml::Scalar::Text(text) => text.parse(),
                    other => other.to_string().replace('`', "").parse(),
                })
            }
            fn shape((): &()) -> crate::yaml::Shape {
                crate::yaml::Shape::Choice(vec![$($word),*])
            }
        }
    };
}
pub(crate) use choice;
