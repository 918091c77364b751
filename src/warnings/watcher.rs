//! Looks for what is to be distrusted.

use std::collections::HashMap;
use std::ops::Range;

use super::Warning;
use crate::history::{History, sentence_around};
use crate::intake::Listing;
use crate::lexicon::Lexicon;
use crate::lexicon::unknowns::{Gap, Open};
use crate::lexicon::warnings::{Distrust, WarningPhrase};
use crate::margin::Appraisal;
use crate::reading::tokens::{TokenKind, Tokens};
use crate::reading::{AskBasis, Kind, MilesBasis, Reading, Title, vin};

/// Words between a denial and what it denies: `not interested in your old
/// battery or in crypto`.
const DENIAL_REACH: usize = 10;

/// Looks at cars, built once from the tables.
pub struct Watcher<'l> {
    lexicon: &'l Lexicon,
    /// The phrases by their first word, each as its words and what it does.
    phrases: HashMap<&'l str, Vec<(Vec<&'l str>, WarningPhrase)>>,
}

impl<'l> Watcher<'l> {
    /// A watcher by these tables.
    pub fn new(lexicon: &'l Lexicon) -> Self {
        let mut phrases: HashMap<&str, Vec<_>> = HashMap::new();
        for (text, does) in lexicon.warnings.phrases() {
            let words: Vec<&str> = text.split(' ').collect();
            if let Some(first) = words.first() {
                phrases.entry(*first).or_default().push((words, *does));
            }
        }
        Watcher { lexicon, phrases }
    }

    /// What is to be distrusted about a car, the gravest first, each reason
    /// once.
    pub fn watch(&self, listing: &Listing, a: &Appraisal, history: &History) -> Vec<Warning> {
        if a.reading.kind != Kind::Car {
            return Vec::new();
        }
        let mut out = self.in_text(&listing.text);
        let mut add = |distrust: Distrust, shown_by: Option<String>| {
            if !out.iter().any(|w| w.distrust == distrust) {
                out.push(Warning { distrust, shown_by });
            }
        };
        if a.unknowns
            .iter()
            .any(|u| u.open == Open::Gap(Gap::TooCheap))
        {
            let worth = a.worth.as_ref().map(|w| w.right.low);
            let figures = a.reading.ask.zip(worth);
            let shown = figures.map(|(ask, low)| {
                format!("asks {ask}; even a poor sale brings {low} once it is right")
            });
            add(Distrust::TooCheap, shown);
        }
        if a.reading.ask_basis == AskBasis::Deposit {
            let cell = listing.price.as_ref().map(|p| format!("price '{p}'"));
            add(Distrust::Deposit, cell);
        }
        if matches!(
            a.reading.title,
            Title::Missing | Title::BillOfSale | Title::Junk
        ) {
            let papers = a.reading.title.word().replace('_', " ");
            add(Distrust::NoPapers, Some(format!("papers: {papers}")));
        }
        for (distrust, shown) in self.number(&a.reading) {
            add(distrust, Some(shown));
        }
        if let Some(shown) = went_down(history, &a.reading) {
            add(Distrust::DistanceDown, Some(shown));
        }
        if let Some(withdrawn) = history.withdrawn.first() {
            add(Distrust::FaultLeftOut, Some(withdrawn.words.clone()));
        }
        out.sort_by_key(|w| w.distrust);
        out
    }

    /// Words of the text; those that are taken back do not count.
    fn in_text(&self, text: &str) -> Vec<Warning> {
        let mut tokens = Tokens::default();
        tokens.fill(text);
        let mut hits: Vec<(WarningPhrase, Range<usize>)> = Vec::new();
        for at in 0..tokens.list.len() {
            let Some(phrases) = self.phrases.get(tokens.word(at)) else {
                continue;
            };
            for (words, does) in phrases {
                let mut rest = words.iter().enumerate().skip(1);
                if rest.all(|(i, word)| tokens.word(at + i) == *word) {
                    hits.push((*does, at..at + words.len()));
                }
            }
        }
        let denies = |at: usize| {
            let mut from = at;
            while from > 0 && at - from < DENIAL_REACH && !ends_clause(tokens.kind(from - 1)) {
                from -= 1;
            }
            hits.iter().any(|(does, range)| {
                *does == WarningPhrase::Denies && range.start >= from && range.end <= at
            })
        };
        let mut out: Vec<Warning> = Vec::new();
        for (does, range) in &hits {
            let WarningPhrase::Shows(distrust) = does else {
                continue;
            };
            if out.iter().any(|w| w.distrust == *distrust) || denies(range.start) {
                continue;
            }
            let source = tokens.source(range.start, range.end - 1);
            out.push(Warning {
                distrust: *distrust,
                shown_by: sentence_around(text, &source),
            });
        }
        out
    }

    /// What the identification number tells against the ad (49 CFR 565.15).
    fn number(&self, reading: &Reading) -> Vec<(Distrust, String)> {
        let mut out = Vec::new();
        let Some(number) = &reading.vin else {
            return out;
        };
        if !vin::is_sound(number) {
            let digit = vin::check_digit(number);
            let shown = digit.map_or_else(
                || format!("VIN {number}"),
                |d| format!("VIN {number}, whose ninth place should be {d}"),
            );
            out.push((Distrust::VinCheck, shown));
        }
        let years = vin::model_years(number);
        if let (Some(year), Some(first)) = (reading.year, years.first())
            && !years.contains(&year)
        {
            let shown = format!("VIN {number} stands for {first}, the ad says {year}");
            out.push((Distrust::VinYear, shown));
        }
        let vehicles = &self.lexicon.vehicles;
        let makes = vehicles.makes_of_wmi(number);
        if let (Some(make), [first, ..]) = (&reading.make, makes)
            && !makes.iter().any(|m| vehicles.make(*m) == make)
        {
            let maker = vehicles.make(*first);
            let shown = format!("VIN {number} is one of {maker}, the ad says {make}");
            out.push((Distrust::VinMake, shown));
        }
        out
    }
}

fn ends_clause(kind: TokenKind) -> bool {
    match kind {
        TokenKind::Sign(sign) => matches!(sign, b'.' | b'!' | b'?' | b';' | b':' | b','),
        TokenKind::Line | TokenKind::Blank => true,
        TokenKind::Word | TokenKind::Number => false,
    }
}

/// The step by which the distance went down, where the history found one that
/// counts.
fn went_down(history: &History, reading: &Reading) -> Option<String> {
    use crate::history::What;
    if reading.miles_basis != MilesBasis::Doubted {
        return None;
    }
    history.events.iter().rev().find_map(|e| match e.what {
        What::Distance { from, to } if to < from => {
            let day = e.at.day.map_or_else(String::new, |d| format!(" on {d}"));
            Some(format!("{from} miles before, {to}{day}"))
        }
        _ => None,
    })
}
