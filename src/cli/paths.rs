//! Paths and names of files: shown in a message, made from a bike's own, told from pipes and devices.
//! What is written to them, and how, is `delivery`.

use std::fs::Metadata;
use std::path::Path;

use crate::cli::outcome::Error;
use crate::file::Problem;
use crate::words;

/// A path as a message shows it.
pub(super) fn shown(path: &Path) -> String {
    words::clean(&path.to_string_lossy()).into_owned()
}

/// What something is, with its article; None for a file.
pub(super) fn not_a_file(found: &Metadata) -> Option<&'static str> {
    let kind = found.file_type();
    if kind.is_file() {
        return None;
    }
    if kind.is_dir() {
        return Some("a folder");
    }
    #[cfg(unix)]
    {
        use std::os::unix::fs::FileTypeExt as _;
        if kind.is_fifo() {
            return Some("a pipe");
        }
        if kind.is_socket() {
            return Some("a socket");
        }
    }
    Some("a device")
}

/// Refuses a path at which something is already.
pub(super) fn must_be_new(path: &Path) -> Result<(), Error> {
    if path.symlink_metadata().is_ok() {
        let message = "is there already; name another file, or replace it with --force";
        return Err(Problem::of_file(shown(path), message).into());
    }
    Ok(())
}

/// The text of a table, not of a frame or rider file: larger, and of no grammar of ours.
pub(super) fn read_text(path: &Path) -> Result<String, Error> {
    /// Far more than any maker's chart.
    const LARGEST: u64 = 1 << 20;
    let fail = |message: String| Error::from(Problem::of_file(shown(path), message));
    let found =
        std::fs::metadata(path).map_err(|error| fail(format!("cannot be read: {error}")))?;
    if let Some(kind) = not_a_file(&found) {
        return Err(fail(format!("is {kind}; a table as a CSV file is needed")));
    }
    if found.len() > LARGEST {
        return Err(fail(
            "is larger than 1 MiB; a chart is a few KiB".to_owned(),
        ));
    }
    let bytes = std::fs::read(path).map_err(|error| fail(format!("cannot be read: {error}")))?;
    String::from_utf8(bytes).map_err(|_| {
        fail("is not a text file (UTF-8 is needed); save the table as CSV, UTF-8".to_owned())
    })
}

/// Longest name that files are made from, bytes: file systems take 255 (some 143) with what follows it.
pub(super) const LONGEST_NAME: usize = 80;

/// The file's name without folders and ending, safe to make file names from.
pub(super) fn id_of(path: &Path) -> String {
    let stem = path
        .file_stem()
        .and_then(|stem| stem.to_str())
        .unwrap_or_default();
    file_name(stem, LONGEST_NAME)
}

/// Text made safe for a file name, in at most `longest` bytes: letters, digits, dash, underscore; never empty, never
/// a path, never a name that some system keeps for a device.
pub(super) fn file_name(text: &str, longest: usize) -> String {
    const DEFAULT: &str = "bike";
    let is_safe = |c: char| c.is_alphanumeric() || "-_".contains(c);
    let safe: String = words::clean(text)
        .chars()
        .map(|c| if is_safe(c) { c } else { '-' })
        .collect();
    let safe = safe.trim_matches('-');
    let end = safe
        .char_indices()
        .map(|(start, c)| start + c.len_utf8())
        .take_while(|end| *end <= longest)
        .last();
    let safe = safe[..end.unwrap_or(0)].trim_end_matches('-');
    if safe.is_empty() {
        DEFAULT.to_owned()
    } else if is_reserved(safe) {
        format!("{DEFAULT}-{safe}")
    } else {
        safe.to_owned()
    }
}

/// Names of devices on Windows, in any case and with any ending (Microsoft, Naming Files, Paths, and Namespaces).
fn is_reserved(name: &str) -> bool {
    let name = name.to_ascii_uppercase();
    let numbered = |port| {
        let number = name.strip_prefix(port).and_then(|rest: &str| {
            let mut rest = rest.chars();
            rest.next().filter(|_| rest.next().is_none())
        });
        number.is_some_and(|c| c.is_ascii_digit() || "¹²³".contains(c))
    };
    ["CON", "PRN", "AUX", "NUL"].contains(&name.as_str()) || numbered("COM") || numbered("LPT")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_is_cut_by_bytes_between_letters_and_never_reserved() {
        for (text, longest, name) in [
            ("trail-24", 80, "trail-24"),
            ("ééé", 5, "éé"),
            ("自転車", 8, "自転"),
            ("...", 80, "bike"),
            ("..", 80, "bike"),
            ("../../etc/passwd", 80, "etc-passwd"),
            ("con", 80, "bike-con"),
            ("Lpt9", 80, "bike-Lpt9"),
            ("COM¹", 80, "bike-COM¹"),
            ("console", 80, "console"),
            ("a\u{202e}b\u{200b}c", 80, "abc"),
            ("\u{3164}", 80, "bike"),
            ("-rf", 80, "rf"),
        ] {
            assert_eq!(file_name(text, longest), name, "{text:?}");
        }
    }
}
