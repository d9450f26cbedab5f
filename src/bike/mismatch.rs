//! Figures of a file to look at again: against the drawing, against one another, or with a likely wrong sign.
//! A contradiction that leaves no bike at all is an error of `layout` or `spec`.

use crate::bike::complete::{Doubt, Parameter, Prior, Quarrel};
use crate::bike::drawing::Drawing;
use crate::bike::figure::{Figure, Given, LOWER_HEADSET_MM, Reading};
use crate::bike::layout::Layout;
use crate::bike::spec::FrameSpec;
use crate::file::Problem;
use crate::units::{Units, tidy};
use crate::words::key_in_words;

/// Difference between a given and a drawn figure that is still rounding: lengths, mm, and angles, degrees.
const TOLERANCE: [f64; 2] = [5.0, 1.0];
/// Beyond this many standard deviations of a reading, rounding or not, a figure is off.
const TOLERANCE_SD: f64 = 3.5;

/// A figure to look at again.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mismatch {
    /// Its key in the frame file.
    pub key: &'static str,
    /// What the file says, mm or degrees.
    pub said: f64,
    /// What it is held against, mm or degrees.
    pub expected: f64,
    /// Whether both are angles.
    pub is_angle: bool,
    /// What says otherwise.
    pub against: Against,
}

/// What contradicts a figure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Against {
    /// The full drawing.
    Drawing,
    /// The full drawing, and the tape that confirms it: a chart's figure is wrong, and nothing rests on it.
    DrawingAndTape,
    /// The other figures, closest tied first.
    Figures([Option<&'static str>; 2]),
    /// The usual sign on such wheels.
    Sign,
    /// The lowest saddle, which stands above the top tube on every bike.
    Saddle,
}

/// The last part of a dotted key.
fn last(path: &str) -> &str {
    path.rsplit('.').next().unwrap_or(path)
}

impl Mismatch {
    /// Whether it is of the figure with this key, whoever took it.
    pub(crate) fn is_of(&self, path: &str) -> bool {
        last(self.key) == last(path)
    }

    /// Whether it is the figure that is wrong, or may be: the first that it is tied to may as well be.
    pub(crate) fn is_about(&self, figure: Figure) -> bool {
        if self.is_settled() {
            return false;
        }
        let tied = match self.against {
            Against::Figures([first, _]) => first,
            // Either may be the wrong one.
            Against::Saddle => Some(Figure::SeatHeightLowest.key()),
            Against::Drawing | Against::DrawingAndTape | Against::Sign => None,
        };
        let mut paths = [Some(self.key), tied].into_iter().flatten();
        paths.any(|path| last(path) == figure.key())
    }

    /// Whether it is known which figure is wrong, so that no tape has to tell.
    pub(crate) fn is_settled(&self) -> bool {
        self.against == Against::DrawingAndTape
    }

    /// One plain sentence.
    pub fn words(&self, units: Units) -> String {
        let show = |value: f64| {
            if self.is_angle {
                format!("{}°", tidy(value, 1))
            } else {
                units.length(value)
            }
        };
        let (said, expected) = (show(self.said), show(self.expected));

        match self.against {
            Against::Drawing => {
                let stays = if self.key.starts_with("measured.") {
                    ": if the tape stays so, the drawing is not this bike's; take out of it what nobody measured, and the tape decides"
                } else {
                    ""
                };
                format!(
                    "{}: the file says {said}, its geometry gives {expected}; measure the bike, one of the figures is wrong{stays}",
                    self.key
                )
            }
            Against::DrawingAndTape => format!(
                "{}: the file says {said}, its geometry and the tape give {expected}: take it out",
                self.key
            ),
            Against::Figures([first, second]) => {
                let against = match (first, second) {
                    (Some(first), Some(second)) => {
                        format!(
                            "{} and {} make it",
                            key_in_words(first),
                            key_in_words(second)
                        )
                    }
                    (Some(only), None) => format!("{} makes it", key_in_words(only)),
                    _ => "it is".to_owned(),
                };
                // The drawing's own keys are exact and take no spread.
                let is_read =
                    |key: &str| key.starts_with("measured.") || key.starts_with("published.");
                let spread = if self.is_angle { "0.5°" } else { "2 mm" };
                let stays = if is_read(self.key) {
                    format!("; if it stays, write `± {spread}` behind it, and it is believed")
                } else if first.is_some_and(is_read) {
                    "; if all stay, write `± 2 mm` behind each that takes a tape, and it is believed"
                        .to_owned()
                } else {
                    String::new()
                };
                format!(
                    "{}: {said}, where {against} about {expected} on bikes with such wheels: measure it again, then the others{stays}",
                    self.key
                )
            }
            Against::Saddle => format!(
                "{}: {said}, not below the lowest saddle at {expected}, and a saddle stands above the top tube: measure both again",
                self.key
            ),
            Against::Sign => format!(
                "{}: {said}, where bikes on such wheels have about {expected}: is the sign right?",
                self.key
            ),
        }
    }
}

/// The same as an error, where it leaves no bike to draw.
pub(super) fn refusal(quarrel: &Quarrel) -> Problem {
    let mismatch = from_quarrel(quarrel);
    Problem::at_key(
        quarrel.path,
        mismatch
            .words(Units::Mm)
            .replacen(&format!("{}: ", quarrel.path), "", 1),
    )
}

fn from_quarrel(quarrel: &Quarrel) -> Mismatch {
    Mismatch {
        key: quarrel.path,
        said: quarrel.said,
        expected: quarrel.expected,
        is_angle: last(quarrel.path).ends_with("angle"),
        against: Against::Figures(quarrel.tied),
    }
}

/// Everything to look at again.
pub(super) fn of(
    spec: &FrameSpec,
    drawing: &Drawing,
    layout: &Layout,
    doubt: Option<&Doubt>,
    prior: &Prior,
) -> Vec<Mismatch> {
    let mut found: Vec<_> = match doubt {
        Some(doubt) => doubt.quarrel.iter().map(from_quarrel).collect(),
        None => against_drawing(spec, drawing, layout),
    };
    found.extend(wrong_sign(spec, prior));
    found.extend(above_the_saddle(spec).filter(|_| found.is_empty()));
    found
}

/// Every figure outside what a full drawing allows.
fn against_drawing(spec: &FrameSpec, drawing: &Drawing, layout: &Layout) -> Vec<Mismatch> {
    let allowed = |figure, tolerance| {
        let (low, high) = drawn(figure, drawing, layout);
        low - tolerance..=high + tolerance
    };
    let tolerance = |reading: &Reading| {
        TOLERANCE[usize::from(reading.figure.is_angle())].max(TOLERANCE_SD * reading.sd)
    };
    // By a tape that can tell the one from the other.
    let is_measured_as_drawn = |figure, said: f64| {
        spec.readings().any(|reading| {
            reading.given == Given::Measured
                && reading.figure == figure
                && allowed(figure, tolerance(&reading)).contains(&reading.value)
                && (reading.value - said).abs() > tolerance(&reading)
        })
    };
    let readings = spec.readings().map(|reading| {
        (
            reading.figure,
            reading.path(),
            reading.value,
            tolerance(&reading),
        )
    });
    let fork = spec.fork.axle_to_crown.map(|length| {
        (
            Figure::AxleToCrown,
            "fork.axle_to_crown",
            length.mm(),
            TOLERANCE[0],
        )
    });
    readings
        .chain(fork)
        .filter_map(|(figure, key, said, tolerance)| {
            let (low, high) = drawn(figure, drawing, layout);
            let is_confirmed = allowed(figure, tolerance).contains(&said);
            (!is_confirmed).then(|| Mismatch {
                key,
                said,
                expected: said.clamp(low, high),
                is_angle: figure.is_angle(),
                against: if is_measured_as_drawn(figure, said) {
                    Against::DrawingAndTape
                } else {
                    Against::Drawing
                },
            })
        })
        .collect()
}

/// The range that a full drawing allows a figure.
fn drawn(figure: Figure, drawing: &Drawing, layout: &Layout) -> (f64, f64) {
    let exact = figure.of(drawing, layout);
    match figure {
        // Makers measure along the steerer or straight to the axle, with or without the lower headset part.
        Figure::AxleToCrown => {
            let along = layout.fork_below_head_tube_mm;
            let straight = along.hypot(drawing.fork_offset_mm);
            (along - LOWER_HEADSET_MM, straight)
        }
        _ => (
            exact - figure.meaning_sd_mm(),
            exact + figure.meaning_sd_mm(),
        ),
    }
}

/// A standover that is not below the lowest saddle, where both are given.
fn above_the_saddle(spec: &FrameSpec) -> Option<Mismatch> {
    let read = |figure| {
        spec.readings()
            .find(move |reading| reading.figure == figure)
    };
    let (standover, lowest) = (read(Figure::Standover)?, read(Figure::SeatHeightLowest)?);
    (standover.value >= lowest.value).then(|| Mismatch {
        key: standover.path(),
        said: standover.value,
        expected: lowest.value,
        is_angle: false,
        against: Against::Saddle,
    })
}

/// A bottom-bracket drop that would be usual with the other sign, and is far from usual with this one.
fn wrong_sign(spec: &FrameSpec, prior: &Prior) -> Option<Mismatch> {
    const FAR_MM: f64 = 20.0;
    let published = spec
        .published
        .as_ref()
        .and_then(|figures| figures.bottom_bracket_drop);
    let measured = spec
        .measured
        .as_ref()
        .and_then(|figures| figures.bottom_bracket_drop);
    let drawn = Parameter::BottomBracketDrop.drawn(spec);
    let (key, said) = drawn
        .map(|said| (Parameter::BottomBracketDrop.path(), said))
        .or(measured.map(|said| (Figure::BottomBracketDrop.path(Given::Measured), said.mm())))
        .or(published.map(|said| (Figure::BottomBracketDrop.path(Given::Published), said.mm())))?;
    let (mean, _) = prior.at(spec);
    let usual = mean[Parameter::BottomBracketDrop as usize];
    let off = (said - usual).abs();
    let turned = (-said - usual).abs();
    (off > FAR_MM && turned < off / 2.0).then_some(Mismatch {
        key,
        said,
        expected: usual,
        is_angle: false,
        against: Against::Sign,
    })
}
