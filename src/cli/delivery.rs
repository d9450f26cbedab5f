//! What a command hands over, and the one place that carries it out: files whole or not at all, then the answer.
//! Commands render everything first; here every file is written beside its target before the first is renamed, every
//! file stands before a letter is printed, and the exit code is settled before that. Nothing is rendered here.
//!
//! What cannot be undone: when the system refuses to rename the second of two files after the first has replaced an
//! older one, the older one is gone (a first file with a new name is taken away again); when the answer cannot be
//! printed, the files stay; a power cut may lose what the system had not yet put on the disk.

use std::collections::BTreeSet;
use std::ffi::OsStr;
use std::fmt;
use std::fs::{self, File, Metadata};
use std::io::{self, BufWriter, Write};
use std::path::{Path, PathBuf};

use serde::Serialize;
use tempfile::NamedTempFile;

use crate::cli::outcome::{Error, Outcome, Streams};
use crate::cli::paths::{not_a_file, shown};
use crate::report::json;

/// Everything that one command leaves behind.
#[derive(Debug)]
pub(super) struct Delivery {
    /// How the program ends, whether or not anybody reads the answer.
    pub(super) outcome: Outcome,
    answer: Answer,
    files: Vec<NewFile>,
    inputs: Vec<PathBuf>,
    notes: Vec<String>,
}

/// A file to be written.
#[derive(Debug)]
struct NewFile {
    /// What it is, for the line that tells where.
    what: &'static str,
    target: PathBuf,
    contents: String,
}

type Writer = dyn FnOnce(&mut dyn Write) -> io::Result<()>;

/// What goes to standard output.
enum Answer {
    Whole(Vec<u8>),
    /// Too large to hold twice; made while it is written, from values that are complete.
    Stream(Box<Writer>),
}

impl fmt::Debug for Answer {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Whole(bytes) => write!(f, "{} bytes", bytes.len()),
            Self::Stream(_) => f.write_str("a stream"),
        }
    }
}

impl Delivery {
    /// An answer on standard output.
    pub(super) fn new(outcome: Outcome, answer: impl Into<Vec<u8>>) -> Self {
        Self {
            outcome,
            answer: Answer::Whole(answer.into()),
            files: Vec::new(),
            inputs: Vec::new(),
            notes: Vec::new(),
        }
    }

    /// A large answer, made while it is written.
    pub(super) fn stream(
        outcome: Outcome,
        write: impl FnOnce(&mut dyn Write) -> io::Result<()> + 'static,
    ) -> Self {
        Self {
            answer: Answer::Stream(Box::new(write)),
            ..Self::new(outcome, "")
        }
    }

    /// The files that the command read, which it never writes.
    #[must_use]
    pub(super) fn read_from<'a>(mut self, inputs: impl IntoIterator<Item = &'a Path>) -> Self {
        self.inputs.extend(inputs.into_iter().map(Path::to_owned));
        self
    }

    /// Lines for people, told before anything is written.
    #[must_use]
    pub(super) fn with_notes(mut self, notes: Vec<String>) -> Self {
        self.notes = notes;
        self
    }

    /// A picture in a folder, under a name that `paths::file_name` made.
    #[must_use]
    pub(super) fn with_picture(self, folder: &Path, name: &str, svg: String) -> Self {
        self.with_file("picture", folder.join(format!("{name}.svg")), svg)
    }

    /// No picture under this name: one that lies there is of other figures, and stays, for it may be wanted.
    #[must_use]
    pub(super) fn without_picture(mut self, folder: &Path, name: &str) -> Self {
        let old = folder.join(format!("{name}.svg"));
        if old.is_file() {
            self.notes.push(format!(
                "{} is of an earlier run: this one foresees no growth and draws none",
                shown(&old)
            ));
        }
        self
    }

    /// A file at a path that the user gave.
    #[must_use]
    pub(super) fn with_file(mut self, what: &'static str, target: PathBuf, text: String) -> Self {
        self.files.push(NewFile {
            what,
            target,
            contents: text,
        });
        self
    }

    /// Writes the files, then prints. A closed pipe ends the printing and changes nothing else.
    pub(super) fn carry_out(self, streams: &mut Streams<'_>) -> Result<Outcome, Error> {
        for note in &self.notes {
            tell(streams, note);
        }
        let mut made = Folders::default();
        let placed = Prepared::all(&self.files, &self.inputs, &mut made).and_then(Prepared::place);
        if let Err(failed) = placed {
            made.remove();
            return Err(failed);
        }
        for file in &self.files {
            let line = format!("{}: {}", file.what, shown(&file.target));
            tell(streams, &line);
        }
        match print(self.answer, streams.out) {
            Err(error) if error.kind() != io::ErrorKind::BrokenPipe => Err(Error::Output {
                path: "standard output".to_owned(),
                error,
            }),
            _ => Ok(self.outcome),
        }
    }
}

/// JSON in memory.
pub(super) fn json_bytes(answer: &impl Serialize) -> Result<Vec<u8>, Error> {
    let mut bytes = Vec::new();
    json::write(&mut bytes, answer).map_err(|error| Error::Output {
        path: "JSON".to_owned(),
        error,
    })?;
    Ok(bytes)
}

/// A table that could not be made.
pub(super) fn csv_error(error: io::Error) -> Error {
    Error::Output {
        path: "CSV".to_owned(),
        error,
    }
}

/// A line for people; a closed standard error leaves nobody to tell.
pub(super) fn tell(streams: &mut Streams<'_>, line: &str) {
    let _ = writeln!(streams.err, "{line}");
}

fn print(answer: Answer, out: &mut dyn Write) -> io::Result<()> {
    match answer {
        Answer::Whole(bytes) => out.write_all(&bytes)?,
        Answer::Stream(write) => {
            let mut out = BufWriter::with_capacity(1 << 16, &mut *out);
            write(&mut out)?;
            out.flush()?;
        }
    }
    out.flush()
}

/// A file that is complete beside its target.
struct Prepared {
    file: NamedTempFile,
    target: PathBuf,
    is_new: bool,
}

impl Prepared {
    /// Writes every file beside its target. On an error nothing is left but folders, which `made` remembers.
    fn all(files: &[NewFile], inputs: &[PathBuf], made: &mut Folders) -> Result<Vec<Self>, Error> {
        let mut taken = BTreeSet::new();
        let mut prepared = Vec::new();
        let inputs: Vec<PathBuf> = if files.is_empty() {
            Vec::new()
        } else {
            inputs.iter().flat_map(fs::canonicalize).collect()
        };
        for file in files {
            let fail = |error| Error::Output {
                path: shown(&file.target),
                error,
            };
            let target = resolve(&file.target, made).map_err(fail)?;
            // Some file systems take both for one name.
            if !taken.insert(target.to_string_lossy().to_lowercase()) {
                let message = "is the name of two files of this run; name another --card or --out";
                return Err(fail(io::Error::other(message)));
            }
            let old = existing(&target, &inputs).map_err(fail)?;
            let written = write_beside(&target, old.as_ref(), file.contents.as_bytes());
            prepared.push(Self {
                // The kind alone: the rest names a file that the user never asked for.
                file: written.map_err(|error| fail(error.kind().into()))?,
                is_new: old.is_none(),
                target,
            });
        }
        Ok(prepared)
    }

    /// Renames every file to its target. When one cannot be, those that got a new name are taken away again.
    fn place(all: Vec<Self>) -> Result<(), Error> {
        let mut placed: Vec<(File, PathBuf)> = Vec::new();
        for Self {
            file,
            target,
            is_new,
        } in all
        {
            match file.persist(&target) {
                Ok(file) if is_new => placed.push((file, target)),
                Ok(_) => {}
                Err(failed) => {
                    for (file, path) in placed {
                        if is_still(&file, &path) {
                            let _ = fs::remove_file(path);
                        }
                    }
                    return Err(Error::Output {
                        path: shown(&target),
                        error: failed.error,
                    });
                }
            }
        }
        Ok(())
    }
}

/// Folders that this run made.
#[derive(Default)]
struct Folders(Vec<PathBuf>);

impl Folders {
    /// Makes a folder and those above it.
    fn make(&mut self, folder: &Path) -> io::Result<()> {
        let missing: Vec<&Path> = folder
            .ancestors()
            .take_while(|part| !part.as_os_str().is_empty() && !part.exists())
            .collect();
        for part in missing.into_iter().rev() {
            match fs::create_dir(part) {
                Ok(()) => self.0.push(part.to_owned()),
                // Another run was quicker.
                Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {}
                Err(error) => return Err(error),
            }
        }
        Ok(())
    }

    /// Takes them away again, where nobody else has put anything in.
    fn remove(self) {
        for folder in self.0.iter().rev() {
            let _ = fs::remove_dir(folder);
        }
    }
}

/// The target with its folder made and followed to the end, so that one file has one name.
fn resolve(target: &Path, made: &mut Folders) -> io::Result<PathBuf> {
    if target == Path::new("-") {
        return Err(io::Error::other(
            "is standard output, where the report goes; write the name of a file",
        ));
    }
    let last = target.as_os_str().as_encoded_bytes().last();
    let Some(name) = target.file_name().filter(|_| last != Some(&b'/')) else {
        return Err(io::Error::other(
            "names a folder; the name of a file is needed",
        ));
    };
    let folder = target
        .parent()
        .filter(|folder| !folder.as_os_str().is_empty())
        .unwrap_or(Path::new("."));
    made.make(folder)?;
    Ok(folder.canonicalize()?.join(name))
}

/// The file that a target would replace, if there is one and it may be replaced. A link is replaced, not followed,
/// but what it leads to must be a file that might have been named itself.
fn existing(target: &Path, inputs: &[PathBuf]) -> io::Result<Option<Metadata>> {
    if cfg!(unix)
        && ["/dev", "/proc", "/sys"]
            .iter()
            .any(|of| target.starts_with(of))
    {
        return Err(io::Error::other(
            "lies among the system's devices; write the name of a file elsewhere",
        ));
    }
    let found = match fs::metadata(target) {
        Ok(found) => found,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(None),
        Err(error) => return Err(error),
    };
    if let Some(kind) = not_a_file(&found) {
        let message = format!("is {kind}; only a file, or a new name, can be written");
        return Err(io::Error::other(message));
    }
    if target
        .canonicalize()
        .is_ok_and(|path| inputs.contains(&path))
    {
        return Err(io::Error::other(
            "is a file that this command reads; name another to write to",
        ));
    }
    Ok(Some(found))
}

/// Every unfinished file is called this, twelve letters or digits, and `ENDING`.
const PREFIX: &str = ".inseam-";
const ENDING: &str = ".part";
const RANDOM: usize = 12;

/// Writes a file beside its target, with the access rights of the file that it will replace, or those that the
/// umask gives a new one.
///
/// As long as its process lives, an unfinished file is locked (`File::lock`: advisory, dropped by the system when the
/// process ends, however it ends). So one that can be locked belongs to nobody, and is swept.
fn write_beside(
    target: &Path,
    old: Option<&Metadata>,
    contents: &[u8],
) -> io::Result<NamedTempFile> {
    let folder = target.parent().unwrap_or(Path::new("."));
    sweep(folder);
    let mut file = unfinished(folder, old.is_none())?;
    file.write_all(contents)?;
    if let Some(old) = old {
        keep_rights(file.as_file(), old)?;
    }
    Ok(file)
}

/// A new locked file; one that a sweep took between its making and its locking is made again.
fn unfinished(folder: &Path, is_open: bool) -> io::Result<NamedTempFile> {
    loop {
        let mut builder = tempfile::Builder::new();
        builder.prefix(PREFIX).suffix(ENDING).rand_bytes(RANDOM);
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt as _;
            // The umask takes its part; a file that replaces another is nobody else's until it is complete.
            let mode = if is_open { 0o666 } else { 0o600 };
            builder.permissions(fs::Permissions::from_mode(mode));
        }
        #[cfg(not(unix))]
        let _ = is_open;
        let file = builder.tempfile_in(folder)?;
        // A file system without locks has no sweeps either: they need the same lock.
        let is_locked = file.as_file().lock().is_ok();
        if !is_locked || is_still(file.as_file(), file.path()) {
            return Ok(file);
        }
    }
}

/// Removes unfinished files of runs that were killed.
fn sweep(folder: &Path) {
    let Ok(entries) = fs::read_dir(folder) else {
        return;
    };
    for entry in entries.flatten() {
        let is_ours = is_unfinished(&entry.file_name());
        if !is_ours || !entry.file_type().is_ok_and(|kind| kind.is_file()) {
            continue;
        }
        let path = entry.path();
        if let Ok(file) = File::open(&path)
            && file.try_lock().is_ok()
        {
            let _ = fs::remove_file(path);
        }
    }
}

fn is_unfinished(name: &OsStr) -> bool {
    let middle = name.to_str().and_then(|name| {
        let rest = name.strip_prefix(PREFIX)?;
        rest.strip_suffix(ENDING)
    });
    middle.is_some_and(|middle| {
        middle.len() == RANDOM && middle.bytes().all(|byte| byte.is_ascii_alphanumeric())
    })
}

/// Gives a file the access rights of another, and its owner and group where the system allows that.
#[cfg(unix)]
fn keep_rights(file: &File, old: &Metadata) -> io::Result<()> {
    use std::os::unix::fs::{MetadataExt as _, PermissionsExt as _, fchown};
    const RIGHTS: u32 = 0o777;
    const OF_THE_GROUP: u32 = 0o070;
    let mut mode = old.mode() & RIGHTS;
    let new = file.metadata()?;
    if new.uid() != old.uid() {
        let _ = fchown(file, Some(old.uid()), None);
    }
    // Rights that were given to one group are not given to another.
    if new.gid() != old.gid() && fchown(file, None, Some(old.gid())).is_err() {
        mode &= !OF_THE_GROUP;
    }
    file.set_permissions(fs::Permissions::from_mode(mode))
}

#[cfg(not(unix))]
fn keep_rights(file: &File, old: &Metadata) -> io::Result<()> {
    file.set_permissions(old.permissions())
}

/// Whether a path still names this open file.
#[cfg(unix)]
fn is_still(file: &File, path: &Path) -> bool {
    use std::os::unix::fs::MetadataExt as _;
    let (Ok(open), Ok(named)) = (file.metadata(), fs::symlink_metadata(path)) else {
        return false;
    };
    (open.dev(), open.ino()) == (named.dev(), named.ino())
}

#[cfg(not(unix))]
fn is_still(_: &File, path: &Path) -> bool {
    path.exists()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn files(folder: &Path, names: &[&str]) -> Vec<NewFile> {
        let file = |name: &&str| NewFile {
            what: "picture",
            target: folder.join(name),
            contents: "new".to_owned(),
        };
        names.iter().map(file).collect()
    }

    fn listing(folder: &Path) -> Vec<String> {
        let entries = fs::read_dir(folder).unwrap().flatten();
        let mut names: Vec<_> = entries
            .map(|entry| entry.file_name().into_string().unwrap())
            .collect();
        names.sort();
        names
    }

    #[test]
    fn a_rename_that_fails_takes_new_names_away_again() {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join("old"), "old").unwrap();
        let mut made = Folders::default();
        let all = files(folder.path(), &["new", "old", "blocked"]);
        let prepared = Prepared::all(&all, &[], &mut made).unwrap();
        // What the check had found in order changes before the rename.
        fs::create_dir(folder.path().join("blocked")).unwrap();
        let error = Prepared::place(prepared).unwrap_err().to_string();
        assert!(error.contains("blocked"), "{error}");
        assert_eq!(listing(folder.path()), ["blocked", "old"]);
    }

    #[test]
    fn nothing_stands_when_the_last_of_several_targets_is_none() {
        let folder = tempfile::tempdir().unwrap();
        let mut made = Folders::default();
        fs::create_dir(folder.path().join("folder")).unwrap();
        let all = files(folder.path(), &["deep/er/new", "folder"]);
        let error = Prepared::all(&all, &[], &mut made).err().unwrap();
        assert!(error.to_string().contains("is a folder"), "{error}");
        made.remove();
        assert_eq!(listing(folder.path()), ["folder"]);
    }

    #[test]
    fn an_orphan_is_swept_and_a_file_in_the_making_or_of_another_name_is_not() {
        let folder = tempfile::tempdir().unwrap();
        let name = |middle: &str| folder.path().join(format!("{PREFIX}{middle}{ENDING}"));
        fs::write(name("orphan000001"), "half").unwrap();
        let live = File::create(name("alive0000002")).unwrap();
        live.lock().unwrap();
        for kept in ["short", "with-a-dash3", "thirteen00003"] {
            fs::write(name(kept), "kept").unwrap();
        }
        fs::create_dir(name("folder000004")).unwrap();
        sweep(folder.path());
        assert!(!name("orphan000001").exists());
        assert_eq!(listing(folder.path()).len(), 5);
        drop(live);
        sweep(folder.path());
        assert_eq!(listing(folder.path()).len(), 4);
    }

    #[test]
    fn one_name_for_two_files_is_refused() {
        let folder = tempfile::tempdir().unwrap();
        for pair in [["a.svg", "a.svg"], ["a.svg", "./A.svg"]] {
            let mut made = Folders::default();
            let all = files(folder.path(), &pair);
            let error = Prepared::all(&all, &[], &mut made).err().unwrap();
            assert!(error.to_string().contains("two files"), "{error}");
            assert!(listing(folder.path()).is_empty());
        }
    }
}
