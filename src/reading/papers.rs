//! Papers, moving, gearbox, vague wording and what is offered: from the signs
//! and the claims to the reading.

use std::ops::Range;

use super::model::{Claim, Gearbox, Kind, Moves, Reading, Says, Title, Vague};
use super::page::Page;
use super::reader::{Reader, Scratch};
use super::scan::Hit;
use super::signs::{self, KindSign, Stoppers};
use super::tokens::{TokenKind, Tokens};
use crate::lexicon::phrases::{Naming, NumberRole};

impl Reader<'_> {
    pub(super) fn papers(&self, reading: &mut Reading, page: &Page<'_>, scratch: &Scratch) {
        if let Some(f) = signs::title(page.signs) {
            reading.title = f.value;
            page.note(reading, "title", Some(f.tokens), page.words(f.tokens));
        }
        if let Some((moves, sign)) = signs::moves(page.signs, self.stoppers(reading, page)) {
            reading.moves = moves;
            if let Some(f) = sign {
                page.note(reading, "moves", Some(f.tokens), page.words(f.tokens));
            }
        }
        if let Some(f) = signs::gearbox(page.signs) {
            reading.gearbox = f.value;
            page.note(reading, "gearbox", Some(f.tokens), page.words(f.tokens));
        }
        for f in &page.signs.vague {
            if !reading.vague.iter().any(|(v, _)| *v == f.value) {
                let evidence = page.evidence(f.tokens, page.words(f.tokens));
                reading.vague.push((f.value, evidence));
            }
        }
        if !reading.vague.iter().any(|(v, _)| *v == Vague::Pressure)
            && let Some(at) = first_with(scratch, page.tokens)
        {
            let evidence = page.evidence(at, "the first with the money");
            reading.vague.push((Vague::Pressure, evidence));
        }
        reading.vague.sort_by_key(|(v, _)| *v);
    }

    /// The faults read that bear on whether the car moves.
    fn stoppers(&self, reading: &Reading, page: &Page<'_>) -> Stoppers {
        let mut out = Stoppers::default();
        let unsure: Vec<_> = page
            .signs
            .unsure
            .iter()
            .map(|at| page.tokens.source(at.0, at.1))
            .collect();
        let at_times = |claim: &Claim| {
            claim.evidence.iter().all(|e| {
                let meets = |u: &Range<usize>| u.start < e.range.end && e.range.start < u.end;
                unsure.iter().any(meets)
            })
        };
        for claim in &reading.claims {
            let code = self.lexicon.parts.code(claim.part);
            match (code, claim.says) {
                ("no_start" | "cranks_no_start" | "no_crank", Says::Bad) => {
                    out.no_start |= !at_times(claim);
                }
                ("no_start" | "cranks_no_start", Says::Sound | Says::Renewed) => out.starts = true,
                (
                    "transmission" | "clutch" | "soft_pedal" | "brake_line" | "engine_knock",
                    Says::Bad,
                ) => {
                    out.stays = true;
                    out.no_drive = true;
                }
                ("coolant_in_oil" | "gear_lost" | "rust_frame" | "head_gasket", Says::Bad) => {
                    out.stays = true
                }
                ("overheats", Says::Bad) => {
                    out.stays = true;
                    out.runs = true;
                }
                ("failed_inspection" | "failed_emissions", Says::Bad) => out.no_pass = true,
                ("engine" | "timing_belt" | "timing_chain", Says::Renewed) => out.mended = true,
                _ => {}
            }
        }
        out.mended &= !out.no_start;
        out.starts &= !out.no_start;
        out
    }

    /// What is offered: a headline that asks for a car, or that offers parts
    /// of one.
    pub(super) fn kind(&self, reading: &mut Reading, page: &Page<'_>, scratch: &Scratch) {
        let early = page.headline + 3;
        for f in &page.signs.kind {
            let counts = match f.value {
                KindSign::Other => {
                    f.tokens.0 < page.headline.max(1)
                        || reading.make.is_none() && reading.year.is_none()
                }
                KindSign::Parts => f.tokens.0 < early || page.headline == 0,
                KindSign::Several => false,
                KindSign::Thing => f.tokens.0 < early && reading.make.is_none(),
                KindSign::Goods => f.tokens.0 < early && !comes_along(f.tokens, page, reading),
            };
            if counts {
                reading.kind = f.value.kind();
                page.note(reading, "kind", Some(f.tokens), page.words(f.tokens));
                break;
            }
        }
        if reading.kind == Kind::Car && names_nothing(reading) {
            reading.kind = Kind::Other;
        }
        if reading.kind == Kind::Car
            && let Some(at) = self.lone_part(reading, page, scratch)
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
            || !reading.vague.is_empty();
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
            .filter(|(n, _)| matches!(n.naming, Naming::Noun | Naming::Generic))
            .map(|(n, h)| (n.part, (h.first as usize, h.last as usize)))
            .collect();
        let (_, at) = offered.first()?;
        let fault = |c: &Claim| matches!(c.says, Says::Bad | Says::Suspect);
        let in_headline = |c: &Claim| {
            let end = page.listing.headline_len;
            c.evidence.iter().any(|e| e.range.start < end)
        };
        let own = |c: &Claim| offered.iter().any(|(part, _)| *part == c.part);
        let told = &reading.claims;
        let against = told.iter().any(|c| fault(c) && (in_headline(c) || !own(c)));
        let others = told.iter().filter(|c| !own(c)).count();
        (!against && others <= 1).then_some(*at)
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
        && matches!(
            page.tokens.word(goods.0 - 1),
            "with" | "w" | "and" | "plus" | "has" | "includes" | "a" | "new"
        );
    after_year && (!ends || joined)
}

/// `first $400 takes it`: the sum that the first to come gets the car for.
fn first_with(scratch: &Scratch, tokens: &Tokens) -> Option<(usize, usize)> {
    scratch.roles.iter().find_map(|(n, roles)| {
        let mut before = n.tokens.0.checked_sub(1)?;
        if tokens.kind(before) == TokenKind::Sign(b'$') {
            before = before.checked_sub(1)?;
        }
        let sum = n.value >= 100.0 && (n.money || roles.has(NumberRole::Ask));
        (sum && tokens.word(before) == "first").then_some((before, n.tokens.1))
    })
}
