//! Text that travels: cleaned of what no reader sees and some programs obey, and guarded for spreadsheets.
//! Escaping for one format (quotes, angle brackets) belongs to that format's crate, not here.
//! Wording is not made here either.

use std::borrow::Cow;

/// Text from a file, a file name or a command line on one line, with everything that can be seen and nothing else:
/// line breaks and tabs become spaces; control, bidirectional, zero-width and other invisible characters and
/// non-characters are left out; the ends are trimmed. Cleaning twice changes nothing.
///
/// # References
/// Unicode 16: `General_Category=Cc`, `Bidi_Control`, `Default_Ignorable_Code_Point`, `Noncharacter_Code_Point`.
pub fn clean(text: &str) -> Cow<'_, str> {
    let is_plain = |c: char| !is_break(c) && !is_unseen(c);
    let trimmed = text.trim();
    if trimmed.chars().all(is_plain) {
        return Cow::Borrowed(trimmed);
    }
    let clean: String = text
        .chars()
        .filter(|c| is_break(*c) || !is_unseen(*c))
        .map(|c| if is_break(c) { ' ' } else { c })
        .collect();
    Cow::Owned(clean.trim().to_owned())
}

/// A cleaned text as a cell of a table that a spreadsheet may open: one that would be taken for a formula gets an
/// apostrophe in front. For text only; numbers are written as numbers.
///
/// # References
/// OWASP, CSV injection: `=`, `+`, `-`, `@`, tab, carriage return, line feed, and the full-width forms.
pub fn cell(text: &str) -> Cow<'_, str> {
    const FORMULA: [char; 9] = ['=', '+', '-', '@', '＝', '＋', '－', '＠', '−'];
    let breaks = text.starts_with(['\t', '\r', '\n']);
    let clean = clean(text);
    if breaks || clean.starts_with(FORMULA) {
        Cow::Owned(format!("'{clean}"))
    } else {
        clean
    }
}

/// Characters that end a line or part words, in some program or other.
fn is_break(c: char) -> bool {
    matches!(c, '\t'..='\r' | '\u{85}' | '\u{2028}' | '\u{2029}')
}

/// Characters that no one sees, or that move the ones that are seen.
fn is_unseen(c: char) -> bool {
    c.is_control()
        || matches!(c,
            '\u{ad}' | '\u{34f}' | '\u{61c}' | '\u{115f}'..='\u{1160}' | '\u{17b4}'..='\u{17b5}'
            | '\u{180b}'..='\u{180f}' | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}'
            | '\u{2060}'..='\u{206f}' | '\u{3164}' | '\u{fe00}'..='\u{fe0f}' | '\u{feff}' | '\u{ffa0}'
            | '\u{fff0}'..='\u{fffb}' | '\u{fdd0}'..='\u{fdef}' | '\u{1bca0}'..='\u{1bca3}'
            | '\u{1d173}'..='\u{1d17a}' | '\u{e0000}'..='\u{e0fff}')
        || u32::from(c) & 0xfffe == 0xfffe
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_seen_stays_and_what_is_not_goes() {
        for (found, kept) in [
            ("Trail 24", "Trail 24"),
            ("Jürgens Ζωή 自転車 ½ –", "Jürgens Ζωή 自転車 ½ –"),
            ("  spaced  ", "spaced"),
            ("red\u{1b}[31m", "red[31m"),
            ("two\r\nlines\tand", "two  lines and"),
            ("left\u{202e}right\u{2066}", "leftright"),
            ("z\u{200b}e\u{200d}r\u{feff}o\u{2060}\u{ad}", "zero"),
            ("\u{ffff}\u{fdd0}\u{1fffe}none", "none"),
            ("tag\u{e0041}\u{fe0f}ged", "tagged"),
            ("c1\u{9b}31m\u{85}next", "c131m next"),
            ("\u{3164}\u{200b} \u{7}", ""),
        ] {
            assert_eq!(clean(found), kept, "{found:?}");
            assert_eq!(clean(&clean(found)), kept, "{found:?} twice");
        }
    }

    /// OWASP's list, checked against its page on CSV injection (from memory).
    #[test]
    fn no_text_cell_starts_a_formula() {
        for text in [
            "=1+1",
            "+1",
            "-1",
            "@SUM(A1)",
            "\t=1",
            "\r=1",
            "\n1",
            "＝1",
            "＋1",
            "－1",
            "＠1",
            " =1",
            "\u{200b}=1",
            "-",
        ] {
            let cell = cell(text);
            assert!(cell.starts_with('\''), "{text:?} became {cell:?}");
        }
        for text in ["Trail 24", "1+1", "a=b", "", "'quoted"] {
            assert_eq!(cell(text), text);
        }
    }
}
