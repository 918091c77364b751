//! Numbers that tell a state: marks, shares, sums paid or asked for work.

use super::*;
use crate::lexicon::phrases::{NumberCue, NumberRole};

/// Items between a part and the figure that ends its line in a ledger.
const LEDGER: usize = 8;

impl Walk<'_> {
    /// A number right behind a part: `tires 80%`, `brakes 8/10` mark how good
    /// it is; `timing belt 2019`, `plugs at 105k` when it was renewed.
    pub(super) fn number(&mut self, i: usize) {
        let Some(value) = self.figure(i) else {
            return;
        };
        let word = self.items.word(i);
        let sign = |j: usize, s: u8| {
            self.items
                .list
                .get(j)
                .is_some_and(|it| it.kind == ItemKind::Sign(s))
        };
        if sign(i + 1, b'%') || self.items.is_a(i + 1, WordClass::Percent) {
            self.marked(i, value / 10.0);
            self.marked_ahead(i, value);
        } else if sign(i + 1, b'/') && self.items.is_a(i + 2, WordClass::ThirtySecond) {
            // Depth of tread in 32nds of an inch; 2 is the least of 49 CFR 570.9.
            self.marked(i, if value >= 5.0 { 8.0 } else { value });
        } else if (sign(i + 1, b'/') || self.items.acts(i + 1, Act::Place))
            && self.items.is_a(i + 2, WordClass::Ten)
        {
            self.marked(
                i,
                if value > 3.0 && value <= 4.0 {
                    3.0
                } else {
                    value
                },
            );
        } else if self.sentence > 0
            && let Some(end) = self.month_and_year_end(i)
            && sign_or_end(&self.items, end + 1)
        {
            // `Tires 5/23, battery 11/22`
            if !self.bracketed_in_a_list(i) && !self.comes_with_another() {
                self.dated(i);
            }
        } else if let Some(on) = self.gone(i, value)
            && self.items.is_a(on, WordClass::On)
            && self.part_follows(on, 0)
        {
            // `132k on the car, 20k on the motor`
            self.gov = Some(Governor::new(Says::Renewed, i, self.sentence));
        } else if self.asked_for_work(i) {
            // `quoted 800 for the clutch`
            self.verb(i, Says::Bad);
        } else if self.spent_on(i) {
            self.verb(i, Says::Renewed);
        } else if let Some(says) = self.goes_on_with_money(i) {
            self.verb(i, says);
        } else if self.begins_with_month(i) && self.part_follows(i, 0) {
            // `from the receipts: Mar 05 windshield; Aug 07 tires`
            self.heads_parts(i, Says::Renewed);
        } else if word.ends_with('k') && value <= 40.0 && self.items.is_a(i + 1, WordClass::Old)
            || self.gone(i, value).is_some_and(|on| self.on_itself(on))
        {
            // `clutch is about 5k old`, `has 20k miles on it`
            let at = self.behind_copula(i);
            let with = at > 0 && self.items.acts(at - 1, Act::With);
            self.dated(at - usize::from(with));
        } else if self.sentence > 0 {
            let placed = i > 0 && self.items.acts(i - 1, Act::Place);
            let month = i > 0 && self.is_month_of(i - 1);
            let year = self.full_year(i) || month && word.len() == 2;
            let short =
                placed && (40.0..=400.0).contains(&value) && sign_or_end(&self.items, i + 1);
            let thousands = word.ends_with('k') && (5.0..=400.0).contains(&value) || short;
            let odometer = placed && (20_000.0..=400_000.0).contains(&value);
            // `Clutch, 2020.`
            let closes = sign_or_end(&self.items, i + 1)
                || self.items.list[i + 1].kind == ItemKind::Sign(b'(');
            let odometer = odometer || self.closes_a_ledger_line(i, value);
            let thousands = thousands && (placed || !self.of_the_whole_car(i, value));
            if (year || thousands || odometer)
                && self.answers_first(i)
                && let Some(k) = self.asked()
            {
                // `Timing belt? 2019.`
                self.say_of(k, i, Says::Renewed, false);
            } else if (year || thousands || odometer) && !self.bracketed_in_a_list(i) {
                let at = i - usize::from(month);
                self.dated_behind(at, closes && year);
            }
        }
    }

    /// `CVT 96K`, `V6 140k`: how far the car has gone stands behind its gearbox or
    /// engine, and not when that was renewed.
    fn of_the_whole_car(&self, i: usize, value: f64) -> bool {
        let main = |n: &Named| matches!(self.parts.code(n.part), "engine" | "transmission");
        let last = self.mentions.last();
        value > 60.0 && last.is_some_and(|m| m.item + 1 == i && m.named.iter().any(main))
    }

    /// `Clutch ...... 98,500`: a line of a part and a distance, in a ledger of work.
    /// Of an engine it tells how far that has gone, of the odometer what it shows.
    fn closes_a_ledger_line(&self, i: usize, value: f64) -> bool {
        let Some(m) = self.mentions.last().filter(|m| m.sentence == self.sentence) else {
            return false;
        };
        let ends = |j: usize| {
            let line = |n: &Item| matches!(n.kind, ItemKind::End(b'\n') | ItemKind::Blank);
            self.items.list.get(j).is_none_or(line)
        };
        let itself = |n: &Named| matches!(self.parts.code(n.part), "engine" | "gauge_cluster");
        (20_000.0..=400_000.0).contains(&value)
            && m.is_open()
            && !m.is_equipment()
            && !m.named.iter().any(itself)
            && i - m.item <= LEDGER
            && self.before_modifiers(m.item) == self.line_start
            && (ends(i + 1) || self.gone_unit(i + 1) && ends(i + 2))
            && !(m.item + 1..i).any(|j| self.items.is_word(j))
    }

    /// The item behind a distance that a part may have gone since it was fitted:
    /// `20k`, `5,000 miles`.
    fn gone(&self, i: usize, value: f64) -> Option<usize> {
        let thousands = self.items.word(i).ends_with('k') && value <= 60.0;
        self.items.list.get(i + 1)?;
        match self.gone_unit(i + 1) {
            true => (thousands || (100.0..=60_000.0).contains(&value)).then_some(i + 2),
            false => thousands.then_some(i + 1),
        }
    }

    /// Whether a unit of distance stands here.
    fn gone_unit(&self, i: usize) -> bool {
        let next = self.items.list.get(i);
        let phrase = next.and_then(|n| self.items.phrase_of(n.first, n.first));
        phrase.is_some_and(|p| {
            let unit = |n: &NumberCue| {
                !n.before && matches!(n.role, NumberRole::UnitMiles | NumberRole::UnitKm)
            };
            p.meaning.numbers.iter().any(unit)
        })
    }

    /// `Hit a deer. Mar 25 bumper`: whether what is dated comes of a fault told right
    /// before.
    pub(super) fn behind_trouble(&self) -> bool {
        self.mentions.last().is_some_and(|m| {
            m.sentence + 1 >= self.sentence && !m.is_noun() && m.says != Some(Says::Renewed)
        })
    }

    /// `good: engine, tires (20k), interior`: what rules the list says it.
    fn bracketed_in_a_list(&self, i: usize) -> bool {
        let sign = |j: usize| self.items.list.get(j).map(|n| n.kind);
        self.section.is_some()
            && i > 0
            && sign(i - 1) == Some(ItemKind::Sign(b'('))
            && sign(i + 1) == Some(ItemKind::Sign(b')'))
    }

    /// Whether `on it` stands here, the figure before being how far the part
    /// has gone.
    pub(super) fn on_itself(&self, i: usize) -> bool {
        self.items.acts(i, Act::Place) && self.items.acts(i + 1, Act::Pronoun)
    }

    /// Whether an amount is what a shop wants for work on the part behind it.
    fn asked_for_work(&self, i: usize) -> bool {
        self.before_amount(i)
            .is_some_and(|cue| self.items.acts(cue, Act::Unreal))
            && (self.items.is_a(i + 1, WordClass::For) && self.part_follows(i + 1, 0)
                || self.work_follows(i + 1))
    }

    /// `to replace the clutch`: what money is for, and a part behind it.
    fn work_follows(&self, i: usize) -> bool {
        let Some(Item { first, .. }) = self.items.list.get(i).copied() else {
            return false;
        };
        let Some(last) = self.to_mend(first) else {
            return false;
        };
        let behind = |j: &usize| self.items.list[*j].last >= last;
        (i..self.items.list.len())
            .find(behind)
            .is_some_and(|j| self.part_follows(j, 0))
    }

    /// The last token of words like `to replace` that begin with this one: they
    /// tell behind an amount what it is for.
    pub(super) fn to_mend(&self, first: u32) -> Option<u32> {
        let aim = |last: &u32| {
            self.items.phrase_of(first, *last).is_some_and(|p| {
                let money = |n: &NumberCue| !n.before && n.role == NumberRole::OtherMoney;
                p.meaning.numbers.iter().any(money)
            })
        };
        let to = self.items.token_is(first, &[WordClass::To]);
        (first + 1..first + 4).filter(|_| to).find(aim)
    }

    /// Whether an amount was paid for the part behind it: `spent 900 on tires`.
    fn spent_on(&self, i: usize) -> bool {
        let paid = |cue: usize| {
            self.items
                .is_cue(cue, Act::State(Says::Renewed), Side::Next)
        };
        self.before_amount(i).is_some_and(paid)
            && self.items.acts(i + 1, Act::Place)
            && self.part_follows(i + 1, 0)
    }

    /// `quoted 300 for the pump and 500 for the belt`: what the sum before is for
    /// tells it of this one too.
    fn goes_on_with_money(&self, i: usize) -> Option<Says> {
        let before = self.before_amount(i)?;
        let joined =
            self.items.acts(before, Act::And) || self.items.kind(before) == ItemKind::Sign(b',');
        let aim = |j: usize| self.items.is_any(j + 1, &[WordClass::For, WordClass::On]);
        let m = self.mentions.last()?;
        let sum = m
            .cue
            .filter(|c| self.items.kind(*c) == ItemKind::Number && aim(*c))?;
        let here = m.sentence == self.sentence && sum < m.item && m.item + 1 == before;
        let same = self.items.word(sum + 1) == self.items.word(i + 1);
        (joined && here && same && aim(i) && self.part_follows(i + 1, 0))
            .then_some(m.says)
            .flatten()
    }

    /// The item before an amount and the sign of its money.
    fn before_amount(&self, i: usize) -> Option<usize> {
        let before = i.checked_sub(1)?;
        match self.items.list[before].kind {
            ItemKind::Sign(b'$') => before.checked_sub(1),
            _ => Some(before),
        }
    }

    /// `100 bucks at the store`: a word behind a figure that names its money,
    /// whatever else it may mean.
    pub(super) fn is_money(&self, i: usize) -> bool {
        let Some(Item { first, .. }) = self.items.list.get(i).copied() else {
            return false;
        };
        i > 0
            && self.items.list[i - 1].kind == ItemKind::Number
            && !self.items.names_part(i)
            && self.items.phrase_of(first, first).is_some_and(|p| {
                let money = |n: &NumberCue| !n.before && n.role == NumberRole::Ask;
                p.meaning.numbers.iter().any(money)
            })
    }

    /// Whether a figure is a mark out of ten or a share, though alone it would
    /// only count what follows.
    pub(super) fn is_mark(&self, i: usize) -> bool {
        let sign = |j: usize| self.items.list.get(j).map(|n| n.kind);
        self.items.acts(i, Act::Modifier)
            && self.items.word(i).bytes().all(|b| b.is_ascii_digit())
            && (sign(i + 1) == Some(ItemKind::Sign(b'/')) || self.items.is_a(i + 1, WordClass::Of))
            && self
                .items
                .is_any(i + 2, &[WordClass::Ten, WordClass::ThirtySecond])
    }

    /// The item behind which a part stands, small verbs left out: `interior is
    /// 8/10`, `tires are all at 60%`.
    fn behind_copula(&self, i: usize) -> usize {
        let mut at = i;
        while at > 0
            && (self.items.acts(at - 1, Act::Copula)
                || self.items.acts(at - 1, Act::Place)
                || self.items.is_a(at - 1, WordClass::Maybe)
                || self.items.acts(at - 1, Act::Modifier))
        {
            at -= 1;
        }
        at
    }

    /// A number without its commas and the `k` of thousands.
    pub(super) fn figure(&self, i: usize) -> Option<f64> {
        let figure = self.items.word(i).trim_end_matches('k');
        match figure.contains(',') {
            true => figure.replace(',', "").parse().ok(),
            false => figure.parse().ok(),
        }
    }

    /// `80% tread`: a mark for the part right after it.
    fn marked_ahead(&mut self, i: usize, percent: f64) {
        let says = match percent {
            p if p >= 100.0 => return,
            p if p >= 45.0 => Says::Sound,
            p if p <= 30.0 => Says::Bad,
            _ => return,
        };
        if self.items.names_part(i + 2) {
            self.gov = Some(Governor::new(says, i, self.sentence));
        }
    }

    /// A mark out of ten for the parts named right before it.
    fn marked(&mut self, i: usize, mark: f64) {
        let says = match mark {
            m if m >= 4.5 => Says::Sound,
            m if m <= 3.0 => Says::Bad,
            _ => return,
        };
        if self.marked_by_side(i, says) {
            return;
        }
        let near = self.named_right_before(self.behind_copula(self.behind_corner(i)));
        let near = near.or_else(|| self.named_with_words_before(i));
        let Some(k) = near else {
            // `tires: front 80%, rear 20%`
            if let Some(k) = self.others_of(i, says) {
                self.say_besides(k, i, says);
            }
            return;
        };
        if self.mentions[k].shared || self.renewed_by_a_list(k) {
            self.say_of(k, i, says, false);
        } else if self.mentions[k].is_open() {
            for k in self.subjects(i) {
                self.say_of(k, i, says, false);
            }
        }
    }

    /// Whether a part was called new by what heads its list, not by a word of
    /// its own.
    fn renewed_by_a_list(&self, k: usize) -> bool {
        let m = &self.mentions[k];
        m.is_noun()
            && m.says == Some(Says::Renewed)
            && m.cue.is_some_and(|c| {
                c + 1 < self.before_modifiers(m.item) && self.gov.is_some_and(|g| g.item == c)
            })
    }

    /// `tires 10 ply about 70%`: at most two words that no table knows, and no
    /// sign, stand between.
    fn named_with_words_before(&self, i: usize) -> Option<usize> {
        let k = self.mentions.len().checked_sub(1)?;
        let m = &self.mentions[k];
        let plain = |j: usize| {
            self.items.is_word(j)
                || self.items.list[j].kind == ItemKind::Number
                || self.items.acts(j, Act::Modifier)
                || self.items.acts(j, Act::Hedges)
                || self.items.acts(j, Act::Place)
        };
        let near = m.is_open()
            && !m.is_equipment()
            && m.sentence == self.sentence
            && self.clause <= k
            && self.words_between(m.item, i) <= 2
            && (m.item + 1..i).all(plain);
        near.then_some(k)
    }

    /// The mention that only small words part from this item.
    pub(super) fn named_right_before(&self, i: usize) -> Option<usize> {
        // `exhaust from the cat back, 2021`
        let k = (0..self.mentions.len())
            .rev()
            .find(|k| !self.mentions[*k].place)?;
        let m = &self.mentions[k];
        // `V6, 171k`: the car's own figure.
        let near = m.sentence == self.sentence
            && !m.is_equipment()
            && self.clause <= k
            && (m.item + 1..i).all(|j| {
                self.items.acts(j, Act::Modifier)
                    || self.items.acts(j, Act::Place)
                    || self.mentions[k + 1..].iter().any(|p| p.item == j)
                    || matches!(
                        self.items.list[j].kind,
                        ItemKind::Number | ItemKind::Sign(b'(' | b')' | b':' | b'-')
                    )
            });
        near.then_some(k)
    }
}

/// Whether a sentence, a line or a clause ends here.
pub(super) fn sign_or_end(items: &Items<'_>, i: usize) -> bool {
    items.list.get(i).is_none_or(|n| {
        matches!(
            n.kind,
            ItemKind::End(_) | ItemKind::Blank | ItemKind::Sign(b',' | b';' | b')' | b':')
        )
    })
}
