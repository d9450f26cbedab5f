//! Several bikes at once: from samples, files and folders; a bad file is reported and left out.
//! Each is read, worked on and let go, so that a large rack is never in memory whole. One bike alone is `input`'s
//! business.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use indicatif::{ProgressBar, ProgressStyle};
use rayon::prelude::*;

use crate::bike::{Bike, library};
use crate::cli::outcome::{Error, Outcome, excerpt};
use crate::cli::paths::shown;
use crate::cli::{input, mistakes};
use crate::file::Problem;
use crate::report::contract::Skipped;
use crate::words;
use crate::words::clip;

/// Bad files that are told one by one; the rest is counted.
const MOST_TOLD: usize = 10;

/// Which bikes are on the rack.
#[derive(Debug, clap::Args)]
#[command(next_help_heading = "Bikes")]
pub(super) struct FramesArgs {
    /// Frame files, - for standard input, or sample bikes such as trail-24; without any, every sample
    #[arg(value_name = "FRAME", value_parser = mistakes::frame())]
    frames: Vec<PathBuf>,
    /// Every .yaml and .yml file in a folder, smallest wheel first
    #[arg(long = "frames", value_name = "DIR")]
    folder: Option<PathBuf>,
}

/// Where the bikes come from, before any is read.
pub(super) struct Listed {
    /// Files and samples by name, in the order given.
    named: Vec<PathBuf>,
    /// Files of a folder, with the folder, so that none is mistaken for a sample of the same name.
    from_folder: Vec<PathBuf>,
    /// What was left out, in words.
    notes: Vec<String>,
}

/// What was made of them.
pub(super) struct Found<T> {
    /// One for each bike that could be read.
    pub(super) made: Vec<T>,
    /// The files that could not.
    pub(super) skipped: Vec<Skipped>,
    /// What is wrong with a file, with its place, and what was left out.
    pub(super) notes: Vec<String>,
}

impl<T> Found<T> {
    /// Files of which none could be read are bad input.
    pub(super) fn outcome(&self) -> Outcome {
        if self.made.is_empty() && !self.skipped.is_empty() {
            Outcome::BadInput
        } else {
            Outcome::Fine
        }
    }
}

impl FramesArgs {
    /// As if only this folder had been named.
    pub(super) fn of_folder(folder: &Path) -> Self {
        Self {
            frames: Vec::new(),
            folder: Some(folder.to_owned()),
        }
    }

    /// Looks where the bikes are.
    pub(super) fn list(&self) -> Result<Listed, Error> {
        let mut listed = Listed {
            named: self.frames.clone(),
            from_folder: Vec::new(),
            notes: Vec::new(),
        };
        match &self.folder {
            Some(folder) => listed.look_into(folder)?,
            None if self.frames.is_empty() => {
                listed.named = library::SAMPLES.iter().map(|(id, _)| id.into()).collect();
            }
            None => {}
        }
        Ok(listed)
    }
}

impl Listed {
    /// How many bikes there are at most.
    pub(super) fn len(&self) -> usize {
        self.named.len() + self.from_folder.len()
    }

    /// Every file that is read.
    pub(super) fn files(&self) -> impl Iterator<Item = &Path> {
        self.named
            .iter()
            .chain(&self.from_folder)
            .map(PathBuf::as_path)
    }

    /// Reads every bike and makes something of it, on every core; those of a folder are put in order by wheel and
    /// name. A terminal sees how far it has come.
    pub(super) fn each<T: Send>(
        self,
        doing: &'static str,
        work: impl Fn(Arc<Bike>) -> T + Sync,
    ) -> Found<T> {
        self.each_read_by(doing, input::bike, work)
    }

    /// The same, each file read in a way of the caller's own.
    pub(super) fn each_read_by<T: Send>(
        self,
        doing: &'static str,
        read: impl Fn(&Path) -> Result<Arc<Bike>, crate::Error> + Sync,
        work: impl Fn(Arc<Bike>) -> T + Sync,
    ) -> Found<T> {
        let bar = progress(self.len(), doing);
        let mut found = Found::new(self.notes);
        let read = |path: &Path| {
            let bike = read(path)?;
            let key: Key = (bike.layout.wheel_radius_rear_mm, bike.id.clone());
            Ok((key, work(bike)))
        };
        for (_, made) in found.read_all(&self.named, &bar, &read) {
            found.made.push(made);
        }
        let mut from_folder = found.read_all(&self.from_folder, &bar, &read);
        from_folder.sort_by(|(a, _), (b, _)| a.0.total_cmp(&b.0).then_with(|| a.1.cmp(&b.1)));
        found
            .made
            .extend(from_folder.into_iter().map(|(_, made)| made));
        bar.finish_and_clear();
        found.sum_up();
        found
    }

    /// The frame files of a folder by name, and how many other things are in it. A folder that cannot be read is an
    /// error, an empty one is not.
    fn look_into(&mut self, folder: &Path) -> Result<(), Error> {
        let (files, left_out) = yaml_files(folder, "frame files")?;
        self.from_folder = files;
        self.notes.extend(left_out);
        Ok(())
    }
}

/// The .yaml and .yml files of a folder by name, and a line on what else is in it. `what` they are is for the
/// message when the folder cannot be read.
pub(super) fn yaml_files(
    folder: &Path,
    what: &str,
) -> Result<(Vec<PathBuf>, Option<String>), Error> {
    let unreadable = |error: std::io::Error| {
        let message = format!("cannot be read as a folder of {what}: {error}");
        Problem::of_file(shown(folder), message)
    };
    let mut files = Vec::new();
    let mut others: BTreeMap<String, usize> = BTreeMap::new();
    for entry in std::fs::read_dir(folder).map_err(unreadable)? {
        let entry = entry.map_err(unreadable)?;
        let path = entry.path();
        // A link is followed; nothing else needs another look.
        let (is_folder, is_file) = match entry.file_type() {
            Ok(kind) if !kind.is_symlink() => (kind.is_dir(), kind.is_file()),
            _ => (path.is_dir(), path.is_file()),
        };
        let kind = if is_folder {
            "folders".to_owned()
        } else {
            match path.extension().map(|ending| ending.to_string_lossy()) {
                Some(ending) if is_yaml(&ending) && is_file => {
                    files.push(path);
                    continue;
                }
                Some(ending) if is_yaml(&ending) => "pipes or devices".to_owned(),
                Some(ending) => format!(".{}", clip(&ending)),
                None => "without ending".to_owned(),
            }
        };
        *others.entry(kind).or_default() += 1;
    }
    files.sort();
    let left_out = (!others.is_empty()).then(|| left_out(folder, others));
    Ok((files, left_out))
}

/// Whether files with this ending are frames, riders or records.
pub(super) fn is_yaml(ending: &str) -> bool {
    ["yaml", "yml"].contains(&ending.to_ascii_lowercase().as_str())
}

/// One line on what a folder holds besides frame files, the most frequent first.
fn left_out(folder: &Path, others: BTreeMap<String, usize>) -> String {
    const MOST_KINDS: usize = 8;
    let mut kinds: Vec<(String, usize)> = others.into_iter().collect();
    kinds.sort_by_key(|(_, count)| std::cmp::Reverse(*count));
    let rest: usize = kinds.iter().skip(MOST_KINDS).map(|(_, count)| count).sum();
    let mut words: Vec<String> = kinds
        .iter()
        .take(MOST_KINDS)
        .map(|(kind, count)| format!("{count} {kind}"))
        .collect();
    if rest > 0 {
        words.push(format!("{rest} of other kinds"));
    }
    format!(
        "left out of {}, which is read for .yaml and .yml files: {}",
        shown(folder),
        words.join(", ")
    )
}

pub(super) fn progress(count: usize, doing: &'static str) -> ProgressBar {
    /// Fewer items than this are done before a bar could be read.
    const WORTH_A_BAR: usize = 1000;
    if count < WORTH_A_BAR {
        return ProgressBar::hidden();
    }
    let bar = ProgressBar::new(count as u64).with_prefix(doing);
    // A template that cannot be read leaves the plain bar.
    if let Ok(style) = ProgressStyle::with_template("{prefix} {pos}/{len} {bar:30} {eta} left") {
        bar.set_style(style);
    }
    bar
}

/// What a folder's bikes are put in order by: rear wheel, then name.
type Key = (f64, String);

impl<T> Found<T> {
    /// All of these, and nothing wrong.
    pub(super) fn of(made: Vec<T>) -> Self {
        Self {
            made,
            ..Self::new(Vec::new())
        }
    }

    /// Nothing yet but these lines.
    pub(super) fn new(notes: Vec<String>) -> Self {
        Self {
            made: Vec::new(),
            skipped: Vec::new(),
            notes,
        }
    }

    /// Reads files on every core, in their order; a bad one is told and left out.
    pub(super) fn read_all<R: Send>(
        &mut self,
        paths: &[PathBuf],
        bar: &ProgressBar,
        read: &(impl Fn(&Path) -> Result<R, crate::Error> + Sync),
    ) -> Vec<R> {
        /// Bounds what is held of bad files; large enough to keep every core busy.
        const AT_ONCE: usize = 1024;
        let mut all = Vec::with_capacity(paths.len());
        for paths in paths.chunks(AT_ONCE) {
            let some: Vec<_> = paths
                .par_iter()
                .map(|path| {
                    let made = read(path);
                    bar.inc(1);
                    made
                })
                .collect();
            for (path, made) in paths.iter().zip(some) {
                match made {
                    Ok(made) => all.push(made),
                    Err(error) => self.skip(path, &error.into_problems()),
                }
            }
        }
        all
    }

    /// Says how many more files were left out than were told.
    pub(super) fn sum_up(&mut self) {
        if let Some(more) = self.skipped.len().checked_sub(MOST_TOLD + 1) {
            let line = format!(
                "skipped {} more files that cannot be read; `inseam check FILE` says what is wrong with each",
                more + 1
            );
            self.notes.push(line);
        }
    }

    fn skip(&mut self, path: &Path, problems: &[Problem]) {
        /// Problems of one file that a rack's report repeats.
        const MOST_REPEATED: usize = 3;
        let file = shown(path);
        if self.skipped.len() < MOST_TOLD {
            self.notes.push(format!("skipped {file}:"));
            self.notes.extend(problems.iter().map(excerpt));
        }
        let mut error: Vec<String> = problems
            .iter()
            .take(MOST_REPEATED)
            .map(|problem| words::clean(&problem.to_string()).into_owned())
            .collect();
        if let Some(more) = problems.len().checked_sub(MOST_REPEATED + 1) {
            error.push(format!("and {} more", more + 1));
        }
        self.skipped.push(Skipped {
            file,
            error: error.join("; "),
        });
    }
}
