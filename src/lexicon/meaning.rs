//! What a phrase can mean: a part's name, a cue with its reach, a word that
//! acts on a part, a sign of a plain field, a word beside a number.

use serde::{Deserialize, Serialize};

use super::frames::ListId;
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
    /// `I have never had it`, at the end of a clause: what was told of before is
    /// not so.
    Refutes,
    /// `traced the`: what stands behind `to` is at fault.
    Traces,
    /// `too early to tell`: whether the symptom told last is there is open.
    Unsettles,
}

impl Act {
    /// Every act but those that give a state, by its word in `cues.csv`.
    pub const ALL: [(&str, Act); 37] = [
        ("lacks", Act::Lacks),
        ("negates", Act::Negates),
        ("negates_all", Act::NegatesAll),
        ("hedges", Act::Hedges),
        ("unreal", Act::Unreal),
        ("past", Act::Past),
        ("formerly", Act::Formerly),
        ("dates", Act::Dates),
        ("when", Act::When),
        ("because", Act::Because),
        ("affirms", Act::Affirms),
        ("cures", Act::Cures),
        ("no_longer", Act::NoLonger),
        ("border", Act::Border),
        ("but", Act::But),
        ("still", Act::Still),
        ("others", Act::Others),
        ("lately", Act::Lately),
        ("modifier", Act::Modifier),
        ("side", Act::Side),
        ("some", Act::Some),
        ("and", Act::And),
        ("or", Act::Or),
        ("copula", Act::Copula),
        ("echoes", Act::Echoes),
        ("was", Act::Was),
        ("to_come", Act::ToCome),
        ("pronoun", Act::Pronoun),
        ("place", Act::Place),
        ("with", Act::With),
        ("too", Act::Too),
        ("latest", Act::Latest),
        ("tells", Act::Tells),
        ("returns", Act::Returns),
        ("refutes", Act::Refutes),
        ("traces", Act::Traces),
        ("unsettles", Act::Unsettles),
    ];

    /// The act of a word of `cues.csv`.
    pub fn of_word(word: &str) -> Option<Self> {
        let all = Self::ALL.iter();
        let act = all.copied().find(|(w, _)| *w == word).map(|(_, act)| act);
        act.or_else(|| Says::of_word(word).map(Act::State))
    }

    /// Its word in `cues.csv`.
    pub fn word(self) -> &'static str {
        if let Act::State(says) = self {
            return says.word();
        }
        let all = Self::ALL.iter();
        all.copied()
            .find(|(_, act)| *act == self)
            .map_or("", |(word, _)| word)
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

/// What a number beside this phrase is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum NumberRole {
    /// The price asked now.
    Ask,
    /// A price that was asked before.
    Was,
    /// A price paid, spent, quoted, offered, of a part, a book value: not the
    /// price asked.
    OtherMoney,
    /// A down payment or a rate.
    Deposit,
    /// What has been bid so far, or a bid has to reach: not the price asked.
    Bid,
    /// The car's distance.
    Distance,
    /// A distance that is not the car's: of a belt change, to town.
    OtherDistance,
    /// The distance on the car when a job was done: `replaced at`.
    JobDistance,
    /// The distance on the car when its odometer was exchanged.
    SwapDistance,
    /// The distance driven since a job: `3k ago`, `5k on them`.
    SinceJob,
    /// Somewhere before it in the sentence: it was the distance in the past.
    PastDistance,
    /// A unit of distance: miles.
    UnitMiles,
    /// A unit of distance: kilometres.
    UnitKm,
    /// Neither money nor distance: litres, phone, sizes.
    Neither,
    /// Not exact: `about`.
    Approximate,
    /// Part of a number plate that tells the year: `08 plate`.
    Plate,
    /// The car's model year: `year`, `it's a`.
    ModelYear,
    /// Stands between an old price and the new one: `from 900 to 800`.
    Lowered,
    /// Goes before a price as before much else: `only`.
    PerhapsAsk,
}

impl NumberRole {
    /// Every role, by its word in `numbers.csv`.
    pub const ALL: [(&str, NumberRole); 19] = [
        ("ask", NumberRole::Ask),
        ("was", NumberRole::Was),
        ("other_money", NumberRole::OtherMoney),
        ("deposit", NumberRole::Deposit),
        ("bid", NumberRole::Bid),
        ("distance", NumberRole::Distance),
        ("other_distance", NumberRole::OtherDistance),
        ("job_distance", NumberRole::JobDistance),
        ("swap_distance", NumberRole::SwapDistance),
        ("since_job", NumberRole::SinceJob),
        ("past_distance", NumberRole::PastDistance),
        ("unit_miles", NumberRole::UnitMiles),
        ("unit_km", NumberRole::UnitKm),
        ("neither", NumberRole::Neither),
        ("approximate", NumberRole::Approximate),
        ("plate", NumberRole::Plate),
        ("model_year", NumberRole::ModelYear),
        ("lowered", NumberRole::Lowered),
        ("perhaps_ask", NumberRole::PerhapsAsk),
    ];

    /// The role of a word of `numbers.csv`.
    pub fn of_word(word: &str) -> Option<Self> {
        let all = Self::ALL.iter();
        all.copied().find(|(w, _)| *w == word).map(|(_, role)| role)
    }

    /// Its word in `numbers.csv`.
    pub fn word(self) -> &'static str {
        let all = Self::ALL.iter();
        all.copied()
            .find(|(_, role)| *role == self)
            .map_or("", |(word, _)| word)
    }

    /// Whether it may stand beside another role of the same phrase, since it
    /// does not say which kind of number it is.
    pub const fn is_beside(self) -> bool {
        matches!(
            self,
            NumberRole::Approximate
                | NumberRole::Lowered
                | NumberRole::ModelYear
                | NumberRole::PerhapsAsk
        )
    }
}

/// A number cue and on which side of the number it stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct NumberCue {
    /// What the number is.
    pub role: NumberRole,
    /// Whether the phrase stands before the number or after it.
    pub before: bool,
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
