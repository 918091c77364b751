//! Which ads are compared at all.
//!
//! Comparing all pairs of a million ads would take 5 x 10^11 comparisons.
//! Instead ads that share a key meet in a block: the VIN, the link, the site's
//! number, a band of the text's signature together with make, model and year
//! ([`super::shingles`]), or make, model, year and about the same distance. Within a block each ad meets the next [`NEXT`] in order of distance
//! and place of the run (the sorted neighbourhood of Hernandez and Stolfo 1995,
//! ACM SIGMOD; from memory), so that a dealer who uses one text for ten
//! thousand cars costs no more than others. Work and memory grow with the
//! number of ads.

use rayon::prelude::*;

use super::gather::Texts;
use super::same::{Facts, Ground, Key, ground};
use super::shingles::{BANDS, Shingles, joined};

/// Ads of a block that each is compared with.
const NEXT: usize = 12;

/// Two ads of one car, the earlier of the run first.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Pair {
    pub a: u32,
    pub b: u32,
    pub ground: Ground,
}

/// All pairs found, the surest first.
#[allow(clippy::type_complexity)] // Keys are closures over what they key.
pub(super) fn pairs(facts: &[Facts], texts: &dyn Texts) -> Vec<Pair> {
    let keys: Vec<Box<dyn Fn(usize) -> Option<u64> + Sync + '_>> = vec![
        Box::new(|i| facts[i].vin.map(Key::get)),
        Box::new(|i| facts[i].link.map(Key::get)),
        Box::new(|i| facts[i].number.map(Key::get)),
        Box::new(|i| Some(joined(facts[i].vehicle()?, facts[i].exact_miles()?.into()))),
        Box::new(|i| facts[i].about(false)),
        Box::new(|i| facts[i].about(true)),
    ];
    let mut found = Vec::new();
    let mut meet = |key: &(dyn Fn(usize) -> Option<u64> + Sync)| {
        let met = block(facts, key);
        found.extend(compared(facts, texts, &met));
        // The same two meet in many bands.
        if found.len() > 1 << 22 {
            settle(&mut found);
        }
    };
    keys.iter().for_each(|key| meet(key));
    let mut column: Vec<Option<u32>> = Vec::with_capacity(facts.len());
    for band in 0..BANDS {
        column.clear();
        texts.band(band, &mut |number| column.push(number));
        meet(&|i| {
            let number = (*column.get(i)?)?;
            let vehicle = facts[i].vehicle().unwrap_or_default();
            Some(joined(vehicle, joined(band as u64, number.into())))
        });
    }
    settle(&mut found);
    found.sort_by(|x, y| {
        let rank = x.ground.partial_cmp(&y.ground);
        let by_text = match (x.ground, y.ground) {
            (Ground::Text(p), Ground::Text(q)) => Some(q.total_cmp(&p)),
            _ => rank,
        };
        let order = by_text.unwrap_or(std::cmp::Ordering::Equal);
        order.then((x.a, x.b).cmp(&(y.a, y.b)))
    });
    found
}

/// Each pair once; its ground does not depend on the block it met in.
fn settle(found: &mut Vec<Pair>) {
    found.sort_unstable_by_key(|p| (p.a, p.b));
    found.dedup_by_key(|p| (p.a, p.b));
}

/// The ads by key, each block in order of distance.
fn block(facts: &[Facts], key: &(dyn Fn(usize) -> Option<u64> + Sync)) -> Vec<Vec<u32>> {
    let mut keyed: Vec<(u64, u32)> = (0..facts.len())
        .into_par_iter()
        .filter_map(|i| Some((key(i)?, i as u32)))
        .collect();
    keyed.par_sort_unstable();
    keyed
        .chunk_by(|x, y| x.0 == y.0)
        .filter(|block| block.len() > 1)
        .map(|block| {
            let mut ads: Vec<u32> = block.iter().map(|(_, i)| *i).collect();
            ads.sort_by_key(|i| (facts[*i as usize].miles, *i));
            ads
        })
        .collect()
}

/// The pairs of these blocks that are of one car.
fn compared(facts: &[Facts], texts: &dyn Texts, blocks: &[Vec<u32>]) -> Vec<Pair> {
    blocks
        .par_iter()
        .flat_map_iter(|block| {
            let held: Vec<std::cell::OnceCell<Shingles>> = vec![Default::default(); block.len()];
            let shingles = |at: usize| {
                held[at].get_or_init(|| {
                    let mut shingles = Shingles::default();
                    let mut take = |text: &str| shingles = Shingles::of(text);
                    texts.with(block[at] as usize, &mut take);
                    shingles
                })
            };
            let mut found = Vec::new();
            for x in 0..block.len() {
                for y in x + 1..block.len().min(x + 1 + NEXT) {
                    let (a, b) = (block[x].min(block[y]), block[x].max(block[y]));
                    let likeness = || shingles(x).likeness(shingles(y));
                    let same = ground(&facts[a as usize], &facts[b as usize], likeness);
                    found.extend(same.map(|ground| Pair { a, b, ground }));
                }
            }
            found
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::history::gather::Held;
    use crate::history::sketch::{Sketch, Sketches};
    use crate::intake::{Listing, ListingId, Origin};
    use crate::reading::{MilesBasis, Reading};
    use crate::units::{Miles, ModelYear};

    /// A linear congruential generator (Knuth's MMIX constants), so that the
    /// texts are the same on every machine.
    struct Dice(u64);

    impl Dice {
        fn roll(&mut self, sides: u64) -> u64 {
            self.0 = self
                .0
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            (self.0 >> 33) % sides
        }
    }

    fn listing(i: usize, words: &[u64]) -> Listing {
        let text: Vec<String> = words.iter().map(|w| format!("w{w}")).collect();
        let origin = Origin {
            file: format!("{}.csv", i % 3).into(),
            line: i as u64,
        };
        Listing::new(ListingId(i.to_string()), origin, "", &text.join(" "))
    }

    /// Texts of 40 words in families that share a beginning of any length, and
    /// facts that are the same for all: only the texts tell them apart.
    #[test]
    fn nearly_all_pairs_that_comparing_all_would_find_are_found() {
        let mut dice = Dice(7);
        let mut listings = Vec::new();
        while listings.len() < 1_000 {
            let base: Vec<u64> = (0..40).map(|_| dice.roll(100_000)).collect();
            for _ in 0..4 {
                let kept = 10 + dice.roll(31) as usize;
                let mut words = base[..kept].to_vec();
                words.extend((kept..40).map(|_| dice.roll(100_000)));
                listings.push(listing(listings.len(), &words));
            }
        }
        let sketches: Vec<Sketch> = listings
            .iter()
            .map(|listing| {
                let mut reading = Reading::unread(listing.id.clone());
                reading.make = Some("Saab".to_owned());
                reading.model = Some("9-3".to_owned());
                reading.year = Some(ModelYear(2003));
                reading.miles = Some(Miles(120_000));
                reading.miles_basis = MilesBasis::Rounded;
                Sketch::of(listing, &reading)
            })
            .collect();
        let mut kept = Sketches::default();
        let mut texts = Held {
            listings: &listings,
            bands: Vec::new(),
        };
        for (listing, sketch) in listings.iter().zip(sketches) {
            texts.bands.push(sketch.bands);
            kept.add(&listing.origin.file, sketch);
        }
        let facts = kept.facts;
        let shingles: Vec<Shingles> = listings.iter().map(|l| Shingles::of(&l.text)).collect();
        let mut all = 0_usize;
        let found = pairs(&facts, &texts);
        let mut met = 0_usize;
        for a in 0..listings.len() {
            for b in a + 1..listings.len() {
                let likeness = || shingles[a].likeness(&shingles[b]);
                if ground(&facts[a], &facts[b], likeness).is_some() {
                    all += 1;
                    let pair = found.iter().find(|p| (p.a, p.b) == (a as u32, b as u32));
                    met += usize::from(pair.is_some());
                }
            }
        }
        assert!(all > 150, "{all}");
        let recall = met as f64 / all as f64;
        assert!(recall >= 0.98, "{met} of {all}");
        assert_eq!(found.len(), met, "a pair that has no ground");
    }

    /// The chance that two texts meet is the published `1 - (1 - s^r)^b`.
    #[test]
    fn texts_meet_as_often_as_the_formula_says() {
        use super::super::shingles::{ROWS, bands};
        let mut dice = Dice(11);
        let (mut met, mut expected, mut count) = (0.0, 0.0, 0.0);
        for _ in 0..600 {
            let base: Vec<u64> = (0..120).map(|_| dice.roll(1_000_000)).collect();
            let kept = 20 + dice.roll(40) as usize;
            let mut words = base[..kept].to_vec();
            words.extend((kept..120).map(|_| dice.roll(1_000_000)));
            let (a, b) = (listing(0, &base), listing(1, &words));
            let s = Shingles::of(&a.text).likeness(&Shingles::of(&b.text));
            let (x, y) = (bands(&a.text).unwrap(), bands(&b.text).unwrap());
            met += f64::from(u8::from(x.iter().zip(&y).any(|(p, q)| p == q)));
            expected += 1.0 - (1.0 - s.powi(ROWS as i32)).powi(BANDS as i32);
            count += 1.0;
        }
        let (met, expected) = (met / count, expected / count);
        assert!((met - expected).abs() < 0.05, "{met} {expected}");
        assert!((0.3..0.9).contains(&expected), "{expected}");
    }
}
