//! A folder of children: rider files read like a rack of frames; a bad one is said and left out.
//! One rider alone is `input`'s business.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use jiff::civil::Date;

use crate::advice::book::Child;
use crate::cli::frames::{Found, progress, yaml_files};
use crate::cli::input;
use crate::cli::outcome::Error;
use crate::cli::paths::id_of;
use crate::rider::Rider;

/// The children's files.
pub(super) struct Riders {
    /// What was made of them.
    pub(super) found: Found<Child>,
    /// Every file that was looked at.
    pub(super) files: Vec<PathBuf>,
}

/// Every .yaml and .yml file of a folder as a child on the given day.
pub(super) fn riders(folder: &Path, on: Date) -> Result<Riders, Error> {
    let (files, left_out) = yaml_files(folder, "rider files")?;
    let bar = progress(files.len(), "reading");
    let mut found = Found::new(left_out.into_iter().collect());
    found.made = found.read_all(&files, &bar, &|path: &Path| {
        let document = input::open(path)?;
        let file = input::rider_file(path, &document)?;
        let rider = Rider::new(&file, on).map_err(|error| document.place(error))?;
        let rider = Arc::new(rider);
        Ok(Child {
            id: id_of(path),
            rider,
            is_namesake: false,
        })
    });
    bar.finish_and_clear();
    found.sum_up();
    Ok(Riders { found, files })
}
