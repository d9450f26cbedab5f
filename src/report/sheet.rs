//! What every printed sheet has: paper, head, letters, and text made fit for HTML on paper.
//! Card, stop card and build sheet fill the rest; the templates escape everything.

use crate::fit::Fit;
use crate::report::verdict_text::fit_figures;
use crate::units::Units;
use crate::words::{self, choice};

/// Letters of the fullest sheet, points.
const FULLEST_PT: f64 = 9.0;
/// Longest free text on a sheet, characters; more would push the page over.
const LONGEST_TEXT: usize = 50;

choice! {
    /// Paper to print on.
    pub enum Paper = A4 {
        /// 210 × 297 mm.
        A4 = "a4",
        /// 8.5 × 11 in.
        Letter = "letter",
    }
}

/// What goes on a sheet beside the handover itself.
#[derive(Debug, Clone, Default)]
pub struct Extras {
    /// Name of the shop.
    pub shop: Option<String>,
    /// Number stamped on the frame, where it is known.
    pub serial_number: Option<String>,
    /// Name of the technician.
    pub technician: Option<String>,
    /// A whole SVG document, 90 × 60 mm or of that shape.
    pub picture: Option<String>,
    /// Paper to print on.
    pub paper: Paper,
    /// Unit that its sentences put first.
    pub units: Units,
}

/// The head of a sheet.
#[derive(Debug)]
pub(super) struct Sheet {
    pub(super) page: &'static str,
    pub(super) font_pt: f64,
    pub(super) shop: String,
    pub(super) technician: String,
    pub(super) rider: String,
    pub(super) figures: String,
    pub(super) bike: String,
    pub(super) day: String,
}

impl Sheet {
    pub(super) fn new(bike: &str, day: String, font_pt: f64, extras: &Extras) -> Self {
        Self {
            page: match extras.paper {
                Paper::A4 => "A4",
                Paper::Letter => "letter",
            },
            font_pt,
            shop: short(extras.shop.as_deref().unwrap_or_default()),
            technician: short(extras.technician.as_deref().unwrap_or_default()),
            rider: String::new(),
            figures: String::new(),
            bike: short(bike),
            day,
        }
    }

    /// Height of a line as a share of its letters; less on the fullest sheet.
    pub(super) fn leading(&self) -> f64 {
        if self.font_pt > FULLEST_PT { 1.2 } else { 1.05 }
    }

    /// Room to sign in, mm; less on the fullest sheet.
    pub(super) fn sign_mm(&self) -> f64 {
        if self.font_pt > FULLEST_PT { 5.5 } else { 4.0 }
    }

    pub(super) fn with_rider(self, fit: &Fit, units: Units) -> Self {
        Self {
            rider: fit.rider.title(),
            figures: fit_figures(fit, units),
            ..self
        }
    }
}

/// Free text in one line of at most `longest` characters.
pub(super) fn cut(text: &str, longest: usize) -> String {
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
pub(crate) fn glue(text: &str) -> String {
    const UNITS: [&str; 8] = ["mm", "cm", "in", "bar", "psi", "kg", "N·m", "%"];
    const NO_BREAK_SPACE: char = '\u{a0}';
    let mut glued = String::with_capacity(text.len());
    for (index, word) in text.split(' ').enumerate() {
        let bare = word.trim_matches(|c: char| c.is_ascii_punctuation() && c != '%');
        let follows_figure = glued.ends_with(|c: char| c.is_ascii_digit() || c == '±');
        let belongs =
            UNITS.contains(&bare) || bare == "±" || bare.starts_with(|c: char| c.is_ascii_digit());
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

/// A whole page of HTML whose words have names between backticks, as a terminal does, with quotation marks instead.
/// Tags, which may hold what somebody typed, and text that is shown as it stands are left alone.
pub(crate) fn in_quotation_marks(html: String) -> String {
    if !html.contains('`') {
        return html;
    }
    let mut marked = String::with_capacity(html.len() + 64);
    let mut is_as_it_stands = false;
    for (index, part) in html.split_inclusive('>').enumerate() {
        let (words, tag) = part.split_at(part.find('<').unwrap_or(part.len()));
        // One backtick alone is no pair of quotation marks.
        let pairs = words.matches('`').count() / 2 * 2;
        if index == 0 || is_as_it_stands || pairs == 0 {
            marked.push_str(words);
        } else {
            for (place, between) in words.split('`').enumerate() {
                if place > 0 {
                    marked.push(match place {
                        place if place > pairs => '`',
                        place if place % 2 == 1 => '“',
                        _ => '”',
                    });
                }
                marked.push_str(between);
            }
        }
        marked.push_str(tag);
        is_as_it_stands = ["<pre", "<textarea", "<style", "<script"]
            .iter()
            .any(|start| tag.starts_with(start));
    }
    marked
}

/// The `<svg>` element of an SVG document, without the prolog that HTML does not know.
pub(super) fn element(svg: &str) -> &str {
    svg.find("<svg").map_or("", |start| &svg[start..])
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
    fn names_stand_between_quotation_marks_on_paper_and_what_was_typed_as_it_was() {
        let page = "<p title=\"a`b`\">`x y` or `z`.</p><pre>`kept`</pre><p>O`Neil</p>";
        assert_eq!(
            in_quotation_marks(page.to_owned()),
            "<p title=\"a`b`\">“x y” or “z”.</p><pre>`kept`</pre><p>O`Neil</p>"
        );
    }

    #[test]
    fn free_text_is_cut_by_characters_and_an_svg_loses_its_prolog() {
        assert_eq!(short(&"é".repeat(70)).chars().count(), LONGEST_TEXT);
        assert_eq!(short(" a\nb "), "a b");
        assert_eq!(element("<?xml version='1.0'?>\n<svg></svg>"), "<svg></svg>");
        assert_eq!(element("no picture"), "");
    }
}
