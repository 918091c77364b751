//! How far a grade would move with other ads of the same kind.
//!
//! The percentile bootstrap: the ads are drawn again with replacement, as many
//! as there are, and the middle 95 in 100 of the results are the range (Efron
//! 1979, Ann. Statist. 7:1-26; Efron and Tibshirani 1993, ch. 13). Ads, not
//! claims, are drawn, since the claims of one ad stand or fall together. The
//! draws are seeded, so that a grade is the same whenever it is made.

use super::judge::Judged;
use super::random::SplitMix;
use super::score::{Counts, Group};

/// Draws made; more change the second decimal of the ends by less than the
/// grade's own noise.
pub const DRAWS: usize = 1000;

const SEED: u64 = 0x5eed_0001;

/// The middle 95 in 100 of the draws.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interval {
    /// 2.5 in 100 lie below.
    pub low: f64,
    /// 2.5 in 100 lie above.
    pub high: f64,
}

/// The range of the F1 of a group; none without ads.
pub fn f1(judged: &[Judged], group: Group) -> Option<Interval> {
    let counts = counts(judged, group);
    interval(judged.len(), |picks| f1_of(&counts, picks))
}

/// The range of the gain in F1 of a group from one grading of the same ads to
/// another: both are drawn together. None without ads.
pub fn f1_gain(before: &[Judged], after: &[Judged], group: Group) -> Option<Interval> {
    let (before, after) = (counts(before, group), counts(after, group));
    let ads = before.len().min(after.len());
    interval(ads, |picks| f1_of(&after, picks) - f1_of(&before, picks))
}

fn counts(judged: &[Judged], group: Group) -> Vec<Counts> {
    let of = |j: &Judged| j.groups.get(&group).copied().unwrap_or_default();
    judged.iter().map(of).collect()
}

fn f1_of(counts: &[Counts], picks: &[usize]) -> f64 {
    let mut sum = Counts::default();
    for pick in picks {
        sum.add(counts[*pick]);
    }
    sum.f1()
}

fn interval(ads: usize, value: impl Fn(&[usize]) -> f64) -> Option<Interval> {
    if ads == 0 {
        return None;
    }
    let mut random = SplitMix(SEED);
    let mut picks = vec![0; ads];
    let mut values: Vec<f64> = (0..DRAWS)
        .map(|_| {
            for pick in &mut picks {
                *pick = random.below(ads);
            }
            value(&picks)
        })
        .collect();
    values.sort_by(f64::total_cmp);
    let at = |share: f64| values[((DRAWS - 1) as f64 * share).round() as usize];
    Some(Interval {
        low: at(0.025),
        high: at(0.975),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ad(right: u32, extra: u32) -> Judged {
        let mut out = Judged::default();
        out.groups.insert(
            Group::All,
            Counts {
                right,
                extra,
                missed: 0,
            },
        );
        out
    }

    #[test]
    fn ads_that_are_all_alike_leave_no_range() {
        let ads = vec![ad(3, 1); 20];
        let range = f1(&ads, Group::All).unwrap();
        assert_eq!(range.low, range.high);
        assert_eq!(f1(&[], Group::All), None);
    }

    #[test]
    fn the_range_is_about_that_of_the_normal_approximation() {
        // Precision of 200 single claims of which 150 are right: recall is 1,
        // so F1 = 2p/(1+p); with p = 0.75 and its error sqrt(p(1-p)/200) =
        // 0.0306, dF/dp = 2/(1+p)^2 = 0.653: plus or minus 1.96 x 0.0200.
        let ads: Vec<_> = (0..200)
            .map(|i| if i < 150 { ad(1, 0) } else { ad(0, 1) })
            .collect();
        let range = f1(&ads, Group::All).unwrap();
        let point = 2.0 * 0.75 / 1.75;
        assert!((range.low - (point - 0.0392)).abs() < 0.008, "{range:?}");
        assert!((range.high - (point + 0.0392)).abs() < 0.008, "{range:?}");
    }

    #[test]
    fn a_gain_is_drawn_over_the_same_ads() {
        let before: Vec<_> = (0..40).map(|i| ad(1, i % 3)).collect();
        let same = f1_gain(&before, &before, Group::All).unwrap();
        assert_eq!((same.low, same.high), (0.0, 0.0));
    }
}
