//! The types of a reading: the contract's keys and values.

use std::ops::Range;

pub use super::values::{AskBasis, Gearbox, Kind, MilesBasis, Moves, Says, Title, Vague};
use crate::intake::ListingId;
use crate::lexicon::fault_codes::TroubleCode;
use crate::lexicon::parts::PartId;
use crate::lexicon::unknowns::Open;
use crate::units::{CalendarYear, Chance, Currency, Miles, ModelYear, Money};

/// The words a value was read from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Evidence {
    /// Bytes of the listing's text, on character borders.
    pub range: Range<usize>,
    /// The rule that fired, for example `part 'head gasket' + cue 'blown'`.
    pub rule: String,
}

/// A trouble code that the ad reads out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FaultCode {
    /// The code.
    pub code: TroubleCode,
    /// What it stands for, where the table knows.
    pub means: Option<String>,
    /// What it points at, likeliest first. The ad does not say that these are
    /// bad.
    pub hints: Vec<PartId>,
    /// Where it stands.
    pub evidence: Evidence,
}

/// What somebody found who looked at the car.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Found {
    /// How likely the fault is, the finding weighed in.
    pub chance: Chance,
    /// What putting it right costs in all, by the finder's own figure.
    pub cost: Option<Money>,
}

/// One thing said of one part or symptom.
#[derive(Debug, Clone, PartialEq)]
pub struct Claim {
    /// The part or symptom.
    pub part: PartId,
    /// What is said of it.
    pub says: Says,
    /// Distance on the car when the work was done, where told.
    pub done_at: Option<Miles>,
    /// Year when the work was done, where told.
    pub done_in: Option<CalendarYear>,
    /// Where it is said; at least one, but none where it was found at the car.
    pub evidence: Vec<Evidence>,
    /// Set where it was found at the car; it then goes before the words.
    pub found: Option<Found>,
}

impl Claim {
    /// What is said of a part, with nothing more told and no words to show.
    pub fn new(part: PartId, says: Says) -> Self {
        Claim {
            part,
            says,
            done_at: None,
            done_in: None,
            evidence: Vec::new(),
            found: None,
        }
    }
}

/// A fault of which the words speak, though likely not as one of this car:
/// told in a story, in small print, of another car. It is no claim.
#[derive(Debug, Clone, PartialEq)]
pub struct InPassing {
    /// The part or symptom.
    pub part: PartId,
    /// How likely this car has the fault all the same, as far as the words tell.
    pub chance: Chance,
    /// Where it is told.
    pub evidence: Evidence,
}

/// All that was read from one listing.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// The listing's id.
    pub id: ListingId,
    /// What is offered.
    pub kind: Kind,
    /// Model year.
    pub year: Option<ModelYear>,
    /// Usual full name of the make.
    pub make: Option<String>,
    /// Usual name of the model, without trim.
    pub model: Option<String>,
    /// What the seller asks now for the whole car.
    pub ask: Option<Money>,
    /// The money of `ask`, where the ad or the column says.
    pub currency: Option<Currency>,
    /// How the price is meant.
    pub ask_basis: AskBasis,
    /// Distance on the car.
    pub miles: Option<Miles>,
    /// How the distance is known.
    pub miles_basis: MilesBasis,
    /// The papers.
    pub title: Title,
    /// Whether it moves, as the ad says.
    pub moves: Moves,
    /// Where it does not say so, or all its words say another thing, what is likely.
    pub likely_moves: Option<Moves>,
    /// The gearbox.
    pub gearbox: Gearbox,
    /// Vehicle identification number as read, upper case.
    pub vin: Option<String>,
    /// What is said of parts and symptoms, in order of the text.
    pub claims: Vec<Claim>,
    /// Faults told in passing, each code once; see [`Self::in_passing`].
    pub told_in_passing: Vec<InPassing>,
    /// Trouble codes that the text names, each once, in order. That the light is
    /// on is among the claims; these tell more of the reason.
    pub codes: Vec<FaultCode>,
    /// Vague wording, each code once, with where it stands.
    pub vague: Vec<(Vague, Evidence)>,
    /// Where each plain field was read: key of the contract and evidence.
    pub fields: Vec<(&'static str, Evidence)>,
    /// What a careful reader should doubt, in words for people.
    pub warnings: Vec<String>,
    /// What the ad leaves open and a look at the car has settled.
    pub settled: Vec<Open>,
}

/// Room for so many plain fields is made before any is read.
const FIELDS: usize = 12;

impl Reading {
    /// Whether nothing good is told of the car's condition, and nobody looked:
    /// nothing at all, or faults alone.
    pub fn tells_nothing_good(&self) -> bool {
        let fault = |c: &Claim| matches!(c.says, Says::Bad | Says::Suspect) && c.found.is_none();
        self.claims.iter().all(fault)
    }

    /// Faults told in passing, of parts of which nothing else is told or found.
    pub fn in_passing(&self) -> impl Iterator<Item = &InPassing> {
        let told = |p: &&InPassing| self.claims.iter().any(|c| c.part == p.part);
        self.told_in_passing.iter().filter(move |p| !told(p))
    }

    /// How likely this car has a fault that is only told in passing.
    pub fn chance_in_passing(&self, part: PartId) -> Option<Chance> {
        let mut told = self.in_passing();
        told.find(|t| t.part == part).map(|t| t.chance)
    }

    /// Puts an answer in place of what is said of a part.
    pub fn answered(&mut self, part: PartId, says: Says) {
        let mut told = false;
        for claim in self.claims.iter_mut().filter(|c| c.part == part) {
            claim.says = says;
            told = true;
        }
        if !told {
            self.claims.push(Claim::new(part, says));
        }
    }

    /// Parts that are only suspected, and not looked at yet.
    pub fn suspects(&self) -> impl Iterator<Item = PartId> {
        let suspect = |c: &&Claim| c.says == Says::Suspect && c.found.is_none();
        self.claims.iter().filter(suspect).map(|c| c.part)
    }

    /// A reading that says nothing yet.
    pub fn unread(id: ListingId) -> Self {
        Reading {
            id,
            kind: Kind::Car,
            year: None,
            make: None,
            model: None,
            ask: None,
            currency: None,
            ask_basis: AskBasis::None,
            miles: None,
            miles_basis: MilesBasis::None,
            title: Title::Unstated,
            moves: Moves::Unstated,
            likely_moves: None,
            gearbox: Gearbox::Unstated,
            vin: None,
            claims: Vec::new(),
            told_in_passing: Vec::new(),
            codes: Vec::new(),
            vague: Vec::new(),
            fields: Vec::with_capacity(FIELDS),
            warnings: Vec::new(),
            settled: Vec::new(),
        }
    }
}
