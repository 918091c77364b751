//! Where a result goes: standard output, or a file that appears complete.

use std::io::{self, BufWriter, Write};
use std::path::Path;

use super::error::CliError;
use crate::aside::Aside;
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
/// A file appears once it is whole ([`Aside`]).
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
    let mut out = BufWriter::new(Aside::create(path)?);
    write(&mut out)?;
    let aside = out.into_inner().map_err(io::IntoInnerError::into_error)?;
    Ok(aside.finish()?)
}

#[cfg(test)]
mod tests {
    use std::fs;

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
