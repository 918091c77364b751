//! The trade's knowledge, read from tables that a mechanic can edit.
//!
//! Each table is a CSV file in `lexicon/`. The binary carries a copy of all of
//! them; a folder given by the user replaces the tables that it holds. A table
//! is checked when it is read, and what is wrong is named with file, line and
//! column.

pub mod answers;
pub mod assumptions;
pub mod base_rates;
pub mod causes;
pub mod checks;
pub mod classes;
pub mod comparable_headers;
pub mod context;
pub mod covers;
pub mod curves;
pub mod describe;
pub mod due_work;
pub mod facts;
pub mod fault_codes;
pub mod follow_on;
pub mod forms;
pub mod frames;
mod gathering;
pub mod gearboxes;
pub mod give;
pub mod graph;
pub mod headers;
mod joined;
pub mod leanings;
pub mod light_faults;
mod meaning;
pub mod moves_leanings;
pub mod moving;
mod number_roles;
mod openings;
pub mod ordinary;
pub mod parting;
pub mod parts;
pub mod passing;
pub mod patience;
mod phrase_rows;
pub mod phrases;
pub mod phrasing;
pub mod plainer;
pub mod repairs;
pub mod shared_work;
pub mod short_words;
pub mod signs;
pub mod skills;
pub mod table;
pub mod titles;
pub mod unknowns;
pub mod vehicles;
pub mod verbs;
pub mod warnings;
pub mod word_classes;
mod wordings;
pub mod words;

use std::panic::resume_unwind;
use std::path::Path;

use answers::Answers;
use assumptions::Assumptions;
use base_rates::BaseRates;
use causes::Causes;
use checks::Checks;
use classes::Classes;
use comparable_headers::ComparableHeaders;
use context::Context;
use covers::Covers;
use curves::Curves;
use due_work::DueWorks;
use fault_codes::FaultCodes;
use follow_on::FollowOns;
use forms::Forms;
use give::Give;
use headers::Headers;
use leanings::Leanings;
use light_faults::LightFaults;
use moves_leanings::MovesLeanings;
use moving::Moving;
use ordinary::OrdinaryWords;
use parting::{Deductions, Pieces};
use parts::Parts;
use passing::Passing;
use patience::Patience;
use phrases::{PhraseRows, PhraseSheets, Phrases};
use plainer::Plainer;
use repairs::Repairs;
use shared_work::SharedWorks;
use short_words::ShortWords;
use skills::Skills;
pub use table::{LexiconError, Row, Sheet, Source};
use titles::Titles;
use unknowns::Unknowns;
use vehicles::Vehicles;
use warnings::Warnings;
use word_classes::WordClasses;

/// All tables, read and checked against each other.
#[derive(Debug)]
pub struct Lexicon {
    /// What exports call their columns.
    pub headers: Headers,
    /// The codes of parts and symptoms.
    pub parts: Parts,
    /// What sellers give.
    pub give: Give,
    /// What makes them take less.
    pub patience: Patience,
    /// What an ad can leave open.
    pub unknowns: Unknowns,
    /// What sellers call them, cues, signs and words beside numbers.
    pub phrases: Phrases,
    /// Makes and models.
    pub vehicles: Vehicles,
    /// Codes that say more than another.
    pub covers: Covers,
    /// What claims tell of whether the car moves.
    pub moving: Moving,
    /// Plainer words for faults that are gone.
    pub plainer: Plainer,
    /// What the words around a part make likely.
    pub leanings: Leanings,
    /// What is likely not said of the car.
    pub passing: Passing,
    /// What all that stands around a part makes likely, weighed together.
    pub context: Context,
    /// What the words of an ad make likely of moving.
    pub moves_leanings: MovesLeanings,
    /// Trouble codes and what they point at.
    pub fault_codes: FaultCodes,
    /// Words that are no misspelling of a part.
    pub ordinary: OrdinaryWords,
    /// Words that sellers cut short.
    pub short_words: ShortWords,
    /// Small words by what they do in an ad.
    pub word_classes: WordClasses,
    /// Fields of a form and what they mean filled in.
    pub forms: Forms,
    /// Headers of comparables files.
    pub comparable_headers: ComparableHeaders,
    /// Faults with which a car still counts as sound for comparison.
    pub light_faults: LightFaults,
    /// What the papers do to the price.
    pub titles: Titles,
    /// What a sound car is worth by class when nothing better is known.
    pub curves: Curves,
    /// Skills and tools that jobs ask for.
    pub skills: Skills,
    /// Vehicle classes.
    pub classes: Classes,
    /// The jobs.
    pub repairs: Repairs,
    /// What symptoms come from.
    pub causes: Causes,
    /// How often cheap cars have a fault.
    pub base_rates: BaseRates,
    /// What one fault makes likely.
    pub follow_on: FollowOns,
    /// What age and distance make due.
    pub due_work: DueWorks,
    /// Jobs that save work together.
    pub shared_work: SharedWorks,
    /// What a seller may answer.
    pub answers: Answers,
    /// What to look at on a car.
    pub checks: Checks,
    /// What a careful buyer distrusts.
    pub warnings: Warnings,
    /// What a dismantled car yields.
    pub pieces: Pieces,
    /// What a scrap yard takes off.
    pub deductions: Deductions,
    /// What the margin hangs on.
    pub assumptions: Assumptions,
}

impl Lexicon {
    /// The tables that the binary carries.
    ///
    /// # Errors
    /// Never in a released build: a test reads them all.
    pub fn built_in() -> Result<Self, LexiconError> {
        Self::read(&Source::built_in())
    }

    /// The tables of a folder; a table that is not there is taken from the
    /// binary.
    ///
    /// # Errors
    /// The first thing wrong in any table, with its place.
    pub fn from_dir(dir: &Path) -> Result<Self, LexiconError> {
        Self::read(&Source::dir(dir)?)
    }

    /// The tables of a source.
    ///
    /// # Errors
    /// The first thing wrong in any table, with its place.
    pub fn read(source: &Source) -> Result<Self, LexiconError> {
        let parts = Parts::read(&source.sheet("parts.csv")?)?;
        // What hangs on no other table is read beside the rest.
        std::thread::scope(|scope| {
            let context = scope.spawn(|| Context::read(&source.sheet("context.csv")?));
            let beside = scope.spawn(|| Beside::read(source));
            let beside = || {
                let (beside, context) = (beside.join(), context.join());
                let beside = beside.unwrap_or_else(|panic| resume_unwind(panic));
                let context = context.unwrap_or_else(|panic| resume_unwind(panic));
                Ok((beside?, context?))
            };
            Self::read_with(source, parts, beside)
        })
    }

    fn read_with(
        source: &Source,
        parts: Parts,
        beside: impl FnOnce() -> Result<(Beside, Context), LexiconError>,
    ) -> Result<Self, LexiconError> {
        let headers = Headers::read(&source.sheet("headers.csv")?)?;
        let give = Give::read(&source.sheet("give.csv")?)?;
        let unknowns = Unknowns::read(&source.sheet("unknowns.csv")?)?;
        let sheets = match source.is_built_in() {
            true => None,
            false => Some(PhraseSheets::sheets(source)?),
        };
        let phrases = match &sheets {
            Some(sheets) => Err(PhraseRows::read(PhraseSheets::of(sheets), &parts)?),
            None => Ok(joined::phrases()?),
        };
        let covers = Covers::read(&source.sheet("covers.csv")?, &parts)?;
        let moving = Moving::read(&source.sheet("moving.csv")?, &parts)?;
        let plainer = Plainer::read(&source.sheet("plainer.csv")?, &parts)?;
        let fault_codes = FaultCodes::read(&source.sheet("fault_codes.csv")?, &parts)?;
        let skills = Skills::read(&source.sheet("skills.csv")?)?;
        let classes = Classes::read(&source.sheet("classes.csv")?)?;
        let repairs = Repairs::read(&source.sheet("repairs.csv")?, &parts, &skills, &classes)?;
        let base_rates =
            BaseRates::read(&source.sheet("base_rates.csv")?, &parts, &repairs, &classes)?;
        let causes = Causes::read(&source.sheet("causes.csv")?, &parts, &repairs, &base_rates)?;
        let follow_on = FollowOns::read(&source.sheet("follow_on.csv")?, &parts, &repairs)?;
        let due_work = DueWorks::read(&source.sheet("due_work.csv")?, &parts, &repairs)?;
        let shared_work = SharedWorks::read(&source.sheet("shared_work.csv")?, &parts, &repairs)?;
        let light_faults = LightFaults::read(&source.sheet("light_faults.csv")?, &parts)?;
        let answers = Answers::read(&source.sheet("answers.csv")?, &parts)?;
        let checks = Checks::read(&source.sheet("checks.csv")?, &parts, &classes)?;
        let pieces = Pieces::read(&source.sheet("parting.csv")?, &parts, &classes)?;
        let deductions = Deductions::read(&source.sheet("scrap.csv")?, &parts)?;
        let curves = Curves::read(&source.sheet("worth.csv")?, &classes)?;
        let (beside, context) = beside()?;
        let Beside {
            vehicles,
            ordinary,
            short_words,
            word_classes,
            forms,
            leanings,
            passing,
            moves_leanings,
            warnings,
        } = beside;
        let phrases = phrases.or_else(|rows| rows.join(&parts, &vehicles))?;
        Ok(Lexicon {
            warnings,
            headers,
            parts,
            give,
            patience: Patience::read(&source.sheet("patience.csv")?)?,
            unknowns,
            phrases,
            vehicles,
            covers,
            moving,
            plainer,
            leanings,
            passing,
            context,
            moves_leanings,
            fault_codes,
            ordinary,
            short_words,
            word_classes,
            forms,
            skills,
            classes,
            repairs,
            causes,
            base_rates,
            follow_on,
            due_work,
            shared_work,
            checks,
            pieces,
            answers,
            deductions,
            assumptions: Assumptions::read(&source.sheet("assumptions.csv")?)?,
            comparable_headers: ComparableHeaders::read(&source.sheet("comparable_headers.csv")?)?,
            light_faults,
            titles: Titles::read(&source.sheet("titles.csv")?)?,
            curves,
        })
    }
}

/// The tables that hang on no other.
struct Beside {
    vehicles: Vehicles,
    ordinary: OrdinaryWords,
    short_words: ShortWords,
    word_classes: WordClasses,
    forms: Forms,
    leanings: Leanings,
    passing: Passing,
    moves_leanings: MovesLeanings,
    warnings: Warnings,
}

impl Beside {
    fn read(source: &Source) -> Result<Self, LexiconError> {
        Ok(Beside {
            vehicles: Vehicles::of(source)?,
            ordinary: OrdinaryWords::read(&source.sheet("ordinary_words.csv")?)?,
            short_words: ShortWords::read(&source.sheet("short_words.csv")?)?,
            word_classes: WordClasses::read(&source.sheet("word_classes.csv")?)?,
            forms: Forms::read(&source.sheet("forms.csv")?)?,
            leanings: Leanings::read(&source.sheet("leanings.csv")?)?,
            passing: Passing::read(&source.sheet("passing.csv")?)?,
            moves_leanings: MovesLeanings::read(&source.sheet("moves_leanings.csv")?)?,
            warnings: Warnings::read(
                &source.sheet("warnings.csv")?,
                &source.sheet("warning_phrases.csv")?,
            )?,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn built_in_tables_are_sound() {
        let lexicon = Lexicon::built_in().unwrap();
        assert!(lexicon.parts.len() > 140);
    }
}
