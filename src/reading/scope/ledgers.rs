//! What bills and dates tell of work: sums that were paid for parts, months and years
//! written in figures.

use super::*;
use crate::reading::years::is_year;

/// Items before a part among which a sum and the word for paying it stand.
const SUM: usize = 14;
/// Parts side by side that are looked back on.
const LIST: usize = 4;

impl Walk<'_> {
    /// The last item of a month and year in figures that begin here: `5/23`, `04/2020`,
    /// `10/4/2019`. A share, `3/4 of the tread`, has no nought before it, and no figure
    /// so great.
    pub(super) fn month_and_year_end(&self, i: usize) -> Option<usize> {
        let stroke = |j: usize| self.items.kind(j) == ItemKind::Sign(b'/');
        if !stroke(i + 1) || i > 0 && stroke(i - 1) {
            return None;
        }
        let short = |j: usize| self.figure(j).filter(|_| self.items.word(j).len() <= 2);
        let first = short(i).filter(|v| (1.0..=31.0).contains(v))?;
        let day = short(i + 2).filter(|v| (1.0..=31.0).contains(v));
        if stroke(i + 3) {
            let month = first <= 12.0 || day? <= 12.0;
            return (month && self.year_in_figures(i + 4, true)).then_some(i + 4);
        }
        let padded = self.items.word(i).starts_with('0');
        (first <= 12.0 && self.year_in_figures(i + 2, padded)).then_some(i + 2)
    }

    /// Whether a month and year in figures begin here.
    pub(super) fn is_month_and_year(&self, i: usize) -> bool {
        self.month_and_year_end(i).is_some()
    }

    /// `new top with glass window 6/08`: whether the part named last only tells what
    /// another has, of which a date behind it tells.
    pub(super) fn comes_with_another(&self) -> bool {
        let with = |m: &Mention| {
            let first = self.items.list[self.before_modifiers(m.item)].first;
            let before = first.checked_sub(1);
            before.is_some_and(|t| self.items.token_is(t, &[WordClass::With]))
        };
        let last = self.mentions.last().map_or(0, |m| m.item);
        let listed = self.mentions.iter().rev().take(LIST);
        let mut side_by_side = listed.zip(0..).take_while(|(m, n)| m.item + n == last);
        side_by_side.any(|(m, _)| with(m))
    }

    /// `original clutch at 160k`: whether the part named last is called the one that it
    /// left the works with, so that a figure behind it tells no work.
    pub(super) fn is_original(&self) -> bool {
        let last = self.mentions.last().map_or(0, |m| m.item);
        let original = |j: usize| self.items.is_a(j, WordClass::Original);
        (self.before_modifiers(last)..last).any(original)
    }

    /// A year of four figures in which work may have been done.
    pub(super) fn full_year(&self, i: usize) -> bool {
        let value = self.figure(i).filter(|_| self.items.word(i).len() == 4);
        value.is_some_and(is_year)
    }

    /// A year of four figures, or of two that are `sure` to be one or can be nothing
    /// else.
    fn year_in_figures(&self, i: usize, sure: bool) -> bool {
        let word = self.items.word(i);
        let Some(value) = self.figure(i) else {
            return false;
        };
        match word.len() {
            4 => self.full_year(i),
            2 => {
                let year = value >= 90.0 || value <= 35.0;
                year && (sure || value > 16.0 || word.starts_with('0'))
            }
            _ => false,
        }
    }

    /// `spent $640 at the dealer in June for struts`, `the bill was $510 for a radiator`,
    /// `invoice from the garage for the clutch`: whether `for` leads from a sum that was
    /// paid, or a slip, to what it was paid for.
    pub(super) fn paid_for(&self, i: usize) -> bool {
        if !self.items.is_any(i, &[WordClass::For, WordClass::On])
            || self.unreal.is_some()
            || !self.part_follows(i, 0)
        {
            return false;
        }
        let least = i.saturating_sub(SUM).max(self.sentence_start);
        let paid = |j: usize| self.items.is_cue(j, Act::State(Says::Renewed), Side::Next);
        let written = |j: usize| self.items.has_any(j, &[WordClass::Slip]);
        let money = |j: usize| {
            let paid = self.items.kind(j) == ItemKind::Sign(b'$');
            paid || written(j) && self.items.is_a(i, WordClass::For)
        };
        let nothing_named = !(least..i).any(|j| self.items.names(j));
        let free = self.neg.is_none() && self.gov.is_none_or(|g| g.count > 0 || !g.verb);
        nothing_named && free && (least..i).any(paid) && (least..i).any(money)
    }
}
