//! The most that jobs can save each other when none saves more than it costs.
//!
//! Nodes have a budget, edges a capacity. What is sought is the largest sum of
//! amounts on the edges so that no node's edges together pass its budget: a
//! maximum fractional b-matching. It equals half the maximum flow of the
//! network in which each node stands twice, once giving and once taking
//! (Schrijver 2003, Combinatorial Optimization, chapter 31). The flow is found
//! by Dinic's method (1970).
//!
//! The budget is what makes a bill grow with every fault: a node that is added
//! raises the sum saved by no more than its own budget.

use std::collections::VecDeque;

/// An edge between two nodes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Edge {
    /// One node.
    pub a: usize,
    /// The other.
    pub b: usize,
    /// The most that may be put on it.
    pub capacity: i64,
    /// Whether the amount also counts against the gate of `b`.
    pub gated: bool,
}

/// Amounts on the edges of a maximum fractional b-matching, in their order,
/// doubled (so that they are whole). `gates` bounds what all gated edges put
/// on their node `b` together.
pub fn matching(budgets: &[i64], gates: &[i64], edges: &[Edge]) -> Vec<i64> {
    let n = budgets.len();
    // Giving copy i, taking copy n + i, gates of both copies, then the ends.
    let gate_in = |i: usize| 2 * n + i;
    let gate_out = |i: usize| 3 * n + i;
    let (source, sink) = (4 * n, 4 * n + 1);
    let mut net = Network::new(4 * n + 2);
    for i in 0..n {
        net.arc(source, i, budgets[i]);
        net.arc(n + i, sink, budgets[i]);
        net.arc(gate_in(i), n + i, gates[i]);
        net.arc(i, gate_out(i), gates[i]);
    }
    let arcs: Vec<_> = edges
        .iter()
        .map(|e| {
            let (into, out) = if e.gated {
                (gate_in(e.b), gate_out(e.b))
            } else {
                (n + e.b, e.b)
            };
            (
                net.arc(e.a, into, e.capacity),
                net.arc(out, n + e.a, e.capacity),
            )
        })
        .collect();
    net.run(source, sink);
    arcs.iter()
        .map(|(there, back)| net.flow(*there) + net.flow(*back))
        .collect()
}

struct Network {
    /// Target and what may still pass; arc `i ^ 1` is the way back of `i`.
    arcs: Vec<(usize, i64)>,
    out: Vec<Vec<usize>>,
    level: Vec<usize>,
    next: Vec<usize>,
}

const UNSEEN: usize = usize::MAX;

impl Network {
    fn new(nodes: usize) -> Self {
        Network {
            arcs: Vec::new(),
            out: vec![Vec::new(); nodes],
            level: vec![UNSEEN; nodes],
            next: vec![0; nodes],
        }
    }

    fn arc(&mut self, from: usize, to: usize, capacity: i64) -> usize {
        let id = self.arcs.len();
        self.arcs.push((to, capacity));
        self.arcs.push((from, 0));
        self.out[from].push(id);
        self.out[to].push(id + 1);
        id
    }

    fn flow(&self, arc: usize) -> i64 {
        self.arcs[arc ^ 1].1
    }

    fn run(&mut self, source: usize, sink: usize) {
        while self.find_levels(source, sink) {
            self.next.fill(0);
            while self.push(source, sink, i64::MAX) > 0 {}
        }
    }

    fn find_levels(&mut self, source: usize, sink: usize) -> bool {
        self.level.fill(UNSEEN);
        self.level[source] = 0;
        let mut queue = VecDeque::from([source]);
        while let Some(node) = queue.pop_front() {
            for &id in &self.out[node] {
                let (to, free) = self.arcs[id];
                if free > 0 && self.level[to] == UNSEEN {
                    self.level[to] = self.level[node] + 1;
                    queue.push_back(to);
                }
            }
        }
        self.level[sink] != UNSEEN
    }

    /// Depth is at most the number of levels, a few dozen.
    fn push(&mut self, node: usize, sink: usize, most: i64) -> i64 {
        if node == sink {
            return most;
        }
        while self.next[node] < self.out[node].len() {
            let id = self.out[node][self.next[node]];
            let (to, free) = self.arcs[id];
            if free > 0 && self.level[to] == self.level[node] + 1 {
                let sent = self.push(to, sink, most.min(free));
                if sent > 0 {
                    self.arcs[id].1 -= sent;
                    self.arcs[id ^ 1].1 += sent;
                    return sent;
                }
            }
            self.next[node] += 1;
        }
        0
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const OPEN: i64 = 1_000_000;

    fn edge(a: usize, b: usize, capacity: i64) -> Edge {
        let gated = false;
        Edge {
            a,
            b,
            capacity,
            gated,
        }
    }

    fn total(budgets: &[i64], edges: &[Edge]) -> i64 {
        let gates = vec![OPEN; budgets.len()];
        matching(budgets, &gates, edges).iter().sum()
    }

    #[test]
    fn a_triangle_is_matched_in_halves() {
        // Schrijver: the fractional matching number of a triangle is 3/2.
        let edges = [edge(0, 1, OPEN), edge(1, 2, OPEN), edge(0, 2, OPEN)];
        assert_eq!(total(&[1, 1, 1], &edges), 3);
        assert_eq!(total(&[10, 10, 10], &edges), 30);
    }

    #[test]
    fn budgets_capacities_and_gates_bind() {
        assert_eq!(matching(&[5, 9], &[OPEN, OPEN], &[edge(0, 1, OPEN)]), [10]);
        assert_eq!(matching(&[5, 9], &[OPEN, OPEN], &[edge(0, 1, 3)]), [6]);
        let gated = |a| Edge {
            gated: true,
            ..edge(a, 2, OPEN)
        };
        let amounts = matching(&[5, 5, 9], &[OPEN, OPEN, 4], &[gated(0), gated(1)]);
        assert_eq!(amounts.iter().sum::<i64>(), 8);
    }

    proptest! {
        #[test]
        fn one_more_node_adds_at_most_its_budget(
            budgets in prop::collection::vec(0_i64..50, 2..8),
            raw in prop::collection::vec((0_usize..8, 0_usize..8, 0_i64..40), 0..16),
        ) {
            let n = budgets.len();
            let all: Vec<_> = raw
                .iter()
                .filter(|(a, b, _)| a != b && *a < n && *b < n)
                .map(|(a, b, c)| edge(*a, *b, *c))
                .collect();
            let before: Vec<_> = all.iter().copied().filter(|e| e.a < n - 1 && e.b < n - 1).collect();
            let (less, more) = (total(&budgets[..n - 1], &before), total(&budgets, &all));
            prop_assert!(less <= more);
            prop_assert!(more - less <= 2 * budgets[n - 1]);
        }
    }
}
