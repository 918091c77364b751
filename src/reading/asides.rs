//! What an ad says of other things than the car it offers: the other cars on
//! the lot, the wreck that an engine came out of, what is taken in trade, what
//! all cars of the kind are known for, prices of single parts.
//!
//! Such words are left out before anything is read: a fault, price, distance or
//! paper in them is not this car's. Where they begin stands in the table of
//! signs; they end with the clause or sentence, or where the ad comes back to
//! `this one`.

use std::cell::OnceCell;

use super::numbers::Number;
use super::scan::{Hit, Scanner, leftmost_longest};
use super::signs::AsideSign;
use super::tokens::{TokenKind, Tokens};
use super::years::YEARS;
use crate::lexicon::phrases::{Act, SignField};
use crate::lexicon::vehicles::{MakeId, ModelId, VehicleName, Vehicles};
use crate::lexicon::word_classes::WordClass;

/// A car's name or year stands within so many tokens behind the words that
/// offer it.
const NEAR: usize = 4;
/// Tokens on a line at least this long: a small letter on the next line goes on
/// with its sentence.
const WRAPPED: usize = 8;
/// A sentence that goes on so far behind the words of an aside, or the name of
/// another car, has lost its end: it is not all about that.
const UNENDED: usize = 40;
/// So much of it is.
const SHORT: usize = 12;
/// No aside is longer than so many tokens, however long its sentence is.
const MOST: usize = 120;

/// Finds the asides behind the headline: first and last token of each, rising.
pub(super) fn find(
    hits: &[Hit],
    (tokens, text): (&Tokens, &str),
    (scanner, vehicles): (&Scanner<'_>, &Vehicles),
    headline: usize,
    out: &mut Vec<(usize, usize)>,
) {
    out.clear();
    if !hits.iter().any(|h| h.marks.sign_of(SignField::Aside)) {
        return;
    }
    let ad = Ad {
        hits,
        tokens,
        text,
        own: OnceCell::new(),
        headline,
        vehicles,
        scanner,
    };
    // What only hides a sign of asides is wanted too, and then passed over.
    let begins = |h: &Hit| {
        h.marks.sign_of(SignField::Aside) && sign_of(h, scanner).is_none_or(AsideSign::begins)
    };
    for hit in leftmost_longest(hits, begins) {
        let Some(sign) = sign_of(&hit, scanner) else {
            continue;
        };
        let (first, last) = (hit.first as usize, hit.last as usize);
        if tokens.source(first, first).start < headline {
            continue;
        }
        if out.last().is_some_and(|(_, end)| first <= *end) {
            continue;
        }
        let Some(aside) = ad.reach(sign, first, last) else {
            continue;
        };
        if aside.0 <= aside.1 {
            out.push(aside);
        }
    }
}

/// What a phrase says of asides.
pub(super) fn sign_of(hit: &Hit, scanner: &Scanner<'_>) -> Option<AsideSign> {
    let told = hit.marks.sign_of(SignField::Aside);
    told.then(|| scanner.brief(hit.meaning).aside).flatten()
}

/// Takes out what the tables know of the words in asides. What says that the
/// ad is of no car stays.
pub(super) fn leave_out_hits(asides: &[(usize, usize)], hits: &mut Vec<Hit>) {
    if asides.is_empty() {
        return;
    }
    hits.retain(|h| {
        let kind = h.marks.sign_of(SignField::Kind) && !h.marks.scope();
        kind || !touches(asides, h.first as usize, h.last as usize)
    });
}

/// Takes out the numbers in asides.
pub(super) fn leave_out_numbers(asides: &[(usize, usize)], numbers: &mut Vec<Number>) {
    if !asides.is_empty() {
        numbers.retain(|n| !touches(asides, n.tokens.0, n.tokens.1));
    }
}

/// Whether an aside shares a token with these.
pub(super) fn touches(asides: &[(usize, usize)], first: usize, last: usize) -> bool {
    let behind = asides.partition_point(|(_, end)| *end < first);
    asides.get(behind).is_some_and(|(start, _)| *start <= last)
}

/// The car of the headline.
struct Own<'a> {
    models: Vec<ModelId>,
    makes: Vec<MakeId>,
    vehicles: &'a Vehicles,
}

impl<'a> Own<'a> {
    fn of(
        hits: &[Hit],
        (tokens, headline): (&Tokens, usize),
        (scanner, vehicles): (&Scanner<'_>, &'a Vehicles),
    ) -> Self {
        let mut own = Own {
            models: Vec::new(),
            makes: Vec::new(),
            vehicles,
        };
        let last = |h: &Hit| h.last as usize;
        let headed = |h: &&Hit| tokens.source(last(h), last(h)).end <= headline;
        let names = hits
            .iter()
            .take_while(headed)
            .filter(|h| h.marks.vehicles());
        for name in names.flat_map(|h| scanner.phrase(h.phrase).vehicles()) {
            match name {
                VehicleName::Make(make) => own.makes.push(*make),
                VehicleName::Model { model, .. } => {
                    own.models.push(*model);
                    own.makes.push(vehicles.model(*model).make);
                }
            }
        }
        own
    }

    /// Whether this is another model than the headline's, and for a `stranger`
    /// one of another make.
    fn is_not(&self, model: ModelId, stranger: bool) -> bool {
        let make = self.vehicles.model(model).make;
        let name = |model: ModelId| &self.vehicles.model(model).name;
        let same = |own: &ModelId| {
            name(*own).starts_with(name(model)) || name(model).starts_with(name(*own))
        };
        let made = stranger && self.makes.contains(&make);
        !(self.models.is_empty() || made || self.models.iter().any(same))
    }

    /// Whether this is another make than the headline's.
    fn is_not_by(&self, make: MakeId) -> bool {
        !self.models.is_empty() && !self.makes.contains(&make)
    }
}

struct Ad<'a> {
    hits: &'a [Hit],
    tokens: &'a Tokens,
    text: &'a str,
    /// The car of the headline, found when it is first asked for.
    own: OnceCell<Own<'a>>,
    headline: usize,
    vehicles: &'a Vehicles,
    scanner: &'a Scanner<'a>,
}

impl Ad<'_> {
    /// How far an aside reaches whose words these are; none where what they
    /// need is not there.
    fn reach(&self, sign: AsideSign, first: usize, last: usize) -> Option<(usize, usize)> {
        Some(match sign {
            AsideSign::Clause => (first, self.ended(last, true).unwrap_or(last + SHORT)),
            AsideSign::Behind => {
                let end = self.ended(last, true);
                (last + 1, end.unwrap_or(last + SHORT))
            }
            AsideSign::Sentence => (first, self.ended(last, false).unwrap_or(last + SHORT)),
            AsideSign::Whole => (self.start(first), self.end(last + 1, false)),
            AsideSign::Offer => {
                let over = |i: &usize| {
                    matches!(
                        self.tokens.kind(*i),
                        TokenKind::Blank | TokenKind::Sign(b'.' | b'!' | b'?')
                    )
                };
                let near = (last + 1..=last + NEAR)
                    .take_while(|i| !over(i))
                    .find(|i| self.car_at(*i))?;
                if self.is_the_headlines(last + 1..near + NEAR) {
                    return None;
                }
                (first, self.listed(self.end(near, false)))
            }
            AsideSign::Another | AsideSign::Stranger => {
                let stranger = sign == AsideSign::Stranger;
                let mut near = last + 1..=last + NEAR;
                let other = loop {
                    let i = near.next()?;
                    let named = self.longest_at(i);
                    let next = i == last + 1;
                    match named.filter(|h| self.is_other(h, stranger, next)) {
                        Some(other) => break other,
                        None if self.stands_before_names(i) => {}
                        None => return None,
                    }
                };
                let name = other.last as usize;
                (
                    first,
                    self.ended(name, false)
                        .map_or(name, |end| self.told_on(end)),
                )
            }
            AsideSign::Feature
            | AsideSign::Back
            | AsideSign::More
            | AsideSign::News
            | AsideSign::Original => {
                return None;
            }
            AsideSign::Prices => {
                let end = self.end(last + 1, false);
                let sums = (last + 1..=end).filter(|i| self.sum_at(*i)).count();
                if sums < 2 {
                    return None;
                }
                (first, end)
            }
        })
    }

    /// The last token of the sentence, or the clause, that goes on at `from`.
    fn end(&self, from: usize, clause: bool) -> usize {
        let ends = |i: &usize| {
            self.ends_sentence(*i)
                || match self.tokens.kind(*i) {
                    TokenKind::Sign(s) => {
                        clause && matches!(s, b',' | b'(' | b')' | b'-' | b':' | b'/')
                    }
                    TokenKind::Blank | TokenKind::Line => false,
                    _ => self.comes_back(*i) || clause && self.or_a_sum(*i),
                }
        };
        let most = self.tokens.list.len().min(from + MOST);
        (from..most).find(ends).unwrap_or(most).saturating_sub(1)
    }

    /// The first token of the sentence that `at` stands in.
    fn start(&self, at: usize) -> usize {
        let least = at.saturating_sub(MOST);
        let before = (least..at).rev().find(|i| self.ends_sentence(*i));
        before.map_or(least, |i| i + 1)
    }

    /// Whether a sentence ends with this token.
    fn ends_sentence(&self, at: usize) -> bool {
        match self.tokens.kind(at) {
            TokenKind::Sign(s) => matches!(s, b'.' | b'!' | b'?' | b';' | b'*'),
            TokenKind::Blank => true,
            TokenKind::Line => !self.goes_on(at),
            TokenKind::Word | TokenKind::Number => false,
        }
    }

    /// Whether the sentence goes on behind this line break: a long line, and a
    /// small letter.
    fn goes_on(&self, line: usize) -> bool {
        let start = (0..line)
            .rev()
            .take(WRAPPED)
            .find(|i| matches!(self.tokens.kind(*i), TokenKind::Line | TokenKind::Blank));
        start.is_none() && line >= WRAPPED && self.small(line + 1)
    }

    /// Whether a token begins with a small letter.
    fn small(&self, i: usize) -> bool {
        let from = self.tokens.source(i, i).start;
        let behind = self.text.get(from..).unwrap_or_default();
        behind.chars().next().is_some_and(char::is_lowercase)
    }

    /// `..., this one is fine`, `..., mine does not`: back to the car on offer.
    fn comes_back(&self, at: usize) -> bool {
        self.says(at, AsideSign::Back)
    }

    /// Whether a phrase that begins here says this of asides.
    fn says(&self, at: usize, sign: AsideSign) -> bool {
        let mut here = self.beginning(at);
        here.any(|h| sign_of(h, self.scanner) == Some(sign))
    }

    /// The phrases that begin at a token.
    fn beginning(&self, at: usize) -> impl Iterator<Item = &Hit> {
        let from = self.hits.partition_point(|h| (h.first as usize) < at);
        let here = self.hits[from..].iter();
        here.take_while(move |h| h.first as usize == at)
    }

    /// On over the next sentence where it says more of the car just named:
    /// `That truck is not for sale`.
    fn told_on(&self, end: usize) -> usize {
        let mut next = end + 1;
        while matches!(
            self.tokens.kind(next),
            TokenKind::Sign(_) | TokenKind::Line | TokenKind::Blank
        ) && next < self.tokens.list.len()
        {
            next += 1;
        }
        match self.says(next, AsideSign::More) {
            true => self.end(next, false),
            false => end,
        }
    }

    /// `trade for a quad or $900`
    fn or_a_sum(&self, at: usize) -> bool {
        let sum = matches!(
            self.tokens.kind(at + 1),
            TokenKind::Number | TokenKind::Sign(b'$')
        );
        self.tokens.is_a(at, WordClass::Or) && sum
    }

    /// Whether a car is named here, or its model year stands here.
    fn car_at(&self, i: usize) -> bool {
        // `the other in 2019.` tells when.
        let year = self.figure(i).is_some_and(|y| YEARS.contains(&y))
            && self.tokens.kind(i + 1) == TokenKind::Word;
        year || self.named(i)
    }

    /// `Just in: 2012 Kia Rio`, under that headline: the car on offer is named
    /// again, its year with it.
    fn is_the_headlines(&self, range: std::ops::Range<usize>) -> bool {
        let own = |name: &VehicleName| match name {
            VehicleName::Model { model, .. } => {
                let own = self.own();
                !own.models.is_empty() && !own.is_not(*model, false)
            }
            VehicleName::Make(_) => false,
        };
        let model = |i: usize| {
            let name = self.longest_at(i);
            name.is_some_and(|h| self.scanner.phrase(h.phrase).vehicles().iter().any(own))
        };
        let year = |i: &usize| self.year_at(*i) && self.tokens.word(*i).len() == 4;
        let headline = (0..self.tokens.list.len())
            .take_while(|i| self.tokens.source(*i, *i).end <= self.headline);
        let same = |year: usize| {
            let mut words = headline.clone().map(|i| self.tokens.word(i));
            words.any(|w| w == self.tokens.word(year))
        };
        range.clone().any(model) && range.clone().find(year).is_some_and(same)
    }

    fn named(&self, i: usize) -> bool {
        self.beginning(i).any(|h| h.marks.vehicles())
    }

    fn own(&self) -> &Own<'_> {
        let found = || {
            let ad = (self.tokens, self.headline);
            Own::of(self.hits, ad, (self.scanner, self.vehicles))
        };
        self.own.get_or_init(found)
    }

    /// Whether this names another car than the headline does. A name that is an
    /// ordinary word too has a year before it, or stands next to the article
    /// and before words that are no part of a name: not `bought a spark tester`,
    /// `got a broken leaf`.
    fn is_other(&self, hit: &Hit, stranger: bool, next_to: bool) -> bool {
        let next = hit.last as usize + 1;
        let plain = || {
            hit.first > 0 && self.year_at(hit.first as usize - 1)
                || next_to
                    && (self.tokens.kind(next) != TokenKind::Word
                        || self.beginning(next).next().is_some())
        };
        let other = |name: &VehicleName| match name {
            VehicleName::Model { model, shy } => {
                self.own().is_not(*model, stranger) && (!shy || plain())
            }
            VehicleName::Make(make) => self.own().is_not_by(*make),
        };
        let names = self.scanner.phrase(hit.phrase).vehicles();
        // `a ninety eight Sentra` is no Ninety-Eight.
        let own = |name: &VehicleName| match name {
            VehicleName::Model { model, .. } => !self.own().is_not(*model, false),
            VehicleName::Make(make) => !self.own().is_not_by(*make),
        };
        let year = self
            .longest_at(next)
            .is_some_and(|h| self.scanner.phrase(h.phrase).vehicles().iter().any(own));
        // `fix the master cylinder` is no Master.
        let of_part = || {
            self.beginning(hit.first as usize)
                .any(|h| h.last > hit.last && self.scanner.brief(h.meaning).names_part)
        };
        !names.is_empty() && names.iter().all(other) && !year && !self.part_at(next) && !of_part()
    }

    /// The end of the sentence, or of the clause, behind this token, where it has
    /// not lost it.
    fn ended(&self, last: usize, clause: bool) -> Option<usize> {
        let end = self.end(last + 1, clause);
        (end <= last + UNENDED).then_some(end)
    }

    /// Whether a word may stand before the name of a car: a year, a colour or
    /// `old`, but nothing that begins a clause of its own, as in `my name around
    /// ninety eight thousand`.
    fn stands_before_names(&self, i: usize) -> bool {
        let small = |h: &Hit| {
            let cue = self.scanner.meaning(h).cue;
            cue.is_some_and(|c| c.act.modifies() || matches!(c.act, Act::State(_)))
        };
        let mut here = self.beginning(i).peekable();
        self.year_at(i)
            || self.tokens.kind(i) == TokenKind::Word && here.peek().is_none()
            || here.any(small)
    }

    /// Whether the name of a part begins here: `the Mustang seats`.
    fn part_at(&self, i: usize) -> bool {
        self.beginning(i).any(|h| {
            let named = &self.scanner.meaning(h).named;
            !named.is_empty() && named.iter().all(|n| n.naming.is_noun())
        })
    }

    /// The longest name of a car that begins with this token.
    fn longest_at(&self, i: usize) -> Option<&Hit> {
        let names = self.beginning(i).filter(|h| h.marks.vehicles());
        names.max_by_key(|h| h.last)
    }

    fn figure(&self, i: usize) -> Option<u16> {
        self.tokens.word(i).parse().ok()
    }

    /// Whether a model year stands here.
    fn year_at(&self, i: usize) -> bool {
        self.figure(i)
            .is_some_and(|y| y < 100 || YEARS.contains(&y))
    }

    /// On over the sentences that each begin with a car.
    fn listed(&self, mut end: usize) -> usize {
        while end + 1 < self.tokens.list.len() {
            let signs =
                |i: &usize| matches!(self.tokens.kind(*i), TokenKind::Sign(_) | TokenKind::Line);
            let mut next = end + 1;
            while signs(&next) && next < self.tokens.list.len() {
                next += 1;
            }
            let number = self.tokens.kind(next) == TokenKind::Number;
            if !(number && (self.named(next + 1) || self.named(next + 2))) {
                break;
            }
            end = self.end(next, false);
        }
        end
    }

    /// Whether a sum stands here, as that of a single part: `300`, `$75`.
    fn sum_at(&self, i: usize) -> bool {
        let digits: String = self.tokens.word(i).replace(',', "");
        digits.parse::<u32>().is_ok_and(|v| v >= 15)
    }
}
