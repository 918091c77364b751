//! What takes bytes from outside, each with what must hold whatever they are.
//! A law that is broken panics. Used by `tests/fuzz/main.rs` on any toolchain
//! and by the guided search in `tests/fuzz/guided`.

use std::cell::RefCell;
use std::io::Cursor;
use std::path::Path;
use std::sync::LazyLock;

use fixworth::costing::{Estimator, FixBill};
use fixworth::intake::{self, Item, Listing, ListingId, MAX_CELL, Options, Origin};
use fixworth::kerb::Findings;
use fixworth::ledger::{Accounts, Book, Factors, learn};
use fixworth::lexicon::assumptions::Assumptions;
use fixworth::lexicon::causes::Causes;
use fixworth::lexicon::checks::Checks;
use fixworth::lexicon::classes::Classes;
use fixworth::lexicon::give::Give;
use fixworth::lexicon::headers::Headers;
use fixworth::lexicon::parts::Parts;
use fixworth::lexicon::phrases::{PhraseRows, PhraseSheets};
use fixworth::lexicon::repairs::Repairs;
use fixworth::lexicon::shared_work::SharedWorks;
use fixworth::lexicon::skills::Skills;
use fixworth::lexicon::unknowns::Unknowns;
use fixworth::lexicon::vehicles::Vehicles;
use fixworth::lexicon::{Lexicon, LexiconError, Sheet, Source};
use fixworth::profile::Profile;
use fixworth::reading::reader::Scratch;
use fixworth::reading::{Reader, Reading};
use fixworth::units::{DistanceUnit, Money, ThreePoint};

/// A name and what is done with the bytes.
pub type Target = (&'static str, fn(&[u8]));

/// All of them.
pub const TARGETS: &[Target] = &[
    ("intake", intake),
    ("reading", reading),
    ("profile", profile),
    ("tables", tables),
    ("findings", findings),
    ("ledger", ledger),
    #[cfg(feature = "parquet")]
    ("parquet", parquet),
];

static LEXICON: LazyLock<Lexicon> = LazyLock::new(|| Lexicon::built_in().unwrap());

/// The year in which cars are looked at.
const YEAR: u16 = 2016;

thread_local! {
    static READER: Reader<'static> = Reader::new(&LEXICON, DistanceUnit::Miles);
    static SCRATCH: RefCell<Scratch> = RefCell::default();
}

/// A Parquet table of ads: rows, or one reason why there are none.
#[cfg(feature = "parquet")]
pub fn parquet(bytes: &[u8]) {
    // What neither begins nor ends as a table is told apart at once.
    let mut bytes = bytes.to_vec();
    if let Some(len @ 8..) = Some(bytes.len()) {
        bytes[..4].copy_from_slice(b"PAR1");
        bytes[len - 4..].copy_from_slice(b"PAR1");
    }
    let options = Options::default();
    let stream = Cursor::new(bytes);
    let mut last = 0;
    // A table may hold any number of rows in next to no bytes.
    for item in intake::Reader::of_stream("ads", stream, &options, &LEXICON).take(20_000) {
        match item {
            Ok(Item::Listing(listing)) => {
                assert!(listing.origin.line > last);
                last = listing.origin.line;
                assert!(!listing.text.trim().is_empty());
                assert!(listing.text.len() <= 2 * MAX_CELL + 1);
                assert!(!listing.text.contains('\0'));
            }
            Ok(Item::Reject(reject)) => assert!(reject.line > last),
            Ok(_) => {}
            Err(problem) => {
                let problem = problem.to_string();
                assert!(problem.starts_with("ads: "), "{problem}");
                assert!(problem.len() < 2_000, "{problem}");
            }
        }
    }
}

/// A file of ads.
pub fn intake(bytes: &[u8]) {
    let options = Options::default();
    let stream = Cursor::new(bytes.to_vec());
    let lines = bytes.iter().filter(|b| matches!(b, b'\n' | b'\r')).count() as u64 + 1;
    for item in intake::Reader::of_stream("ads.csv", stream, &options, &LEXICON) {
        match item {
            Ok(Item::Listing(listing)) => {
                assert!((1..=lines).contains(&listing.origin.line));
                assert!(listing.text.len() <= 3 * (2 * MAX_CELL + 1));
                assert!(listing.text.is_char_boundary(listing.headline_len));
                assert!(!listing.text.trim().is_empty());
                assert!(!listing.id.0.is_empty());
                check_reading(&listing);
            }
            Ok(Item::Reject(reject)) => assert!((1..=lines).contains(&reject.line)),
            Ok(Item::Repeat(_) | Item::Warning(_)) => {}
            Err(problem) => assert!(!problem.to_string().is_empty()),
        }
    }
}

/// An ad: headline, price, distance, year, make and model on the first lines,
/// then the text.
pub fn reading(bytes: &[u8]) {
    let text = String::from_utf8_lossy(bytes);
    let mut lines = text.splitn(7, '\n');
    let mut next = || lines.next().unwrap_or_default();
    let (headline, cells) = (next(), [(); 5].map(|()| next()));
    let origin = Origin {
        file: "ads.csv".into(),
        line: 1,
    };
    let mut listing = Listing::new(ListingId("1".into()), origin, headline, next());
    let some = |cell: &str| (!cell.is_empty()).then(|| cell.to_owned());
    let [price, distance, year, make, model] = cells.map(some);
    listing.price = price;
    listing.distance = distance;
    listing.year = year;
    listing.make = make;
    listing.model = model;
    check_reading(&listing);
}

fn check_reading(listing: &Listing) {
    let reading = READER.with(|reader| {
        SCRATCH.with_borrow_mut(|scratch| {
            let reading = reader.read_with(listing, scratch);
            // Memory of the ad before says nothing of this one.
            assert_eq!(reading, reader.read_with(listing, scratch));
            reading
        })
    });
    for range in places(&reading) {
        assert!(
            range.start < range.end && listing.text.get(range.clone()).is_some(),
            "{range:?} of {} bytes",
            listing.text.len()
        );
    }
    assert!(reading.ask.is_none_or(|ask| ask > Money::ZERO));
    let profile = Profile::default();
    let estimator = Estimator::new(&LEXICON, &profile, YEAR);
    check_bill(&estimator.cost(&reading, None));
}

/// All places of the text that the reading points at.
pub fn places(reading: &Reading) -> impl Iterator<Item = std::ops::Range<usize>> + '_ {
    let fields = reading.fields.iter().map(|(_, e)| e);
    let claims = reading.claims.iter().flat_map(|c| &c.evidence);
    let codes = reading.codes.iter().map(|c| &c.evidence);
    let vague = reading.vague.iter().map(|(_, e)| e);
    let all = fields.chain(claims).chain(codes).chain(vague);
    all.map(|e| e.range.clone())
}

/// What holds for every bill: chances are chances, and those of the ways it may
/// turn out make one; ranges rise, and the dearest case is the sum of all jobs at
/// their dearest, to the cent.
pub fn check_bill(bill: &FixBill) {
    let rising = |r: &ThreePoint<Money>| r.low <= r.likely && r.likely <= r.high;
    for job in &bill.jobs {
        assert!((0.0..=1.0).contains(&job.chance.value()), "{job:?}");
        assert!(rising(&job.cost) && job.cost.low >= Money::ZERO, "{job:?}");
    }
    for left in &bill.left {
        assert!((0.0..=1.0).contains(&left.chance.value()), "{left:?}");
        assert!(left.effect >= Money::ZERO, "{left:?}");
    }
    let mut chances = 0.0;
    for outcome in &bill.outcomes {
        assert!((0.0..=1.0 + 1e-9).contains(&outcome.chance), "{outcome:?}");
        assert!(
            outcome.mean.is_finite() && outcome.deviation >= 0.0,
            "{outcome:?}"
        );
        chances += outcome.chance;
    }
    assert!((chances - 1.0).abs() < 1e-6, "{chances}");
    assert!(bill.total.low >= Money::ZERO && bill.total.low <= bill.total.high);
    assert!(bill.deviation >= 0.0 && bill.deviation.is_finite());
    let dearest: Money = bill.jobs.iter().map(|j| j.cost.high).sum();
    assert_eq!(bill.worst, dearest);
}

/// A profile.
pub fn profile(bytes: &[u8]) {
    let text = String::from_utf8_lossy(bytes);
    match Profile::parse_checked("mine.toml", &text, &LEXICON.skills) {
        Ok(profile) => {
            for class in ["subcompact", "pickup"] {
                let estimator = Estimator::new(&LEXICON, &profile, YEAR);
                check_bill(&estimator.cost(&faults(), Some(class)));
            }
        }
        Err(problem) => assert!(!problem.to_string().is_empty()),
    }
}

/// A reading with many faults.
fn faults() -> Reading {
    static FAULTS: LazyLock<Reading> = LazyLock::new(|| {
        let text = "Blown head gasket, overheats, clutch slips, needs brakes and tires, rusty \
            rockers, cracked windshield, check engine light is on, might be the alternator, no \
            reverse, A/C not cold, leaks oil, dent in the door, timing belt due, will not start.";
        let origin = Origin {
            file: "ads.csv".into(),
            line: 1,
        };
        let listing = Listing::new(ListingId("1".into()), origin, "2003 Saab 9-3", text);
        let reading = Reader::new(&LEXICON, DistanceUnit::Miles).read(&listing);
        assert!(reading.claims.len() > 10);
        reading
    });
    FAULTS.clone()
}

/// A table of the lexicon: the first byte says which one.
pub fn tables(bytes: &[u8]) {
    let Some((which, rest)) = bytes.split_first() else {
        return;
    };
    let text = String::from_utf8_lossy(rest);
    if let Err(problem) = table(*which, &text) {
        assert!(!problem.to_string().is_empty());
    }
}

fn table(which: u8, text: &str) -> Result<(), LexiconError> {
    let l = &*LEXICON;
    let sheet = Sheet::parse("table.csv", text)?;
    match which {
        b'0' => drop(Repairs::read(&sheet, &l.parts, &l.skills, &l.classes)?),
        b'1' => drop(Causes::read(&sheet, &l.parts, &l.repairs, &l.base_rates)?),
        b'2' => drop(Unknowns::read(&sheet)?),
        b'3' => drop(Checks::read(&sheet, &l.parts, &l.classes)?),
        b'4' => drop(Headers::read(&sheet)?),
        b'5' => drop(Parts::read(&sheet)?),
        b'6' => drop(SharedWorks::read(&sheet, &l.parts, &l.repairs)?),
        b'7' => drop(Classes::read(&sheet)?),
        b'8' => drop(Skills::read(&sheet)?),
        b'9' => drop(Assumptions::read(&sheet)?),
        b'a' => drop(Give::read(&sheet)?),
        b'b' => drop(Vehicles::read(
            &Sheet::parse("makes.csv", "make,aliases\nSaab,\n")?,
            &sheet,
            &Sheet::parse("wmi.csv", "wmi,make,country,source\n")?,
        )?),
        // The tables of phrases, each beside the others as they are built in.
        b'c'..=b'i' => {
            let built_in = Source::built_in();
            let own = |at: u8, name| match which == at {
                true => Sheet::parse("table.csv", text),
                false => built_in.sheet(name),
            };
            let sheets = [
                own(b'c', "phrases.csv")?,
                own(b'd', "cues.csv")?,
                own(b'e', "effects.csv")?,
                own(b'f', "signs.csv")?,
                own(b'g', "numbers.csv")?,
                own(b'h', "senses.csv")?,
                own(b'i', "verbs.csv")?,
            ];
            let [phrases, cues, effects, signs, numbers, senses, verbs] = &sheets;
            let sheets = PhraseSheets {
                phrases,
                cues,
                effects,
                signs,
                numbers,
                senses,
                verbs,
            };
            drop(PhraseRows::read(sheets, &l.parts)?.join(&l.parts, &l.vehicles)?);
        }
        _ => {}
    }
    Ok(())
}

/// What was found at cars.
pub fn findings(bytes: &[u8]) {
    let text = String::from_utf8_lossy(bytes);
    match Findings::parse("findings.csv", &text, &LEXICON) {
        Ok(findings) => {
            for row in findings.of(|id| id == "1") {
                assert!(row.cost.is_none_or(|cost| cost >= Money::ZERO));
            }
        }
        Err(problem) => assert!(!problem.to_string().is_empty()),
    }
}

/// A ledger, or one's own factors.
pub fn ledger(bytes: &[u8]) {
    let profile = Profile::default();
    let path = Path::new("ledger.csv");
    let accounts = Book::parse(path, bytes)
        .and_then(|book| Accounts::new(path, &book, |_| None, &LEXICON, &profile));
    let factors = match accounts {
        Ok(accounts) => Ok(learn(&accounts, &LEXICON.repairs)),
        Err(_) => Factors::parse(path, bytes, &LEXICON.repairs),
    };
    match factors {
        Ok(factors) => {
            // What is written can be read again.
            let mut written = Vec::new();
            factors.write(&mut written).unwrap();
            let again = Factors::parse(path, &written, &LEXICON.repairs).unwrap();
            assert_eq!(again.rows.len(), factors.rows.len());
        }
        Err(problem) => assert!(!problem.to_string().is_empty()),
    }
}
