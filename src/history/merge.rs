//! What all ads of a car together say.

use super::model::Withdrawn;
use super::sentences::{around, has};
use super::trail::{Sighting, Strand};
use crate::day::Day;
use crate::intake::ListingId;
use crate::lexicon::Lexicon;
use crate::lexicon::parts::PartId;
use crate::reading::{AskBasis, Claim, Evidence, MilesBasis, Moves, Reading, Says, Title};

/// Days within which the lower ask of two ads counts.
const ASKS_TOGETHER: i32 = 14;

/// A step down in distance that is no rounding.
const STEP_DOWN: u32 = 200;
const STEP_DOWN_ROUNDED: u32 = 1_500;

/// Faults that older texts of an ad tell and its newest leaves out or denies.
/// A fault whose sentence still stands is not left out, however it is read; one
/// that a more telling one has replaced neither.
pub(super) fn withdrawn(
    strands: &[Strand<'_>],
    shown: &[&Strand<'_>],
    lexicon: &Lexicon,
) -> Vec<Withdrawn> {
    let mut out: Vec<Withdrawn> = Vec::new();
    for strand in shown {
        for lost in lost_in(strand, strands, lexicon) {
            let told_elsewhere = shown.iter().any(|other| {
                // An ad that is older than the change knows nothing of it.
                let days = other.newest().at.day.zip(lost.left_out.day);
                if days.is_some_and(|(seen, left_out)| seen < left_out) {
                    return false;
                }
                let claims = &other.newest().row.reading.claims;
                claims
                    .iter()
                    .any(|c| c.part == lost.part && c.says.is_fault())
            });
            if !told_elsewhere && !out.iter().any(|w| w.part == lost.part) {
                out.push(lost);
            }
        }
    }
    out
}

fn lost_in(strand: &Strand<'_>, strands: &[Strand<'_>], lexicon: &Lexicon) -> Vec<Withdrawn> {
    let mut chain: Vec<&Sighting<'_>> = strand.sightings.iter().collect();
    let mut before = strand.before;
    while let Some(at) = before.take() {
        chain.splice(0..0, strands[at].sightings.iter());
        before = strands[at].before.filter(|b| *b < at);
    }
    let mut lost: Vec<Withdrawn> = Vec::new();
    for pair in chain.windows(2) {
        let (old, new) = (pair[0], pair[1]);
        if old.row.listing.text == new.row.listing.text {
            continue;
        }
        let says = |part: PartId| {
            let claims = &new.row.reading.claims;
            claims.iter().find(|c| c.part == part).map(|c| c.says)
        };
        lost.retain(|w| says(w.part).is_none_or(|s| s == Says::Sound));
        for claim in old.row.reading.claims.iter().filter(|c| c.says.is_fault()) {
            let denied = match says(claim.part) {
                None => false,
                Some(Says::Sound) => true,
                Some(_) => continue,
            };
            let passing = new.row.reading.chance_in_passing(claim.part).is_some();
            let replaced = passing || lexicon.covers.of(claim.part).any(|c| says(c).is_some());
            let words = words(claim, &old.row.listing.text);
            let stands = words
                .as_ref()
                .is_some_and(|w| has(&new.row.listing.text, w));
            if replaced || stands {
                continue;
            }
            lost.push(Withdrawn {
                part: claim.part,
                was: claim.says,
                denied,
                words: words.unwrap_or_default(),
                told: old.at,
                left_out: new.at,
            });
        }
    }
    lost
}

/// The sentence a claim was read from.
fn words(claim: &Claim, text: &str) -> Option<String> {
    let evidence = claim.evidence.first()?;
    around(text, &evidence.range)
}

/// What the ads together say. Evidence points into the text of `best`; what
/// stands in another ad has an empty place and says in its rule where it is
/// from.
pub(super) fn merged(
    id: &ListingId,
    best: &Sighting<'_>,
    shown: &[&Strand<'_>],
    strands: &[Strand<'_>],
    withdrawn: &[Withdrawn],
) -> Reading {
    let mut reading = best.row.reading.clone();
    reading.id = id.clone();
    let rows = strands.iter().map(|s| s.sightings.len()).sum::<usize>();
    if rows == 1 {
        return reading;
    }
    lowest_ask(&mut reading, best, shown);
    // Before what stands beside it: an ad that is older than the change knows
    // nothing of it.
    for w in withdrawn {
        let rule = format!("told{} and left out since: '{}'", on(w.told.day), w.words);
        suspect(&mut reading, w.part, rule);
    }
    for other in shown.iter().map(|s| s.newest()) {
        if other.row.index != best.row.index {
            told_beside(&mut reading, other);
        }
    }
    let older = strands.iter().flat_map(|s| s.sightings.iter().rev());
    for s in older {
        told_once(&mut reading, s);
    }
    went_down(&mut reading, strands);
    reading
}

fn on(day: Option<Day>) -> String {
    day.map_or_else(String::new, |day| format!(" on {day}"))
}

fn nowhere(rule: String) -> Evidence {
    Evidence { range: 0..0, rule }
}

fn of_ad(s: &Sighting<'_>) -> String {
    format!("in ad {}{}", s.row.listing.id, on(s.at.day))
}

/// The lowest ask of the ads that stand at about the same time.
fn lowest_ask(reading: &mut Reading, best: &Sighting<'_>, shown: &[&Strand<'_>]) {
    let asks = |basis| {
        matches!(
            basis,
            AskBasis::Plain | AskBasis::Negotiable | AskBasis::Firm
        )
    };
    for other in shown.iter().map(|s| s.newest()) {
        let theirs = other.row.reading;
        let apart = best.at.day.zip(other.at.day).map(|(a, b)| a.since(b).abs());
        let lower = match (theirs.ask, reading.ask) {
            (Some(theirs), Some(ours)) => theirs < ours,
            (Some(_), None) => true,
            (None, _) => false,
        };
        let same_money = theirs.currency == reading.currency;
        if lower && same_money && asks(theirs.ask_basis) && apart.is_none_or(|d| d <= ASKS_TOGETHER)
        {
            reading.ask = theirs.ask;
            reading.ask_basis = theirs.ask_basis;
            reading
                .fields
                .retain(|(key, _)| *key != "ask" && *key != "ask_basis");
            let evidence = nowhere(format!("asked {}", of_ad(other)));
            reading.fields.push(("ask", evidence));
        }
    }
}

/// What an ad says that stands beside the one that is shown.
fn told_beside(reading: &mut Reading, other: &Sighting<'_>) {
    let theirs = other.row.reading;
    for claim in &theirs.claims {
        let rules: Vec<&str> = claim.evidence.iter().map(|e| e.rule.as_str()).collect();
        let rule = format!("{}: {}", of_ad(other), rules.join("; "));
        let ours = reading.claims.iter().find(|c| c.part == claim.part);
        match ours.map(|c| c.says) {
            None => reading.claims.push(Claim {
                evidence: vec![nowhere(rule)],
                ..claim.clone()
            }),
            // Two ads of one car that differ: nobody knows which is true.
            Some(Says::Sound) if claim.says.is_fault() => suspect(reading, claim.part, rule),
            Some(_) => {}
        }
    }
    if reading.title == Title::Unstated && theirs.title != Title::Unstated {
        reading.title = theirs.title;
        let evidence = nowhere(format!("told {}", of_ad(other)));
        reading.fields.push(("title", evidence));
    }
    if reading.moves == Moves::Unstated && theirs.moves != Moves::Unstated {
        reading.moves = theirs.moves;
        // What was only likely is over.
        reading.likely_moves = None;
        reading.fields.retain(|(key, _)| *key != "moves");
        let evidence = nowhere(format!("told {}", of_ad(other)));
        reading.fields.push(("moves", evidence));
    }
}

fn suspect(reading: &mut Reading, part: PartId, rule: String) {
    let evidence = nowhere(rule);
    match reading.claims.iter_mut().find(|c| c.part == part) {
        Some(claim) if claim.says == Says::Sound => {
            claim.says = Says::Suspect;
            claim.evidence.push(evidence);
        }
        Some(_) => {}
        None => reading.claims.push(Claim {
            evidence: vec![evidence],
            ..Claim::new(part, Says::Suspect)
        }),
    }
}

/// Lasting facts that any row tells and the newest does not, and bad news.
fn told_once(reading: &mut Reading, other: &Sighting<'_>) {
    let theirs = other.row.reading;
    let mut told = |key: &'static str| {
        let evidence = nowhere(format!("told {}", of_ad(other)));
        reading.fields.retain(|(told, _)| *told != key);
        reading.fields.push((key, evidence));
    };
    if reading.year.is_none() && theirs.year.is_some() {
        reading.year = theirs.year;
        told("year");
    }
    if reading.make.is_none() && theirs.make.is_some() {
        reading.make = theirs.make.clone();
        reading.model = theirs.model.clone();
        told("make");
    }
    if reading.model.is_none() && theirs.model.is_some() && reading.make == theirs.make {
        reading.model = theirs.model.clone();
        told("model");
    }
    if reading.vin.is_none() && theirs.vin.is_some() {
        reading.vin = theirs.vin.clone();
        told("vin");
    }
    if reading.miles.is_none() && theirs.miles.is_some() {
        reading.miles = theirs.miles;
        reading.miles_basis = theirs.miles_basis;
        told("miles");
    }
    if reading.gearbox == crate::reading::Gearbox::Unstated && theirs.gearbox != reading.gearbox {
        reading.gearbox = theirs.gearbox;
        told("gearbox");
    }
    let bad_title = !matches!(theirs.title, Title::Clean | Title::Unstated);
    if reading.title == Title::Unstated && bad_title {
        reading.title = theirs.title;
        told("title");
    }
    let stands = matches!(theirs.moves, Moves::NoStart | Moves::RunsOnly);
    if reading.moves == Moves::Unstated && stands {
        reading.moves = theirs.moves;
        reading.likely_moves = None;
        told("moves");
    }
}

/// A distance that is less than one told before cannot be trusted.
fn went_down(reading: &mut Reading, strands: &[Strand<'_>]) {
    let Some(now) = reading.miles else { return };
    let told = strands.iter().flat_map(|s| &s.sightings);
    let most = told
        .filter_map(|s| Some((s.row.reading.miles?, s.row.reading.miles_basis)))
        .filter(|(_, basis)| matches!(basis, MilesBasis::Stated | MilesBasis::Rounded))
        .filter(|(miles, basis)| {
            let rounded = [*basis, reading.miles_basis].contains(&MilesBasis::Rounded);
            let step = if rounded {
                STEP_DOWN_ROUNDED
            } else {
                STEP_DOWN
            };
            now.0.saturating_add(step) < miles.0
        })
        .map(|(miles, _)| miles)
        .max();
    if let Some(most) = most {
        reading.miles_basis = MilesBasis::Doubted;
        reading.warnings.push(format!(
            "the distance went down from {most} to {now} between ads: ask for a bill or an \
             inspection that shows it"
        ));
    }
}
