//! What kind of file it is, by the keys that no other kind has: so that one in the place of another is told by name.
//! Reading them is `file`'s business, and whoever owns the keys.

use std::path::Path;

use crate::Error;
use crate::cli::paths::shown;
use crate::file::{Document, Problem};

/// The kinds of files that commands read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    Frame,
    Rider,
    Record,
}

impl Kind {
    /// What a file looks like; None where no key tells.
    pub(super) fn of(document: &Document) -> Option<Self> {
        let telling = [
            // A record has a rider's and a frame's keys further in.
            (Self::Record, ["schema", "as_set"].as_slice()),
            (Self::Rider, &["height", "inseam", "measurements"]),
            (Self::Frame, &["style", "tyres"]),
        ];
        let found = telling
            .into_iter()
            .find(|(_, keys)| document.has_any_key(keys));
        found.map(|(kind, _)| kind)
    }

    /// As messages name it.
    pub(super) fn name(self) -> &'static str {
        match self {
            Self::Frame => "frame file",
            Self::Rider => "rider file",
            Self::Record => "record",
        }
    }

    /// Where such a file comes from, if a command writes it.
    fn writer(self) -> &'static str {
        match self {
            Self::Frame => "; `new FILE` writes frame files",
            Self::Rider => "",
            Self::Record => "; `handover --record FILE` writes records",
        }
    }

    /// That a file is of another kind, if it is.
    pub(super) fn instead_of(self, path: &Path, document: &Document) -> Option<Error> {
        let found = Self::of(document).filter(|found| *found != self)?;
        let message = format!(
            "is a {}, not a {}{}",
            found.name(),
            self.name(),
            self.writer()
        );
        Some(Problem::of_file(shown(path), message).into())
    }
}
