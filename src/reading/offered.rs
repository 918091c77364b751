//! What is offered: a car, parts of one, something else.

use super::model::{Claim, Gearbox, Kind, Moves, Reading, Says, Title};
use super::page::Page;
use super::reader::{Reader, Scratch};
use super::scan::Hit;
use super::signs::KindSign;
use super::tokens::{TokenKind, Tokens};
use super::years;
use crate::lexicon::phrases::Naming;
use crate::lexicon::word_classes::WordClass;

impl Reader<'_> {
    /// What is offered: a headline that asks for a car, or that offers parts
    /// of one.
    pub(super) fn kind(&self, reading: &mut Reading, page: &Page<'_>, scratch: &Scratch) {
        let early = page.headline + 3;
        // Behind a headline that names a car, things only come along with it.
        let named = page.names.iter().any(|n| n.first < page.headline);
        for f in &page.signs.kind {
            let counts = match f.value {
                KindSign::Other => {
                    f.tokens.0 < page.headline.max(1)
                        || reading.make.is_none() && reading.year.is_none()
                }
                KindSign::Parts => {
                    let no_car = reading.year.is_none()
                        && reading.model.is_none()
                        && reading.miles.is_none()
                        && reading.title == Title::Unstated;
                    // `4 new tires` at the beginning of a car's text
                    let behind = f.tokens.0 >= page.headline && named;
                    let comes_too = behind && self.names_part(f.tokens, scratch);
                    f.tokens.0 < early && !comes_too || page.headline == 0 || no_car
                }
                KindSign::Several | KindSign::Whole => false,
                KindSign::Thing => f.tokens.0 < early && reading.make.is_none(),
                KindSign::Goods => {
                    let behind = f.tokens.0 >= page.headline && named;
                    f.tokens.0 < early && !behind && !comes_along(f.tokens, page, reading)
                }
            };
            if counts {
                reading.kind = f.value.kind();
                page.note(reading, "kind", Some(f.tokens), page.words(f.tokens));
                break;
            }
        }
        if reading.kind == Kind::Car
            && let Some(at) = fitting_years(page)
        {
            reading.kind = Kind::Parts;
            page.note(reading, "kind", Some(at), "for cars of these years");
        }
        let lone = self.lone_part(reading, page, scratch);
        let leads = lone.is_some_and(|at| at.0 <= 1);
        if reading.kind == Kind::Car && names_nothing(reading) && !leads {
            reading.kind = Kind::Other;
        }
        if reading.kind == Kind::Car
            && let Some(at) = lone
        {
            reading.kind = Kind::Parts;
            page.note(reading, "kind", Some(at), page.words(at));
        }
        if reading.kind != Kind::Car {
            reading.moves = Moves::Unstated;
            reading.gearbox = Gearbox::Unstated;
            reading.title = Title::Unstated;
        }
    }
}

impl Reader<'_> {
    /// Whether a part is named within these tokens.
    fn names_part(&self, at: (usize, usize), scratch: &Scratch) -> bool {
        let within = |h: &&Hit| at.0 <= h.first as usize && h.last as usize <= at.1;
        let mut hits = scratch.hits.iter().filter(within);
        hits.any(|h| !self.scanner.meaning(h).named.is_empty())
    }

    /// A part that the headline offers by itself: it is named there with
    /// nothing said against it, and the ad tells nothing of a whole car.
    /// `2003 Silverado tailgate`, not `2004 Forester, head gaskets, 189k`.
    fn lone_part(
        &self,
        reading: &Reading,
        page: &Page<'_>,
        scratch: &Scratch,
    ) -> Option<(usize, usize)> {
        let whole_car = reading.miles.is_some()
            || reading.moves != Moves::Unstated
            || reading.gearbox != Gearbox::Unstated
            || reading.title != Title::Unstated
            || reading.vin.is_some()
            || !reading.vague.is_empty()
            || page.signs.kind.iter().any(|f| f.value == KindSign::Whole);
        if whole_car || page.headline == 0 {
            return None;
        }
        // A car may be called as a part is.
        let in_name = |h: &Hit| {
            let mut names = page.names.iter();
            names.any(|n| n.first <= h.first as usize && h.last as usize <= n.last)
        };
        let offered: Vec<_> = scratch
            .hits
            .iter()
            .take_while(|h| (h.last as usize) < page.headline)
            .filter(|h| !in_name(h))
            .flat_map(|h| self.scanner.meaning(h).named.iter().map(move |n| (n, h)))
            .filter(|(n, _)| matches!(n.naming, Naming::Noun | Naming::Generic | Naming::Feature))
            .map(|(n, h)| (n.part, (h.first as usize, h.last as usize)))
            .collect();
        let (_, at) = offered.first()?;
        let fault = |c: &Claim| matches!(c.says, Says::Bad | Says::Suspect);
        let in_headline = |c: &Claim| {
            let end = page.listing.headline_len;
            c.evidence.iter().any(|e| e.range.start < end)
        };
        let (first, _) = *at;
        // `Zafira 7 seats` counts them, `4 seats out of a Zafira` offers them.
        let in_names = |i: usize| page.names.iter().any(|n| n.first <= i && i <= n.last);
        let counted = first > 1
            && page.tokens.kind(first - 1) == TokenKind::Number
            && !matches!(page.tokens.word(first - 1), "2" | "4")
            && !in_names(first - 1);
        let joined = counted || (0..first).any(|i| joins(page.tokens, i));
        let own = |c: &Claim| offered.iter().any(|(part, _)| *part == c.part);
        let told = &reading.claims;
        let against = told.iter().any(|c| fault(c) && (in_headline(c) || !own(c)));
        let others = told.iter().filter(|c| !own(c)).count();
        // `2004 Lancer, new engine`: who renewed it has the car to it.
        let named_before = page.names.iter().any(|n| n.last < first);
        let renewed = named_before
            && told
                .iter()
                .any(|c| c.says == Says::Renewed && in_headline(c));
        (!against && others <= 1 && !joined && !renewed).then_some(*at)
    }
}

/// Whether no car, price, distance, paper or fault is told of: then none is
/// for sale, as in `We pick up anywhere, cash at the tailgate`.
fn names_nothing(reading: &Reading) -> bool {
    reading.make.is_none()
        && reading.year.is_none()
        && reading.ask.is_none()
        && reading.miles.is_none()
        && reading.vin.is_none()
        && reading.title == Title::Unstated
        && reading.moves == Moves::Unstated
        && reading.gearbox == Gearbox::Unstated
        && reading.claims.is_empty()
        && reading.vague.is_empty()
}

/// Whether a thing named after a car's year only comes along with the car:
/// `1998 Mazda 626, roof rack goes with it`, not `1998 Mazda 626 roof rack`.
fn comes_along(goods: (usize, usize), page: &Page<'_>, reading: &Reading) -> bool {
    let start = page.tokens.source(goods.0, goods.0).start;
    let after_year = reading
        .fields
        .iter()
        .any(|(key, e)| *key == "year" && e.range.end <= start);
    let ends = goods.1 + 1 >= page.headline
        || !matches!(
            page.tokens.kind(goods.1 + 1),
            TokenKind::Word | TokenKind::Number
        );
    let joined = goods.0 > 0
        && (joins(page.tokens, goods.0 - 1)
            || page.tokens.is_any(
                goods.0 - 1,
                &[WordClass::And, WordClass::Indefinite, WordClass::New],
            ));
    after_year && (!ends || joined)
}

/// Whether a word joins to a car what comes along with it.
fn joins(tokens: &Tokens, i: usize) -> bool {
    tokens.is_any(
        i,
        &[
            WordClass::With,
            WordClass::Plus,
            WordClass::Has,
            WordClass::Includes,
        ],
    )
}

/// Two model years joined in the headline: parts fit cars of several years, a
/// car is of one. `2002-2006 Altima`, `86-91 300ZX`.
fn fitting_years(page: &Page<'_>) -> Option<(usize, usize)> {
    let year = |i: usize| years::in_figures(page.tokens.word(i));
    let beside = |i: usize| {
        let mut names = page.names.iter();
        i == 0 || names.any(|n| n.first == i + 3 || n.last + 1 == i)
    };
    let range = |i: &usize| {
        page.tokens.kind(i + 1) == TokenKind::Sign(b'-')
            && matches!((year(*i), year(i + 2)), (Some(from), Some(to)) if from < to && to - from <= 20)
            && beside(*i)
            && page.tokens.word(i + 2).len() <= page.tokens.word(*i).len()
    };
    let end = page.headline.saturating_sub(2);
    (0..end).find(range).map(|i| (i, i + 2))
}
