//! What makes a text no tree: the parser's complaints in words that name the cure, at the place that is meant.
//! Knows how people slip, not how the parser is called: that is `node`. What is wrong with values is `decode`'s business.

use super::error::Span;

/// Where, and what.
pub(super) type Fault = (Span, String);

pub(super) const TOO_DEEP: &str = "has more than 32 lists or sections inside each other";
const NO_COLON: &str = "has no colon behind its key; write `key: value`";
const NO_BLANK: &str = "has no blank behind its colon or dash; write `key: value`";
const TWO_COLONS: &str = "has a second colon in its value; put the value in quotes";
const INDENT: &str = "stands where no key can: this line or the one above is indented wrongly";
const BELOW: &str = "is followed by a line that is indented too far";
const TAB: &str = "is indented by a tab; write spaces";
const QUOTE: &str = "opens a quote that nothing closes";
const BEHIND_A_QUOTE: &str =
    "goes on behind a closed quote; write a quote inside single quotes twice, as in 'Kid''s bike'";
const BRACKET: &str =
    "opens a bracket that nothing closes, or in which a comma or a value is missing";

/// Words of the parser, and ours.
const CURES: [(&str, &str); 12] = [
    ("simple key expect ':'", NO_COLON),
    ("mapping values are not allowed", INDENT),
    ("did not find expected key", INDENT),
    ("comment intercepting the multiline text", BELOW),
    ("must be followed by a valid YAML whitespace", NO_BLANK),
    ("invalid trailing content", BEHIND_A_QUOTE),
    ("indentation in quoted scalar", QUOTE),
    ("found unexpected end of stream", QUOTE),
    ("indentation in flow construct", BRACKET),
    ("while parsing a flow", BRACKET),
    ("recursion limit", TOO_DEEP),
    ("tab", TAB),
];

/// The first control character of a text is its fault.
pub(super) fn control_character(text: &str) -> Result<(), Fault> {
    let is_plain = |byte: &u8| matches!(byte, b' '..=b'~' | b'\n' | b'\t');
    // Counted rather than searched for: most files have none, and a count is quicker than a search to the end.
    if text.bytes().filter(is_plain).count() == text.len() {
        return Ok(());
    }
    let is_odd = |c: char| c.is_control() && !matches!(c, '\n' | '\t');
    match text.chars().position(is_odd) {
        Some(at) => Err((Span::at(at), "has a control character".to_owned())),
        None => Ok(()),
    }
}

/// What the parser `said` of a text, so many characters from its start.
pub(super) fn of(text: &str, said: &str, at: usize) -> Fault {
    let byte = text
        .char_indices()
        .nth(at)
        .map_or(text.len(), |(byte, _)| byte);
    let read = &text[..byte];
    let (above, line) = read.rsplit_once('\n').unwrap_or(("", read));
    let last_above = last_written(above);
    let cure = CURES.iter().find(|(theirs, _)| said.contains(theirs));
    let (message, meant) = match cure.map(|(_, ours)| *ours) {
        Some(INDENT) if line.contains(": ") => (TWO_COLONS, None),
        Some(INDENT) if last_above.is_some_and(|at| !has_colon(&above[at..])) => {
            (NO_COLON, last_above)
        }
        Some(NO_COLON) => (NO_COLON, last_written(read)),
        Some(BRACKET) => (BRACKET, open_bracket(read)),
        Some(TAB) => (TAB, tab_in_indent(text, above.len())),
        None if said.contains("expected node content") && open_bracket(read).is_some() => {
            (BRACKET, open_bracket(read))
        }
        Some(other) => (other, None),
        None => {
            return (
                Span::at(at),
                format!("is not YAML that can be read: {said}"),
            );
        }
    };
    let at = meant.map_or(at, |byte| text[..byte].chars().count());
    (Span::at(at), message.to_owned())
}

/// Where the last line begins that is neither empty nor a comment, bytes.
fn last_written(text: &str) -> Option<usize> {
    let is_written = |line: &&str| !line.is_empty() && !line.starts_with('#');
    let line = text.lines().map(str::trim).rfind(is_written)?;
    text.rfind(line)
}

fn has_colon(text: &str) -> bool {
    let line = text.lines().next().unwrap_or_default().trim_end();
    line.contains(": ") || line.ends_with(':')
}

/// The last bracket that is still open, bytes; brackets in quotes and comments are taken for brackets.
fn open_bracket(text: &str) -> Option<usize> {
    let mut open = Vec::new();
    for (at, c) in text.char_indices() {
        match c {
            '[' | '{' => open.push(at),
            ']' | '}' => {
                open.pop();
            }
            _ => {}
        }
    }
    open.pop()
}

/// The first tab before the text of a line, from a place on, bytes.
fn tab_in_indent(text: &str, from: usize) -> Option<usize> {
    let mut tabs = text[from..].match_indices('\t').map(|(tab, _)| from + tab);
    tabs.find(|tab| {
        let indent = text[..*tab].rsplit('\n').next();
        indent.is_some_and(|indent| indent.trim().is_empty())
    })
}

#[cfg(test)]
mod tests {
    use crate::file::node::parse;

    #[test]
    fn what_is_no_tree_is_placed_and_says_what_to_do() {
        let table = [
            ("name x\nb: 2\n", 1, 1, "no colon behind its key"),
            ("a: 1\nb 2\n\n# c\nc: 3\n", 2, 1, "no colon behind its key"),
            ("a:\n  b: 1\n  c 2\n", 3, 3, "no colon behind its key"),
            ("a:\n  b:1\n  c: 2\n", 2, 3, "no colon behind its key"),
            ("a: 1\n  b: 2\n", 2, 4, "indented wrongly"),
            ("a:\n  b: 1\n c: 2\n", 3, 2, "indented wrongly"),
            ("a:\n  b: 1 # c\n   d: 2\n", 2, 8, "is indented too far"),
            ("name: A: B\n", 1, 8, "second colon"),
            (
                "a: 'Kid's bike'\n",
                1,
                9,
                "write a quote inside single quotes twice",
            ),
            ("a:\n\tb: 1\n", 2, 1, "indented by a tab"),
            ("a: 1\n\tb: 1\n", 2, 1, "indented by a tab"),
            ("a:\ttrail\n", 1, 4, "no blank behind its colon"),
            ("a: \"open\nb: 1\n", 1, 4, "opens a quote"),
            ("a: {x: 1\nb: 2\n", 1, 4, "opens a bracket"),
            ("a: {x: 1 y: 2}\n", 1, 4, "opens a bracket"),
            ("a: [", 1, 4, "opens a bracket"),
            ("a: {b: [1, }\n", 1, 8, "opens a bracket"),
            ("a: 1\n---\nb: 2\n", 2, 1, "more than one document"),
            ("a: \u{7}x\n", 1, 4, "a control character"),
            ("a: é\u{85}\n", 1, 5, "a control character"),
            ("a: &x [*x]\n", 1, 8, "stands for what it is a part of"),
            ("a: *x\n", 1, 4, "unknown anchor"),
        ];
        for (text, line, column, words) in table {
            let (span, message) = parse(text).unwrap_err();
            assert_eq!(span.place(text), (line, column), "{text:?}: {message}");
            assert!(message.contains(words), "{text:?}: {message}");
        }
    }
}
