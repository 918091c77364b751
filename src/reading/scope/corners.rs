//! Marks of one part that differ by where it is: `Tires: 70% front, 20% rear`.

use super::ahead::number_of;
use super::*;

/// Items behind a figure in which its side is told.
const SIDE: usize = 4;
/// Items between what is told of one side and what is told of the other.
const APART: usize = 24;

impl Walk<'_> {
    /// `Tires: 70% front, 20% rear`, `Tread 8/32 up front, 2/32 in the rear`, `Brakes F
    /// 60% R 20%`: a second mark of the part that has one, of another side. Says it
    /// besides the first, and tells whether it did.
    pub(super) fn marked_by_side(&mut self, i: usize, says: Says) -> bool {
        let Some(k) = self.mentions.len().checked_sub(1) else {
            return false;
        };
        let m = &self.mentions[k];
        let Some((old, first)) = self
            .told_of(m)
            .filter(|(_, c)| *c < i && self.told_by_figure(*c))
        else {
            return false;
        };
        let told = matches!(old, Says::Sound | Says::Bad);
        let between = |j: usize| {
            matches!(self.items.kind(j), ItemKind::Number | ItemKind::Sign(_))
                || self.figure(j).is_some()
                || self.tells_place(j)
                || self.items.acts(j, Act::And)
                || self.is_corner(j)
                || self
                    .items
                    .is_any(j, &[WordClass::WearUnit, WordClass::ThirtySecond])
        };
        if m.sentence != self.sentence || !told || i - first > APART || !(first + 1..i).all(between)
        {
            return false;
        }
        let (of_first, of_this) = match (self.sides_behind(first), self.sides_behind(i)) {
            (a, b) if !a.is_empty() && !b.is_empty() => (a, b),
            _ => (self.corner_before(first), self.corner_before(i)),
        };
        let apart = !of_first.iter().any(|side| of_this.contains(side));
        if of_first.is_empty() || of_this.is_empty() || !apart {
            return false;
        }
        if old == says {
            return true;
        }
        let m = &mut self.mentions[k];
        m.qualifiers = of_first;
        let mut m = m.clone();
        m.qualifiers = of_this;
        m.cue = Some(i);
        for named in &m.named {
            let saying = self.saying(&m, named.part, says);
            self.extra.push(saying);
        }
        true
    }

    /// `AC works in the front but not the back`: a denial of another side, with nothing
    /// more, turns round what was said of the part. Says it besides, and tells whether
    /// it did.
    pub(super) fn denied_of_side(&mut self, not: usize, at: usize) -> bool {
        let small = |j: usize| self.tells_place(j) || self.items.is_a(j, WordClass::Side);
        let Some(k) = self.mentions.len().checked_sub(1) else {
            return false;
        };
        let m = &self.mentions[k];
        let near = |(_, cue): &(Says, usize)| *cue < not && not - *cue <= APART;
        let Some((Says::Sound, cue)) = self.told_of(m).filter(near) else {
            return false;
        };
        let parts = |j: usize| {
            self.items.acts(j, Act::Border) || self.items.kind(j) == ItemKind::Sign(b',')
        };
        let led = (cue + 1..not).all(|j| small(j) || parts(j)) && not > 0 && parts(not - 1);
        let others = self.sides(not + 1, at.saturating_sub(1));
        let mut own = self.sides(cue + 1, not - 1);
        own.extend(m.qualifiers.iter().filter(|q| q.is_side()));
        let apart = !own.is_empty() && !own.iter().any(|q| others.contains(q));
        if m.sentence != self.sentence || !led || others.is_empty() || !apart {
            return false;
        }
        if !(not + 1..at).all(small) {
            return false;
        }
        self.mentions[k].qualifiers = own.clone();
        let mut m = self.mentions[k].clone();
        if m.says.is_none()
            && let Some(told) = self.extra.last_mut()
        {
            told.qualifiers = own;
        }
        (m.qualifiers, m.cue) = (others, Some(not));
        for named in &m.named {
            let saying = self.saying(&m, named.part, Says::Bad);
            self.extra.push(saying);
        }
        true
    }

    /// `AC is cold up front`: where a part is of which something is said is told behind
    /// that as well.
    pub(super) fn told_where(&self, m: &Mention) -> Vec<Which> {
        let mut out = m.qualifiers.clone();
        let cue = m.cue.map_or(m.item, |c| c.max(m.item));
        let small = |j: &usize| self.tells_place(*j);
        let count = (cue + 1..cue + SIDE).take_while(small).count();
        let end = cue + count;
        if count > 0 && !out.iter().any(|q| q.is_side()) && !self.items.names(end + 1) {
            out.extend(self.sides(cue + 1, end));
        }
        out
    }

    /// Whether an item belongs to words of place: `in the rear`, `up front`.
    fn tells_place(&self, j: usize) -> bool {
        self.items.acts(j, Act::Modifier)
            || self.items.acts(j, Act::Place)
            || self.items.is_any(j, &[WordClass::Up, WordClass::Out])
    }

    /// `works on the left but not on the right`: the same, where the denial is one with
    /// the word of place.
    pub(super) fn not_on_side(&mut self, not: usize) -> bool {
        let small = |j: &usize| self.tells_place(*j) || self.items.is_a(*j, WordClass::Side);
        let end = not + 1 + (not + 1..not + SIDE).take_while(small).count();
        self.clause_closes(end) && self.denied_of_side(not, end)
    }

    /// Whether the state of a part was told here by a figure: `70`, `brake pads 80`.
    fn told_by_figure(&self, cue: usize) -> bool {
        let last = self.items.list[cue].last as usize;
        let digit = self
            .items
            .tokens
            .word(last)
            .starts_with(|c: char| c.is_ascii_digit());
        digit || self.items.tokens.is_a(last, WordClass::Percent)
    }

    /// Behind which corner the name of a part is looked for: `Brakes: F 60%`.
    pub(super) fn behind_corner(&self, i: usize) -> usize {
        i - usize::from(i > 0 && self.is_corner(i - 1))
    }

    /// Letters that stand for a side or a corner: `F 60%`, `RL 6/32`.
    fn is_corner(&self, j: usize) -> bool {
        self.items.is_a(j, WordClass::Corner)
    }

    fn corner_before(&self, i: usize) -> Vec<Which> {
        match i.checked_sub(1) {
            Some(j) if self.is_corner(j) => vec![Which::Side(number_of(self.items.word(j)))],
            _ => Vec::new(),
        }
    }

    /// The sides told right behind a figure: `70% in the rear`, `8/10 front`.
    fn sides_behind(&self, figure: usize) -> Vec<Which> {
        let unit = |j: &usize| {
            matches!(
                self.items.kind(*j),
                ItemKind::Number | ItemKind::Sign(b'%' | b'/')
            ) || self.items.acts(*j, Act::Copula)
                || self.items.is_a(*j, WordClass::WearUnit)
        };
        let small = |j: &usize| self.tells_place(*j);
        let from = figure + 1 + (figure + 1..figure + SIDE).take_while(unit).count();
        let count = (from..from + SIDE).take_while(small).count();
        match count {
            0 => Vec::new(),
            count => self.sides(from, from + count - 1),
        }
    }
}
