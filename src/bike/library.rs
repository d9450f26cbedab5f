//! The sample bikes that ship inside the binary, so that an installed tool works anywhere.
//! Invented, every one; the files are in `frames/`, and a test holds this list against the folder.

use std::sync::Arc;

use crate::bike::Bike;
use crate::bike::spec::FrameSpec;
use crate::file::{Document, Error};

macro_rules! frames {
    ($($id:literal),* $(,)?) => {
        &[$(($id, include_str!(concat!("../../frames/", $id, ".yaml")))),*]
    };
}

/// Name and text of every sample, smallest first.
pub const SAMPLES: &[(&str, &str)] = frames![
    "balance-12",
    "balance-14",
    "street-14",
    "coaster-16",
    "street-16",
    "trail-16",
    "step-20",
    "street-20",
    "trail-20",
    "trail-20-plus",
    "street-24",
    "trail-24",
    "mixed-24",
    "step-26",
    "street-26",
    "trail-26",
    "trail-27",
];

/// A sample bike by its name.
pub fn sample(id: &str) -> Option<Arc<Bike>> {
    let (id, text) = SAMPLES.iter().find(|(name, _)| *name == id)?;
    // The samples are read in a test; a broken one is not a user's problem.
    read(id, &Document::from_text(*id, *text))
        .ok()
        .map(Arc::new)
}

/// Every sample bike, smallest first.
pub fn samples() -> impl Iterator<Item = Arc<Bike>> {
    SAMPLES.iter().filter_map(|(id, _)| sample(id))
}

/// A bike from a document.
///
/// # Errors
/// Everything that is wrong with the file, each with its place.
pub fn read(id: &str, document: &Document) -> Result<Bike, Error> {
    let spec: FrameSpec = document.read()?;
    Bike::new(id, spec).map_err(|error| document.place(error))
}
