//! What the walk keeps of parts named and of cues that still reach on.

use super::*;

/// A part or fault that was named, and what has been found out about it.
#[derive(Debug, Clone)]
pub(super) struct Mention {
    pub(super) item: usize,
    pub(super) named: Vec<Named>,
    pub(super) says: Option<Says>,
    pub(super) cue: Option<usize>,
    /// `no X`: missing, unless a fault word follows.
    pub(super) lacks: bool,
    pub(super) denied: bool,
    /// Joined to the mention before it by nothing but list signs.
    pub(super) linked: bool,
    pub(super) past: bool,
    pub(super) unreal: bool,
    pub(super) latest: bool,
    /// A saying took it as its subject and gave the claims itself.
    pub(super) consumed: bool,
    /// Its state came over from the part before it.
    pub(super) shared: bool,
    pub(super) formerly: bool,
    pub(super) hedged: bool,
    /// The doubt is another's: `they said the`.
    pub(super) heard: bool,
    pub(super) question: bool,
    /// The trouble turned out to be this.
    pub(super) found: bool,
    /// Only the place of the part before it: `the line under the hood`.
    pub(super) place: bool,
    pub(super) qualifiers: Vec<Which>,
    pub(super) sentence: u32,
}

impl Mention {
    pub(super) fn is_noun(&self) -> bool {
        self.named.iter().all(|n| n.naming.is_noun())
    }

    pub(super) fn is_equipment(&self) -> bool {
        self.named.iter().all(|n| n.naming == Naming::Equipment)
    }

    pub(super) fn is_feature(&self) -> bool {
        self.named.iter().all(|n| n.naming == Naming::Feature)
    }

    pub(super) fn is_open(&self) -> bool {
        self.says.is_none() && !self.consumed && self.is_noun()
    }
}

/// A cue that governs what follows.
#[derive(Debug, Clone, Copy)]
pub(super) struct Governor {
    pub(super) says: Says,
    pub(super) item: usize,
    pub(super) negated: bool,
    /// A verb rules over the adjectives inside its list.
    pub(super) verb: bool,
    /// Parts governed so far.
    pub(super) count: usize,
    /// Sentence it stands in.
    pub(super) sentence: u32,
    /// An adjective `new` stood in the list: a further `new` is no new cue.
    pub(super) took_adjective: bool,
    pub(super) hedged: bool,
    /// Shares the saying of the part before: `along with the water pump`.
    pub(super) trailing: bool,
    /// Faults that are named in its reach stay what they are.
    pub(super) parts_only: bool,
}

impl Governor {
    /// What it says of what it governs.
    pub(super) fn gives(self) -> Option<Says> {
        match (self.says, self.negated) {
            (says, false) => Some(says),
            (Says::Bad | Says::Suspect, true) => Some(Says::Sound),
            (Says::Sound, true) => Some(Says::Bad),
            _ => None,
        }
    }

    /// A cue that has governed nothing yet.
    pub(super) fn new(says: Says, item: usize, sentence: u32) -> Self {
        Governor {
            says,
            item,
            negated: false,
            verb: false,
            count: 0,
            sentence,
            took_adjective: false,
            hedged: false,
            trailing: false,
            parts_only: false,
        }
    }
}
