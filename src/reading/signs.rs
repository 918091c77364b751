//! The plain fields that are read from signs: papers, moving, gearbox, vague
//! wording, how the price is meant, what is offered.

use super::model::{AskBasis, Gearbox, Title, Vague};
use super::moving;
use super::news::News;
use super::scan::{Hit, Scanner};
pub use super::sign_values::{AsideSign, BasisSign, GearboxSign, KindSign, MovesSign};
use super::tokens::{TokenKind, Tokens};
use crate::lexicon::phrases::SignField;
use crate::lexicon::word_classes::WordClass;
use crate::units::DistanceUnit;

/// Stand before what is named, and are none of its name.
const ARTICLES: [WordClass; 2] = [WordClass::The, WordClass::Indefinite];

/// A sign found: its word and where.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Found<T> {
    /// What it says.
    pub value: T,
    /// First and last token.
    pub tokens: (usize, usize),
}

/// All signs of a text by field, in its order.
#[derive(Debug, Default)]
pub struct Signs {
    /// Papers.
    pub title: Vec<Found<Title>>,
    /// Moving.
    pub moves: Vec<Found<MovesSign>>,
    /// Words that look like signs of moving and tell nothing of it: what is
    /// said of a start in them holds at times, or of another thing.
    pub unsure: Vec<(usize, usize)>,
    /// It was driven until something happened.
    pub driven_once: bool,
    /// It is driven, by words that put it in no past.
    pub driven_now: bool,
    /// Gearbox.
    pub gearbox: Vec<Found<Gearbox>>,
    /// Gearbox, as the way it is used tells.
    pub gearbox_used: Vec<Found<Gearbox>>,
    /// Vague wording.
    pub vague: Vec<Found<Vague>>,
    /// How the price is meant.
    pub ask_basis: Vec<Found<AskBasis>>,
    /// How the price is meant, where it stands right before the saying.
    pub basis_beside: Vec<Found<AskBasis>>,
    /// Doubt about the odometer.
    pub doubted: Option<(usize, usize)>,
    /// Doubts of the figure that stands before them.
    pub doubted_beside: Vec<(usize, usize)>,
    /// The seller calls the distance the original one.
    pub vouched: bool,
    /// Where the ad says that it offers more than one car.
    pub several: Vec<(usize, usize)>,
    /// What is offered.
    pub kind: Vec<Found<KindSign>>,
    /// Unit of distance where the ad was written.
    pub unit: Option<DistanceUnit>,
}

/// Gathers the signs. Within one field, the longer phrase hides the shorter;
/// a phrase that only looks like a sign hides it too; a denied sign is none.
pub fn gather(hits: &[Hit], tokens: &Tokens, scanner: &Scanner) -> Signs {
    let mut signs = Signs::default();
    let with_sign: Vec<Hit> = hits.iter().copied().filter(|h| h.marks.signs()).collect();
    if with_sign.is_empty() {
        return signs;
    }
    for field in [
        SignField::Title,
        SignField::Moves,
        SignField::Gearbox,
        SignField::Vague,
        SignField::AskBasis,
        SignField::MilesBasis,
        SignField::Kind,
        SignField::Distance,
    ] {
        let told = |h: &Hit| h.marks.sign_of(field) && !is_beside(h, field, scanner);
        for hit in super::scan::leftmost_longest(&with_sign, told) {
            let meaning = scanner.meaning(&hit);
            let at = (hit.first as usize, hit.last as usize);
            let Some(sign) = meaning.signs.iter().find(|s| s.field == field) else {
                if field == SignField::Moves {
                    signs.unsure.push(at);
                }
                continue;
            };
            if field == SignField::Moves
                && (part_reaches_in(at.0, hits, tokens, scanner)
                    || of_another_sense(at, hits, tokens, scanner))
            {
                continue;
            }
            if field == SignField::Vague
                && matches!(sign.value.as_str(), "needs_work" | "pressure")
                && of_a_part(at.0, hits, tokens, scanner)
            {
                continue;
            }
            // `radio is dead as a doornail`
            if field == SignField::Moves
                && sign.value == "did_not_start"
                && !meaning.effects.is_empty()
                && of_a_part(at.0, hits, tokens, scanner)
            {
                continue;
            }
            // `might be nothing odometer stuck`: nothing denies no thing.
            let nothing = field == SignField::MilesBasis
                && at
                    .0
                    .checked_sub(1)
                    .is_some_and(|i| tokens.is_a(i, WordClass::Nothing));
            let countable = field != SignField::Distance && !nothing;
            if countable && (denied(at.0, hits, tokens) || answered_no(at.1, tokens)) {
                continue;
            }
            let value = sign.value.as_str();
            match field {
                SignField::Title => push(&mut signs.title, Title::of_word(value), at),
                SignField::Moves => push(&mut signs.moves, MovesSign::of_word(value), at),
                SignField::Gearbox => match GearboxSign::of_word(value) {
                    // `Auto?` only asks.
                    Some(GearboxSign::Named(g)) if asks(at.1, tokens) => {
                        push(&mut signs.gearbox_used, Some(g), at);
                    }
                    Some(GearboxSign::Named(g)) => push(&mut signs.gearbox, Some(g), at),
                    Some(GearboxSign::Used(g)) => push(&mut signs.gearbox_used, Some(g), at),
                    None => {}
                },
                SignField::Vague => push(&mut signs.vague, Vague::of_word(value), at),
                SignField::AskBasis => push(&mut signs.ask_basis, AskBasis::of_word(value), at),
                SignField::MilesBasis if value == "vouched" => signs.vouched = true,
                SignField::MilesBasis => signs.doubted = signs.doubted.or(Some(at)),
                SignField::Kind if value == "several" => signs.several.push(at),
                SignField::Kind => push(&mut signs.kind, KindSign::of_word(value), at),
                SignField::Aside => {}
                SignField::Distance => {
                    signs.unit = signs.unit.or(Some(match value {
                        "km" => DistanceUnit::Km,
                        _ => DistanceUnit::Miles,
                    }));
                }
            }
        }
    }
    beside(&mut signs, &with_sign, hits, tokens, scanner);
    moving::settle(&mut signs, tokens);
    signs
}

/// Whether this tells something only of the figure that it stands behind.
fn is_beside(hit: &Hit, field: SignField, scanner: &Scanner) -> bool {
    matches!(field, SignField::AskBasis | SignField::MilesBasis)
        && scanner
            .meaning(hit)
            .signs
            .iter()
            .any(|s| s.field == field && s.value.ends_with("_beside"))
}

/// Gathers those. They hide nothing, since most of them stand behind something
/// else.
fn beside(signs: &mut Signs, of: &[Hit], hits: &[Hit], tokens: &Tokens, scanner: &Scanner) {
    for hit in of {
        let at = (hit.first as usize, hit.last as usize);
        if denied(at.0, hits, tokens) {
            continue;
        }
        for sign in &scanner.meaning(hit).signs {
            match sign.field {
                SignField::AskBasis => {
                    if let Some(BasisSign::Beside(basis)) = BasisSign::of_word(&sign.value) {
                        push(&mut signs.basis_beside, Some(basis), at);
                    }
                }
                SignField::MilesBasis if sign.value == "doubted_beside" => {
                    signs.doubted_beside.push(at);
                }
                _ => {}
            }
        }
    }
}

fn push<T>(list: &mut Vec<Found<T>>, value: Option<T>, tokens: (usize, usize)) {
    if let Some(value) = value {
        list.push(Found { value, tokens });
    }
}

/// Whether the name of a part reaches from before this token over it: in `cab
/// corners ok` nothing corners. An article is no more than the name's: `the fuel
/// pump quit, now nothing`.
fn part_reaches_in(first: usize, hits: &[Hit], tokens: &Tokens, scanner: &Scanner) -> bool {
    let article = |h: &Hit| h.first as usize + 1 == first && tokens.is_any(first - 1, &ARTICLES);
    let from = hits.partition_point(|h| (h.first as usize) + 6 < first);
    hits[from..]
        .iter()
        .take_while(|h| (h.first as usize) < first)
        .filter(|h| h.last as usize >= first && !article(h))
        .any(|h| names_a_part(h, scanner))
}

/// Whether a word of this means another part beside one named before it in its
/// sentence: the motor of a window is no engine.
fn of_another_sense(at: (usize, usize), hits: &[Hit], tokens: &Tokens, scanner: &Scanner) -> bool {
    const FAR: usize = 10;
    let from = at.0.saturating_sub(FAR);
    let ends = |i: usize| {
        matches!(
            tokens.kind(i),
            TokenKind::Sign(b'.' | b'!') | TokenKind::Blank
        )
    };
    let near = |h: &&Hit| (h.last as usize) < at.0 && !(h.last as usize + 1..at.0).any(ends);
    let lower = hits.partition_point(|h| (h.first as usize) < from);
    let within = hits[lower..]
        .iter()
        .skip_while(|h| (h.first as usize) < at.0)
        .take_while(|h| h.first as usize <= at.1);
    within
        .flat_map(|h| &scanner.meaning(h).senses)
        .any(|sense| {
            let before = hits[lower..].iter().filter(near);
            let mut named = before.flat_map(|h| &scanner.meaning(h).named);
            named.any(|n| sense.beside.contains(&n.part))
        })
}

/// Whether this names a part and nothing else.
pub(super) fn names_a_part(hit: &Hit, scanner: &Scanner) -> bool {
    let named = &scanner.meaning(hit).named;
    !named.is_empty() && named.iter().all(|n| n.naming.is_noun())
}

/// Whether this is said of a part that its clause begins with: `brakes need
/// work`, `the clutch will not last`. Nothing is left vague of it.
fn of_a_part(first: usize, hits: &[Hit], tokens: &Tokens, scanner: &Scanner) -> bool {
    let word = |i: usize| tokens.kind(i) == TokenKind::Word;
    // Of `all need attention` one word stands between.
    let ends = |h: &Hit| {
        let behind = h.last as usize + 1;
        behind == first || behind + 1 == first && word(behind)
    };
    let noun = |h: &&Hit| names_a_part(h, scanner);
    let from = hits.partition_point(|h| (h.first as usize) + 8 < first);
    let near = || {
        let before = hits[from..].iter();
        before.take_while(|h| (h.first as usize) < first)
    };
    let opens = |h: &Hit| {
        let mut from = h.first as usize;
        if from > 0 && tokens.is_any(from - 1, &[WordClass::The, WordClass::Its, WordClass::And]) {
            from -= 1;
        }
        // `clutch, struts and tires`: the one before is as good as a border.
        from == 0
            || !matches!(tokens.kind(from - 1), TokenKind::Word | TokenKind::Number)
            || tokens.is_a(from, WordClass::And)
                && near().filter(noun).any(|h| h.last as usize + 1 == from)
    };
    if !word(first) {
        return false;
    }
    near().filter(noun).any(|h| ends(h) && opens(h))
}

/// Whether a question ends here that the seller answers with a no: `CVT? No,`.
fn answered_no(last: usize, tokens: &Tokens) -> bool {
    asks(last, tokens) && tokens.is_a(last + 2, WordClass::No)
}

/// Whether a question ends here.
fn asks(last: usize, tokens: &Tokens) -> bool {
    tokens.kind(last + 1) == TokenKind::Sign(b'?')
}

/// Whether a denial ends right before this token, or before its article.
fn denied(first: usize, hits: &[Hit], tokens: &Tokens) -> bool {
    let Some(mut before) = first.checked_sub(1) else {
        return false;
    };
    if before > 0 && tokens.is_any(before, &ARTICLES) {
        before -= 1;
    }
    if tokens.kind(before) != TokenKind::Word {
        return false;
    }
    let from = hits.partition_point(|h| (h.first as usize) + 6 < first);
    hits[from..]
        .iter()
        .take_while(|h| (h.first as usize) < first)
        .any(|h| h.last as usize == before && h.marks.denies())
}

/// The papers: of several signs the graver counts.
pub fn title(signs: &Signs) -> Option<&Found<Title>> {
    const GRAVEST_FIRST: [Title; 7] = [
        Title::Junk,
        Title::BillOfSale,
        Title::Missing,
        Title::Rebuilt,
        Title::Salvage,
        Title::Lien,
        Title::Clean,
    ];
    GRAVEST_FIRST
        .iter()
        .find_map(|t| signs.title.iter().find(|f| f.value == *t))
}

/// The gearbox: a CVT is also called an automatic, so it counts first; else
/// the first sign does; what only its use tells comes last.
pub fn gearbox(signs: &Signs) -> Option<&Found<Gearbox>> {
    signs
        .gearbox
        .iter()
        .find(|f| f.value == Gearbox::Cvt)
        .or_else(|| signs.gearbox.first())
        .or_else(|| signs.gearbox_used.first())
}

/// How a named price is meant: the sign nearest to it, one in the same addition
/// to the ad before others.
pub(super) fn ask_basis<'s>(
    signs: &'s Signs,
    price: Option<(usize, usize)>,
    news: &News,
    tokens: &Tokens,
) -> Option<&'s Found<AskBasis>> {
    let mut of_price = signs.ask_basis.iter().filter(|f| !stray(f, price, tokens));
    match price {
        Some((first, last)) => of_price.min_by_key(|f| {
            let away = if f.tokens.0 > last {
                f.tokens.0 - last
            } else {
                first.saturating_sub(f.tokens.1) + 2
            };
            (news.number(f.tokens.0) != news.number(first), away)
        }),
        None => of_price
            .clone()
            .find(|f| f.value == AskBasis::Firm)
            .or_else(|| of_price.next()),
    }
}

/// So many tokens from the price a single word may still be said of it.
const NEAR_PRICE: usize = 8;

/// `headliner firm`, `a firm in town`: a single word far from the price, with other
/// words beside it, is said of something else.
fn stray(sign: &Found<AskBasis>, price: Option<(usize, usize)>, tokens: &Tokens) -> bool {
    let (at, end) = sign.tokens;
    if sign.value != AskBasis::Firm || at != end {
        return false;
    }
    let near = price.is_some_and(|(first, last)| at < last + NEAR_PRICE && first < at + NEAR_PRICE);
    let word = |i: usize| matches!(tokens.kind(i), TokenKind::Word);
    !near && (at.checked_sub(1).is_some_and(word) || word(at + 1))
}

/// Whether a saying that begins at this token stands behind a number that ends
/// at that one, with at most so many words between, in the same sentence.
pub(super) fn behind(number: usize, first: usize, words: usize, tokens: &Tokens) -> bool {
    let between = number + 1..first;
    let parts = |i: usize| {
        matches!(
            tokens.kind(i),
            TokenKind::Word | TokenKind::Number | TokenKind::Sign(b',' | b'-' | b':' | b';' | b'(')
        )
    };
    let word = |i: &usize| matches!(tokens.kind(*i), TokenKind::Word | TokenKind::Number);
    number < first
        && between.len() <= words + 2
        && between.clone().filter(word).count() <= words
        && (between.clone().all(parts) || between.len() == 1)
}
