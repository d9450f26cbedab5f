//! Letters: sizes and weights, how wide a line comes out, and lines cut, shrunk or wrapped to their room.
//! Widths come from a table and lean to the wide side, so that a box holds its text in any plain sans-serif face.
//! Where a line stands and what it says is decided by the picture.

/// Advance widths of the printable ASCII characters from space on, thousandths of the size: the
/// widths that common sans-serif faces (Helvetica's published metrics) share.
#[rustfmt::skip]
const WIDTHS: [u16; 95] = [
    278, 278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333, 278, 278,
    556, 556, 556, 556, 556, 556, 556, 556, 556, 556, 278, 278, 584, 584, 584, 556,
    1015, 667, 667, 722, 722, 667, 611, 778, 722, 278, 500, 667, 556, 833, 722, 778,
    667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 278, 278, 278, 469, 556,
    333, 556, 556, 500, 556, 556, 278, 556, 556, 222, 222, 500, 222, 833, 556, 556,
    556, 556, 333, 500, 278, 556, 500, 722, 500, 500, 500, 334, 260, 334, 584,
];
/// Room for faces wider than the table and for bold.
const SLACK: f64 = 1.19;
/// Bold over regular.
const BOLD: f64 = 1.13;
/// Capital height with its accent over the size.
pub(super) const ASCENT: f64 = 0.80;
/// Depth of g and p over the size.
pub(super) const DESCENT: f64 = 0.24;

/// Weight of a face.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Weight {
    Regular,
    Bold,
}

/// A size and weight of type, and the colour it is written in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Face {
    pub(super) size: f64,
    pub(super) weight: Weight,
    pub(super) class: &'static str,
}

impl Face {
    const fn new(size: f64, weight: Weight, class: &'static str) -> Self {
        Self {
            size,
            weight,
            class,
        }
    }

    /// The same in another size.
    pub(super) const fn sized(self, size: f64) -> Self {
        Self { size, ..self }
    }

    /// The same in another colour class.
    pub(super) const fn class(self, class: &'static str) -> Self {
        Self { class, ..self }
    }

    /// Widest that `text` comes out, mm.
    pub(super) fn width(self, text: &str) -> f64 {
        text_width(text, self.size, self.weight)
    }

    /// From the middle of a line down to the base line under it, so that capitals stand centred.
    pub(super) const fn below_middle(self) -> f64 {
        0.36 * self.size
    }

    /// Height of the box that a line may fill.
    pub(super) const fn height(self) -> f64 {
        (ASCENT + DESCENT) * self.size
    }

    /// A smaller face where the text would not fit its room, down to [`SMALLEST`].
    pub(super) fn shrunk(self, text: &str, room: f64) -> Self {
        let width = self.width(text);
        if width <= room {
            return self;
        }
        // A hair less than the room, so that rounding does not cut the text after all.
        self.sized((self.size * 0.999 * room / width).max(SMALLEST.min(self.size)))
    }

    /// `text` shortened with an ellipsis until it is no wider than `room`.
    pub(super) fn fitted(self, text: &str, room: f64) -> String {
        if self.width(text) <= room {
            return text.to_owned();
        }
        let mut kept: Vec<char> = text.chars().collect();
        while kept.pop().is_some() {
            let shorter = kept.iter().collect::<String>().trim_end().to_owned() + "…";
            if self.width(&shorter) <= room {
                return shorter;
            }
        }
        String::new()
    }

    /// `text` broken between words into lines no wider than `room`; a longer word keeps its line.
    pub(super) fn wrapped(self, text: &str, room: f64) -> Vec<String> {
        let mut lines: Vec<String> = Vec::new();
        for word in text.split_whitespace() {
            if let Some(line) = lines.last_mut() {
                let longer = format!("{line} {word}");
                if self.width(&longer) <= room {
                    *line = longer;
                    continue;
                }
            }
            lines.push(word.to_owned());
        }
        lines
    }

    /// The same in at most `most` lines; what is left over ends in an ellipsis.
    pub(super) fn wrapped_to(self, text: &str, room: f64, most: usize) -> Vec<String> {
        let mut lines = self.wrapped(text, room);
        if lines.len() > most {
            let rest = lines.split_off(most.saturating_sub(1)).join(" ");
            lines.push(rest);
        }
        for line in &mut lines {
            *line = self.fitted(line, room);
        }
        lines
    }
}

/// The smallest type that is still easily read on an A4 print, mm.
pub(super) const SMALLEST: f64 = 2.5;

pub(super) const TITLE: Face = Face::new(6.6, Weight::Bold, "ink");
pub(super) const HEADING: Face = Face::new(5.4, Weight::Bold, "ink");
pub(super) const SUBTITLE: Face = Face::new(3.5, Weight::Regular, "quiet");
pub(super) const VERDICT: Face = Face::new(5.6, Weight::Bold, "ink");
pub(super) const NAME: Face = Face::new(3.4, Weight::Regular, "ink");
pub(super) const FIGURE: Face = Face::new(5.0, Weight::Bold, "ink");
pub(super) const VALUE: Face = Face::new(3.8, Weight::Bold, "ink");
pub(super) const NOTE: Face = Face::new(3.0, Weight::Regular, "quiet");
pub(super) const LEGEND: Face = Face::new(3.1, Weight::Regular, "ink");
pub(super) const CAUTION: Face = Face::new(3.3, Weight::Bold, "ink");

/// Widest that `text` comes out at `size`, in the unit of `size`.
fn text_width(text: &str, size: f64, weight: Weight) -> f64 {
    let thousandths: f64 = text.chars().map(character_width).sum();
    let bold = if weight == Weight::Bold { BOLD } else { 1.0 };
    thousandths / 1000.0 * size * SLACK * bold
}

fn character_width(character: char) -> f64 {
    let printable = (character as usize).checked_sub(' ' as usize);
    match printable.and_then(|index| WIDTHS.get(index)) {
        Some(width) => f64::from(*width),
        None if "°·’‘".contains(character) => 400.0,
        None if ('\u{a0}'..'\u{250}').contains(&character) => 780.0,
        // Ideographs fill the square; pictographs exceed it.
        None => 1300.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_text_is_cut_to_its_room_and_says_so() {
        let long = "a name that goes on and on ".repeat(20);
        let cut = FIGURE.fitted(&long, 80.0);
        assert!(cut.ends_with('…') && cut.len() > 10, "{cut}");
        assert!(FIGURE.width(&cut) <= 80.0);
        assert_eq!(NAME.fitted("short", 80.0), "short");
    }

    #[test]
    fn words_wrap_and_none_is_lost() {
        let text = "not checked: needs one thing and another";
        let lines = NOTE.wrapped(text, 30.0);
        assert!(lines.len() > 1, "{lines:?}");
        assert_eq!(lines.join(" "), text);
        for line in lines {
            assert!(NOTE.width(&line) <= 30.0);
        }
    }

    #[test]
    fn a_long_name_takes_its_lines_and_no_more() {
        assert_eq!(
            NAME.wrapped_to("Sample street 20", 60.0, 2),
            ["Sample street 20"]
        );
        let name = "A bicycle with a name that nobody in the shop can say in one breath";
        let long = NAME.wrapped_to(name, 50.0, 2);
        assert_eq!(long.len(), 2);
        assert!(long.iter().all(|line| NAME.width(line) <= 50.0));
        assert!(long[1].ends_with('…'));
        let one_word = NAME.wrapped_to(&"x".repeat(90), 50.0, 2);
        assert!(one_word.len() == 1 && one_word[0].ends_with('…'));
    }

    #[test]
    fn type_shrinks_to_its_room_and_no_further_than_can_be_read() {
        let face = FIGURE.shrunk("1234 to 1250 mm", 40.0);
        assert!(face.size < FIGURE.size && face.width("1234 to 1250 mm") <= 40.0);
        approx::assert_abs_diff_eq!(FIGURE.shrunk(&"x".repeat(500), 40.0).size, SMALLEST);
    }
}
