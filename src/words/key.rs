//! A file's dotted keys as a shop says them: `cranks.length` is the crank length.
//! Which keys there are is `bike::spec` and `rider::measures`; nothing is asked for here.

use std::borrow::Cow;

/// Sections whose name says nothing about the figure in them.
const SILENT: [&str; 4] = ["frame.", "cockpit.", "measured.", "published."];
/// Sections of several whose figure is of one.
const SEVERAL: [(&str, &str); 3] = [("cranks", "crank"), ("tyres", "tyre"), ("brakes", "brake")];

/// One key, or several with `and` between them, in words; what is no key stays as it is.
pub(crate) fn key_in_words(key: &str) -> Cow<'_, str> {
    let keys: Vec<_> = key.split(" and ").collect();
    if keys.iter().any(|key| key.contains(' ')) {
        return Cow::Borrowed(key);
    }
    let words: Vec<_> = keys.into_iter().map(one_in_words).collect();
    Cow::Owned(words.join(" and "))
}

fn one_in_words(key: &str) -> String {
    let bare = SILENT.iter().find_map(|section| key.strip_prefix(section));
    let mut parts: Vec<_> = bare.unwrap_or(key).split('.').collect();
    if parts.len() > 1 {
        for (several, one) in SEVERAL {
            if parts[0] == several {
                parts[0] = one;
            }
        }
    }
    // A brake is the front one or the rear one.
    if let ["brake", which, ..] = parts.as_mut_slice() {
        let which = std::mem::replace(which, "brake");
        parts[0] = which;
    }
    parts.join(" ").replace('_', " ")
}

/// The same with the key behind it, for whoever writes it into the file; a figure of a tape is its own key.
pub(crate) fn key_to_give(key: &str) -> Cow<'_, str> {
    let words = key_in_words(key);
    if !key.contains('.') || key.starts_with("measured.") || words == key {
        words
    } else {
        Cow::Owned(format!("{words} ({key})"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_key_is_said_as_a_shop_says_it() {
        for (key, words, given) in [
            ("brakes", "brakes", "brakes"),
            (
                "weight in the frame file",
                "weight in the frame file",
                "weight in the frame file",
            ),
            (
                "measured.seat_height_lowest",
                "seat height lowest",
                "seat height lowest",
            ),
            (
                "cranks.length",
                "crank length",
                "crank length (cranks.length)",
            ),
            (
                "frame.seat_tube.diameter",
                "seat tube diameter",
                "seat tube diameter (frame.seat_tube.diameter)",
            ),
            (
                "brakes.front.reach",
                "front brake reach",
                "front brake reach (brakes.front.reach)",
            ),
            (
                "tyres.max_pressure",
                "tyre max pressure",
                "tyre max pressure (tyres.max_pressure)",
            ),
            (
                "cranks.q_factor and cranks.pedal_width",
                "crank q factor and crank pedal width",
                "crank q factor and crank pedal width (cranks.q_factor and cranks.pedal_width)",
            ),
        ] {
            assert_eq!(key_in_words(key), words);
            assert_eq!(key_to_give(key), given);
        }
    }
}
