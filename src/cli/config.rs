//! What the arguments mean: tables and profile read, files looked for.

use std::io::IsTerminal as _;
use std::path::{Path, PathBuf};

use super::args::{FigureArgs, InputArgs, TakeArgs};
use super::as_of::AsOf;
use super::error::CliError;
use super::progress::Progress;
use super::terminal::Terminal;
use crate::day::Day;
use crate::intake::{ColumnOverride, Options, survey};
use crate::kerb::Findings;
use crate::ledger::Factors;
use crate::lexicon::Lexicon;
use crate::near::nearest;
use crate::profile::Profile;
use crate::report::columns::FileColumns;

/// Where ads come from, and the tables they are read with.
#[derive(Debug)]
pub struct InputConfig {
    /// The files in the order given.
    pub files: Vec<PathBuf>,
    /// Columns named by the user.
    pub columns: Vec<ColumnOverride>,
    /// The tables.
    pub lexicon: Lexicon,
    /// Where rows that cannot be used go.
    pub rejects: Option<PathBuf>,
    /// Whether such a row makes the exit code 1.
    pub strict: bool,
    /// Who sits before it.
    pub terminal: Terminal,
    /// How far the run has come.
    pub progress: Progress,
}

/// What figures are made with.
#[derive(Debug)]
pub struct FigureConfig {
    /// The user's figures.
    pub profile: Profile,
    /// Cars with known prices.
    pub comparables: Option<PathBuf>,
    /// The date that ages are counted to, if given.
    pub as_of: Option<AsOf>,
    /// What was found at cars.
    pub findings: Option<PathBuf>,
    /// Days on which files were saved, by their names as given.
    pub seen: Vec<(String, Day)>,
}

/// Reads the tables for files of ads, and looks for the files.
///
/// # Errors
/// A table that is wrong, a file that is not there.
pub(super) fn tables_of(take: &TakeArgs, files: &[PathBuf]) -> Result<Lexicon, CliError> {
    let lexicon = match &take.lexicon {
        Some(dir) => {
            must_exist(dir)?;
            Lexicon::from_dir(dir)?
        }
        None => Lexicon::built_in()?,
    };
    files.iter().try_for_each(|f| must_exist(f))?;
    Ok(lexicon)
}

impl InputConfig {
    /// Reads the tables and looks for the files.
    ///
    /// # Errors
    /// A table that is wrong, a file that is not there.
    pub fn resolve(args: InputArgs) -> Result<Self, CliError> {
        let lexicon = tables_of(&args.take, &args.files)?;
        Ok(InputConfig {
            files: args.files,
            columns: args.take.columns,
            lexicon,
            rejects: args.rejects,
            strict: args.strict,
            terminal: Terminal::default(),
            progress: Progress::default(),
        })
    }

    /// The same for a terminal, with progress shown there.
    #[must_use]
    pub fn on(self, terminal: Terminal) -> Self {
        self.with(terminal, terminal.progress())
    }

    /// The same for a terminal and this progress.
    #[must_use]
    pub fn with(self, terminal: Terminal, progress: Progress) -> Self {
        terminal.tell_more(|| self.columns_in_words());
        InputConfig {
            terminal,
            progress,
            ..self
        }
    }

    /// How the columns of each file are taken, a line a file.
    fn columns_in_words(&self) -> String {
        let options = Options {
            columns: self.columns.clone(),
        };
        // Standard input can be read only once.
        let files = self.files.iter().filter(|f| f.is_file());
        let surveys = files.filter_map(|f| survey(f, &options, &self.lexicon.headers).ok());
        let told: Vec<_> = surveys
            .map(|s| FileColumns::new(&s).in_few_words())
            .collect();
        told.join("\nfixworth: ")
    }

    /// Bytes of all files; none where that is not known.
    pub fn bytes(&self) -> Option<u64> {
        let size = |path: &PathBuf| {
            let known = std::fs::metadata(path).ok().filter(|m| m.is_file());
            known.map(|m| m.len())
        };
        self.files.iter().map(size).sum()
    }
}

/// Refuses to write over what is read, or one result over another.
///
/// # Errors
/// Which file is named twice.
pub fn keep_apart(
    out: Option<&Path>,
    input: &InputConfig,
    other_inputs: &[Option<&Path>],
) -> Result<(), CliError> {
    let real = |path: &Path| std::fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
    let rejects = input.rejects.as_deref();
    let inputs = input.files.iter().map(PathBuf::as_path);
    let inputs = inputs.chain(other_inputs.iter().copied().flatten());
    let written = [("--out", out), ("--rejects", rejects)];
    for (option, path) in written {
        // A device may be read and written.
        let Some(path) = path.filter(|p| !p.exists() || p.is_file()) else {
            continue;
        };
        if inputs.clone().any(|input| real(input) == real(path)) {
            let path = path.display();
            return Err(CliError::Usage(format!(
                "{option}: '{path}' is read by this run and would be lost; name another file"
            )));
        }
    }
    if let (Some(out), Some(rejects)) = (out, rejects)
        && real(out) == real(rejects)
        && (!out.exists() || out.is_file())
    {
        return Err(CliError::Usage(format!(
            "--rejects: '{}' is the file of --out too; name another file",
            rejects.display()
        )));
    }
    Ok(())
}

/// Refuses to write over what is read, one result over another, or, unless
/// forced, over any file that is there.
///
/// # Errors
/// Which file is in the way.
pub fn guard(
    out: Option<&Path>,
    force: bool,
    input: &InputConfig,
    other_inputs: &[Option<&Path>],
) -> Result<(), CliError> {
    keep_apart(out, input, other_inputs)?;
    may_write(out, force)?;
    may_write(input.rejects.as_deref(), force)
}

impl FigureConfig {
    /// Reads the profile and looks for the file of comparables; puts the
    /// user's own factors on the table of repairs.
    ///
    /// # Errors
    /// A profile that cannot be read or says what it cannot, a comparables
    /// file that is not there.
    pub fn resolve(args: FigureArgs, lexicon: &mut Lexicon) -> Result<Self, CliError> {
        let profile = read_profile(args.profile.as_deref(), lexicon)?;
        for path in args.comparables.iter().chain(&args.findings) {
            must_exist(path)?;
        }
        if let Some(path) = &args.repairs {
            must_exist(path)?;
            Factors::read(path, &lexicon.repairs)?.apply(&mut lexicon.repairs);
        }
        Ok(FigureConfig {
            profile,
            comparables: args.comparables,
            as_of: args.as_of,
            findings: args.findings,
            seen: args.seen.into_iter().map(|s| (s.file, s.day)).collect(),
        })
    }

    /// What was found at cars; nothing where no file is named.
    ///
    /// # Errors
    /// A file of findings that cannot be used.
    pub fn findings(&self, lexicon: &Lexicon) -> Result<Findings, CliError> {
        let path = self.findings.as_deref();
        Ok(path.map_or(Ok(Findings::default()), |p| Findings::read(p, lexicon))?)
    }
}

/// The profile of a file, or the default; its skills are looked up in the
/// tables.
///
/// # Errors
/// A file that cannot be read or says what it cannot.
pub fn read_profile(path: Option<&Path>, lexicon: &Lexicon) -> Result<Profile, CliError> {
    let Some(path) = path else {
        return Ok(Profile::default());
    };
    must_exist(path)?;
    let text = std::fs::read_to_string(path).map_err(|problem| CliError::Read {
        path: path.to_owned(),
        problem,
    })?;
    let name = path.display().to_string();
    Ok(Profile::parse_checked(&name, &text, &lexicon.skills)?)
}

/// Columns of a text that goes to a file or to standard output: those given,
/// else those of the terminal.
pub fn columns(out: Option<&Path>, given: Option<u16>) -> usize {
    const USUAL: usize = 80;
    if let Some(width) = given {
        return usize::from(width);
    }
    let to_terminal = out.is_none() && std::io::stdout().is_terminal();
    let terminal = to_terminal.then(terminal_size::terminal_size).flatten();
    terminal.map_or(USUAL, |(width, _)| usize::from(width.0))
}

/// Whether a result may go to this file: one that is there is the user's.
///
/// # Errors
/// The file is there, and nobody said `--force`.
pub fn may_write(out: Option<&Path>, force: bool) -> Result<(), CliError> {
    match out {
        Some(path) if !force && path.is_file() => Err(CliError::Usage(format!(
            "{}: is there already; name another file, or give --force to write over it",
            path.display()
        ))),
        _ => Ok(()),
    }
}

/// Refuses files before the id, which is easily typed.
///
/// # Errors
/// The id is a file, and what stands for the first file is none.
pub fn id_first(id: &str, files: &[PathBuf]) -> Result<(), CliError> {
    match files.first() {
        Some(first) if Path::new(id).is_file() && !first.exists() => {
            let first = first.display();
            Err(CliError::Usage(format!(
                "'{id}' is a file and '{first}' is none; give the id first, then the files"
            )))
        }
        _ => Ok(()),
    }
}

/// Whether a path can be opened at all; `-` stands for standard input.
pub(super) fn must_exist(path: &Path) -> Result<(), CliError> {
    if path.as_os_str() == "-" || path.exists() {
        return Ok(());
    }
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let folder = match path.parent() {
        Some(parent) if parent != Path::new("") => parent,
        _ => Path::new("."),
    };
    let mut others: Vec<String> = std::fs::read_dir(folder)
        .into_iter()
        .flatten()
        .filter_map(|entry| entry.ok()?.file_name().into_string().ok())
        .collect();
    others.sort();
    let near = nearest(&name, others.iter().map(String::as_str)).map_or_else(
        || "; check the name and the folder".to_owned(),
        |near| format!("; did you mean '{}'?", path.with_file_name(near).display()),
    );
    let path = path.display();
    Err(CliError::Usage(format!("{path}: no such file{near}")))
}
