//! What a sign can tell of moving and of what is offered: more than the fields
//! can hold.

use super::values::{AskBasis, Gearbox, Kind};

/// What a saying tells of whether the car moves. More is said than the field
/// can hold: the engine that only starts, the trailer that is asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MovesSign {
    /// `drives`: it runs and drives, or is in use.
    Drives,
    /// `in_use`: somebody drives it now; what was said of a start before it
    /// holds at times only.
    InUse,
    /// `runs_well`: it is praised for how it runs; it drives, unless what moves
    /// it is told gone.
    RunsWell,
    /// `implied`: what is told of cars that drive, as how far a gallon goes; nothing
    /// where it is said not to start.
    Implied,
    /// `gone`: the gearbox or clutch does nothing any more.
    Gone,
    /// `starts`: the engine starts or runs; nothing is said of driving.
    Starts,
    /// `limited`: not far, not fast.
    Limited,
    /// `stays`: it does not move, or must not be driven.
    Stays,
    /// `tow`: the buyer is to bring a trailer.
    Tow,
    /// `no_start`: the engine does not run.
    NoStart,
    /// `spoilt`: the engine is spoilt, though it may still start.
    Spoilt,
    /// `did_not_start`: it did not run once.
    DidNotStart,
    /// `seldom`: the saying before it holds only at times.
    Seldom,
    /// `ended`: the saying before it was true once.
    Ended,
    /// `over`: what kept it from starting before is put right. Where nothing did,
    /// it says nothing.
    Over,
    /// `wished`: the saying behind it is of another car, or of none yet.
    Wished,
}

impl MovesSign {
    /// The value of a word of the table.
    pub fn of_word(word: &str) -> Option<Self> {
        Some(match word {
            "drives" => MovesSign::Drives,
            "in_use" => MovesSign::InUse,
            "runs_well" => MovesSign::RunsWell,
            "implied" => MovesSign::Implied,
            "gone" => MovesSign::Gone,
            "starts" => MovesSign::Starts,
            "limited" => MovesSign::Limited,
            "stays" => MovesSign::Stays,
            "tow" => MovesSign::Tow,
            "no_start" => MovesSign::NoStart,
            "spoilt" => MovesSign::Spoilt,
            "did_not_start" => MovesSign::DidNotStart,
            "seldom" => MovesSign::Seldom,
            "ended" => MovesSign::Ended,
            "over" => MovesSign::Over,
            "wished" => MovesSign::Wished,
            _ => return None,
        })
    }
}

/// What a saying tells of the gearbox.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum GearboxSign {
    /// It is named.
    Named(Gearbox),
    /// `manual_use` and `automatic_use`: how it is used, or what only such a one
    /// has, gives it away. It counts where nothing names the gearbox.
    Used(Gearbox),
}

impl GearboxSign {
    /// The value of a word of the table.
    pub fn of_word(word: &str) -> Option<Self> {
        match word.strip_suffix("_use") {
            Some(kind) => Gearbox::of_word(kind).map(GearboxSign::Used),
            None => Gearbox::of_word(word).map(GearboxSign::Named),
        }
    }
}

/// What a saying tells of how the price is meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BasisSign {
    /// It speaks of a price wherever it stands.
    Anywhere(AskBasis),
    /// `firm_beside` and `negotiable_beside`: right behind the price it speaks of
    /// it, elsewhere of anything.
    Beside(AskBasis),
}

impl BasisSign {
    /// The value of a word of the table.
    pub fn of_word(word: &str) -> Option<Self> {
        match word.strip_suffix("_beside") {
            Some(basis) => AskBasis::of_word(basis).map(BasisSign::Beside),
            None => AskBasis::of_word(word).map(BasisSign::Anywhere),
        }
    }
}

/// How far what is said of something else than the car on offer reaches.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AsideSign {
    /// `clause`: as far as the clause.
    Clause,
    /// `behind`: as far as the clause, but only what stands behind the words.
    Behind,
    /// `sentence`: to the end of the sentence.
    Sentence,
    /// `whole`: the sentence, and what stands before the words in it.
    Whole,
    /// `offer`: the sentence, where a car is named right behind the words, and
    /// the cars listed behind it.
    Offer,
    /// `another`: as `offer`, where another model than that of the headline is
    /// named.
    Another,
    /// `stranger`: as `another`, and of another make: what its own maker also
    /// built may be another name of the same car.
    Stranger,
    /// `feature`: a name of equipment, an aside in a list of others.
    Feature,
    /// `prices`: the sentence, where several sums stand behind the words.
    Prices,
    /// `back`: here an aside ends, since the ad speaks of its own car again.
    Back,
    /// `more`: the sentence goes on about the car just named.
    More,
    /// `news`: nothing is aside; what stands behind was added later.
    News,
    /// `original`: nothing is aside; what stands behind is the ad as it was before what
    /// was added above it.
    Original,
}

impl AsideSign {
    /// Whether an aside may begin where this stands.
    pub(super) fn begins(self) -> bool {
        !matches!(
            self,
            AsideSign::Back | AsideSign::More | AsideSign::News | AsideSign::Original
        )
    }

    /// The value of a word of the table.
    pub fn of_word(word: &str) -> Option<Self> {
        Some(match word {
            "clause" => AsideSign::Clause,
            "behind" => AsideSign::Behind,
            "sentence" => AsideSign::Sentence,
            "whole" => AsideSign::Whole,
            "offer" => AsideSign::Offer,
            "another" => AsideSign::Another,
            "stranger" => AsideSign::Stranger,
            "feature" => AsideSign::Feature,
            "prices" => AsideSign::Prices,
            "back" => AsideSign::Back,
            "more" => AsideSign::More,
            "news" => AsideSign::News,
            "original" => AsideSign::Original,
            _ => return None,
        })
    }
}

/// What a saying tells of what is offered.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum KindSign {
    /// `parts`: a car for its parts, or parts off a car.
    Parts,
    /// `goods`: a thing that may also come along with a car.
    Goods,
    /// `other`: wanted, a service.
    Other,
    /// `thing`: nothing of a car, though it may come along with one.
    Thing,
    /// `whole`: speaks as of a whole car.
    Whole,
    /// `several`: more than one car.
    Several,
}

impl KindSign {
    /// The value of a word of the table.
    pub fn of_word(word: &str) -> Option<Self> {
        Some(match word {
            "parts" => KindSign::Parts,
            "goods" => KindSign::Goods,
            "other" => KindSign::Other,
            "thing" => KindSign::Thing,
            "whole" => KindSign::Whole,
            "several" => KindSign::Several,
            _ => return None,
        })
    }

    /// The kind that it makes the offer.
    pub fn kind(self) -> Kind {
        match self {
            KindSign::Parts | KindSign::Goods => Kind::Parts,
            KindSign::Other | KindSign::Thing => Kind::Other,
            KindSign::Several | KindSign::Whole => Kind::Car,
        }
    }
}
