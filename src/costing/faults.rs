//! What the claims come to, part by part, before any money.

use crate::lexicon::parts::{PartId, PartKind, Parts};
use crate::profile::Profile;
use crate::reading::{Claim, Found, Says};
use crate::units::Chance;

/// What is held of one part or symptom when all claims on it are heard.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Heard {
    bad: bool,
    suspect: bool,
    good: bool,
    /// A replacement comes along.
    pub spare: bool,
    /// What was found at the car.
    pub found: Option<Found>,
    /// How likely its fault is, where it is only told in passing.
    pub in_passing: Option<Chance>,
}

/// What is told of a car.
#[derive(Debug, Clone, Default)]
pub struct Told<'a> {
    /// What is claimed or was found.
    pub claims: &'a [Claim],
    /// Faults told in passing, of parts that no claim speaks of, each with the
    /// chance that this car has it.
    pub in_passing: Vec<(PartId, Chance)>,
}

/// How sure a fault is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Belief {
    /// Not spoken of, or said to be good.
    None,
    /// Feared by the seller, or told in passing; or a replacement lies ready and
    /// nobody says why.
    Suspected,
    /// Told.
    Stated,
}

impl Heard {
    /// How sure its fault is. A fault outweighs praise: what was repaired and
    /// is bad again is bad.
    pub fn belief(self) -> Belief {
        if self.bad {
            Belief::Stated
        } else if self.suspect || self.spare || self.in_passing.is_some() {
            Belief::Suspected
        } else {
            Belief::None
        }
    }

    /// Whether it is praised or renewed, whatever else is said.
    pub fn praised(self) -> bool {
        self.good
    }

    /// How likely its fault is: certain if stated; if suspected, by what was
    /// found, by the words, or by the profile.
    pub fn chance(self, profile: &Profile) -> Chance {
        match self.belief() {
            Belief::None => Chance::NONE,
            Belief::Suspected => {
                let found = self.found.map(|f| f.chance);
                let told = found.or(self.in_passing);
                told.unwrap_or(profile.suspect_chance)
            }
            Belief::Stated => Chance::CERTAIN,
        }
    }

    /// Whether it is only praised or renewed, which makes it a less likely
    /// cause of anything.
    pub fn cleared(self) -> bool {
        self.good && self.belief() == Belief::None
    }
}

/// What was heard of every code, beside `parts.csv`.
#[derive(Debug)]
pub struct Faults {
    heard: Vec<Heard>,
    /// Codes with a fault, in table order.
    faulty: Vec<PartId>,
}

impl Faults {
    /// Gathers what is told; the order does not matter.
    pub fn of(told: &Told<'_>, parts: &Parts) -> Self {
        let mut heard = vec![Heard::default(); parts.len()];
        for (part, chance) in &told.in_passing {
            if let Some(h) = heard.get_mut(part.index()) {
                h.in_passing = Some(*chance);
            }
        }
        for claim in told.claims {
            let Some(h) = heard.get_mut(claim.part.index()) else {
                continue;
            };
            h.found = h.found.or(claim.found);
            match claim.says {
                Says::Bad => h.bad = true,
                Says::Suspect => h.suspect = true,
                Says::Renewed | Says::Sound => h.good = true,
                // Nobody brings a spare noise along.
                Says::Spare => h.spare = parts.get(claim.part).kind == PartKind::Part,
            }
        }
        let faulty = parts
            .ids()
            .filter(|p| heard[p.index()].belief() > Belief::None)
            .collect();
        Faults { heard, faulty }
    }

    /// What was heard of a code.
    pub fn heard(&self, part: PartId) -> Heard {
        self.heard[part.index()]
    }

    /// Codes of a kind with a fault, in table order.
    pub fn of_kind<'a>(
        &'a self,
        kind: PartKind,
        parts: &'a Parts,
    ) -> impl Iterator<Item = (PartId, Belief)> + 'a {
        self.faulty
            .iter()
            .filter(move |p| parts.get(**p).kind == kind)
            .map(|p| (*p, self.heard(*p).belief()))
    }
}
