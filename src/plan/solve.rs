//! The best set of cars under limits of money, hours and space, exactly.
//!
//! This is a 0-1 knapsack problem with up to three limits. First a car goes
//! that is no better in anything than at least as many others as could be
//! bought together: whatever set holds it, one of those is free to take its
//! place (dominance: Martello and Toth 1990, *Knapsack Problems*, Wiley,
//! chapter 2). Over the rest runs a depth-first branch and bound (Land and Doig
//! 1960, Econometrica 28(3)) whose bound is that of Lagrangian relaxation: with
//! a price a unit on each limit, no set can bring more than the limits' worth
//! plus what each car brings beyond the prices of what it takes (Geoffrion
//! 1974, Mathematical Programming Study 2). Any prices give a true bound; good
//! ones, found by subgradient steps, a tight one. Money counts in cents and
//! hours in hundredths, so that nothing is rounded in comparing sets.

use super::candidate::{Candidate, Limits};

/// Nodes after which the search gives up; far more than samples of thousands of
/// ads took.
const MOST_NODES: u64 = 20_000_000;

/// The best set.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Chosen {
    /// Places in the candidates given, in their order.
    pub places: Vec<usize>,
    /// Whether no other set is better. False only where the search was given up.
    pub proved: bool,
}

/// What there is of each limit, or what a car takes of it.
type Amounts = [i64; 3];

#[derive(Debug, Clone, Copy)]
struct Item {
    place: usize,
    takes: Amounts,
    brings: i64,
}

/// The set of cars that brings most within the limits. Cars that bring nothing
/// are never in it. Among sets that bring the same, one is chosen that is the
/// same on every run.
pub fn best(candidates: &[Candidate], limits: &Limits) -> Chosen {
    let room = limits.room();
    let items: Vec<Item> = candidates
        .iter()
        .enumerate()
        .map(|(place, car)| Item {
            place,
            takes: car.takes(),
            brings: car.brings(),
        })
        .filter(|item| item.brings > 0 && fits(&item.takes, &room))
        .collect();
    let items = undominated(&items, together(&items, &room));
    let mut search = Search::new(items, &room);
    search.descend(0, room, 0);
    let mut places: Vec<usize> = search.best.iter().map(|i| search.items[*i].place).collect();
    places.sort_unstable();
    Chosen {
        places,
        proved: search.nodes <= MOST_NODES,
    }
}

fn fits(takes: &Amounts, room: &Amounts) -> bool {
    takes.iter().zip(room).all(|(a, b)| a <= b)
}

/// No more cars than this fit together: by each limit the smallest first.
fn together(items: &[Item], room: &Amounts) -> usize {
    let by_limit = (0..room.len()).map(|limit| {
        let mut takes: Vec<i64> = items.iter().map(|i| i.takes[limit]).collect();
        takes.sort_unstable();
        let mut left = room[limit];
        let count = takes.iter().take_while(|t| {
            left -= **t;
            left >= 0
        });
        count.count()
    });
    by_limit.min().unwrap_or(0)
}

/// The items that fewer than `most` others are at least as good as in
/// everything. Of equal ones the first counts as better.
fn undominated(items: &[Item], most: usize) -> Vec<Item> {
    let better = |a: &Item, b: &Item| {
        let least = a.brings >= b.brings && fits(&a.takes, &b.takes);
        let equal = a.brings == b.brings && a.takes == b.takes;
        least && (!equal || a.place < b.place)
    };
    items
        .iter()
        .filter(|b| items.iter().filter(|a| better(a, b)).take(most).count() < most)
        .copied()
        .collect()
}

/// The search and the best set so far, as places in `items`.
struct Search {
    /// Those that bring most beyond the prices of what they take first.
    items: Vec<Item>,
    /// Price a unit of each limit.
    prices: [f64; 3],
    /// What the items from each place on can add to the worth of what is left
    /// of the limits.
    beyond: Vec<f64>,
    taken: Vec<usize>,
    best: Vec<usize>,
    best_brings: i64,
    nodes: u64,
}

impl Search {
    fn new(mut items: Vec<Item>, room: &Amounts) -> Self {
        let prices = prices(&items, room);
        items.sort_by(|a, b| {
            let order = surplus(b, &prices).total_cmp(&surplus(a, &prices));
            order.then(a.place.cmp(&b.place))
        });
        let mut beyond = vec![0.0; items.len() + 1];
        for (at, item) in items.iter().enumerate().rev() {
            beyond[at] = beyond[at + 1] + surplus(item, &prices).max(0.0);
        }
        Search {
            items,
            prices,
            beyond,
            taken: Vec::new(),
            best: Vec::new(),
            best_brings: 0,
            nodes: 0,
        }
    }

    /// Tries all sets that add items from `from` on to those taken.
    fn descend(&mut self, from: usize, room: Amounts, brings: i64) {
        if brings > self.best_brings {
            self.best_brings = brings;
            self.best.clone_from(&self.taken);
        }
        let worth = value(&self.prices, &room);
        for at in from..self.items.len() {
            self.nodes += 1;
            // Sums of floats are good to far less than a cent here.
            let bound = brings as f64 + worth + self.beyond[at] + 0.01;
            if bound < (self.best_brings + 1) as f64 || self.nodes > MOST_NODES {
                return;
            }
            let item = self.items[at];
            if fits(&item.takes, &room) {
                let left = std::array::from_fn(|i| room[i] - item.takes[i]);
                self.taken.push(at);
                self.descend(at + 1, left, brings + item.brings);
                self.taken.pop();
            }
        }
    }
}

fn value(prices: &[f64; 3], amounts: &Amounts) -> f64 {
    let terms = prices.iter().zip(amounts);
    // A limit that there is not has no price, however large it is.
    terms
        .map(|(p, a)| if *p > 0.0 { p * *a as f64 } else { 0.0 })
        .sum()
}

/// What an item brings beyond the prices of what it takes.
fn surplus(item: &Item, prices: &[f64; 3]) -> f64 {
    item.brings as f64 - value(prices, &item.takes)
}

/// Prices at which the bound at the root is nearly least, by subgradient steps
/// that shrink (Held, Wolfe and Crowder 1974, Mathematical Programming 6).
fn prices(items: &[Item], room: &Amounts) -> [f64; 3] {
    const STEPS: u32 = 400;
    let bound = |prices: &[f64; 3]| {
        let beyond = items.iter().map(|i| surplus(i, prices).max(0.0));
        value(prices, room) + beyond.sum::<f64>()
    };
    let all: f64 = items.iter().map(|i| i.brings as f64).sum();
    // Limits that all items keep together need no price.
    let binds: [bool; 3] = std::array::from_fn(|limit| {
        let sum: i128 = items.iter().map(|i| i128::from(i.takes[limit])).sum();
        sum > i128::from(room[limit])
    });
    let mut now = [0.0; 3];
    let mut best = (bound(&now), now);
    for step in 0..STEPS {
        let mut over = [0.0; 3];
        for (limit, over) in over.iter_mut().enumerate().filter(|(l, _)| binds[*l]) {
            let chosen = items.iter().filter(|i| surplus(i, &now) > 0.0);
            let taken: i64 = chosen.map(|i| i.takes[limit]).sum();
            // In shares of the limit, so that cents and hours weigh alike.
            *over = (taken - room[limit]) as f64 / (room[limit].max(1)) as f64;
        }
        let length = over.iter().map(|o| o * o).sum::<f64>().sqrt();
        if length == 0.0 {
            break;
        }
        let stride = all / f64::from(step + 2) / length;
        for (limit, price) in now.iter_mut().enumerate() {
            let unit = (room[limit].max(1)) as f64;
            *price = (*price + stride * over[limit] / unit).max(0.0);
        }
        let at = bound(&now);
        if at < best.0 {
            best = (at, now);
        }
    }
    best.1
}
