//! Text and numbers made short enough to print. Wording is not made here.

use crate::words::clean::clean;

/// Text from a file, cleaned and short enough to quote in a message.
pub(crate) fn clip(text: &str) -> String {
    const LONGEST: usize = 40;
    let clean = clean(text);
    if clean.chars().count() > LONGEST {
        clean.chars().take(LONGEST).chain(['…']).collect()
    } else {
        clean.into_owned()
    }
}

/// A number with at most `places` decimals and no trailing zeros.
pub(crate) fn tidy(number: f64, places: usize) -> String {
    /// From here on a number is a slip of the finger, and its digits are noise.
    const READABLE: f64 = 1e12;
    if number.abs() >= READABLE {
        return format!("{number:e}");
    }
    let text = format!("{number:.places$}");
    let text = if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.')
    } else {
        &text
    };
    if text == "-0" {
        "0".to_owned()
    } else {
        text.to_owned()
    }
}

/// By how much something is missed, to so many places: an amount above zero never reads like none, but as `under 0.1`.
pub(crate) fn missed(amount: f64, places: usize) -> String {
    let said = tidy(amount, places);
    if amount > 0.0 && said == "0" {
        let step = 10_f64.powi(-i32::try_from(places).unwrap_or_default());
        format!("under {}", tidy(step, places))
    } else {
        said
    }
}

/// A chance in whole percent that never rounds up to certainty.
pub(crate) fn percent(chance: f64) -> String {
    if chance < 1.0 {
        tidy((chance * 100.0).floor().clamp(1.0, 99.0), 0)
    } else {
        "over 99".to_owned()
    }
}

/// Names in a sentence: `` `a`, `b` or `c` ``.
pub(crate) fn either(names: &[String]) -> String {
    let quoted: Vec<_> = names.iter().map(|name| format!("`{name}`")).collect();
    match quoted.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} or {last}", rest.join(", ")),
        _ => quoted.concat(),
    }
}

/// A sentence of its own: a capital first, one full stop or its question mark last.
pub(crate) fn sentence(text: &str) -> String {
    let text = text.trim_end_matches('.');
    let end = if text.ends_with('?') { "" } else { "." };
    let mut letters = text.chars();
    let first = letters
        .next()
        .map(|first| first.to_uppercase().collect::<String>());
    format!("{}{}{end}", first.unwrap_or_default(), letters.as_str())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sentence_has_one_end() {
        for (text, told) in [
            ("measure again", "Measure again."),
            ("Measure again.", "Measure again."),
            ("not the trouser seam?", "Not the trouser seam?"),
        ] {
            assert_eq!(sentence(text), told);
        }
    }

    #[test]
    fn names_are_listed_as_a_sentence_has_them() {
        let names = ["a", "b", "c"].map(str::to_owned);
        assert_eq!(either(&names[..1]), "`a`");
        assert_eq!(either(&names), "`a`, `b` or `c`");
    }
}
