//! Joins the phrase tables while the program is built: at each start it would
//! take longer than all else. A mistake in a table ends the build, with its
//! place.
//!
//! It is made of the program's own modules, those that read phrases. It reads
//! the tables, writes one file for the compiler, and does nothing else.

// The program uses all of these modules, this only what phrases take.
#![allow(dead_code, unused_imports)]

mod near;
mod units;

mod safe_text {
    /// A hint names what stands in our own tables: nothing has to be made safe.
    pub fn for_terminal(text: &str) -> &str {
        text
    }
}

mod reading {
    mod sign_values;
    pub mod tokens;
    mod values;
    mod wrapping;

    pub use values::*;

    pub mod signs {
        pub use super::sign_values::*;
    }
}

mod lexicon {
    pub mod frames;
    mod gathering;
    pub mod graph;
    mod meaning;
    mod number_roles;
    pub mod parts;
    mod phrase_rows;
    pub mod phrases;
    pub mod phrasing;
    pub mod signs;
    pub mod table;
    pub mod vehicles;
    pub mod verbs;
    pub mod word_classes;
    mod wordings;
    pub mod words;
}

use std::error::Error;
use std::path::Path;
use std::process::ExitCode;

use lexicon::parts::Parts;
use lexicon::phrases::{PhraseRows, PhraseSheets};
use lexicon::table::Source;
use lexicon::vehicles::Vehicles;

fn main() -> ExitCode {
    println!("cargo::rerun-if-changed=lexicon");
    match join() {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            println!("cargo::error=lexicon/{error}");
            ExitCode::FAILURE
        }
    }
}

fn join() -> Result<(), Box<dyn Error>> {
    let source = Source::built_in();
    let parts = Parts::read(&source.sheet("parts.csv")?)?;
    let vehicles = Vehicles::of(&source)?;
    let sheets = PhraseSheets::sheets(&source)?;
    let rows = PhraseRows::read(PhraseSheets::of(&sheets), &parts)?;
    let joined = postcard::to_allocvec(&rows.join(&parts, &vehicles)?)?;
    let folder = std::env::var("OUT_DIR")?;
    std::fs::write(Path::new(&folder).join("phrases"), joined)?;
    Ok(())
}
