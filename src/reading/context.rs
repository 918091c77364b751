//! What the network of `context.csv` is told of an ad, and what it hears.

use super::items::{ItemKind, Items};
use super::model::{AskBasis, Gearbox, Moves, Title, Vague};
use crate::lexicon::Lexicon;
use crate::lexicon::context::network::{Pass, STATES, SaidRows, TOWERS, Things};
use crate::lexicon::context::{
    ASK_BASIS, Context, DOES_NOTHING, GEARBOX, MOVES, Of, TITLE, UNKNOWN, field,
};
use crate::lexicon::parts::PartId;

/// The signs that the table knows.
const SIGNS: &str = ",;:.!?()/$%#\"-*^";
/// Words of a phrase that are told one by one.
const MOST_WORDS: usize = 4;
/// Codes of a phrase that are told: one that names more is a word for many things.
const MOST_CODES: usize = 3;
/// Real ads have some hundred things, long ones a thousand; the bound is for texts that
/// mean harm.
const MOST_THINGS: usize = 3000;
/// Letters of a word's beginning and end.
const LETTERS: usize = 4;

fn sign_word(sign: u8) -> &'static str {
    match SIGNS.find(char::from(sign)) {
        Some(at) => &SIGNS[at..=at],
        None => "(line)",
    }
}

/// The beginning and the end of a word that has more letters than one of them.
fn ends(word: &str) -> Option<[(Of, &str); 2]> {
    if word.len() <= LETTERS {
        return None;
    }
    let begins = word.get(..LETTERS)?;
    let ends = word.get(word.len() - LETTERS..)?;
    Some([(Of::Begins, begins), (Of::Ends, ends)])
}

impl<'a> Items<'a> {
    /// What a thing of the ad is, by the names of the table's rows.
    pub fn names_of(self, thing: usize) -> impl Iterator<Item = (Of, &'a str)> {
        let item = self.list[thing];
        let of_kind = |kind| (Of::Kind, kind);
        let (kind, sign, phrase, words) = match item.kind {
            ItemKind::Word => (of_kind("word"), None, None, 1),
            ItemKind::Number => (of_kind("number"), None, None, 0),
            ItemKind::Sign(sign) => (of_kind("sign"), Some(sign_word(sign)), None, 0),
            ItemKind::End(sign) => (of_kind("end"), Some(sign_word(sign)), None, 0),
            ItemKind::Blank => (of_kind("blank"), None, None, 0),
            ItemKind::Phrase(_) => {
                let does = self.cue(thing).map_or(DOES_NOTHING, |c| c.act.word());
                let of = match self.names(thing) {
                    true => Of::Name,
                    false => Of::Cue,
                };
                let several = item.last > item.first;
                let phrase = several.then(|| (Of::Phrase, self.words_of(thing)));
                ((of, does), None, phrase, MOST_WORDS)
            }
        };
        let words = (item.first as usize..=item.last as usize).take(words);
        let words = words.flat_map(move |token| {
            let word = self.tokens.word(token);
            let ends = ends(word).into_iter().flatten();
            [(Of::Word, word)].into_iter().chain(ends)
        });
        let sign = sign.map(|sign| (Of::Word, sign));
        let alone = [Some(kind), sign, phrase].into_iter().flatten();
        let codes = self.codes(thing).take(MOST_CODES);
        alone.chain(codes.map(|code| (Of::Code, code))).chain(words)
    }
}

/// Hears what ads say by all of their words.
pub struct Ear<'l> {
    context: &'l Context,
    parts: Vec<Option<HeardPart>>,
    vague: Vec<(Vague, usize)>,
    pub(super) moves: Values<Moves>,
    pub(super) gearbox: Values<Gearbox>,
    pub(super) title: Values<Title>,
    pub(super) ask_basis: Values<AskBasis>,
}

/// A value of a plain field.
pub(crate) trait Heard: Copy {
    /// Whether it is heard as such: not what is left where nothing else is told.
    fn may_be_heard(self) -> bool;
}

impl Heard for Moves {
    fn may_be_heard(self) -> bool {
        self != Moves::Unstated
    }
}

impl Heard for Gearbox {
    fn may_be_heard(self) -> bool {
        self != Gearbox::Unstated
    }
}

impl Heard for Title {
    fn may_be_heard(self) -> bool {
        self != Title::Unstated
    }
}

impl Heard for AskBasis {
    /// The others are what is left, or hang on the figure.
    fn may_be_heard(self) -> bool {
        matches!(self, AskBasis::Negotiable | AskBasis::Firm)
    }
}

/// The values of a plain field that may be heard, with their labels.
pub(super) struct Values<V>(Vec<(V, usize)>);

impl<V: Heard> Values<V> {
    fn of(context: &Context, key: &str, all: &[V], word: impl Fn(V) -> &'static str) -> Self {
        let label = |value: &V| context.label_of(Of::Field, &field(key, word(*value)));
        let of_value = |value: &V| Some((*value, label(value)?));
        let heard = all.iter().filter(|value| value.may_be_heard());
        Values(heard.filter_map(of_value).collect())
    }

    /// How likely each is said.
    pub(super) fn likely(&self, hearing: &Hearing) -> impl Iterator<Item = (V, Likely)> {
        let all = self.0.iter().filter(|_| hearing.heard);
        all.map(|(value, label)| (*value, likely(*label, hearing)))
    }
}

/// A code that may be heard.
#[derive(Debug, Clone, Copy)]
struct HeardPart {
    label: usize,
    said: SaidRows,
}

/// What is heard of an ad; kept to be used again.
#[derive(Default)]
pub struct Hearing {
    things: Things,
    passes: [Pass; TOWERS],
    /// Whether an ad was heard.
    heard: bool,
}

/// How likely an ad says something: the logarithm of the odds, and the thing that says it
/// most.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Likely {
    /// Below zero it is likelier unsaid.
    pub odds: f64,
    /// By its place among the items.
    pub thing: usize,
}

/// How the rule of what no rule says ends.
pub const BY_ALL_WORDS: &str = "likely by all words of the ad";

/// The chance of a logarithm of odds.
pub fn chance(odds: f64) -> f64 {
    1.0 / (1.0 + (-odds).exp())
}

/// The logarithm of the odds of a chance; of what is as good as sure, they are no more
/// than these.
fn odds(chance: f64) -> f64 {
    const MOST: f64 = 12.0;
    (chance / (1.0 - chance)).ln().clamp(-MOST, MOST)
}

impl<'l> Ear<'l> {
    /// An ear for what these tables name.
    pub fn new(lexicon: &'l Lexicon) -> Self {
        let context = &lexicon.context;
        let part = |part| {
            let code = lexicon.parts.code(part);
            Some(HeardPart {
                label: context.label_of(Of::Part, code)?,
                said: context.said_rows(code),
            })
        };
        let vague = |v: &Vague| Some((*v, context.label_of(Of::Vague, v.word())?));
        Ear {
            context,
            parts: lexicon.parts.ids().map(part).collect(),
            vague: Vague::ALL.iter().filter_map(vague).collect(),
            moves: Values::of(context, MOVES, Moves::ALL, Moves::word),
            gearbox: Values::of(context, GEARBOX, Gearbox::ALL, Gearbox::word),
            title: Values::of(context, TITLE, Title::ALL, Title::word),
            ask_basis: Values::of(context, ASK_BASIS, AskBasis::ALL, AskBasis::word),
        }
    }

    /// Hears an ad. Who writes little means what stands there, and is not heard; nor is a
    /// text that is longer than any ad.
    pub fn hear(&self, items: Items<'_>, hearing: &mut Hearing) {
        let many = items.list.len() > MOST_THINGS;
        hearing.heard = !self.context.is_empty() && !items.are_few() && !many;
        if !hearing.heard {
            return;
        }
        let unknown = self.context.row_of(Of::Word, UNKNOWN);
        let row = |(of, name): (Of, &str)| match of {
            Of::Word => self.context.row_of(of, name).or(unknown),
            _ => self.context.row_of(of, name),
        };
        hearing.things.clear();
        for thing in 0..items.list.len() {
            hearing.things.push(items.names_of(thing).filter_map(row));
        }
        self.context.hear(&hearing.things, &mut hearing.passes);
    }

    /// How likely the ad says each state of a code; none where it was not heard.
    pub fn states(&self, part: PartId, hearing: &Hearing) -> Option<[Likely; STATES]> {
        let heard = (*self.parts.get(part.index())?).filter(|_| hearing.heard)?;
        let thing = likely(heard.label, hearing).thing;
        let towers = self
            .context
            .states(&hearing.passes, heard.label, &heard.said);
        Some(std::array::from_fn(|state| Likely {
            odds: mean(towers.map(|states| odds(f64::from(states[state])))),
            thing,
        }))
    }

    /// How likely the ad says anything of a code.
    pub fn part(&self, part: PartId, hearing: &Hearing) -> Option<Likely> {
        let heard = (*self.parts.get(part.index())?).filter(|_| hearing.heard)?;
        Some(likely(heard.label, hearing))
    }

    /// How likely each vague thing is said.
    pub fn vague(&self, hearing: &Hearing) -> impl Iterator<Item = (Vague, Likely)> {
        let all = self.vague.iter().filter(|_| hearing.heard);
        all.map(|(v, label)| (*v, likely(*label, hearing)))
    }
}

/// How likely a label is said, by all towers: the mean of their odds, and the thing of
/// the tower that is surest.
fn likely(label: usize, hearing: &Hearing) -> Likely {
    let towers = hearing.passes.each_ref().map(|pass| Likely {
        odds: odds(-f64::from(pass.unsaid[label]).exp_m1()),
        thing: pass.strongest[label] as usize,
    });
    let surest = towers
        .iter()
        .fold(towers[0], |a, b| if b.odds > a.odds { *b } else { a });
    Likely {
        odds: mean(towers.map(|tower| tower.odds)),
        thing: surest.thing,
    }
}

fn mean(of_towers: [f64; TOWERS]) -> f64 {
    of_towers.iter().sum::<f64>() / TOWERS as f64
}
