//! A file that appears only once it is whole.
//!
//! What is written goes aside and takes the place of the file at the end, so
//! that nobody ever reads half of it and a run that ends early, by an error, a
//! signal or a power cut, leaves the old one. On Linux what is aside has no
//! name until it is whole, so that even a run that is killed leaves nothing
//! behind; elsewhere, and on file systems that cannot do that, it is a file
//! with a dot before its name and `.part` behind it.

use std::ffi::OsString;
use std::fs::{self, File, OpenOptions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// A file that is being written.
#[derive(Debug)]
pub struct Aside {
    file: File,
    /// The file that it becomes.
    path: PathBuf,
    stands: Stands,
}

/// Where what is written stands until it is whole.
#[derive(Debug)]
enum Stands {
    /// In its place: a device or a pipe takes no other.
    InPlace,
    /// Under this name.
    Named(PathBuf),
    /// Nowhere.
    Nameless,
}

impl Aside {
    /// Begins to write what becomes the file at `path`. A link is followed, so
    /// that its target is replaced and not the link. What is there and no
    /// regular file is written directly.
    ///
    /// # Errors
    /// A folder that is not there or may not be written, a name that is one of
    /// a folder.
    pub fn create(path: &Path) -> io::Result<Self> {
        // A link that leads nowhere is resolved too, to where it would lead.
        let path = fs::canonicalize(path).or_else(|_| end_of_links(path))?;
        if path.is_dir() {
            return Err(io::ErrorKind::IsADirectory.into());
        }
        if fs::metadata(&path).is_ok_and(|m| !m.is_file()) {
            let file = OpenOptions::new().write(true).open(&path)?;
            let stands = Stands::InPlace;
            return Ok(Aside { file, path, stands });
        }
        let (file, stands) = match nameless(folder(&path)) {
            Some(file) => (file, Stands::Nameless),
            None => {
                let mut options = OpenOptions::new();
                options.write(true).create_new(true);
                let (name, file) = in_free_name(&path, |name| options.open(name))?;
                (file, Stands::Named(name))
            }
        };
        Ok(Aside { file, path, stands })
    }

    /// Puts what was written in its place, once it has reached the disk.
    ///
    /// # Errors
    /// When the system refuses; the old file is left then.
    pub fn finish(mut self) -> io::Result<()> {
        if matches!(self.stands, Stands::InPlace) {
            return Ok(());
        }
        self.file.sync_all()?;
        if matches!(self.stands, Stands::Nameless) {
            // A name can be given only where none is; the old file is then
            // replaced by renaming, in which it is at no time missing.
            match give_name(&self.file, &self.path) {
                Err(e) if e.kind() == io::ErrorKind::AlreadyExists => {}
                done => return done,
            }
            let (name, ()) = in_free_name(&self.path, |name| give_name(&self.file, name))?;
            self.stands = Stands::Named(name);
        }
        if let Stands::Named(name) = &self.stands {
            fs::rename(name, &self.path)?;
            self.stands = Stands::InPlace;
        }
        Ok(())
    }
}

impl Drop for Aside {
    fn drop(&mut self) {
        if let Stands::Named(name) = &self.stands {
            let _ = fs::remove_file(name);
        }
    }
}

impl Write for Aside {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.file.write(bytes)
    }

    fn flush(&mut self) -> io::Result<()> {
        self.file.flush()
    }
}

/// Writes a whole file at once, aside.
///
/// # Errors
/// When it cannot be written.
pub fn write(path: &Path, content: &[u8]) -> io::Result<()> {
    let mut aside = Aside::create(path)?;
    aside.write_all(content)?;
    aside.finish()
}

/// Where a path leads that cannot be resolved whole: links are followed as far
/// as there are any. More than a system follows are no links but a ring.
fn end_of_links(path: &Path) -> io::Result<PathBuf> {
    const MOST: usize = 40;
    let mut path = path.to_owned();
    for _ in 0..MOST {
        let Ok(target) = fs::read_link(&path) else {
            return Ok(path);
        };
        path = folder(&path).join(target);
    }
    Err(io::Error::other("too many links, one behind the other"))
}

fn folder(path: &Path) -> &Path {
    match path.parent() {
        Some(folder) if folder != Path::new("") => folder,
        _ => Path::new("."),
    }
}

/// Calls `make` with names beside `path` until one is free; beside it, so that
/// renaming stays on one file system.
fn in_free_name<T>(path: &Path, make: impl Fn(&Path) -> io::Result<T>) -> io::Result<(PathBuf, T)> {
    let name = path.file_name().ok_or(io::ErrorKind::InvalidFilename)?;
    for attempt in 0..100 {
        let mut aside = OsString::from(".");
        aside.push(name);
        aside.push(format!(".{}-{attempt}.part", std::process::id()));
        let aside = path.with_file_name(aside);
        match make(&aside) {
            Ok(made) => return Ok((aside, made)),
            Err(e) if e.kind() == io::ErrorKind::AlreadyExists => {}
            Err(e) => return Err(e),
        }
    }
    Err(io::ErrorKind::AlreadyExists.into())
}

#[cfg(target_os = "linux")]
fn nameless(folder: &Path) -> Option<File> {
    use rustix::fs::{Mode, OFlags};
    let flags = OFlags::TMPFILE | OFlags::WRONLY | OFlags::CLOEXEC;
    // The user's mask takes away what new files are not to allow.
    let file = rustix::fs::open(folder, flags, Mode::from_raw_mode(0o666)).ok()?;
    // Without /proc it could never get a name.
    Path::new("/proc/self/fd").exists().then(|| file.into())
}

#[cfg(target_os = "linux")]
fn give_name(file: &File, path: &Path) -> io::Result<()> {
    use rustix::fs::{AtFlags, CWD};
    use std::os::fd::AsRawFd;
    let open = format!("/proc/self/fd/{}", file.as_raw_fd());
    rustix::fs::linkat(CWD, open, CWD, path, AtFlags::SYMLINK_FOLLOW)?;
    Ok(())
}

#[cfg(not(target_os = "linux"))]
fn nameless(_: &Path) -> Option<File> {
    None
}

#[cfg(not(target_os = "linux"))]
fn give_name(_: &File, _: &Path) -> io::Result<()> {
    Err(io::ErrorKind::Unsupported.into())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(folder: &Path) -> Vec<OsString> {
        let entries = fs::read_dir(folder).unwrap();
        entries.map(|e| e.unwrap().file_name()).collect()
    }

    #[test]
    fn a_file_is_there_when_it_is_finished_and_not_before() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("list.csv");
        for content in ["first", "second"] {
            let mut aside = Aside::create(&path).unwrap();
            aside.write_all(content.as_bytes()).unwrap();
            assert_ne!(fs::read_to_string(&path).unwrap_or_default(), content);
            aside.finish().unwrap();
            assert_eq!(fs::read_to_string(&path).unwrap(), content);
            assert_eq!(names(dir.path()), ["list.csv"]);
        }
        let mut aside = Aside::create(&path).unwrap();
        aside.write_all(b"never").unwrap();
        drop(aside);
        assert_eq!(fs::read_to_string(&path).unwrap(), "second");
        assert_eq!(names(dir.path()), ["list.csv"]);
    }

    #[test]
    fn what_has_a_name_aside_behaves_as_what_has_none() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("list.csv");
        fs::write(&path, "old").unwrap();
        let named = || {
            let make = |name: &Path| OpenOptions::new().write(true).create_new(true).open(name);
            let (name, file) = in_free_name(&path, make).unwrap();
            Aside {
                file,
                path: path.clone(),
                stands: Stands::Named(name),
            }
        };
        let (mut dropped, mut kept) = (named(), named());
        assert_eq!(names(dir.path()).len(), 3);
        dropped.write_all(b"never").unwrap();
        drop(dropped);
        kept.write_all(b"new").unwrap();
        kept.finish().unwrap();
        assert_eq!(fs::read_to_string(&path).unwrap(), "new");
        assert_eq!(names(dir.path()), ["list.csv"]);
    }

    #[cfg(unix)]
    #[test]
    fn links_stay_and_their_targets_change() {
        let dir = tempfile::tempdir().unwrap();
        let at = |name: &str| dir.path().join(name);
        std::os::unix::fs::symlink("target.csv", at("link.csv")).unwrap();
        for content in ["first", "second"] {
            write(&at("link.csv"), content.as_bytes()).unwrap();
            assert!(at("link.csv").is_symlink());
            assert_eq!(fs::read_to_string(at("target.csv")).unwrap(), content);
        }
        std::os::unix::fs::symlink("ring", at("ring")).unwrap();
        assert!(write(&at("ring"), b"x").is_err());
        assert!(write(dir.path(), b"x").is_err());
        assert!(write(&at("no/such/list.csv"), b"x").is_err());
    }
}
