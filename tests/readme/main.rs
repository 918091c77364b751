//! The README shows what the program does now, and names all that there is.
//!
//! Every `console` block is run: lines that begin with `$ ` are commands, the
//! lines after one are its standard output. `…` on a line of its own stands for
//! any number of lines, within a line for any letters. The commands run one
//! after the other through `sh` in a copy of `samples` and `lexicon`, with
//! `fixworth` (or `cargo run --release --`) as the program under test.
//!
//! `UPDATE_README=1 cargo test --test readme` writes the blocks anew. What
//! stands beside a `…` is then looked for by its likeness, so read the
//! difference before committing it.

#[cfg(unix)]
mod block;
#[cfg(unix)]
mod shell;
#[cfg(unix)]
mod tables;

use fixworth::lexicon::table::BUILT_IN;
use fixworth::profile::Profile;

const README: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/README.md");
const DEVELOPERS: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/DEVELOPERS.md");

/// Held by whoever may write the README anew, from reading it until then.
#[cfg(unix)]
static WRITING: std::sync::Mutex<()> = std::sync::Mutex::new(());

fn text(path: &str) -> String {
    std::fs::read_to_string(path).unwrap()
}

#[cfg(unix)]
#[test]
fn console_blocks_show_what_the_commands_print() {
    let _alone = WRITING.lock();
    let folder = shell::Folder::with_samples();
    for path in [README, DEVELOPERS] {
        let old = text(path);
        let mut new = String::new();
        for piece in block::pieces(&old) {
            match piece {
                block::Piece::Prose(prose) => new.push_str(prose),
                block::Piece::Run { command, shown } => {
                    let printed = folder.stdout(&shell::program(&command));
                    new.push_str(&block::shown_again(&command, shown, &printed));
                }
            }
        }
        if std::env::var_os("UPDATE_README").is_some_and(|v| v == "1") {
            std::fs::write(path, &new).unwrap();
        } else if new != old {
            let differing = old.lines().zip(new.lines()).enumerate();
            let (line, (shown, printed)) = differing
                .into_iter()
                .find(|(_, (a, b))| a != b)
                .unwrap_or((old.lines().count(), ("", "")));
            panic!(
                "{path}, line {}: shows\n{shown}\nwhere the program prints\n{printed}\n\
                 UPDATE_README=1 cargo test --test readme writes it anew",
                line + 1
            );
        }
    }
}

#[test]
fn the_first_command_prints_the_list_that_is_shown() {
    let readme = text(README);
    let mut commands = readme
        .split("```sh\n")
        .skip(1)
        .map(|rest| rest.split("```").next().unwrap().trim());
    let first = commands.next().unwrap();
    assert!(first.starts_with("cargo run --release -- shortlist"));
    assert!(readme.contains(&format!("```console\n$ {first}\n")));
    assert_eq!(commands.next(), Some("cargo test"));
}

#[test]
fn every_key_of_the_profile_is_named() {
    let readme = text(README);
    let keys = Profile::commented();
    let keys: Vec<_> = keys
        .lines()
        .filter(|l| !l.starts_with('#'))
        .filter_map(|l| Some(l.split_once(" = ")?.0))
        .collect();
    assert!(keys.len() > 20, "{keys:?}");
    let missing: Vec<_> = keys
        .iter()
        .filter(|k| !readme.contains(&format!("`{k}`")))
        .collect();
    assert!(missing.is_empty(), "not in README.md: {missing:?}");
}

#[test]
fn every_table_of_the_lexicon_has_its_line() {
    let readme = text(README);
    let missing: Vec<_> = BUILT_IN
        .iter()
        .filter(|(name, _)| !readme.contains(&format!("| `{name}` |")))
        .map(|(name, _)| name)
        .collect();
    assert!(missing.is_empty(), "not in README.md: {missing:?}");
}

#[cfg(unix)]
#[test]
fn every_column_of_the_outputs_is_named_and_every_option_explained() {
    let readme = text(README);
    let folder = shell::Folder::with_samples();
    let mut missing = Vec::new();
    for command in [
        "fixworth shortlist samples/harbour-board.csv --format csv",
        "fixworth read samples/harbour-board.csv --format csv --with-text",
    ] {
        let printed = folder.stdout(command);
        let header = printed.lines().next().unwrap().to_owned();
        let columns = header.split(',').map(|c| format!("`{c}`"));
        missing.extend(columns.filter(|c| !readme.contains(c.as_str())));
    }
    // What the README says of options is held against the help texts, both ways.
    let help: String = folder
        .commands()
        .iter()
        .map(|c| folder.stdout(&format!("fixworth {c} --help")))
        .collect();
    let options = |text: &str| -> Vec<String> {
        let mut all: Vec<_> = text
            .split(|c: char| c.is_whitespace() || "`,;()|".contains(c))
            .filter(|w| w.starts_with("--") && w.contains(char::is_alphabetic))
            .map(|w| w.trim_end_matches(['.', ':', '\'']).to_owned())
            .collect();
        all.sort();
        all.dedup();
        all
    };
    let (of_help, of_readme) = (options(&help), options(&readme));
    let common = ["--help".to_owned(), "--version".to_owned()];
    let unexplained = of_help.iter().filter(|o| !of_readme.contains(o));
    missing.extend(unexplained.filter(|o| !common.contains(o)).cloned());
    assert!(missing.is_empty(), "not in README.md: {missing:?}");
    // Those of cargo and pip stand in the texts too.
    let others = ["--features", "--release", "--test"].map(str::to_owned);
    let unknown: Vec<_> = of_readme
        .iter()
        .filter(|o| !of_help.contains(o) && !common.contains(o) && !others.contains(o))
        .collect();
    assert!(unknown.is_empty(), "no such option: {unknown:?}");
}

#[test]
fn every_dependency_is_justified_and_every_path_exists() {
    let manifest: toml::Table =
        toml::from_str(&text(concat!(env!("CARGO_MANIFEST_DIR"), "/Cargo.toml"))).unwrap();
    let developers = text(DEVELOPERS);
    let missing: Vec<_> = ["dependencies", "dev-dependencies"]
        .iter()
        .flat_map(|kind| manifest[*kind].as_table().unwrap().keys())
        .filter(|name| !developers.contains(&format!("| `{name}` |")))
        .collect();
    assert!(missing.is_empty(), "not in DEVELOPERS.md: {missing:?}");
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    let lost: Vec<String> = [README, DEVELOPERS]
        .iter()
        .flat_map(|path| {
            let text = text(path);
            let quoted: Vec<_> = text
                .split('`')
                .skip(1)
                .step_by(2)
                .map(str::to_owned)
                .collect();
            quoted
        })
        .filter(|quoted| {
            let top = ["src/", "tests/", "lexicon/", "samples/", ".ci/"];
            top.iter().any(|t| quoted.starts_with(t))
                && !quoted.contains([' ', '*', 'N'])
                && !root.join(quoted).exists()
        })
        .collect();
    assert!(lost.is_empty(), "named but not there: {lost:?}");
}

#[cfg(unix)]
#[test]
fn the_examples_of_the_help_texts_run() {
    let folder = shell::Folder::with_ads();
    let commands = folder.commands();
    let pages =
        std::iter::once("--help".to_owned()).chain(commands.iter().map(|c| format!("{c} --help")));
    let mut run = 0;
    for page in pages {
        let help = folder.stdout(&format!("fixworth {page}"));
        let examples = help
            .lines()
            .skip_while(|l| !l.starts_with("Example"))
            .filter_map(|l| l.strip_prefix("  "))
            .filter(|l| l.starts_with("fixworth "));
        for example in examples {
            // Words after a wide gap explain; a pager may be missing.
            let command = example.split("    ").next().unwrap();
            folder.stdout(command.trim_end_matches(" | less"));
            run += 1;
        }
    }
    assert!(run >= commands.len(), "{run} examples");
}
