//! Several bikes at once: from samples, files and folders; a bad file is reported and left out.
//! One bike alone is `input`'s business.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use indicatif::{ProgressBar, ProgressStyle};
use rayon::prelude::*;

use crate::bike::{Bike, library};
use crate::cli::{Error, Streams, input, output};
use crate::file::Problem;
use crate::report::contract::Skipped;

/// Which bikes are on the rack.
#[derive(Debug, clap::Args)]
#[command(next_help_heading = "Bikes")]
pub(super) struct FramesArgs {
    /// Frame files, - for standard input, or sample bikes such as trail-24; without any, every sample
    #[arg(value_name = "FRAME")]
    frames: Vec<PathBuf>,
    /// Every .yaml and .yml file in a folder, smallest wheel first
    #[arg(long = "frames", value_name = "DIR")]
    folder: Option<PathBuf>,
}

/// What was found.
pub(super) struct Found {
    /// The bikes that could be read.
    pub(super) bikes: Vec<Arc<Bike>>,
    /// The files that could not.
    pub(super) skipped: Vec<Skipped>,
}

impl FramesArgs {
    /// Reads the bikes; what is wrong with a file goes to standard error, with its place.
    pub(super) fn read(&self, streams: &mut Streams<'_>) -> Result<Found, Error> {
        let mut found = Found {
            bikes: Vec::new(),
            skipped: Vec::new(),
        };
        if self.frames.is_empty() && self.folder.is_none() {
            found.bikes = library::samples().collect();
            return Ok(found);
        }
        found.add_all(&self.frames, streams)?;
        if let Some(folder) = &self.folder {
            let named = found.bikes.len();
            // With its folder, so that no file is mistaken for a sample of the same name.
            found.add_all(&files_in(folder)?, streams)?;
            if let Some(from_folder) = found.bikes.get_mut(named..) {
                from_folder.sort_by(|a, b| {
                    a.layout
                        .wheel_radius_rear_mm
                        .total_cmp(&b.layout.wheel_radius_rear_mm)
                        .then_with(|| a.id.cmp(&b.id))
                });
            }
        }
        Ok(found)
    }
}

/// How far a long job has come, on a terminal only.
pub(super) fn progress(items: usize, doing: &'static str) -> ProgressBar {
    /// Fewer items than this are done before a bar could be read.
    const WORTH_A_BAR: usize = 1000;
    let bar = if items < WORTH_A_BAR {
        ProgressBar::hidden()
    } else {
        ProgressBar::new(items as u64).with_prefix(doing)
    };
    // A template that cannot be read leaves the plain bar.
    if let Ok(style) = ProgressStyle::with_template("{prefix} {pos}/{len} {bar:30} {eta} left") {
        bar.set_style(style);
    }
    bar
}

impl Found {
    fn add_all(&mut self, paths: &[PathBuf], streams: &mut Streams<'_>) -> Result<(), Error> {
        let bar = progress(paths.len(), "reading");
        let bikes: Vec<_> = paths
            .par_iter()
            .map(|path| {
                let bike = input::bike(path);
                bar.inc(1);
                bike
            })
            .collect();
        bar.finish_and_clear();
        for (path, bike) in paths.iter().zip(bikes) {
            self.add(path, bike, streams)?;
        }
        Ok(())
    }

    fn add(
        &mut self,
        path: &Path,
        bike: Result<Arc<Bike>, Error>,
        streams: &mut Streams<'_>,
    ) -> Result<(), Error> {
        match bike {
            Ok(bike) => self.bikes.push(bike),
            Err(Error::Input(problems)) => {
                let file = path.display().to_string();
                output::tell(streams, &format!("skipped {file}:"));
                for problem in &problems {
                    output::tell(streams, &problem.excerpt(true));
                }
                let all: Vec<String> = problems.iter().map(ToString::to_string).collect();
                self.skipped.push(Skipped {
                    file,
                    error: all.join("; "),
                });
            }
            Err(other) => return Err(other),
        }
        Ok(())
    }
}

/// The frame files of a folder by name. A folder that cannot be read is an error, an empty one is not.
fn files_in(folder: &Path) -> Result<Vec<PathBuf>, Error> {
    let unreadable = |error: std::io::Error| {
        Problem::of_file(
            folder.display().to_string(),
            format!("cannot be read as a folder of frame files: {error}"),
        )
    };
    let mut files = Vec::new();
    for entry in std::fs::read_dir(folder).map_err(unreadable)? {
        let path = entry.map_err(unreadable)?.path();
        let ending = path.extension().and_then(|ending| ending.to_str());
        if matches!(ending, Some("yaml" | "yml")) && path.is_file() {
            files.push(path);
        }
    }
    files.sort();
    Ok(files)
}
