//! A reading for programs.

use schemars::JsonSchema;
use serde::{Serialize, Serializer};

use super::flat::Column;
use super::json::Number;
#[cfg(feature = "parquet")]
use super::parquet::{Shape, TableColumn};
use super::readings::Streamed;
use super::text::{hundredths, plain, shown};
use crate::intake::Listing;
use crate::lexicon::Lexicon;
use crate::reading::{
    AskBasis, Evidence, Gearbox, Kind, MilesBasis, Moves, Reading, Says, Title, Vague,
};
use crate::units::{CalendarYear, Currency, Miles, ModelYear};

/// What one listing says, in the order of its keys. After the facts:
///
/// * `in_passing`: faults of which the words speak, though likely not as ones of
///   this car; `chance` is that it has them all the same;
/// * `evidence`: list of `{at, start, end, rule}`; `at` is a JSON Pointer (RFC
///   6901) to the value in this object, `start` and `end` are bytes of the
///   listing's text (headline, line break, body), `rule` is what fired;
/// * `currency`: the money of `ask` where the ad or the column says it;
/// * `warnings`: what a careful reader should doubt;
/// * `text`: the listing's text, only where it was asked for.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct ReadRow<'a> {
    /// The listing's id.
    pub id: &'a str,
    /// What is offered.
    pub kind: Kind,
    /// Model year.
    pub year: Option<ModelYear>,
    /// Make.
    pub make: Option<&'a str>,
    /// Model.
    pub model: Option<&'a str>,
    /// What the seller asks now for the whole car.
    pub ask: Option<Number>,
    /// How the price is meant.
    pub ask_basis: AskBasis,
    /// Distance on the car.
    pub miles: Option<Miles>,
    /// How the distance is known.
    pub miles_basis: MilesBasis,
    /// The papers.
    pub title: Title,
    /// Whether it moves.
    pub moves: Moves,
    /// The gearbox.
    pub gearbox: Gearbox,
    /// Vehicle identification number.
    pub vin: Option<&'a str>,
    /// What is said of parts and symptoms.
    pub claims: Vec<ReadClaim<'a>>,
    /// Faults told in passing; no claims.
    pub in_passing: Vec<ReadInPassing<'a>>,
    /// Trouble codes that the text names.
    pub codes: Vec<ReadCode<'a>>,
    /// Vague wording.
    pub vague: Vec<Vague>,
    /// Where each of these was read.
    pub evidence: Vec<Place<'a>>,
    /// The money of `ask`.
    pub currency: Option<Currency>,
    /// Doubts.
    pub warnings: &'a [String],
    /// The text that `evidence` points into.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub text: Option<&'a str>,
}

/// One claim.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct ReadClaim<'a> {
    /// Code of the part or symptom.
    pub part: &'a str,
    /// What is said of it.
    pub says: Says,
    /// Distance on the car when the work was done.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub done_at: Option<Miles>,
    /// Year when the work was done.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub done_in: Option<CalendarYear>,
}

/// One fault told in passing.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct ReadInPassing<'a> {
    /// Code of the part or symptom.
    pub part: &'a str,
    /// The chance that this car has it, to two places.
    pub chance: f64,
}

/// One trouble code.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct ReadCode<'a> {
    /// The code, as in `P0420`.
    pub code: String,
    /// What it stands for, where the table knows.
    pub means: Option<&'a str>,
    /// Codes of parts and symptoms that it points at, likeliest first; no
    /// claim of the seller's.
    pub hints: Vec<&'a str>,
}

/// Where a value was read.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct Place<'a> {
    /// JSON Pointer to the value.
    #[schemars(with = "String")]
    pub at: At,
    /// First byte.
    pub start: usize,
    /// Byte behind the last.
    pub end: usize,
    /// The rule that fired.
    pub rule: &'a str,
}

/// A value of a [`ReadRow`]; printed as a JSON Pointer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum At {
    /// A plain field, by its key.
    Field(&'static str),
    /// An entry of a list, by the list's key.
    Entry(&'static str, usize),
}

impl At {
    /// Calls `with` with the pointer. Many are written for each ad: what they
    /// are put together in is the stack's.
    fn written<T>(self, with: impl FnOnce(&str) -> T) -> T {
        let (key, index) = match self {
            At::Field(key) => (key, None),
            At::Entry(key, index) => (key, Some(index)),
        };
        let mut text = [0; 64];
        let mut from = text.len();
        let mut put = |bytes: &[u8]| {
            if let Some(start) = from.checked_sub(bytes.len()) {
                text[start..from].copy_from_slice(bytes);
                from = start;
            }
        };
        if let Some(mut rest) = index {
            loop {
                put(&[b'0' + (rest % 10) as u8]);
                rest /= 10;
                if rest == 0 {
                    break;
                }
            }
            put(b"/");
        }
        put(key.as_bytes());
        put(b"/");
        with(std::str::from_utf8(&text[from..]).unwrap_or_default())
    }
}

impl std::fmt::Display for At {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        self.written(|pointer| f.write_str(pointer))
    }
}

impl Serialize for At {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.written(|pointer| serializer.serialize_str(pointer))
    }
}

impl<'a> ReadRow<'a> {
    /// The row of a reading; with the text where `with_text`.
    pub fn new(
        listing: &'a Listing,
        reading: &'a Reading,
        lexicon: &'a Lexicon,
        with_text: bool,
    ) -> Self {
        ReadRow {
            id: &reading.id.0,
            kind: reading.kind,
            year: reading.year,
            make: reading.make.as_deref(),
            model: reading.model.as_deref(),
            ask: reading.ask.map(Number::from),
            ask_basis: reading.ask_basis,
            miles: reading.miles,
            miles_basis: reading.miles_basis,
            title: reading.title,
            moves: reading.moves_as_read(),
            gearbox: reading.gearbox,
            vin: reading.vin.as_deref(),
            claims: reading
                .claims
                .iter()
                .map(|c| ReadClaim {
                    part: lexicon.parts.code(c.part),
                    says: c.says,
                    done_at: c.done_at,
                    done_in: c.done_in,
                })
                .collect(),
            in_passing: reading
                .in_passing()
                .map(|p| ReadInPassing {
                    part: lexicon.parts.code(p.part),
                    chance: hundredths(p.chance.value()),
                })
                .collect(),
            codes: reading
                .codes
                .iter()
                .map(|c| ReadCode {
                    code: c.code.to_string(),
                    means: c.means.as_deref(),
                    hints: c.hints.iter().map(|h| lexicon.parts.code(*h)).collect(),
                })
                .collect(),
            vague: reading.vague.iter().map(|(v, _)| *v).collect(),
            evidence: places(reading),
            currency: reading.currency,
            warnings: &reading.warnings,
            text: with_text.then_some(listing.text.as_str()),
        }
    }
}

fn places(reading: &Reading) -> Vec<Place<'_>> {
    let fields = reading.fields.iter().map(|(key, e)| (At::Field(key), e));
    let claims = reading.claims.iter().enumerate().flat_map(|(i, claim)| {
        let at = move |e| (At::Entry("claims", i), e);
        claim.evidence.iter().map(at)
    });
    let in_passing = reading.in_passing().enumerate();
    let in_passing = in_passing.map(|(i, p)| (At::Entry("in_passing", i), &p.evidence));
    let codes = reading.codes.iter().enumerate();
    let codes = codes.map(|(i, c)| (At::Entry("codes", i), &c.evidence));
    let vague = reading.vague.iter().enumerate();
    let vague = vague.map(|(i, (_, e))| (At::Entry("vague", i), e));
    let all = fields.chain(claims).chain(in_passing);
    let all = all.chain(codes).chain(vague);
    // Most claims have one place.
    let mut places = Vec::with_capacity(all.size_hint().0 + reading.claims.len());
    places.extend(all.map(|(at, e): (At, &Evidence)| Place {
        at,
        start: e.range.start,
        end: e.range.end,
        rule: &e.rule,
    }));
    places
}

fn opt<T: ToString>(value: Option<T>) -> String {
    value.map_or_else(String::new, |v| v.to_string())
}

impl<'a> Streamed for ReadRow<'a> {
    const FORM: &'static str = "read";

    #[cfg(feature = "parquet")]
    fn table(with_text: bool) -> Vec<TableColumn> {
        let text = with_text.then_some(TableColumn::key("text", Shape::Text));
        TABLE.iter().copied().chain(text).collect()
    }

    fn columns(with_text: bool) -> Vec<Column<Self>> {
        let mut columns: Vec<Column<ReadRow<'a>>> = vec![
            ("id", |r| plain(r.id)),
            ("kind", |r| r.kind.to_string()),
            ("year", |r| opt(r.year)),
            ("make", |r| opt(r.make)),
            ("model", |r| opt(r.model)),
            ("ask", |r| opt(r.ask)),
            ("ask_basis", |r| r.ask_basis.to_string()),
            ("miles", |r| opt(r.miles.map(|m| m.0))),
            ("miles_basis", |r| r.miles_basis.to_string()),
            ("title", |r| r.title.to_string()),
            ("moves", |r| r.moves.to_string()),
            ("gearbox", |r| r.gearbox.to_string()),
            ("vin", |r| opt(r.vin)),
            ("claims", |r| {
                let claims = r.claims.iter().map(|c| format!("{} {}", c.part, c.says));
                claims.collect::<Vec<_>>().join("; ")
            }),
            ("in_passing", |r| {
                let told = r.in_passing.iter().map(|p| p.part);
                told.collect::<Vec<_>>().join("; ")
            }),
            ("codes", |r| {
                let codes = r.codes.iter().map(|c| c.code.as_str());
                codes.collect::<Vec<_>>().join("; ")
            }),
            ("vague", |r| {
                let vague = r.vague.iter().map(|v| v.word());
                vague.collect::<Vec<_>>().join("; ")
            }),
            ("evidence", |r| {
                let places = r
                    .evidence
                    .iter()
                    .map(|p| format!("{} {}..{} {}", p.at, p.start, p.end, p.rule));
                places.collect::<Vec<_>>().join("; ")
            }),
            ("warnings", |r| shown(&r.warnings.join("; "))),
        ];
        if with_text {
            columns.push(("text", |r| shown(r.text.unwrap_or_default())));
        }
        columns
    }
}

/// The columns of a table of readings.
#[cfg(feature = "parquet")]
const TABLE: &[TableColumn] = {
    const CLAIM: Shape = Shape::Record(&[
        ("part", Shape::Text),
        ("says", Shape::Text),
        ("done_at", Shape::Whole),
        ("done_in", Shape::Whole),
    ]);
    const IN_PASSING: Shape = Shape::Record(&[("part", Shape::Text), ("chance", Shape::Number)]);
    const CODE: Shape = Shape::Record(&[
        ("code", Shape::Text),
        ("means", Shape::Text),
        ("hints", Shape::List(&Shape::Text)),
    ]);
    const PLACE: Shape = Shape::Record(&[
        ("at", Shape::Text),
        ("start", Shape::Whole),
        ("end", Shape::Whole),
        ("rule", Shape::Text),
    ]);
    &[
        TableColumn::key("id", Shape::Text),
        TableColumn::key("kind", Shape::Text),
        TableColumn::key("year", Shape::Whole),
        TableColumn::key("make", Shape::Text),
        TableColumn::key("model", Shape::Text),
        TableColumn::key("ask", Shape::Number),
        TableColumn::key("ask_basis", Shape::Text),
        TableColumn::key("miles", Shape::Whole),
        TableColumn::key("miles_basis", Shape::Text),
        TableColumn::key("title", Shape::Text),
        TableColumn::key("moves", Shape::Text),
        TableColumn::key("gearbox", Shape::Text),
        TableColumn::key("vin", Shape::Text),
        TableColumn::key("claims", Shape::List(&CLAIM)),
        TableColumn::key("in_passing", Shape::List(&IN_PASSING)),
        TableColumn::key("codes", Shape::List(&CODE)),
        TableColumn::key("vague", Shape::List(&Shape::Text)),
        TableColumn::key("evidence", Shape::List(&PLACE)),
        TableColumn::key("currency", Shape::Text),
        TableColumn::key("warnings", Shape::List(&Shape::Text)),
    ]
};
