//! What symptoms come from, by Bayes' rule.
//!
//! Each symptom is put down to one cause: a candidate, a part that is known to
//! be at fault, or something else. With the rate `r` of a candidate, the
//! chance `w` that it shows a symptom, and the chance `l` that a symptom comes
//! from something else, a way of putting the symptoms down has the weight
//!
//! `prod over candidates used [ r prod(w of its symptoms) prod(1 - w of the
//! others that it could show) ] x prod(w of parts known) x prod(l)`
//!
//! which is Bayes' rule with symptoms independent given their causes, faults
//! independent of each other, and `l` as the leak (Pearl 1988, *Probabilistic
//! Reasoning in Intelligent Systems*, 4.3.2, noisy or-gate). One cause for two
//! symptoms is paid for with one rate, two causes with two: so common causes
//! come out likelier, and a part that is known to be at fault, whose rate is
//! paid, explains its symptoms away.
//!
//! **Told faults never make a car cheaper.** By that rule alone a cheap cause
//! named for a dear symptom would. But whoever names it wants to sell, and the
//! symptom alone costs what it costs. Therefore the cost of a cluster is the
//! dearest reading, at every level of cost, of any part of what is told
//! ([`Mixture::upper`]). Symptoms that have no cause in common are apart, each
//! with its own dearest reading, until another one that is told joins them:
//! so the whole lies above what they came to before.

use super::evidence::{Cluster, Symptom, is_certain, meet};
use super::mixture::{Atom, Cost, Mixture};
use crate::lexicon::parts::PartId;

/// What is believed of a cluster.
#[derive(Debug, Clone, PartialEq)]
pub struct Diagnosis {
    /// What it costs in all, parts known to be at fault included; the dearest
    /// reading of any part of what is told.
    pub cost: Mixture,
    /// The mean by Bayes' rule, with all that is told.
    pub believed: f64,
    /// The chance of each candidate as a cause.
    pub candidates: Vec<f64>,
    /// The chance that each symptom comes from something else.
    pub others: Vec<f64>,
}

/// One subset of what is told, weighed.
#[derive(Debug, Clone)]
pub struct Weighed {
    /// What it costs.
    pub cost: Mixture,
    /// The chance of each candidate.
    pub candidates: Vec<f64>,
    /// The chance of something else, by symptom.
    pub others: Vec<f64>,
}

/// Which symptoms and parts are there, as bits, parts above the symptoms.
type Told = usize;

/// Diagnoses a cluster.
pub fn diagnose(cluster: &Cluster) -> Diagnosis {
    let sure: Vec<f64> = cluster
        .symptoms
        .iter()
        .map(|s| s.sure)
        .chain(cluster.explainers.iter().map(|e| e.sure))
        .collect();
    let certain = bits(sure.iter().map(|s| is_certain(*s)));
    let open: Vec<usize> = (0..sure.len())
        .filter(|i| certain & (1 << i) == 0)
        .collect();
    let mut memory = Memory::new(cluster);
    let mut out = Diagnosis {
        cost: Mixture::certain(Cost::default()),
        believed: 0.0,
        candidates: vec![0.0; cluster.candidates.len()],
        others: vec![0.0; cluster.symptoms.len()],
    };
    let mut branches = Vec::new();
    // What is only suspected is there or not: each way is a branch.
    for branch in 0_usize..1 << open.len() {
        let mut told = certain;
        let mut chance = 1.0;
        for (n, item) in open.iter().enumerate() {
            if branch & (1 << n) == 0 {
                chance *= 1.0 - sure[*item];
            } else {
                chance *= sure[*item];
                told |= 1 << item;
            }
        }
        if chance <= 0.0 {
            continue;
        }
        let weighed = memory.weighed(told, true);
        out.believed += chance * weighed.cost.mean();
        for (sum, c) in out.candidates.iter_mut().zip(&weighed.candidates) {
            *sum += chance * c;
        }
        for (sum, c) in out.others.iter_mut().zip(&weighed.others) {
            *sum += chance * c;
        }
        let upper = memory.upper(told);
        branches.extend(upper.atoms().iter().map(|a| Atom {
            chance: a.chance * chance,
            ..*a
        }));
    }
    out.cost = Mixture::of(branches.iter().copied());
    out
}

/// What the symptoms of a cluster cost if they are there and nothing else is
/// known.
pub fn alone(cluster: &Cluster) -> Mixture {
    weigh(cluster, (1 << cluster.symptoms.len()) - 1).cost
}

/// The parts that are certainly at fault.
fn certain_parts(cluster: &Cluster) -> Told {
    let certain = cluster.explainers.iter().map(|e| is_certain(e.sure));
    bits(certain) << cluster.symptoms.len()
}

fn bits(flags: impl Iterator<Item = bool>) -> Told {
    let set = flags.enumerate().filter(|(_, is)| *is);
    set.map(|(i, _)| 1 << i).sum()
}

/// The dearest readings of what is told, by subset, and by whether work is
/// shared with the parts that are certainly at fault.
struct Memory<'a> {
    cluster: &'a Cluster,
    certain: Told,
    /// For each item, those that have a cause in common with it.
    near: Vec<Told>,
    weighed: [Vec<Option<Weighed>>; 2],
    dearest: [Vec<Option<Mixture>>; 2],
}

impl<'a> Memory<'a> {
    fn new(cluster: &'a Cluster) -> Self {
        let causing = |(place, _): &(usize, f64)| cluster.candidates[*place].part;
        let symptoms = cluster.symptoms.iter();
        let symptoms = symptoms.map(|s| s.causes.iter().map(causing).collect());
        let parts = cluster.explainers.iter().map(|e| vec![e.part]);
        let items: Vec<Vec<PartId>> = symptoms.chain(parts).collect();
        let near = items
            .iter()
            .map(|one| bits(items.iter().map(|other| meet(one, other))))
            .collect();
        let subsets = 1 << items.len();
        Memory {
            cluster,
            certain: certain_parts(cluster),
            near,
            weighed: [vec![None; subsets], vec![None; subsets]],
            dearest: [vec![None; subsets], vec![None; subsets]],
        }
    }

    fn weighed(&mut self, told: Told, beside: bool) -> &Weighed {
        let known = &mut self.weighed[usize::from(beside)][told];
        known.get_or_insert_with(|| weigh_beside(self.cluster, told, beside))
    }

    /// What hangs together with the first item of what is told.
    fn first_group(&self, told: Told) -> Told {
        let mut group = told & told.wrapping_neg();
        loop {
            let near = self.near.iter().enumerate();
            let met = near.filter(|(i, _)| group & (1 << i) != 0);
            let wider = met.fold(group, |all, (_, near)| all | (near & told));
            if wider == group {
                return group;
            }
            group = wider;
        }
    }

    /// The dearest reading of any part of what is told, all that is certain
    /// included. Where parts that are certainly at fault are left out, no other
    /// job shares work with theirs.
    fn upper(&mut self, told: Told) -> Mixture {
        let mut upper = self.dearest(told, true);
        for missing in 1..=self.certain {
            if missing & !self.certain == 0 {
                let less = self.dearest(told & !missing, false);
                let apart = self.cluster.unshared(missing);
                upper = upper.upper(&less.plus(&Mixture::certain(apart)));
            }
        }
        upper
    }

    /// The dearest reading of what is told without any of the symptoms and of
    /// the parts that are only suspected.
    fn dearest(&mut self, told: Told, beside: bool) -> Mixture {
        if let Some(known) = &self.dearest[usize::from(beside)][told] {
            return known.clone();
        }
        let group = self.first_group(told);
        let mut upper = match told ^ group {
            0 => self.weighed(told, beside).cost.clone(),
            rest => self
                .dearest(group, beside)
                .plus(&self.dearest(rest, beside)),
        };
        let mut left = told & !self.certain;
        while left != 0 {
            let item = left & left.wrapping_neg();
            left ^= item;
            upper = upper.upper(&self.dearest(told ^ item, beside));
        }
        self.dearest[usize::from(beside)][told] = Some(upper.clone());
        upper
    }
}

/// Weighs all ways of putting down the symptoms of `told`. Work is only shared
/// with jobs that are done: with those of the parts that are certainly at fault
/// where all of them are among `told`.
pub fn weigh(cluster: &Cluster, told: usize) -> Weighed {
    weigh_beside(cluster, told, certain_parts(cluster) & !told == 0)
}

/// The same; `beside` says whether causes are priced as done beside all parts
/// that are certainly at fault.
fn weigh_beside(cluster: &Cluster, told: Told, beside: bool) -> Weighed {
    let symptoms = told & ((1 << cluster.symptoms.len()) - 1);
    let at_fault = |i: &usize| told & (1 << (cluster.symptoms.len() + i)) != 0;
    let parts: Vec<usize> = (0..cluster.explainers.len()).filter(at_fault).collect();
    let known: Vec<Known> = cluster
        .candidates
        .iter()
        .map(|c| {
            let place = cluster.explainers.iter().position(|e| e.part == c.part);
            match place {
                Some(place) if parts.contains(&place) => Known::AtFault,
                Some(place) if cluster.explainers[place].looked_at => Known::Fine,
                _ => Known::Nothing,
            }
        })
        .collect();
    let shows: Vec<usize> = (0..cluster.candidates.len())
        .map(|c| {
            let lists = cluster.symptoms.iter().map(|s| s.shown_by(c) > 0.0);
            bits(lists) & symptoms
        })
        .collect();
    let mut ways = Ways {
        beside,
        cluster,
        symptoms,
        known,
        shows,
        atoms: Vec::new(),
        sum: 0.0,
        candidates: vec![0.0; cluster.candidates.len()],
        others: vec![0.0; cluster.symptoms.len()],
    };
    let stated = parts.iter().map(|i| cluster.explainers[*i].cost);
    let stated = stated.fold(Cost::default(), |sum, c| sum + c);
    ways.put_down(
        symptoms,
        &Way {
            weight: 1.0,
            cost: stated,
            used: 0,
            others: 0,
        },
    );
    if ways.sum <= 0.0 {
        // Nothing can show the symptom: whatever it is stays unpriced.
        ways.atoms.push(Atom {
            chance: 1.0,
            cost: stated,
        });
        ways.sum = 1.0;
    }
    for chance in ways.candidates.iter_mut().chain(&mut ways.others) {
        *chance /= ways.sum;
    }
    Weighed {
        cost: Mixture::of(ways.atoms.iter().copied()),
        candidates: ways.candidates,
        others: ways.others,
    }
}

/// What is known of a candidate's part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Known {
    /// Nothing.
    Nothing,
    /// It is at fault.
    AtFault,
    /// It was looked at and is not.
    Fine,
}

/// One way of putting symptoms down, so far.
struct Way {
    weight: f64,
    cost: Cost,
    used: u128,
    others: usize,
}

struct Ways<'a> {
    beside: bool,
    cluster: &'a Cluster,
    symptoms: usize,
    known: Vec<Known>,
    shows: Vec<usize>,
    atoms: Vec<Atom>,
    sum: f64,
    candidates: Vec<f64>,
    others: Vec<f64>,
}

impl Ways<'_> {
    /// Puts down the symptoms in `left` in all ways.
    fn put_down(&mut self, left: usize, way: &Way) {
        if way.weight <= 0.0 {
            return;
        }
        if left == 0 {
            return self.done(way);
        }
        let first = left.trailing_zeros() as usize;
        let rest = left & !(1 << first);
        let cluster = self.cluster;
        let symptom = &cluster.symptoms[first];
        for (place, shown) in &symptom.causes {
            let bit = 1_u128 << place;
            match self.known[*place] {
                Known::AtFault => self.put_down(
                    rest,
                    &Way {
                        weight: way.weight * shown,
                        ..*way
                    },
                ),
                Known::Nothing if way.used & bit == 0 => {
                    self.common_cause(*place, first, left, way);
                }
                Known::Nothing | Known::Fine => {}
            }
        }
        self.put_down(
            rest,
            &Way {
                weight: way.weight * symptom.other,
                cost: way.cost + symptom.other_cost,
                used: way.used,
                others: way.others | (1 << first),
            },
        );
    }

    /// One candidate for `first` and any of the others left that it shows.
    fn common_cause(&mut self, place: usize, first: usize, left: usize, way: &Way) {
        let cluster = self.cluster;
        let candidate = &cluster.candidates[place];
        let cost = if self.beside {
            candidate.cost
        } else {
            candidate.cost_apart
        };
        let free = self.shows[place] & left & !(1 << first);
        let mut also = free;
        loop {
            let taken = also | (1 << first);
            let mut weight = way.weight * candidate.rate;
            let mut could = self.shows[place];
            while could != 0 {
                let s = could.trailing_zeros() as usize;
                could &= could - 1;
                let shown = cluster.symptoms[s].shown_by(place);
                weight *= if taken & (1 << s) == 0 {
                    1.0 - shown
                } else {
                    shown
                };
            }
            self.put_down(
                left & !taken,
                &Way {
                    weight,
                    cost: way.cost + cost,
                    used: way.used | (1 << place),
                    others: way.others,
                },
            );
            if also == 0 {
                break;
            }
            also = (also - 1) & free;
        }
    }

    fn done(&mut self, way: &Way) {
        debug_assert!(way.others & !self.symptoms == 0);
        self.sum += way.weight;
        self.atoms.push(Atom {
            chance: way.weight,
            cost: way.cost,
        });
        let mut used = way.used;
        while used != 0 {
            self.candidates[used.trailing_zeros() as usize] += way.weight;
            used &= used - 1;
        }
        let mut others = way.others;
        while others != 0 {
            self.others[others.trailing_zeros() as usize] += way.weight;
            others &= others - 1;
        }
    }
}

impl Symptom {
    /// How often a candidate shows this symptom; 0 where it does not.
    pub fn shown_by(&self, candidate: usize) -> f64 {
        let found = self.causes.iter().find(|(place, _)| *place == candidate);
        found.map_or(0.0, |(_, shown)| *shown)
    }
}
