//! Where a result goes: standard output, or a file that appears complete.

use std::fs::{self, File, OpenOptions};
use std::io::{self, BufWriter, Write};
use std::path::{Path, PathBuf};

use super::error::CliError;
use crate::intake::IntakeError;

/// Why no whole result was written.
#[derive(Debug)]
pub enum Stopped {
    /// The output took no more.
    Output(io::Error),
    /// What was to be written could not be made.
    Source(CliError),
}

impl From<io::Error> for Stopped {
    fn from(problem: io::Error) -> Self {
        Stopped::Output(problem)
    }
}

impl From<CliError> for Stopped {
    fn from(problem: CliError) -> Self {
        Stopped::Source(problem)
    }
}

impl From<IntakeError> for Stopped {
    fn from(problem: IntakeError) -> Self {
        Stopped::Source(problem.into())
    }
}

/// Writes a result to a file, or to standard output where none is named.
///
/// A file is written aside and renamed, so that a reader never sees half of it
/// and a failed run leaves the old one. What is no regular file (a device, a
/// pipe) is written directly.
///
/// # Errors
/// When writing fails; [`CliError::Closed`] when standard output was closed.
pub fn deliver(
    out: Option<&Path>,
    write: impl FnOnce(&mut dyn Write) -> io::Result<()>,
) -> Result<(), CliError> {
    deliver_while(out, |out| Ok(write(out)?))
}

/// Writes a result while it is made. Standard output may have had a part of it
/// before what makes it fails.
///
/// # Errors
/// As [`deliver`], and when it cannot be made.
pub fn deliver_while(
    out: Option<&Path>,
    write: impl FnOnce(&mut dyn Write) -> Result<(), Stopped>,
) -> Result<(), CliError> {
    let stopped = match out {
        None => to_stdout(write),
        Some(path) => to_file(path, write),
    };
    stopped.map_err(|stopped| match (stopped, out) {
        (Stopped::Source(problem), _) => problem,
        (Stopped::Output(problem), Some(path)) => CliError::Write {
            path: path.to_owned(),
            problem,
        },
        (Stopped::Output(problem), None) => match problem.kind() {
            io::ErrorKind::BrokenPipe => CliError::Closed,
            _ => CliError::Stdout(problem),
        },
    })
}

fn to_stdout(write: impl FnOnce(&mut dyn Write) -> Result<(), Stopped>) -> Result<(), Stopped> {
    let mut out = BufWriter::new(io::stdout().lock());
    let result = write(&mut out).and_then(|()| Ok(out.flush()?));
    if matches!(result, Err(Stopped::Source(_))) {
        // What waits in the buffer is no result: a run that fails early says
        // nothing but why.
        let _ = out.into_parts();
    }
    result
}

fn to_file(
    path: &Path,
    write: impl FnOnce(&mut dyn Write) -> Result<(), Stopped>,
) -> Result<(), Stopped> {
    let special = fs::metadata(path).is_ok_and(|m| !m.is_file() && !m.is_dir());
    if special {
        let mut out = BufWriter::new(OpenOptions::new().write(true).open(path)?);
        write(&mut out)?;
        return Ok(out.flush()?);
    }
    // A link is followed, so that its target is replaced and not the link.
    let path = fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
    if path.is_dir() {
        return Err(io::Error::from(io::ErrorKind::IsADirectory).into());
    }
    let (aside, file) = create_aside(&path)?;
    let result = fill(file, write).and_then(|()| Ok(fs::rename(&aside, &path)?));
    if result.is_err() {
        let _ = fs::remove_file(&aside);
    }
    result
}

fn fill(
    file: File,
    write: impl FnOnce(&mut dyn Write) -> Result<(), Stopped>,
) -> Result<(), Stopped> {
    let mut out = BufWriter::new(file);
    write(&mut out)?;
    let file = out.into_inner().map_err(io::IntoInnerError::into_error)?;
    Ok(file.sync_all()?)
}

/// A new file beside `path`, so that renaming stays on one file system.
fn create_aside(path: &Path) -> io::Result<(PathBuf, File)> {
    let name = path
        .file_name()
        .ok_or_else(|| io::Error::from(io::ErrorKind::InvalidFilename))?;
    for attempt in 0..100 {
        let mut aside = std::ffi::OsString::from(".");
        aside.push(name);
        aside.push(format!(".{}-{attempt}.part", std::process::id()));
        let aside = path.with_file_name(aside);
        match OpenOptions::new().write(true).create_new(true).open(&aside) {
            Ok(file) => return Ok((aside, file)),
            Err(e) if e.kind() == io::ErrorKind::AlreadyExists => {}
            Err(e) => return Err(e),
        }
    }
    Err(io::Error::from(io::ErrorKind::AlreadyExists))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_failed_write_leaves_the_old_file_and_nothing_else() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("list.csv");
        fs::write(&path, "old").unwrap();
        let result = deliver(Some(&path), |out| {
            out.write_all(b"new")?;
            Err(io::Error::other("boom"))
        });
        assert!(result.is_err());
        assert_eq!(fs::read_to_string(&path).unwrap(), "old");
        assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 1);
        deliver(Some(&path), |out| out.write_all(b"new")).unwrap();
        assert_eq!(fs::read_to_string(&path).unwrap(), "new");
        assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 1);
    }
}
