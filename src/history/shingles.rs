//! Likeness of texts.
//!
//! A text is taken as the set of its runs of three words (shingles); two texts
//! are alike by the share of runs that they have in common, the Jaccard index
//! (Broder 1997, "On the resemblance and containment of documents",
//! Proceedings of Compression and Complexity of Sequences).
//!
//! So that nobody has to compare all pairs, each text gets a signature: its
//! runs are thrown into [`BINS`] bins by one hash, the least hash of each bin
//! stays (one permutation hashing: Li, Owen and Zhang 2012, NIPS 25), and an
//! empty bin takes that of the next bin that is not (Shrivastava and Li 2014,
//! ICML 31). Two texts of likeness `s` agree in a bin with a chance of `s`, and
//! so in at least one of `b` bands of `r` bins with a chance of
//! `1 - (1 - s^r)^b` (Leskovec, Rajaraman and Ullman, "Mining of Massive
//! Datasets", chapter 3). All from memory; `tests/same_car.rs` measures it.

/// Words in a shingle.
const RUN: usize = 3;
/// Bins in a band.
pub const ROWS: usize = 2;
/// Bands of a signature: two texts that are half alike meet in one of them
/// with a chance of 99.9 %, texts that have a tenth in common with 21 %.
pub const BANDS: usize = 24;
/// Bins of a signature.
pub const BINS: usize = ROWS * BANDS;

/// The runs of a text, as sorted hashes without repeats.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Shingles(Vec<u64>);

/// For each band of a text what has to agree.
pub type Bands = [u32; BANDS];

impl Shingles {
    /// The runs of a text. Letter case and signs do not count. A text of fewer
    /// words than a run has one run.
    pub fn of(text: &str) -> Self {
        let mut runs = runs(text);
        runs.sort_unstable();
        runs.dedup();
        Shingles(runs)
    }

    /// The share of runs that both have, of those that either has: 0 to 1.
    /// Nothing is like nothing.
    pub fn likeness(&self, other: &Shingles) -> f64 {
        let (mut a, mut b) = (self.0.as_slice(), other.0.as_slice());
        let mut both = 0_usize;
        while let (Some(x), Some(y)) = (a.first(), b.first()) {
            both += usize::from(x == y);
            if x <= y {
                a = &a[1..];
            }
            if y <= x {
                b = &b[1..];
            }
        }
        let either = self.0.len() + other.0.len() - both;
        if either == 0 {
            return 0.0;
        }
        both as f64 / either as f64
    }
}

/// The hashes of a text's runs, in its order.
fn runs(text: &str) -> Vec<u64> {
    let mut words = Vec::with_capacity(text.len() / 5);
    for_words(text, |word| words.push(word));
    if words.len() < RUN {
        return words.into_iter().reduce(joined).into_iter().collect();
    }
    let run = |run: &[u64]| run.iter().copied().reduce(joined).unwrap_or_default();
    words.windows(RUN).map(run).collect()
}

/// What has to agree in each band; none for a text without words.
pub fn bands(text: &str) -> Option<Bands> {
    let signature = signature(&runs(text))?;
    let mut bands = [0; BANDS];
    for (band, bins) in bands.iter_mut().zip(signature.chunks_exact(ROWS)) {
        let all = bins.iter().fold(0, |held, b| joined(held, u64::from(*b)));
        *band = (all >> 32) as u32;
    }
    Some(bands)
}

/// The least hash of each bin; none for a text without words.
fn signature(runs: &[u64]) -> Option<[u32; BINS]> {
    let mut bins: [Option<u32>; BINS] = [None; BINS];
    for run in runs {
        let (high, low) = ((run >> 32), (run & 0xffff_ffff) as u32);
        // The high half chooses the bin, the low half is the hash.
        let bin = ((high * BINS as u64) >> 32) as usize;
        bins[bin] = Some(bins[bin].map_or(low, |held| held.min(low)));
    }
    let full = bins.iter().flatten().next()?;
    let mut out = [*full; BINS];
    let mut next: Option<(u32, u32)> = None;
    // Twice round, from the right: the second time each bin has a next.
    for i in (0..2 * BINS).rev() {
        let at = i % BINS;
        next = match (bins[at], next) {
            (Some(held), _) => Some((held, 0)),
            (None, Some((held, steps))) => Some((held, steps + 1)),
            (None, None) => None,
        };
        if let Some((held, steps)) = next {
            // The step makes a borrowed hash unlike one of its own.
            out[at] = held.wrapping_add(steps.wrapping_mul(0x9e37_79b9));
        }
    }
    Some(out)
}

/// One hash out of two; the order counts. The mixing is that of SplitMix64
/// (Steele, Lea and Flood 2014, OOPSLA; from memory).
pub(super) fn joined(a: u64, b: u64) -> u64 {
    let mut x = a
        .rotate_left(23)
        .wrapping_mul(0x9e37_79b9_7f4a_7c15)
        .wrapping_add(b);
    x = (x ^ (x >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    x = (x ^ (x >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    x ^ (x >> 31)
}

/// A hash of a word or any other short text (FNV-1a, mixed).
pub(super) fn hashed(text: &str) -> u64 {
    let mut hash = Fnv::default();
    text.bytes().for_each(|b| hash.add(b));
    hash.end()
}

struct Fnv(u64);

impl Default for Fnv {
    fn default() -> Self {
        Fnv(0xcbf2_9ce4_8422_2325)
    }
}

impl Fnv {
    fn add(&mut self, byte: u8) {
        self.0 = (self.0 ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3);
    }

    fn end(&self) -> u64 {
        joined(self.0, 1)
    }
}

/// Calls `take` with a hash of each word: letters and digits, case aside,
/// apostrophes dropped.
pub(super) fn for_words(text: &str, mut take: impl FnMut(u64)) {
    let mut hash = Fnv::default();
    let mut any = false;
    let mut at = 0;
    while let Some(byte) = text.as_bytes().get(at) {
        if byte.is_ascii_alphanumeric() {
            any = true;
            hash.add(byte.to_ascii_lowercase());
            at += 1;
            continue;
        }
        let Some(c) = text[at..].chars().next() else {
            break;
        };
        at += c.len_utf8();
        if c.is_alphanumeric() {
            any = true;
            let mut bytes = [0; 4];
            for low in c.to_lowercase() {
                low.encode_utf8(&mut bytes)
                    .bytes()
                    .for_each(|b| hash.add(b));
            }
        } else if any && !matches!(c, '\'' | '\u{2019}') {
            take(std::mem::take(&mut hash).end());
            any = false;
        }
    }
    if any {
        take(hash.end());
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn likeness_counts_common_runs() {
        let a = Shingles::of("Runs well, needs a starter");
        assert_eq!(a.likeness(&Shingles::of("RUNS WELL needs a starter!")), 1.0);
        // Runs: "runs well needs", "well needs a", "needs a starter" against
        // "runs well needs", "well needs a", "needs a battery".
        let b = Shingles::of("Runs well, needs a battery");
        assert_eq!(a.likeness(&b), 0.5);
        assert_eq!(a.likeness(&Shingles::of("")), 0.0);
        assert_eq!(Shingles::of("").likeness(&Shingles::of("")), 0.0);
        assert_eq!(Shingles::of("saab").likeness(&Shingles::of("Saab.")), 1.0);
    }

    #[test]
    fn a_text_of_one_run_fills_all_bins_and_none_fills_none() {
        assert_eq!(bands(" ... "), None);
        let one = bands("runs well");
        assert!(one.is_some());
        assert_eq!(one, bands("Runs. Well"));
        assert_ne!(one, bands("well runs"));
    }
}
