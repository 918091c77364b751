//! What is said of a whole list once it is over: `Failed on muffler, radiator. All
//! renewed.`

use super::*;

/// Items of a sentence that says something of the list before it.
const SHORT: usize = 5;
/// Items that such a list may lie before what takes it up.
const BACK: usize = 24;
/// Parts of such a list.
const LONGEST: usize = 12;

impl Walk<'_> {
    /// `Both new now`, `All three replaced`, `All bust`: says it of the parts that the
    /// sentence before lists, or the lines before do. Tells whether it did.
    pub(super) fn sums_before(&mut self, i: usize, says: Says) -> bool {
        let untold = self.sentence_mentions == self.mentions.len();
        if !untold || self.sentence == 0 || self.neg.is_some() || self.hedge.is_some() {
            return false;
        }
        let Some(most) = self.of_all(i) else {
            return false;
        };
        let list = self.list_before(most);
        if list.len() < 2 {
            return false;
        }
        for k in list {
            self.mentions[k].hedged = false;
            // What is told to be broken may have been renewed, and no more.
            if self.mentions[k].says.is_none() || says == Says::Renewed {
                self.say_of(k, i, says, false);
            }
        }
        true
    }

    /// `pump and belt were dead, both replaced`, `pump, belt and rad are old but all
    /// three work`, `pump, belt: not one of them does what it should`: says it of the
    /// list that this clause takes up. Tells whether it did.
    pub(super) fn sums_here(&mut self, i: usize, says: Says) -> bool {
        let Some((begin, most)) = self.takes_up_all(i).filter(|_| self.hedge.is_none()) else {
            return false;
        };
        let list = self.list_here(begin, most, says);
        if list.len() < 2 {
            return false;
        }
        let negated = self.take_negation().is_some() != self.neg_all;
        for k in list {
            self.mentions[k].hedged = false;
            self.say_of(k, i, says, negated);
        }
        true
    }

    /// Where a clause begins with `all`, `both` or `none` and has nothing else before
    /// this, and how many things it takes up.
    fn takes_up_all(&self, i: usize) -> Option<(usize, usize)> {
        let all = |j: usize| {
            let all = [
                WordClass::Both,
                WordClass::All,
                WordClass::NoneOf,
                WordClass::Neither,
                WordClass::Each,
            ];
            self.items.is_any(j, &all) || self.items.acts(j, Act::NegatesAll)
        };
        let acts = [
            Act::Modifier,
            Act::Pronoun,
            Act::Copula,
            Act::NegatesAll,
            Act::Negates,
            Act::Latest,
            Act::Place,
        ];
        let counts = [
            WordClass::Of,
            WordClass::Count,
            WordClass::Each,
            WordClass::One,
            WordClass::NoneOf,
        ];
        let small = |j: &usize| {
            self.items.kind(*j) == ItemKind::Number
                || self.items.acts_any(*j, &acts)
                || self.items.is_any(*j, &counts)
        };
        let from = i.saturating_sub(SHORT).max(self.sentence_start);
        let begin = (from..i).rev().take_while(small).last().unwrap_or(i);
        let begin = (begin..=i).find(|j| all(*j))?;
        let parted = begin > self.sentence_start
            && (matches!(self.items.kind(begin - 1), ItemKind::Sign(_))
                || self.items.acts(begin - 1, Act::Border)
                || self.items.acts(begin - 1, Act::And));
        let all = self.items.is_a(begin, WordClass::All);
        let most = match begin + 1 {
            _ if self
                .items
                .is_any(begin, &[WordClass::Both, WordClass::Neither]) =>
            {
                2
            }
            next if all && self.items.is_a(next, WordClass::Three) => 3,
            next if all && self.items.is_a(next, WordClass::Four) => 4,
            _ => LONGEST,
        };
        parted.then_some((begin, most))
    }

    /// The parts of the list before this clause of which this is news: told nothing
    /// yet, or broken where it is of what was renewed since.
    fn list_here(&self, begin: usize, most: usize, says: Says) -> Vec<usize> {
        let mut out = Vec::new();
        for k in (0..self.mentions.len()).rev().take(most) {
            let m = &self.mentions[k];
            // `power windows, power locks, power mirrors, none of them work`
            let thing = !m.is_equipment() || self.can_fail(m);
            let listed = m.is_noun() && thing && !m.denied && !m.question && !m.place;
            let news = match m.says {
                // `replaced neither the pump nor the belt, both are still fine`
                None => {
                    let denied = m.consumed && m.cue.is_some_and(|c| c < m.item);
                    m.is_open() || says == Says::Renewed || denied
                }
                Some(Says::Bad | Says::Sound) => says == Says::Renewed,
                _ => false,
            };
            if !listed || !news || m.sentence != self.sentence || begin - m.item > BACK {
                return Vec::new();
            }
            out.push(k);
            if !m.linked {
                break;
            }
        }
        out
    }

    /// How many things are meant where a sentence begins with `all` or `both` and ends
    /// with this.
    fn of_all(&self, i: usize) -> Option<usize> {
        let start = self.sentence_start;
        // First, since every predicate is asked.
        let most = match start {
            _ if self.items.is_a(start, WordClass::Both) => 2,
            _ if self.items.is_a(start, WordClass::All) => LONGEST,
            _ => return None,
        };
        // `All new:`, `All new` / `- pump`: of what comes.
        let next = self.items.kind(i + 1);
        let heads =
            next == ItemKind::Sign(b':') || next == ItemKind::End(b'\n') && self.bullet(i + 2);
        // `both replaced since`, but not `both replaced but bad again`.
        let behind = i + 1 + usize::from(self.items.acts(i + 1, Act::Border));
        let ends = [i + 1, behind].iter().any(|j| {
            let end = matches!(self.items.kind(*j), ItemKind::End(b'.' | b'!' | b'\n'));
            end || *j >= self.items.list.len() || self.items.kind(*j) == ItemKind::Blank
        });
        let ends = ends || self.items.acts(i + 1, Act::Latest);
        let brief = i < start + SHORT && ends && !heads;
        let counts = [
            WordClass::All,
            WordClass::Both,
            WordClass::Of,
            WordClass::Those,
            WordClass::Count,
        ];
        let small = |j: usize| {
            let acts = [Act::Modifier, Act::Pronoun, Act::Copula, Act::Some];
            self.items.kind(j) == ItemKind::Number
                || self.items.acts_any(j, &acts)
                || self.items.is_any(j, &counts)
        };
        (brief && (start..i).all(small)).then_some(most)
    }

    /// The parts of the list before this sentence: those of one sentence, or of lines
    /// and sentences that are names and nothing else.
    fn list_before(&self, most: usize) -> Vec<usize> {
        let mut out = Vec::new();
        let (mut sentence, mut begin) = (self.sentence, self.sentence_start);
        for k in (0..self.mentions.len()).rev().take(most.min(LONGEST)) {
            let m = &self.mentions[k];
            let listed = m.is_noun() && !m.is_equipment() && !m.denied && !m.question;
            let told = matches!(m.says, None | Some(Says::Bad | Says::Renewed));
            if !listed || !told {
                break;
            }
            if m.sentence != sentence {
                let (start, end) = self.sentence_of(m.item);
                let bare = out.is_empty() || self.bare_names(self.after_mark(start), end + 1);
                if !bare || !(end..begin).all(|j| self.is_blank(j)) {
                    break;
                }
                (sentence, begin) = (m.sentence, start);
            }
            out.push(k);
        }
        out
    }

    /// Behind the mark of a line: `- pump`, `2) pump`.
    fn after_mark(&self, start: usize) -> usize {
        let mark = |j: &usize| {
            let kind = self.items.kind(*j);
            kind == ItemKind::Number || matches!(kind, ItemKind::Sign(b'-' | b'*' | b')'))
        };
        start + (start..start + 2).take_while(mark).count()
    }

    /// Whether nothing is said here.
    fn is_blank(&self, j: usize) -> bool {
        matches!(
            self.items.kind(j),
            ItemKind::End(_) | ItemKind::Blank | ItemKind::Sign(_)
        )
    }
}
