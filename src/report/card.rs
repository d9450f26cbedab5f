//! The handover card: one printed page, one file, nothing fetched, readable in black and white.
//! Everything is escaped by the template; numbers and sentences come from `advice::handover`.
//! The picture is a finished SVG from `draw`, put in as it is.

use askama::Template;

use crate::advice::handover::Handover;
use crate::advice::handover::bolts::Bolt;
use crate::cautions::CAUTIONS;
use crate::fit::forecast::Raise;
use crate::report::handover_text::{DO_NOT, lever_settings, load, needs, pressure, sag, torque};
use crate::report::verdict_text::sureness;
use crate::units::Units;
use crate::words::{self, choice};

/// Longest free text on the card, characters; more would push the page over.
const LONGEST_TEXT: usize = 50;
/// Longest name of a part, characters.
const LONGEST_PART: usize = 28;
/// Most bolt rows that the page holds; the rest is named as missing, never dropped in silence.
const MOST_BOLTS: usize = 22;
/// Most dates of the saddle schedule that the page holds.
const MOST_RAISES: usize = 4;

/// Most bolt rows, and size of the letters in points, that a page still holds with room to spare.
const ROOMY: (usize, f64) = (21, 8.0);
/// Size of the letters on a crowded card or on the shorter paper, points.
const CROWDED_PT: f64 = 7.6;

choice! {
    /// Paper to print on.
    pub enum Paper = A4 {
        /// 210 × 297 mm.
        A4 = "a4",
        /// 8.5 × 11 in.
        Letter = "letter",
    }
}

/// What goes on the card beside the handover itself.
#[derive(Debug, Clone, Default)]
pub struct Extras {
    /// Name of the shop.
    pub shop: Option<String>,
    /// Name of the technician.
    pub technician: Option<String>,
    /// A whole SVG document, 90 × 60 mm or of that shape.
    pub picture: Option<String>,
    /// Paper to print on.
    pub paper: Paper,
    /// Unit that its sentences put first.
    pub units: Units,
}

#[derive(Template)]
#[template(path = "handover.html", config = "src/report/askama.toml")]
struct Card<'a> {
    page: &'static str,
    font_pt: f64,
    shop: String,
    technician: String,
    rider: String,
    bike: String,
    handover: &'a Handover,
    sure: Option<String>,
    again: Option<String>,
    warning: Option<&'static str>,
    picture: Option<&'a str>,
    units: Units,
    bolts: &'a [Bolt],
    bolts_left_out: usize,
    raises: Vec<&'a Raise>,
    raises_left_out: usize,
}

/// Free text in one line of at most `longest` characters.
fn cut(text: &str, longest: usize) -> String {
    let clean = words::clean(text);
    if clean.chars().count() > longest {
        clean.chars().take(longest - 1).chain(['…']).collect()
    } else {
        clean.into_owned()
    }
}

/// Free text that has a line of the head to itself.
fn short(text: &str) -> String {
    cut(text, LONGEST_TEXT)
}

/// Keeps a figure and its unit on one line: a break inside `3 1/8 in` is misread.
fn glue(text: &str) -> String {
    const UNITS: [&str; 8] = ["mm", "cm", "in", "bar", "psi", "kg", "N·m", "%"];
    const NO_BREAK_SPACE: char = '\u{a0}';
    let mut glued = String::with_capacity(text.len());
    for (index, word) in text.split(' ').enumerate() {
        let bare = word.trim_matches(|c: char| c.is_ascii_punctuation() && c != '%');
        let follows_figure = glued.ends_with(|c: char| c.is_ascii_digit());
        let belongs = UNITS.contains(&bare) || bare.starts_with(|c: char| c.is_ascii_digit());
        if index > 0 {
            glued.push(if follows_figure && belongs {
                NO_BREAK_SPACE
            } else {
                ' '
            });
        }
        glued.push_str(word);
    }
    glued
}

/// The `<svg>` element of an SVG document, without the prolog that HTML does not know.
fn element(svg: &str) -> &str {
    svg.find("<svg").map_or("", |start| &svg[start..])
}

/// The card as one HTML file.
///
/// # Errors
/// When the template cannot be written out, which its types rule out.
pub fn card(handover: &Handover, extras: &Extras) -> Result<String, askama::Error> {
    let is_roomy = extras.paper == Paper::A4 && handover.bolts.len() <= ROOMY.0;
    let shown = handover.bolts.len().min(MOST_BOLTS);
    Card {
        page: match extras.paper {
            Paper::A4 => "A4",
            Paper::Letter => "letter",
        },
        font_pt: if is_roomy { ROOMY.1 } else { CROWDED_PT },
        shop: short(extras.shop.as_deref().unwrap_or_default()),
        technician: short(extras.technician.as_deref().unwrap_or_default()),
        rider: handover.fit.rider.title(),
        bike: short(&handover.fit.bike.spec.name),
        handover,
        sure: sureness(&handover.fit),
        again: handover
            .fit
            .odds
            .and_then(|odds| odds.remeasure)
            .map(|again| again.words()),
        warning: (!handover.fit.verdict.fits()).then_some(DO_NOT),
        picture: extras.picture.as_deref().map(element),
        units: extras.units,
        bolts: &handover.bolts[..shown],
        bolts_left_out: handover.bolts.len() - shown,
        raises: handover.raises().take(MOST_RAISES).collect(),
        raises_left_out: handover.raises().count().saturating_sub(MOST_RAISES),
    }
    .render()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_figure_stays_with_its_unit() {
        assert_eq!(
            glue("80 mm (3 1/8 in), 5 to spare"),
            "80\u{a0}mm (3\u{a0}1/8\u{a0}in), 5 to spare"
        );
        assert_eq!(glue(" plain  text"), " plain  text");
    }

    #[test]
    fn free_text_is_cut_by_characters_and_an_svg_loses_its_prolog() {
        assert_eq!(short(&"é".repeat(70)).chars().count(), LONGEST_TEXT);
        assert_eq!(short(" a\nb "), "a b");
        assert_eq!(element("<?xml version='1.0'?>\n<svg></svg>"), "<svg></svg>");
        assert_eq!(element("no picture"), "");
    }
}
