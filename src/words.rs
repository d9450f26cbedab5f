//! Words: enums whose variants are words (`choice!`), and text made short and plain enough to print.
//! Flags, file keys and reports all take their words from such a table.
//! Knows no file, no command and no quantity.

/// An enum whose variants are words; made by `choice!`.
pub trait Word: Copy + Send + Sync + 'static {
    /// Every variant, in the order of the manual.
    const ALL: &'static [Self];
    /// The word for it in files, flags and reports.
    fn word(self) -> &'static str;
    /// What it means, in a sentence.
    fn about(self) -> &'static str;

    /// Every word, in the order of the manual.
    fn words() -> Vec<&'static str> {
        Self::ALL.iter().map(|variant| variant.word()).collect()
    }

    /// The variant for a word.
    fn from_word(text: &str) -> Result<Self, UnknownWord> {
        let mut variants = Self::ALL.iter().copied();
        variants
            .find(|variant| variant.word() == text.trim())
            .ok_or_else(|| UnknownWord {
                found: clip(text.trim()),
                allowed: Self::words(),
            })
    }
}

/// A text that is none of the words allowed in its place.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("found `{found}`; allowed {}", allowed.join(", "))]
pub struct UnknownWord {
    /// The text as found.
    pub found: String,
    /// The words that work.
    pub allowed: Vec<&'static str>,
}

/// Makes an enum whose variants are words, with all that files, flags and reports need of it: `ALL`, `word`,
/// `Display`, `FromStr`, `Serialize` and [`Word`]. `pub enum Name = Variant { … }` makes a variant the default.
macro_rules! choice {
    (
        $(#[doc = $doc:literal])*
        $vis:vis enum $name:ident $(= $default:ident)? {
            $( $(#[doc = $variant_doc:literal])* $variant:ident = $word:literal, )*
        }
    ) => {
        $(#[doc = $doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, serde::Serialize)]
        $vis enum $name {
            $( $(#[doc = $variant_doc])* #[serde(rename = $word)] $variant, )*
        }

        #[allow(dead_code, reason = "not every enum needs all of it")]
        impl $name {
            /// Every variant, in the order of the manual.
            $vis const ALL: &'static [Self] = &[$(Self::$variant),*];

            /// The word for it in files, flags and reports.
            $vis const fn word(self) -> &'static str {
                match self { $(Self::$variant => $word),* }
            }
        }

        impl $crate::words::Word for $name {
            const ALL: &'static [Self] = Self::ALL;
            fn word(self) -> &'static str {
                self.word()
            }
            fn about(self) -> &'static str {
                match self { $(Self::$variant => concat!($($variant_doc),*).trim_ascii()),* }
            }
        }

        $(impl Default for $name {
            fn default() -> Self {
                Self::$default
            }
        })?

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.pad(self.word())
            }
        }

        impl std::str::FromStr for $name {
            type Err = $crate::words::UnknownWord;
            fn from_str(text: &str) -> Result<Self, Self::Err> {
                $crate::words::Word::from_word(text)
            }
        }
    };
}
pub(crate) use choice;

/// Text from a file, short enough to quote in a message.
pub(crate) fn clip(text: &str) -> String {
    const LONGEST: usize = 40;
    let clean: String = text
        .chars()
        .take(LONGEST + 1)
        .map(|c| if c.is_control() { '?' } else { c })
        .collect();
    if clean.chars().count() > LONGEST {
        clean.chars().take(LONGEST).chain(['…']).collect()
    } else {
        clean
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

/// Names in a sentence: `` `a`, `b` or `c` ``.
pub(crate) fn either(names: &[String]) -> String {
    let quoted: Vec<_> = names.iter().map(|name| format!("`{name}`")).collect();
    match quoted.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} or {last}", rest.join(", ")),
        _ => quoted.concat(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    choice! {
        /// A gait.
        enum Gait = Trot {
            /// The slow one.
            Walk = "walk",
            /// The
            /// other one.
            Trot = "trot-on",
        }
    }

    #[test]
    fn a_choice_is_printed_read_and_written_by_its_word() {
        assert_eq!(Gait::default(), Gait::Trot);
        for gait in Gait::ALL.iter().copied() {
            assert_eq!(gait.to_string().parse(), Ok(gait));
            let json = serde_json::to_string(&gait).unwrap();
            assert_eq!(json, format!("\"{}\"", gait.word()));
        }
        assert_eq!(format!("[{:>8}]", Gait::Trot), "[ trot-on]");
        assert_eq!(Gait::Trot.about(), "The other one.");
        let unknown = "gallop".parse::<Gait>().unwrap_err().to_string();
        assert_eq!(unknown, "found `gallop`; allowed walk, trot-on");
    }

    #[test]
    fn names_are_listed_as_a_sentence_has_them() {
        let names = ["a", "b", "c"].map(str::to_owned);
        assert_eq!(either(&names[..1]), "`a`");
        assert_eq!(either(&names), "`a`, `b` or `c`");
    }
}
