//! The built-in tables as files that can be edited.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use crate::aside;
use crate::lexicon::table::BUILT_IN;

/// Why the tables were not written.
#[derive(Debug, thiserror::Error)]
pub enum ExportError {
    /// A file of that name is there; it may hold somebody's work.
    #[error(
        "{}: is there already; name an empty folder, or give --force to write over it",
        .0.display()
    )]
    Exists(PathBuf),
    /// The system refused.
    #[error("{}: cannot be written: {problem}", path.display())]
    Write {
        /// The file or folder.
        path: PathBuf,
        /// The system's words.
        problem: io::Error,
    },
}

/// Writes all built-in tables into a folder, which is made if need be. Without
/// `force`, nothing at all is written if a file of one of the names is there.
/// Gives how many were written.
///
/// # Errors
/// A file that is there, a folder that cannot be written.
pub fn export(dir: &Path, force: bool) -> Result<usize, ExportError> {
    let failed = |path: &Path| {
        let path = path.to_owned();
        move |problem| ExportError::Write { path, problem }
    };
    if !force {
        let there = BUILT_IN.iter().map(|(name, _)| dir.join(name));
        // A link that leads nowhere is there too.
        if let Some(path) = there.into_iter().find(|p| fs::symlink_metadata(p).is_ok()) {
            return Err(ExportError::Exists(path));
        }
    }
    fs::create_dir_all(dir).map_err(failed(dir))?;
    for (name, text) in BUILT_IN {
        let path = dir.join(name);
        aside::write(&path, text.as_bytes()).map_err(failed(&path))?;
    }
    Ok(BUILT_IN.len())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lexicon::Lexicon;

    #[test]
    fn tables_are_written_once_and_read_again() {
        let dir = tempfile::tempdir().unwrap();
        let into = dir.path().join("mine");
        assert_eq!(export(&into, false).unwrap(), BUILT_IN.len());
        assert!(Lexicon::from_dir(&into).is_ok());
        fs::write(into.join("give.csv"), "mine").unwrap();
        assert!(matches!(export(&into, false), Err(ExportError::Exists(_))));
        assert_eq!(fs::read_to_string(into.join("give.csv")).unwrap(), "mine");
        export(&into, true).unwrap();
        assert_ne!(fs::read_to_string(into.join("give.csv")).unwrap(), "mine");
    }
}
