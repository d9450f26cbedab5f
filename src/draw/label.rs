//! Where words go: their width, the boxes they take, and columns of call-outs that never overlap.
//! Widths come from a table and lean to the wide side, so that a box holds its text in any plain sans-serif face.
//! What a label says is decided by the picture.

/// A rectangle on paper, mm from the top left, y down.
#[derive(Debug, Clone, Copy, PartialEq)]
#[expect(missing_docs, reason = "the usual four")]
pub struct Rect {
    pub x: f64,
    pub y: f64,
    pub width: f64,
    pub height: f64,
}

impl Rect {
    /// Right edge.
    pub fn right(self) -> f64 {
        self.x + self.width
    }

    /// Lower edge.
    pub fn bottom(self) -> f64 {
        self.y + self.height
    }

    /// Whether the two share any area.
    pub fn overlaps(self, other: Self) -> bool {
        self.x < other.right()
            && other.x < self.right()
            && self.y < other.bottom()
            && other.y < self.bottom()
    }

    /// Whether `inner` lies inside.
    pub fn holds(self, inner: Self) -> bool {
        inner.x >= self.x
            && inner.y >= self.y
            && inner.right() <= self.right()
            && inner.bottom() <= self.bottom()
    }
}

/// One line of text in a picture and the box it may fill.
#[derive(Debug, Clone, PartialEq)]
pub struct Label {
    /// As drawn, after shortening.
    pub text: String,
    /// The space it takes at most.
    pub place: Rect,
}

/// A picture's lay-out, for checks by box arithmetic.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// The sheet.
    pub view_box: Rect,
    /// Millimetres of bike in one millimetre of paper.
    pub scale: f64,
    /// Every line of text.
    pub labels: Vec<Label>,
}

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

/// Widest that `text` comes out at `size`, in the unit of `size`.
pub(super) fn text_width(text: &str, size: f64, weight: Weight) -> f64 {
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

/// `text` shortened with an ellipsis until it is no wider than `room`.
pub(super) fn fitted(text: &str, size: f64, weight: Weight, room: f64) -> String {
    if text_width(text, size, weight) <= room {
        return text.to_owned();
    }
    let mut kept: Vec<char> = text.chars().collect();
    while kept.pop().is_some() {
        let shorter = kept.iter().collect::<String>().trim_end().to_owned() + "…";
        if text_width(&shorter, size, weight) <= room {
            return shorter;
        }
    }
    String::new()
}

/// `text` broken between words into lines no wider than `room`; a longer word keeps its line.
pub(super) fn wrapped(text: &str, size: f64, weight: Weight, room: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        if let Some(line) = lines.last_mut() {
            let longer = format!("{line} {word}");
            if text_width(&longer, size, weight) <= room {
                *line = longer;
                continue;
            }
        }
        lines.push(word.to_owned());
    }
    lines
}

/// Text that may stand in XML and cannot reorder its neighbours: no control characters, no
/// direction overrides, no characters that XML forbids.
pub(super) fn printable(text: &str) -> String {
    let is_allowed = |c: &char| {
        !(c.is_control()
            || ('\u{202a}'..='\u{202e}').contains(c)
            || ('\u{2066}'..='\u{2069}').contains(c)
            || matches!(c, '\u{fffe}' | '\u{ffff}'))
    };
    text.chars().filter(is_allowed).collect()
}

/// What a column is filled with: how tall, and where it would like its middle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Wish {
    pub(super) height: f64,
    pub(super) middle: f64,
}

/// Tops of boxes stacked between `top` and `bottom`, `gap` apart, each as near its wish as the
/// others allow (least squares), in the order given. When they need more than there is, the gaps
/// shrink first; the caller keeps the sum of heights within the column.
pub(super) fn stack(wishes: &[Wish], top: f64, bottom: f64, gap: f64) -> Vec<f64> {
    let heights: f64 = wishes.iter().map(|wish| wish.height).sum();
    let between = wishes.len().saturating_sub(1);
    let gap = if between == 0 {
        gap
    } else {
        #[expect(clippy::cast_precision_loss, reason = "a handful")]
        let widest = (bottom - top - heights) / between as f64;
        gap.min(widest)
    };
    // Each box's wish, pulled up by what stands above it: then "not overlapping" is "not falling".
    let mut above = 0.0;
    let mut offsets = Vec::with_capacity(wishes.len());
    // Runs of boxes that touch: how many, and the sum of their wishes (pool adjacent violators).
    let mut runs: Vec<(usize, f64)> = Vec::new();
    for wish in wishes {
        offsets.push(above);
        runs.push((1, wish.middle - wish.height / 2.0 - above));
        above += wish.height + gap;
        while let [.., before, last] = runs.as_slice()
            && mean(*before) > mean(*last)
        {
            let merged = (before.0 + last.0, before.1 + last.1);
            runs.truncate(runs.len() - 2);
            runs.push(merged);
        }
    }
    let highest = bottom - (above - gap).max(0.0);
    let starts = runs
        .iter()
        .flat_map(|run| std::iter::repeat_n(mean(*run), run.0));
    starts
        .zip(offsets)
        .map(|(start, offset)| start.min(highest).max(top) + offset)
        .collect()
}

#[expect(clippy::cast_precision_loss, reason = "a handful")]
fn mean((count, sum): (usize, f64)) -> f64 {
    sum / count as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    fn wish(middle: f64) -> Wish {
        Wish {
            height: 10.0,
            middle,
        }
    }

    #[test]
    fn boxes_with_room_stand_where_they_wish() {
        assert_eq!(
            stack(&[wish(20.0), wish(60.0)], 0.0, 100.0, 2.0),
            [15.0, 55.0]
        );
    }

    #[test]
    fn boxes_that_want_one_place_share_it_evenly() {
        assert_eq!(
            stack(&[wish(50.0), wish(50.0), wish(50.0)], 0.0, 100.0, 2.0),
            [33.0, 45.0, 57.0]
        );
    }

    #[test]
    fn boxes_stay_in_the_column_and_apart_even_when_it_is_full() {
        for middle in [-500.0, 0.0, 50.0, 500.0] {
            let tops = stack(&[wish(middle); 9], 0.0, 100.0, 3.0);
            assert!(tops[0] >= 0.0 && tops[8] + 10.0 <= 100.0 + 1e-9, "{tops:?}");
            assert!(
                tops.windows(2).all(|pair| pair[1] - pair[0] >= 10.0 - 1e-9),
                "{tops:?}"
            );
        }
    }

    #[test]
    fn long_text_is_cut_to_its_room_and_says_so() {
        let long = "a name that goes on and on ".repeat(20);
        let cut = fitted(&long, 5.0, Weight::Bold, 80.0);
        assert!(cut.ends_with('…') && cut.len() > 10, "{cut}");
        assert!(text_width(&cut, 5.0, Weight::Bold) <= 80.0);
        assert_eq!(fitted("short", 5.0, Weight::Regular, 80.0), "short");
    }

    #[test]
    fn words_wrap_and_none_is_lost() {
        let text = "not checked: needs one thing and another";
        let lines = wrapped(text, 3.0, Weight::Regular, 30.0);
        assert!(lines.len() > 1, "{lines:?}");
        assert_eq!(lines.join(" "), text);
        for line in lines {
            assert!(text_width(&line, 3.0, Weight::Regular) <= 30.0);
        }
    }

    #[test]
    fn text_never_carries_what_xml_forbids() {
        assert_eq!(printable("a\u{0}b\u{202e}c\u{ffff}d\n"), "abcd");
    }
}
