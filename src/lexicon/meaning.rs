//! What a phrase can mean: a part's name, a cue with its reach, a word that
//! acts on a part, a sign of a plain field, a word beside a number.

use serde::{Deserialize, Serialize};

use super::frames::ListId;
pub use super::number_roles::{NumberCue, NumberRole};
use super::parts::PartId;
use crate::reading::Says;

/// What a name of a part says by itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Naming {
    /// A part's name: says nothing until a cue governs it.
    Noun,
    /// A name by itself, but behind another part's name a piece of that part:
    /// `distributor bearing`.
    Generic,
    /// A name that mostly tells how the car is equipped: `5 speed`, `awd`. Only
    /// what is said right behind it counts.
    Equipment,
    /// A name by itself, but alone in a list it tells how the car is equipped:
    /// `ps, ac, sunroof`.
    Feature,
    /// Only the subject of sayings: `coolant` in `uses coolant`.
    Subject,
    /// A fault's name: it is there unless denied.
    Fault,
    /// The phrase says this of the part by itself.
    States(Says),
}

impl Naming {
    /// Whether it says nothing by itself.
    pub const fn is_noun(self) -> bool {
        matches!(
            self,
            Naming::Noun | Naming::Generic | Naming::Equipment | Naming::Feature | Naming::Subject
        )
    }

    /// Whether it tells a fault by itself.
    pub const fn is_fault(self) -> bool {
        match self {
            Naming::Fault => true,
            Naming::States(says) => says.is_fault(),
            _ => false,
        }
    }
}

/// One code that a phrase names.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct Named {
    /// The part or symptom.
    pub part: PartId,
    /// What the phrase says of it by itself.
    pub naming: Naming,
}

/// What a word means beside certain parts.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct Sense {
    /// The parts that decide.
    pub beside: Vec<PartId>,
    /// How many items may stand between.
    pub within: usize,
    /// The part that is then meant.
    pub part: PartId,
}

/// What a cue does to what it governs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Act {
    /// Gives a state.
    State(Says),
    /// `no`, `without`: the next thing is not there.
    Lacks,
    /// `not`, `never`: turns the next saying round.
    Negates,
    /// `neither`, `none of`: turns the saying at the end of the clause round.
    NegatesAll,
    /// `might be`, `i think`.
    Hedges,
    /// `would need`, `if`: nothing is said of the world as it is.
    Unreal,
    /// `used to`, `was`: it was so once.
    Past,
    /// `used to`: it is not so any more.
    Formerly,
    /// `last spring`, `two years ago`: right behind a bare part it says when
    /// that was renewed.
    Dates,
    /// `when`: a border; right behind a praise it takes the praise back.
    When,
    /// `yes`, as the answer to a part's name.
    Affirms,
    /// `has not done it since`: what was told of before is over.
    Cures,
    /// `not any more`: what was told right before is so no longer.
    NoLonger,
    /// `because of`: what follows is at fault; behind a repair it was.
    Because,
    /// Ends every reach: `but`, `i`, `because`.
    Border,
    /// `but`: a border that sets the next saying against the one before it, of
    /// the same part where none is named: `works but is slow`.
    But,
    /// `rears`, `the other two`: a modifier that stands for others of the part
    /// told of before.
    Others,
    /// `still`: a modifier; what comes has outlasted the work told of before.
    Still,
    /// `just`, `recently`: a modifier; what it is told with is done already.
    Lately,
    /// Belongs to the part beside it: `the`, `all four`.
    Modifier,
    /// A modifier that tells which of several is meant: `front`, `left`.
    Side,
    /// Within a name, tells which of several things of one code is meant:
    /// `headlight`, `slave`. By itself it does nothing.
    Kind,
    /// A modifier that says that there are some: `a few`, `couple of`. In a
    /// list behind `no` it ends the denial.
    Some,
    /// Joins a list: `and`, `plus`.
    And,
    /// Joins a list in which one of them is meant: `or`, `nor`.
    Or,
    /// `is`, `are`, `feels`.
    Copula,
    /// `does`: a copula; right behind a part, with nothing more, the other half
    /// of what was said of another: `the air doesn't work but the heat does`.
    Echoes,
    /// `was`, `were`: a copula, and what it tells may be over.
    Was,
    /// `be`: a copula; work that it tells of is still to come: `must be renewed`.
    ToCome,
    /// `it`, `they`: stands for what was named last.
    Pronoun,
    /// `in`, `of`, `from`: what follows is a place, not a subject.
    Place,
    /// `along with`, `so is`: what follows shares the saying before it.
    With,
    /// `too`, `as well`: what stands before shares the saying before it.
    Too,
    /// `again`, `since`, `now`: the state that counts is this one.
    Latest,
    /// `I would tell you`: what is supposed in the same breath is not so.
    Tells,
    /// `it came back`, `to no avail`: the symptom told last is there, whatever was
    /// done; where none was told, what stands before is bad by the first.
    Returns,
    /// `it didn't last`, `the new one quit`: what was renewed last is bad again, and
    /// what it was to cure is there.
    Relapses,
    /// `I have never had it`, `that ended it`, with nothing behind: what others told
    /// is not so, what was mended or is of the past is over.
    Refutes,
    /// `traced the`: what stands behind `to` is at fault.
    Traces,
    /// `too early to tell`: whether the symptom told last is there is open.
    Unsettles,
    /// `put an end to the`: the symptom that follows is over. A part is lost so.
    Ends,
    /// `never got around to it`: what was told to be at hand is still to be fitted.
    PutOff,
}

impl Act {
    /// Every act but those that give a state.
    pub const ALL: [Act; 41] = [
        Act::Lacks,
        Act::Negates,
        Act::NegatesAll,
        Act::Hedges,
        Act::Unreal,
        Act::Past,
        Act::Formerly,
        Act::Dates,
        Act::When,
        Act::Because,
        Act::Affirms,
        Act::Cures,
        Act::NoLonger,
        Act::Border,
        Act::But,
        Act::Still,
        Act::Others,
        Act::Lately,
        Act::Modifier,
        Act::Side,
        Act::Kind,
        Act::Some,
        Act::And,
        Act::Or,
        Act::Copula,
        Act::Echoes,
        Act::Was,
        Act::ToCome,
        Act::Pronoun,
        Act::Place,
        Act::With,
        Act::Too,
        Act::Latest,
        Act::Tells,
        Act::Returns,
        Act::Relapses,
        Act::Refutes,
        Act::Traces,
        Act::Unsettles,
        Act::Ends,
        Act::PutOff,
    ];

    /// The act of a word of `cues.csv`.
    pub fn of_word(word: &str) -> Option<Self> {
        let act = Self::ALL.iter().copied().find(|act| act.word() == word);
        act.or_else(|| Says::of_word(word).map(Act::State))
    }

    /// Its word in `cues.csv`.
    pub fn word(self) -> &'static str {
        match self {
            Act::State(says) => says.word(),
            Act::Lacks => "lacks",
            Act::Negates => "negates",
            Act::NegatesAll => "negates_all",
            Act::Hedges => "hedges",
            Act::Unreal => "unreal",
            Act::Past => "past",
            Act::Formerly => "formerly",
            Act::Dates => "dates",
            Act::When => "when",
            Act::Because => "because",
            Act::Affirms => "affirms",
            Act::Cures => "cures",
            Act::NoLonger => "no_longer",
            Act::Border => "border",
            Act::But => "but",
            Act::Still => "still",
            Act::Others => "others",
            Act::Lately => "lately",
            Act::Modifier => "modifier",
            Act::Side => "side",
            Act::Kind => "kind",
            Act::Some => "some",
            Act::And => "and",
            Act::Or => "or",
            Act::Copula => "copula",
            Act::Echoes => "echoes",
            Act::Was => "was",
            Act::ToCome => "to_come",
            Act::Pronoun => "pronoun",
            Act::Place => "place",
            Act::With => "with",
            Act::Too => "too",
            Act::Latest => "latest",
            Act::Tells => "tells",
            Act::Returns => "returns",
            Act::Relapses => "relapses",
            Act::Refutes => "refutes",
            Act::Traces => "traces",
            Act::Unsettles => "unsettles",
            Act::Ends => "ends",
            Act::PutOff => "put_off",
        }
    }

    /// Whether it joins what is said to the part that it is said of.
    pub fn is_copula(self) -> bool {
        matches!(self, Act::Copula | Act::Echoes | Act::Was | Act::ToCome)
    }

    /// Whether it belongs to the part beside it, and says nothing of it.
    pub fn modifies(self) -> bool {
        matches!(
            self,
            Act::Modifier | Act::Side | Act::Some | Act::Still | Act::Others | Act::Lately
        )
    }
}

/// Where the governed words stand, seen from the cue.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Side {
    /// After it: `needs X`.
    After,
    /// Before it: `X is shot`.
    Before,
    /// Only the one right behind it: `it is the X`.
    Next,
    /// An adjective, on either side: `new X`, `X new`.
    Either,
}

/// One cue.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct Cue {
    /// What it does.
    pub act: Act,
    /// Which way.
    pub side: Side,
    /// Said of what was renewed once, it counts more: `due`, `worn again`.
    pub outlasts: bool,
    /// A doubt that is another's, or was to be expected: what is told behind it
    /// counts more: `they said the`, `you would think the`.
    pub heard: bool,
    /// Of those, one that is said and not only thought: the state of a part told
    /// behind it is no guess.
    pub said: bool,
}

/// What a saying means of one subject: `slips` said of a clutch.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct Effect {
    /// Subjects that this row is for; empty for any, or for none.
    pub subjects: Vec<PartId>,
    /// Which subjects the row is for.
    pub of: EffectOf,
    /// The claims made; `None` as part stands for the subject itself.
    pub claims: Vec<(Option<PartId>, Says)>,
}

/// The subjects of an effect row.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum EffectOf {
    /// Those named.
    Named,
    /// Any that no other row names.
    Any,
    /// No subject at all.
    Nothing,
}

/// A sign of a plain field: papers, moving, gearbox, vague wording, kind.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct Sign {
    /// The field.
    pub field: SignField,
    /// Its word in the contract.
    pub value: String,
}

/// Fields that have signs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum SignField {
    /// `title`.
    Title,
    /// `moves`.
    Moves,
    /// `gearbox`.
    Gearbox,
    /// `vague`.
    Vague,
    /// `ask_basis`.
    AskBasis,
    /// `miles_basis`.
    MilesBasis,
    /// `kind`.
    Kind,
    /// The unit of distance where the ad was written.
    Distance,
    /// `aside`: where an ad speaks of something else than the car it offers.
    Aside,
}

/// Everything that one phrase can mean.
#[derive(Debug, Clone, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct Meaning {
    /// Parts and symptoms that it names.
    pub named: Vec<Named>,
    /// What else it names beside certain parts: `hoses` beside brakes.
    pub senses: Vec<Sense>,
    /// What it does to its neighbours.
    pub cue: Option<Cue>,
    /// What it says of a subject.
    pub effects: Vec<Effect>,
    /// Plain fields.
    pub signs: Vec<Sign>,
    /// Words beside numbers.
    pub numbers: Vec<NumberCue>,
    /// Before a colon or alone on a line: what the list below it says.
    pub heading: Option<Says>,
    /// Looks like a part but is none.
    pub decoy: bool,
    /// Looks like a sign of this field but is none: `owners manual`.
    pub hides: Option<SignField>,
    /// Lists of frames that it stands in, by rising number.
    pub lists: Vec<ListId>,
    /// A frame with a gap: it says nothing of all the words that it spans.
    pub open: bool,
}

impl Meaning {
    /// Whether it is only a piece of frames.
    pub fn is_piece(&self) -> bool {
        self.named.is_empty()
            && self.senses.is_empty()
            && self.cue.is_none()
            && self.effects.is_empty()
            && self.signs.is_empty()
            && self.numbers.is_empty()
            && self.heading.is_none()
            && self.hides.is_none()
            && !self.decoy
    }
}
