//! Papers, moving, gearbox and vague wording: from the signs and the claims to
//! the reading.

use std::ops::Range;

use super::model::{Claim, Reading, Vague};
use super::moving::{self, Stoppers};
use super::page::Page;
use super::reader::{Reader, Scratch};
use super::signs::{self, MovesSign};
use super::tokens::{TokenKind, Tokens};
use crate::lexicon::moving::Bearing;
use crate::lexicon::phrases::NumberRole;
use crate::lexicon::word_classes::WordClass;

impl Reader<'_> {
    pub(super) fn papers(&self, reading: &mut Reading, page: &Page<'_>, scratch: &Scratch) {
        if let Some(f) = signs::title(page.signs) {
            reading.title = f.value;
            page.note(reading, "title", Some(f.tokens), page.words(f.tokens));
        }
        self.moves(reading, page);
        if let Some(f) = signs::gearbox(page.signs) {
            reading.gearbox = f.value;
            page.note(reading, "gearbox", Some(f.tokens), page.words(f.tokens));
        }
        self.vague(reading, page, scratch);
        if !reading.vague.iter().any(|(v, _)| *v == Vague::Pressure)
            && let Some(at) = first_with(scratch, page.tokens)
        {
            let evidence = page.evidence(at, "the first with the money");
            reading.vague.push((Vague::Pressure, evidence));
        }
        reading.vague.sort_by_key(|(v, _)| *v);
    }

    /// Whether the car moves, as what was added last tells, or else the whole.
    fn moves(&self, reading: &mut Reading, page: &Page<'_>) {
        let since = |first: usize| {
            let signs = page.signs.moves_from(first);
            let from = page.tokens.list.get(first)?.source_range().start;
            let (moves, f) = moving::moves(&signs, self.stoppers(reading, page, from))?;
            Some((moves, f.map(|f| f.tokens)))
        };
        let all = || {
            let (moves, f) = moving::moves(page.signs, self.stoppers(reading, page, 0))?;
            Some((moves, f.map(|f| f.tokens)))
        };
        let told = page.news.latest_first().find_map(since).or_else(all);
        if let Some((moves, at)) = told {
            reading.moves = moves;
            if let Some(at) = at {
                page.note(reading, "moves", Some(at), page.words(at));
            }
        }
    }

    /// The faults read that bear on whether the car moves, told from this byte
    /// of the text on.
    fn stoppers(&self, reading: &Reading, page: &Page<'_>, from: usize) -> Stoppers {
        let mut out = Stoppers::default();
        let unsure: Vec<_> = page
            .signs
            .unsure
            .iter()
            .map(|at| page.tokens.source(at.0, at.1))
            .collect();
        // `I am not running it` is no engine that does not run.
        let signs = page.signs.moves.iter();
        let others: Vec<_> = signs
            .filter(|f| !matches!(f.value, MovesSign::NoStart | MovesSign::DidNotStart))
            .map(|f| page.tokens.source(f.tokens.0, f.tokens.1))
            .collect();
        let at_times = |claim: &Claim| {
            claim.evidence.iter().all(|e| {
                let meets = |u: &Range<usize>| u.start < e.range.end && e.range.start < u.end;
                let within = |o: &Range<usize>| o.start <= e.range.start && e.range.end <= o.end;
                unsure.iter().any(meets) || others.iter().any(within)
            })
        };
        let there = |c: &&Claim| c.evidence.iter().any(|e| e.range.start >= from);
        for claim in reading.claims.iter().filter(there) {
            for bearing in self.lexicon.moving.of(claim.part, claim.says) {
                match bearing {
                    Bearing::NoStart => out.no_start |= !at_times(claim),
                    Bearing::Starts => out.starts = true,
                    Bearing::Mended => out.mended = true,
                    Bearing::Stays => out.stays = true,
                    Bearing::NoPass => out.no_pass = true,
                    Bearing::NoDrive => out.no_drive = true,
                    Bearing::Runs => out.runs = true,
                }
            }
        }
        out.mended &= !out.no_start;
        out.starts &= !out.no_start;
        out
    }
}

/// `first $400 takes it`: the sum that the first to come gets the car for.
fn first_with(scratch: &Scratch, tokens: &Tokens) -> Option<(usize, usize)> {
    scratch.roles.iter().find_map(|(n, roles)| {
        let mut before = n.tokens.0.checked_sub(1)?;
        if tokens.kind(before) == TokenKind::Sign(b'$') {
            before = before.checked_sub(1)?;
        }
        let sum = n.value >= 100.0 && (n.money || roles.has(NumberRole::Ask));
        (sum && tokens.is_a(before, WordClass::First)).then_some((before, n.tokens.1))
    })
}
