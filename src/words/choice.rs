//! Enums whose variants are words: flags, file keys and reports all take their words from such a table.
//! Knows no file and no command.

use crate::words::text::clip;

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
}
