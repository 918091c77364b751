//! The equations of the mixed model.
//!
//! Effects `b` have a normal prior with precision `P`, rows have weights `w`;
//! wanted are `b = (X'WX + P)^-1 X'Wy` and the variances `(X'WX + P)^-1`
//! (Henderson 1975, Biometrics 31(2)). `X'WX + P` is block diagonal in the
//! local columns with a border of global ones, so each block is eliminated by
//! itself and only the Schur complement of the global columns is inverted.

use nalgebra::{Cholesky, DMatrix, DVector};

use super::effects::Effect;
use super::layout::{Layout, Terms};

/// One row's share in the equations.
#[derive(Debug, Clone, Copy)]
pub(super) struct Weighted<'a> {
    pub terms: &'a Terms,
    pub response: f64,
    pub weight: f64,
}

/// Effects and their variances.
#[derive(Debug, Clone)]
pub(super) struct Solution {
    pub global: DVector<f64>,
    pub global_variance: DMatrix<f64>,
    pub blocks: Vec<Block>,
}

/// The effects of one block of local columns.
#[derive(Debug, Clone)]
pub(super) struct Block {
    /// Global columns that rows of this block touch.
    touched: Vec<usize>,
    /// Inverse of the block's own equations.
    own: DMatrix<f64>,
    /// `own` times the coupling to the touched columns.
    coupling: DMatrix<f64>,
    pub local: DVector<f64>,
}

/// Relative jitter that keeps collinear columns solvable where no prior does;
/// it changes estimates in the tenth digit.
const JITTER: f64 = 1e-10;

struct Equations {
    matrix: DMatrix<f64>,
    right: DVector<f64>,
}

struct BlockEquations {
    touched: Vec<usize>,
    own: DMatrix<f64>,
    border: DMatrix<f64>,
    right: DVector<f64>,
}

/// Solves for all effects. `variance` gives the prior variance of a kind of
/// effect; infinite for none, zero for a column that is held at nothing.
/// `None` only where numbers overflow.
pub(super) fn solve(
    layout: &Layout,
    rows: &[Weighted<'_>],
    variance: impl Fn(Effect) -> f64,
) -> Option<Solution> {
    let n = layout.global.len();
    let mut shared = Equations {
        matrix: DMatrix::zeros(n, n),
        right: DVector::zeros(n),
    };
    let mut blocks = block_equations(layout, rows);
    for row in rows {
        accumulate(row, &mut shared, &mut blocks);
    }
    add_prior(&mut shared.matrix, &layout.global, &variance);

    let mut eliminated = Vec::with_capacity(blocks.len());
    for (mut block, effects) in blocks.into_iter().zip(&layout.blocks) {
        add_prior(&mut block.own, effects, &variance);
        let own = inverse(block.own)?;
        let coupling = &own * &block.border;
        let reduction = block.border.transpose() * &coupling;
        let carried = coupling.transpose() * &block.right;
        for (i, &a) in block.touched.iter().enumerate() {
            shared.right[a] -= carried[i];
            for (j, &b) in block.touched.iter().enumerate() {
                shared.matrix[(a, b)] -= reduction[(i, j)];
            }
        }
        let local = &own * &block.right;
        eliminated.push(Block {
            touched: block.touched,
            own,
            coupling,
            local,
        });
    }
    let global_variance = inverse(shared.matrix)?;
    let global = &global_variance * shared.right;
    for block in &mut eliminated {
        let at = DVector::from_iterator(
            block.touched.len(),
            block.touched.iter().map(|&i| global[i]),
        );
        block.local -= &block.coupling * at;
    }
    let finite = global.iter().all(|v| v.is_finite());
    finite.then_some(Solution {
        global,
        global_variance,
        blocks: eliminated,
    })
}

fn block_equations(layout: &Layout, rows: &[Weighted<'_>]) -> Vec<BlockEquations> {
    let mut touched = vec![Vec::new(); layout.blocks.len()];
    for row in rows {
        if let Some(block) = row.terms.block {
            touched[block].extend(row.terms.global.iter().map(|(column, _)| *column));
        }
    }
    let equations = touched.into_iter().zip(&layout.blocks);
    equations
        .map(|(mut touched, effects)| {
            touched.sort_unstable();
            touched.dedup();
            BlockEquations {
                own: DMatrix::zeros(effects.len(), effects.len()),
                border: DMatrix::zeros(effects.len(), touched.len()),
                right: DVector::zeros(effects.len()),
                touched,
            }
        })
        .collect()
}

fn accumulate(row: &Weighted<'_>, shared: &mut Equations, blocks: &mut [BlockEquations]) {
    let (terms, weight) = (row.terms, row.weight);
    for &(i, x) in &terms.global {
        shared.right[i] += weight * x * row.response;
        for &(j, z) in &terms.global {
            shared.matrix[(i, j)] += weight * x * z;
        }
    }
    let Some(block) = terms.block.map(|b| &mut blocks[b]) else {
        return;
    };
    for &(i, x) in &terms.local {
        block.right[i] += weight * x * row.response;
        for &(j, z) in &terms.local {
            block.own[(i, j)] += weight * x * z;
        }
        for &(column, z) in &terms.global {
            if let Ok(j) = block.touched.binary_search(&column) {
                block.border[(i, j)] += weight * x * z;
            }
        }
    }
}

fn add_prior(matrix: &mut DMatrix<f64>, effects: &[Effect], variance: &impl Fn(Effect) -> f64) {
    for (i, effect) in effects.iter().enumerate() {
        // A variance of zero would be an infinite precision: held very near
        // nothing instead.
        let precision = 1.0 / variance(*effect).max(1e-14);
        matrix[(i, i)] += precision + JITTER * matrix[(i, i)] + f64::MIN_POSITIVE;
    }
}

fn inverse(matrix: DMatrix<f64>) -> Option<DMatrix<f64>> {
    if matrix.is_empty() {
        return Some(matrix);
    }
    // Scaled to a unit diagonal, so that units of columns do not matter.
    let scale = matrix
        .diagonal()
        .map(|d| 1.0 / d.max(f64::MIN_POSITIVE).sqrt());
    let scaled = DMatrix::from_fn(matrix.nrows(), matrix.ncols(), |i, j| {
        matrix[(i, j)] * scale[i] * scale[j]
    });
    let solved = Cholesky::new(scaled)?.inverse();
    Some(DMatrix::from_fn(matrix.nrows(), matrix.ncols(), |i, j| {
        solved[(i, j)] * scale[i] * scale[j]
    }))
}

impl Solution {
    /// What the effects add up to for a car.
    pub fn mean(&self, terms: &Terms) -> f64 {
        let global: f64 = terms.global.iter().map(|&(i, x)| x * self.global[i]).sum();
        let local: f64 = terms.block.map_or(0.0, |block| {
            let local = &self.blocks[block].local;
            terms.local.iter().map(|&(i, x)| x * local[i]).sum()
        });
        global + local
    }

    /// The variance of that sum.
    pub fn variance(&self, terms: &Terms) -> f64 {
        self.covariance(terms, terms).max(0.0)
    }

    /// The covariance of the sums of two cars.
    pub fn covariance(&self, a: &Terms, b: &Terms) -> f64 {
        let own = match (a.block, b.block) {
            (Some(x), Some(y)) if x == y => {
                let own = &self.blocks[x].own;
                let row = |i: usize| b.local.iter().map(|&(j, y)| y * own[(i, j)]).sum::<f64>();
                a.local.iter().map(|&(i, x)| x * row(i)).sum()
            }
            _ => 0.0,
        };
        own + self.form(&self.carried(a), &self.carried(b))
    }

    /// A car's global columns, less what its block's equations carry over.
    fn carried(&self, terms: &Terms) -> Vec<(usize, f64)> {
        let mut z = terms.global.clone();
        if let Some(block) = terms.block.map(|b| &self.blocks[b]) {
            for (j, &column) in block.touched.iter().enumerate() {
                let local = terms.local.iter();
                let sum: f64 = local.map(|&(i, x)| x * block.coupling[(i, j)]).sum();
                z.push((column, -sum));
            }
        }
        z
    }

    /// Effects of nothing, for equations that cannot be solved.
    pub fn nothing(layout: &Layout) -> Self {
        let n = layout.global.len();
        let blocks = layout.blocks.iter().map(|b| Block {
            touched: Vec::new(),
            own: DMatrix::zeros(b.len(), b.len()),
            coupling: DMatrix::zeros(b.len(), 0),
            local: DVector::zeros(b.len()),
        });
        Solution {
            global: DVector::zeros(n),
            global_variance: DMatrix::identity(n, n),
            blocks: blocks.collect(),
        }
    }

    /// Square and variance of each effect, for the update of prior variances.
    pub fn spread<'a>(&'a self, layout: &'a Layout) -> impl Iterator<Item = (Effect, f64)> + 'a {
        let global = layout.global.iter().enumerate().map(|(i, effect)| {
            (
                *effect,
                self.global[i].powi(2) + self.global_variance[(i, i)],
            )
        });
        let blocks = self.blocks.iter().zip(&layout.blocks);
        let local = blocks.flat_map(move |(block, effects)| {
            effects.iter().enumerate().map(move |(i, effect)| {
                let carried = block.touched.iter().enumerate();
                let z: Vec<_> = carried.map(|(j, &c)| (c, block.coupling[(i, j)])).collect();
                let variance = block.own[(i, i)] + self.form(&z, &z);
                (*effect, block.local[i].powi(2) + variance)
            })
        });
        global.chain(local)
    }

    fn form(&self, a: &[(usize, f64)], b: &[(usize, f64)]) -> f64 {
        let v = &self.global_variance;
        let row = |i: usize| b.iter().map(|&(j, y)| y * v[(i, j)]).sum::<f64>();
        a.iter().map(|&(i, x)| x * row(i)).sum()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lexicon::Lexicon;
    use crate::units::Miles;
    use crate::worth::date::Month;
    use crate::worth::layout::{Sale, Traits};
    use crate::worth::options::Pooling;

    /// The same answer as the whole system solved at once, without blocks.
    #[test]
    fn elimination_agrees_with_the_dense_solution() {
        let curves = Lexicon::built_in().unwrap().curves;
        let names = [
            ("Saab", "900"),
            ("Saab", "9000"),
            ("Kia", "Rio"),
            ("Volvo", "240"),
        ];
        let car = |i: usize| Traits {
            make: Some(names[i % 4].0),
            model: Some(names[i % 4].1),
            class: Some(if i.is_multiple_of(3) {
                "compact"
            } else {
                "midsize"
            }),
            body: (i % 5 > 1).then_some("wagon"),
            engine: None,
            age: (i * 7 % 20) as f64,
            miles: Some(Miles((i * 13_000 % 190_000) as u32)),
            sale: Sale {
                asked: i.is_multiple_of(2),
                later: Some(-(i as f64) / 10.0),
                month: Month::new((i % 12) as u8 + 1),
            },
        };
        let cars: Vec<_> = (0..30).map(car).collect();
        let layout = Layout::of_cars(&cars, Pooling::Partial);
        let terms: Vec<_> = (0..30).map(|i| layout.terms(&car(i), &curves)).collect();
        let rows: Vec<_> = terms
            .iter()
            .enumerate()
            .map(|(i, terms)| Weighted {
                terms,
                response: (i as f64 * 1.7).sin(),
                weight: 1.0 + (i % 3) as f64,
            })
            .collect();
        let variance = |e: Effect| e.prior().deviation.powi(2);
        let solution = solve(&layout, &rows, variance).unwrap();

        let globals = layout.global.len();
        let starts: Vec<usize> = layout
            .blocks
            .iter()
            .scan(globals, |at, b| {
                *at += b.len();
                Some(*at - b.len())
            })
            .collect();
        let effects: Vec<Effect> = layout
            .global
            .iter()
            .chain(layout.blocks.iter().flatten())
            .copied()
            .collect();
        let dense = |t: &Terms| {
            let mut x = DVector::zeros(effects.len());
            t.global.iter().for_each(|&(i, v)| x[i] += v);
            if let Some(b) = t.block {
                t.local.iter().for_each(|&(i, v)| x[starts[b] + i] += v);
            }
            x
        };
        let mut matrix = DMatrix::from_fn(effects.len(), effects.len(), |i, j| {
            if i == j {
                1.0 / variance(effects[i])
            } else {
                0.0
            }
        });
        let mut right = DVector::zeros(effects.len());
        for row in &rows {
            let x = dense(row.terms);
            matrix += &x * x.transpose() * row.weight;
            right += x * row.weight * row.response;
        }
        let covariance = matrix.try_inverse().unwrap();
        let estimate = &covariance * right;
        for t in &terms {
            let x = dense(t);
            assert!((solution.mean(t) - x.dot(&estimate)).abs() < 1e-7);
            assert!((solution.variance(t) - (x.transpose() * &covariance * &x)[0]).abs() < 1e-7);
        }
        let spread: Vec<_> = solution.spread(&layout).collect();
        assert_eq!(spread.len(), effects.len());
        for (i, (effect, value)) in spread.iter().enumerate() {
            assert_eq!(*effect, effects[i]);
            assert!((value - estimate[i].powi(2) - covariance[(i, i)]).abs() < 1e-7);
        }
    }
}
