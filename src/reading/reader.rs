//! The reader: built once from the lexicon, it reads listing after listing.

mod ask;
mod heard;
mod trace;
mod vague;

use rust_decimal::Decimal;
use rust_decimal::prelude::FromPrimitive;

use super::context::{self, Ear, Hearing};
use super::items::{self, Item, Items};
use super::merge::merge;
use super::model::{AskBasis, Claim, Evidence, InPassing, MilesBasis, Reading, Says};
use super::names::Name;
use super::news::News;
use super::numbers::{self, Number};
use super::page::Page;
use super::roles::{self, Roles};
use super::scan::{Hit, ScanMemory, Scanner};
use super::scope::{Example, LeftOut, Remark, Saying, Walk, Walked};
use super::signs;
use super::spelling::{Memory, Speller};
use super::tokens::{Token, TokenKind, Tokens};
use super::{
    asides, codes, columns, distance, done, doubts, features, forms, healed, marks, names, news,
    posting, price, several, short_words, subjects, vehicle, vin,
};
use crate::intake::Listing;
use crate::lexicon::Lexicon;
use crate::lexicon::context::Of;
use crate::lexicon::phrases::SignField;
use crate::lexicon::words::WordId;
use crate::units::{Currency, DistanceUnit, ModelYear, Money};
use heard::Weighed;

pub use trace::{FoundPhrase, MadeSaying, NamedVehicle, SeenNumber, SignSeen, Trace, Turn};

/// Reads listings by the tables of a lexicon. Shared between threads; each
/// thread brings its own [`Scratch`].
pub struct Reader<'l> {
    pub(super) lexicon: &'l Lexicon,
    pub(super) scanner: Scanner<'l>,
    speller: Speller<'l>,
    ear: Ear<'l>,
    unit: DistanceUnit,
}

/// Memory that is reused from listing to listing.
#[derive(Default)]
pub struct Scratch {
    pub(super) tokens: Tokens,
    words: Vec<WordId>,
    pub(super) hits: Vec<Hit>,
    pub(super) asides: Vec<(usize, usize)>,
    items: Vec<Item>,
    pub(super) numbers: Vec<Number>,
    pub(super) roles: Vec<(Number, Roles)>,
    spelled: Memory,
    scanning: ScanMemory,
    hearing: Hearing,
}

/// Bytes of an ad that are read (64 KiB). Real ads have a few kilobytes; the
/// bound is for texts that mean harm, whose sentences never end.
const MOST: usize = 64 << 10;

/// The part of a listing's text that is read.
fn part_read(listing: &Listing) -> &str {
    let text = &listing.text;
    let mut end = text.len().min(MOST);
    while !text.is_char_boundary(end) {
        end -= 1;
    }
    &text[..end]
}

impl<'l> Reader<'l> {
    /// A reader by these tables; `unit` is that of distances where an ad does
    /// not say.
    pub fn new(lexicon: &'l Lexicon, unit: DistanceUnit) -> Self {
        Reader {
            lexicon,
            scanner: Scanner::new(lexicon),
            speller: Speller::new(lexicon),
            ear: Ear::new(lexicon),
            unit,
        }
    }

    /// Reads one listing.
    pub fn read(&self, listing: &Listing) -> Reading {
        self.read_with(listing, &mut Scratch::default())
    }

    /// Reads one listing with memory kept from the one before.
    pub fn read_with(&self, listing: &Listing, scratch: &mut Scratch) -> Reading {
        let text = &*posting::without_envelope(part_read(listing), &self.lexicon.word_classes);
        let codes = self.scan(text, listing.headline_len, scratch);
        self.hear(scratch);
        numbers::find(&scratch.tokens, &mut scratch.numbers);
        asides::leave_out_numbers(&scratch.asides, &mut scratch.numbers);
        numbers::leave_out_contacts(&scratch.tokens, text, &mut scratch.numbers);
        scratch.roles.clear();
        for n in &scratch.numbers {
            let roles = roles::of(n, &scratch.tokens, &scratch.hits, &self.scanner);
            scratch.roles.push((*n, roles));
        }
        roles::part_units(&mut scratch.roles);
        let walk = self.walk(scratch);
        let Walked {
            mut sayings,
            mut in_passing,
            ..
        } = self.leaning(walk).run();
        let names = names::names(&scratch.hits, &self.scanner);
        roles::of_names(&mut scratch.roles, &names);
        self.date(&mut sayings, scratch, &names, listing.headline_len);
        let headline = scratch.tokens.before(listing.headline_len);
        let news = news::find(&scratch.hits, &scratch.tokens, &self.scanner, headline);
        let sayings = self.settle(sayings, &news, scratch);
        let Weighed {
            sayings, left_out, ..
        } = self.weigh(sayings, scratch);
        in_passing.extend(left_out);
        let jobs: Vec<_> = sayings.iter().map(|s| s.done).collect();
        let signs = signs::gather(&scratch.hits, &scratch.tokens, &self.scanner);

        let mut reading = Reading::unread(listing.id.clone());
        let page = Page {
            listing,
            tokens: &scratch.tokens,
            signs: &signs,
            names: &names,
            news: &news,
            headline,
        };
        self.claims(&mut reading, &page, sayings);
        self.in_passing(&mut reading, &page, in_passing);
        reading.codes = codes::told(&codes, &scratch.tokens, self.lexicon);
        self.vehicle(&mut reading, &page, scratch);
        self.price(&mut reading, &page, scratch);
        self.distance(&mut reading, &page, scratch, &jobs);
        let as_of = listing.year_of_date().map(ModelYear);
        doubts::raise(&mut reading, &self.lexicon.vehicles, as_of, signs.vouched);
        done::tell(&mut reading, &jobs, &scratch.tokens);
        self.papers(&mut reading, &page, scratch);
        self.kind(&mut reading, &page, scratch);
        self.likely_moves(&mut reading, &page, scratch);
        self.heard_fields(&mut reading, &page, scratch);
        if text.len() < listing.text.len() {
            reading.warnings.push(format!(
                "the ad has more than {} KiB: what stands behind was not read",
                MOST >> 10
            ));
        }
        reading
    }

    /// Takes a text apart, finds all phrases and trouble codes in it, and makes
    /// its items.
    fn scan(&self, text: &str, headline: usize, s: &mut Scratch) -> Vec<codes::Found> {
        s.tokens.fill(text);
        columns::apply(&mut s.tokens, text, &self.scanner);
        marks::apply(&mut s.tokens, text, &self.scanner);
        short_words::apply(&self.lexicon.short_words, &mut s.tokens, text);
        forms::apply(&self.lexicon.forms, &mut s.tokens, text);
        self.scanner.look_up(&s.tokens, &mut s.words);
        self.speller
            .apply(&mut s.tokens, &mut s.words, &mut s.spelled);
        self.scanner.classify(&mut s.tokens, &s.words);
        self.scanner
            .scan_words(&s.tokens, &s.words, &mut s.hits, &mut s.scanning);
        let ad = (&s.tokens, text);
        let tables = (&self.scanner, &self.lexicon.vehicles);
        asides::find(&s.hits, ad, tables, headline, &mut s.asides);
        features::find(&s.hits, &s.tokens, &self.scanner, &mut s.asides);
        asides::leave_out_hits(&s.asides, &mut s.hits);
        let codes = codes::find(&s.tokens, &s.hits, &self.scanner, self.lexicon);
        codes::mark(&codes, &self.scanner, &mut s.hits);
        subjects::leave_out_orphans(&mut s.hits, &self.scanner);
        let ad = items::Ad {
            text,
            tokens: &s.tokens,
            words: &s.words,
        };
        items::build(ad, &s.hits, &self.scanner, &mut s.items);
        codes
    }

    /// Brings the sayings together, what was added to the ad later counting
    /// before what stands above.
    fn settle(&self, mut sayings: Vec<Saying>, news: &News, s: &Scratch) -> Vec<Saying> {
        let ad = (s.hits.as_slice(), &s.tokens);
        healed::apply(&mut sayings, news, ad, &self.scanner, self.lexicon);
        merge(sayings, news, self.lexicon)
    }

    /// The parts that a text names, with what stands around them; those left
    /// open only where nothing else is said of them.
    pub fn examples(&self, text: &str, scratch: &mut Scratch) -> Vec<Example> {
        self.scan_alone(text, scratch);
        let walk = self.walk(scratch);
        let mut walked = walk.learning().run();
        let told = |part| walked.sayings.iter().any(|s| s.part == part);
        walked
            .examples
            .retain(|e| e.says.is_some() || !told(e.part));
        walked.examples
    }

    /// Takes a text apart that has no headline.
    fn scan_alone(&self, text: &str, scratch: &mut Scratch) {
        let text = posting::without_envelope(text, &self.lexicon.word_classes);
        self.scan(&text, 0, scratch);
    }

    /// What the rules find in a text, with what stands around it.
    pub fn remarks(&self, text: &str, scratch: &mut Scratch) -> Vec<Remark> {
        self.scan_alone(text, scratch);
        self.walk(scratch).learning().run().remarks
    }

    /// The things of a text, each by the names of the rows of `context.csv`.
    pub fn things<T>(
        &self,
        text: &str,
        scratch: &mut Scratch,
        each: impl Fn((Of, &str)) -> T,
    ) -> Vec<Vec<T>> {
        self.scan_alone(text, scratch);
        let items = self.items(scratch);
        let things = 0..items.list.len();
        things
            .map(|thing| items.names_of(thing).map(&each).collect())
            .collect()
    }

    fn hear(&self, s: &mut Scratch) {
        let mut hearing = std::mem::take(&mut s.hearing);
        self.ear.hear(self.items(s), &mut hearing);
        s.hearing = hearing;
    }

    /// A walk that asks the tables learnt from labelled ads too.
    fn leaning<'a>(&'a self, walk: Walk<'a>) -> Walk<'a> {
        let learnt = self.lexicon;
        walk.leaning(&learnt.leanings).doubting(&learnt.passing)
    }

    pub(super) fn items<'a>(&'a self, scratch: &'a Scratch) -> Items<'a> {
        Items {
            list: &scratch.items,
            scanner: &self.scanner,
            tokens: &scratch.tokens,
            words: &scratch.words,
        }
    }

    fn walk<'a>(&'a self, scratch: &'a Scratch) -> Walk<'a> {
        let items = self.items(scratch);
        Walk::new(items, &self.lexicon.parts).knowing(&self.lexicon.causes)
    }

    /// Gives sayings of renewal the numbers that tell when. A year in the
    /// headline, or before the name of a car, is that car's.
    fn date(&self, sayings: &mut [Saying], scratch: &Scratch, names: &[Name<'_>], headline: usize) {
        if sayings.iter().all(|s| s.says != Says::Renewed) {
            return;
        }
        let unit = distance::unit_of(&scratch.roles).unwrap_or(self.unit);
        let of_a_car = |n: &Number| {
            let end = scratch.tokens.source(n.tokens.0, n.tokens.1).end;
            let headline = end <= headline && n.value < 2100.0;
            headline || names.iter().any(|name| name.first == n.tokens.1 + 1)
        };
        let (roles, items) = (&scratch.roles, &scratch.items);
        done::link(sayings, roles, items, &scratch.tokens, unit, of_a_car);
    }

    fn claims(&self, reading: &mut Reading, page: &Page<'_>, sayings: Vec<Saying>) {
        reading.claims.reserve(sayings.len());
        for s in sayings {
            reading.claims.push(Claim {
                evidence: vec![self.evidence(&s, page)],
                ..Claim::new(s.part, s.says)
            });
        }
    }

    /// Faults that were left out of the claims, the likeliest of each code. What is
    /// over, or told by a claim that says more, is not asked about.
    fn in_passing(&self, reading: &mut Reading, page: &Page<'_>, mut left: Vec<LeftOut>) {
        left.sort_by(|a, b| b.meant.value().total_cmp(&a.meant.value()));
        let faults = reading.claims.iter().filter(|c| c.says.is_fault());
        let mut faults: Vec<_> = faults.map(|c| c.part).collect();
        for LeftOut { saying, meant } in left {
            let told = &mut reading.told_in_passing;
            let covers = &self.lexicon.covers;
            let covered = covers.of(saying.part).any(|more| faults.contains(&more));
            let new = told.iter().all(|t| t.part != saying.part);
            if new && !covered && !saying.past {
                faults.push(saying.part);
                told.push(InPassing {
                    part: saying.part,
                    chance: meant,
                    evidence: self.evidence(&saying, page),
                });
            }
        }
    }

    /// Where a saying stands, and what made it.
    fn evidence(&self, s: &Saying, page: &Page<'_>) -> Evidence {
        Evidence {
            range: page.tokens.source(s.tokens.0 as usize, s.tokens.1 as usize),
            rule: s.rule.render(&self.scanner, page.tokens),
        }
    }

    fn vehicle(&self, reading: &mut Reading, page: &Page<'_>, scratch: &Scratch) {
        let cells = vehicle::Cells {
            year: page.listing.year.as_deref(),
            make: page.listing.make.as_deref(),
            model: page.listing.model.as_deref(),
            pounds: page.currency() == Some(Currency::Gbp),
        };
        let vehicles = &self.lexicon.vehicles;
        let v = vehicle::read(
            cells,
            &scratch.roles,
            page.tokens,
            page.names,
            vehicles,
            page.headline,
        );
        reading.year = v.year;
        reading.make = v.make.map(|m| vehicles.make(m).to_owned());
        reading.model = v.model.map(|m| vehicles.model(m).name.clone());
        for (key, at) in [
            ("year", v.year_tokens),
            ("make", v.make_tokens),
            ("model", v.model_tokens),
        ] {
            page.note(reading, key, at, "name in the tables of makes and models");
        }
        self.vin(reading, page);
    }

    fn vin(&self, reading: &mut Reading, page: &Page<'_>) {
        let found = page.tokens.list.iter().position(|t| {
            matches!(t.kind, TokenKind::Word | TokenKind::Number)
                && t.source.1 - t.source.0 == 17
                && page
                    .listing
                    .text
                    .get(t.source_range())
                    .is_some_and(vin::is_vin)
        });
        let Some(at) = found else { return };
        let number = page.listing.text[page.tokens.list[at].source_range()].to_ascii_uppercase();
        page.note(reading, "vin", Some((at, at)), "17 letters and digits");
        // Check digit and year letter are prescribed in North America (49 CFR
        // 565.15); elsewhere makers may put anything in their place.
        let elsewhere = matches!(
            page.currency(),
            Some(Currency::Gbp | Currency::Eur | Currency::Aud | Currency::Nzd)
        ) && !number.starts_with(['1', '2', '3', '4', '5']);
        if !vin::is_sound(&number) && !elsewhere {
            reading.warnings.push(format!(
                "the identification number {number} fails its check digit: compare it with the \
                 car and the papers"
            ));
        }
        let years = match elsewhere {
            true => Vec::new(),
            false => vin::model_years(&number),
        };
        if let (Some(year), Some(first)) = (reading.year, years.first()) {
            if !years.contains(&year) {
                reading.warnings.push(format!(
                    "the identification number stands for model year {first}, the ad says {year}"
                ));
            }
        } else if reading.year.is_none() && vin::is_sound(&number) {
            reading.year = years.first().copied();
        }
        let makes = self.lexicon.vehicles.makes_of_wmi(&number);
        match (&reading.make, makes) {
            (None, [only]) => reading.make = Some(self.lexicon.vehicles.make(*only).to_owned()),
            (Some(make), [_, ..])
                if !makes.iter().any(|m| self.lexicon.vehicles.make(*m) == make) =>
            {
                let maker = self.lexicon.vehicles.make(makes[0]);
                reading.warnings.push(format!(
                    "the identification number is one of {maker}, the ad says {make}"
                ));
            }
            _ => {}
        }
        reading.vin = Some(number);
    }

    /// Whether the name of a part begins with this token.
    fn part_begins(&self, token: usize, scratch: &Scratch) -> bool {
        let from = scratch.hits.partition_point(|h| (h.first as usize) < token);
        let here = scratch.hits[from..].iter();
        here.take_while(|h| h.first as usize == token)
            .any(|h| signs::names_a_part(h, &self.scanner))
    }

    fn distance(
        &self,
        reading: &mut Reading,
        page: &Page<'_>,
        scratch: &Scratch,
        jobs: &[Option<done::Done>],
    ) {
        let cell = distance::Cell {
            text: page.listing.distance.as_deref(),
            unit: page.listing.distance_unit,
            classes: &self.lexicon.word_classes,
        };
        let unit = page.signs.unit.unwrap_or(self.unit);
        let dated = |n: &Number| {
            let mut jobs = jobs.iter().flatten();
            jobs.any(|job| job.tokens.0 as usize == n.tokens.0)
        };
        let doubted = page.signs.doubted.is_some();
        let mut d = distance::read(cell, &scratch.roles, unit, doubted, dated);
        let beside = d.tokens.and_then(|at| {
            let mut doubts = page.signs.doubted_beside.iter().copied();
            doubts.find(|doubt| signs::behind(at.1, doubt.0, 4, page.tokens))
        });
        if beside.is_some() {
            d.basis = MilesBasis::Doubted;
        }
        reading.miles = d.miles;
        reading.miles_basis = d.basis;
        if let (Some(shown), Some(miles)) = (d.shown, d.miles) {
            reading.warnings.push(format!(
                "the odometer shows {shown} miles and is not the first: {miles} in all, if what \
                 the ad tells of the exchange is right"
            ));
        }
        page.note(reading, "miles", d.tokens, "distance on the car");
        page.note(
            reading,
            "miles_basis",
            page.signs.doubted.or(beside),
            "doubt about the odometer",
        );
    }
}
