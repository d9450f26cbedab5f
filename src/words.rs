//! Text that may go anywhere: cleaned once, of everything that is not seen but acts.
//! What the words say is their owner's business; how wide they are is the page's or the terminal's.

/// `text` without what cannot be seen: control characters, marks that turn the direction of writing,
/// characters of no width, and code points that are no characters. What breaks a line becomes a space.
pub fn clean(text: &str) -> String {
    text.chars()
        .filter_map(|c| match c {
            '\t' | '\n' | '\u{b}' | '\u{c}' | '\r' | '\u{85}' | '\u{2028}' | '\u{2029}' => {
                Some(' ')
            }
            _ if c.is_control() || is_unseen(c) || is_no_character(c) => None,
            _ => Some(c),
        })
        .collect()
}

/// Whether a character has no ink of its own and changes how its neighbours are read or joined.
fn is_unseen(c: char) -> bool {
    matches!(c,
        // Soft hyphen, grapheme joiner, direction marks and overrides.
        '\u{ad}' | '\u{34f}' | '\u{61c}' | '\u{180e}' | '\u{200b}'..='\u{200f}'
        | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{206f}'
        // Byte order mark, annotations, tags.
        | '\u{feff}' | '\u{fff9}'..='\u{fffb}' | '\u{e0000}'..='\u{e0fff}')
}

/// Code points that Unicode keeps out of text (23.7), which XML refuses in part.
fn is_no_character(c: char) -> bool {
    let point = u32::from(c);
    (0xfdd0..=0xfdef).contains(&point) || point & 0xfffe == 0xfffe
}

#[cfg(test)]
mod tests {
    use super::clean;

    #[test]
    fn what_is_not_seen_goes_and_what_is_seen_stays() {
        assert_eq!(clean("a\u{0}b\u{202e}c\u{ffff}d\u{1b}"), "abcd");
        assert_eq!(clean("x\u{200b}y\u{feff}z\u{fdd0}\u{2066}\u{1fffe}"), "xyz");
        assert_eq!(clean("Ümläut 漢 🚲 e\u{301}"), "Ümläut 漢 🚲 e\u{301}");
    }

    #[test]
    fn a_line_end_parts_words() {
        assert_eq!(clean("one\ntwo\tthree\u{2028}four"), "one two three four");
    }
}
