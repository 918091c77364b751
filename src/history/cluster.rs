//! From pairs of ads to cars.

use super::blocks::Pair;
use super::same::{Facts, Ground, agree};

/// Members that a joining ad is held against; a car has seldom more.
const HELD: usize = 16;

/// The ads of each car, in order of the run; cars in order of their first ad.
/// They stand end to end in one list.
#[derive(Debug, Default)]
pub(super) struct Clusters {
    ads: Vec<u32>,
    ends: Vec<u32>,
}

impl Clusters {
    /// How many cars there are.
    pub fn len(&self) -> usize {
        self.ends.len()
    }

    /// The ads of a car.
    pub fn get(&self, car: usize) -> &[u32] {
        let start = car.checked_sub(1).map_or(0, |before| self.ends[before]);
        &self.ads[start as usize..self.ends[car] as usize]
    }

    /// The ads of each car.
    pub fn iter(&self) -> impl Iterator<Item = &[u32]> {
        (0..self.len()).map(|car| self.get(car))
    }
}

/// Sets of ads, each a chain from its first member to its last.
struct Chains {
    /// For each ad the set that it is in, by the set's first member.
    of: Vec<u32>,
    /// For each ad the next of its set; itself for the last.
    next: Vec<u32>,
    /// For each first member the last one and how many there are.
    last: Vec<u32>,
    count: Vec<u32>,
}

impl Chains {
    fn members(&self, set: u32) -> impl Iterator<Item = u32> + '_ {
        let next = |at: &u32| Some(self.next[*at as usize]).filter(|next| next != at);
        std::iter::successors(Some(set), next)
    }

    /// Puts one set behind another.
    fn join(&mut self, keep: u32, give: u32) {
        let mut at = give;
        loop {
            self.of[at as usize] = keep;
            let next = self.next[at as usize];
            if next == at {
                break;
            }
            at = next;
        }
        let last = self.last[keep as usize];
        self.next[last as usize] = give;
        self.last[keep as usize] = self.last[give as usize];
        self.count[keep as usize] += self.count[give as usize];
    }
}

/// Brings ads together by pairs, which come the surest first. Where only the
/// text speaks for a pair, all ads of both sides must agree in their facts, or
/// a chain of ads, each like the next, would make one car of many.
pub(super) fn cars(facts: &[Facts], pairs: &[Pair]) -> Clusters {
    let all = || (0..facts.len() as u32).collect::<Vec<_>>();
    let mut sets = Chains {
        of: all(),
        next: all(),
        last: all(),
        count: vec![1; facts.len()],
    };
    for pair in pairs {
        let (a, b) = (sets.of[pair.a as usize], sets.of[pair.b as usize]);
        let held = |set| -> Vec<Facts> {
            let first = sets.members(set).take(HELD);
            first.map(|ad| facts[ad as usize]).collect()
        };
        if a == b || !may_join(&held(a), &held(b), pair.ground) {
            continue;
        }
        if sets.count[a as usize] >= sets.count[b as usize] {
            sets.join(a, b);
        } else {
            sets.join(b, a);
        }
    }
    let mut cars = Clusters::default();
    let mut taken = vec![false; facts.len()];
    for ad in 0..facts.len() as u32 {
        if taken[ad as usize] {
            continue;
        }
        let start = cars.ads.len();
        cars.ads.extend(sets.members(sets.of[ad as usize]));
        cars.ads[start..].sort_unstable();
        for ad in &cars.ads[start..] {
            taken[*ad as usize] = true;
        }
        cars.ends.push(cars.ads.len() as u32);
    }
    cars
}

fn may_join(a: &[Facts], b: &[Facts], ground: Ground) -> bool {
    let mut pairs = a.iter().flat_map(|x| b.iter().map(move |y| (x, y)));
    match ground {
        Ground::Vin => true,
        Ground::Link | Ground::Number => {
            pairs.all(|(x, y)| x.vin.is_none() || y.vin.is_none() || x.vin == y.vin)
        }
        Ground::Text(_) => pairs.all(|(x, y)| agree(x, y).is_some()),
    }
}
