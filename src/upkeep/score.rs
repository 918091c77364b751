//! Counts of readings against labels, and what they come to.

use std::collections::{BTreeMap, BTreeSet};

use super::judge::Judged;
use crate::reading::Says;

/// Right, extra and missed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Counts {
    /// In both.
    pub right: u32,
    /// In the reading only.
    pub extra: u32,
    /// In the label only.
    pub missed: u32,
}

impl Counts {
    pub(super) fn of<T: Ord>(read: &BTreeSet<T>, gold: &BTreeSet<T>) -> Self {
        let right = read.intersection(gold).count() as u32;
        Counts {
            right,
            extra: read.len() as u32 - right,
            missed: gold.len() as u32 - right,
        }
    }

    /// Adds another count.
    pub fn add(&mut self, other: Counts) {
        self.right += other.right;
        self.extra += other.extra;
        self.missed += other.missed;
    }

    /// Share of what was read that is right, 0 to 1; 0 where nothing was read.
    pub fn precision(&self) -> f64 {
        share(self.right, self.right + self.extra)
    }

    /// Share of what is there that was read, 0 to 1; 0 where nothing is there.
    pub fn recall(&self) -> f64 {
        share(self.right, self.right + self.missed)
    }

    /// Harmonic mean of precision and recall, 0 to 1 (van Rijsbergen 1979).
    pub fn f1(&self) -> f64 {
        let (p, r) = (self.precision(), self.recall());
        if p + r > 0.0 {
            2.0 * p * r / (p + r)
        } else {
            0.0
        }
    }
}

/// A share of a count, 0 where there is nothing to share.
pub fn share(part: u32, whole: u32) -> f64 {
    if whole == 0 {
        0.0
    } else {
        f64::from(part) / f64::from(whole)
    }
}

/// The groups of claims that are counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Group {
    /// Code and state.
    All,
    /// Those that say `bad` or `suspect`.
    Fault,
    /// The others.
    Good,
    /// Codes, whatever their state.
    Named,
    /// Vague wording.
    Vague,
}

impl Group {
    /// All groups in the order shown.
    pub const ALL: [Group; 5] = [
        Group::All,
        Group::Fault,
        Group::Good,
        Group::Named,
        Group::Vague,
    ];

    /// The word shown.
    pub const fn word(self) -> &'static str {
        match self {
            Group::All => "all",
            Group::Fault => "fault",
            Group::Good => "good",
            Group::Named => "named",
            Group::Vague => "vague",
        }
    }
}

/// The plain fields in the order shown.
pub const FIELDS: [&str; 12] = [
    "kind",
    "ask",
    "miles",
    "year",
    "make",
    "model",
    "ask_basis",
    "miles_basis",
    "title",
    "moves",
    "gearbox",
    "vin",
];

/// The grade of many ads. Ads may be judged in any order and in parts: a grade
/// is a sum.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Grade {
    /// Ads judged.
    pub ads: u32,
    /// Ads without a reading.
    pub unanswered: u32,
    /// Field: right, judged.
    pub fields: BTreeMap<&'static str, (u32, u32)>,
    /// By group.
    pub groups: BTreeMap<Group, Counts>,
    /// By code.
    pub codes: BTreeMap<String, Counts>,
    /// By state.
    pub states: BTreeMap<Says, Counts>,
    /// Codes that both name, and those of them whose polarity is right.
    pub polarity: (u32, u32),
}

impl Grade {
    /// The sum of what was judged.
    pub fn of<'a>(judged: impl IntoIterator<Item = &'a Judged>) -> Self {
        let mut grade = Grade::default();
        for ad in judged {
            grade.add(ad);
        }
        grade
    }

    fn add(&mut self, ad: &Judged) {
        self.ads += 1;
        self.unanswered += u32::from(ad.unanswered);
        for (field, right) in &ad.fields {
            let entry = self.fields.entry(field).or_default();
            entry.0 += u32::from(*right);
            entry.1 += 1;
        }
        for (group, counts) in &ad.groups {
            self.groups.entry(*group).or_default().add(*counts);
        }
        for ((code, says), counts) in &ad.claims {
            self.codes.entry(code.clone()).or_default().add(*counts);
            self.states.entry(*says).or_default().add(*counts);
        }
        self.polarity.0 += ad.polarity.0;
        self.polarity.1 += ad.polarity.1;
    }

    /// Counts of a group; all zero where nothing was judged.
    pub fn group(&self, group: Group) -> Counts {
        self.groups.get(&group).copied().unwrap_or_default()
    }

    /// The share of a field that is right, 0 to 1; none where it was not
    /// judged.
    pub fn field(&self, field: &str) -> Option<f64> {
        self.fields.get(field).map(|(right, of)| share(*right, *of))
    }

    /// The share of codes named by both whose polarity is right, 0 to 1.
    pub fn polarity_share(&self) -> f64 {
        share(self.polarity.1, self.polarity.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn f1_of_counts() {
        let counts = Counts {
            right: 6,
            extra: 2,
            missed: 4,
        };
        assert_eq!(counts.precision(), 0.75);
        assert_eq!(counts.recall(), 0.6);
        // 2 x 0.75 x 0.6 / 1.35
        assert!((counts.f1() - 2.0 / 3.0).abs() < 1e-12);
        assert_eq!(Counts::default().f1(), 0.0);
    }
}
