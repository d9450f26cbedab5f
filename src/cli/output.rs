//! What every command writes: reports to standard output, files whole or not at all.

use std::io::Write;
use std::path::Path;

use serde::Serialize;

use crate::cli::input::{Format, ShowArgs, file_name};
use crate::cli::{Error, Streams, closed};
use crate::draw::Picture;
use crate::report::json;
use crate::report::text::Layout;

/// Writes a file beside its target first and renames it, so that a reader never sees half of it
/// and a failure leaves the old file.
pub(super) fn write_file(path: &Path, contents: &str) -> Result<(), Error> {
    let fail = |error| Error::Output {
        path: path.display().to_string(),
        error,
    };
    let folder = path
        .parent()
        .filter(|folder| !folder.as_os_str().is_empty())
        .unwrap_or(Path::new("."));
    std::fs::create_dir_all(folder).map_err(fail)?;
    let mut file = tempfile::Builder::new()
        .prefix(".inseam-")
        .tempfile_in(folder)
        .map_err(fail)?;
    file.write_all(contents.as_bytes()).map_err(fail)?;
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        file.as_file()
            .set_permissions(std::fs::Permissions::from_mode(0o644))
            .map_err(fail)?;
    }
    file.persist(path).map_err(|failed| fail(failed.error))?;
    Ok(())
}

/// Writes the answer of a command about one or two bikes to standard output.
pub(super) fn answer<T: Serialize>(
    answer: &T,
    text: impl FnOnce(&T, Layout) -> String,
    show: &ShowArgs,
    streams: &mut Streams<'_>,
) -> Result<(), Error> {
    match show.format {
        Format::Json => json::write(streams.out, answer).map_err(closed),
        Format::Text => {
            let report = text(answer, show.figures.layout(streams.columns));
            streams.out.write_all(report.as_bytes()).map_err(closed)
        }
    }
}

/// Writes a picture into a folder under a name made safe, and says where.
pub(super) fn write_picture(
    folder: &Path,
    name: &str,
    picture: &Picture,
    streams: &mut Streams<'_>,
) -> Result<(), Error> {
    let path = folder.join(format!("{}.svg", file_name(name)));
    write_file(&path, &picture.svg)?;
    tell(streams, &format!("picture: {}", path.display()));
    Ok(())
}

/// A line for people; a closed standard error leaves nobody to tell.
pub(super) fn tell(streams: &mut Streams<'_>, line: &str) {
    let _ = writeln!(streams.err, "{line}");
}
