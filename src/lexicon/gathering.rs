//! Gathers what the rows of several tables say under their phrases.
//!
//! A row's saying is kept as what it changes of a meaning. Which sayings meet
//! in a phrase is told by the graph of all phrases, and their meaning is made
//! once for all phrases of which the same is said.

use std::collections::HashSet;
use std::hash::BuildHasher;

use hashbrown::hash_table::Entry;
use hashbrown::{DefaultHashBuilder, HashMap, HashTable};

use super::frames::ListId;
use super::graph::{Gathered, Graph, PhraseId};
use super::phrases::{Meaning, Named, Naming};
use super::phrasing::{Pattern, stands_for_nothing};
use super::table::{LexiconError, Row};
use super::verbs::Verbs;
use super::wordings::{Says, Way, Wordings};
use super::words::{WordId, Words};

/// What a row says of a phrase contradicts what the same table said of it.
pub(super) struct Clash;

/// A meaning, by its number.
pub(super) type MeaningId = u32;

type Change<'s> = Box<dyn Fn(&mut Meaning) -> Result<(), Clash> + 's>;

/// One saying.
enum Said<'s> {
    /// Of a row, with what it changes.
    Row(Row<'s>, Change<'s>),
    /// By a rule: a form of a name, where no row names anything by it.
    Derived(Vec<Named>),
    /// By a rule: what the longest shorter phrase within it names, where the
    /// phrase is a saying without a name or cue of its own.
    Inherited(Vec<Named>),
    /// It stands in a list of frames.
    InList(ListId),
    /// Names of vehicles, by their number.
    Vehicles(u32),
}

/// Rules are heard after rows, and in this order.
const DERIVED: Says = 1 << 30;
const INHERITED: Says = 2 << 30;

/// Phrases and what is said of them as far as read.
#[derive(Default)]
pub(super) struct Gathering<'s> {
    wordings: Wordings,
    said: Vec<Said<'s>>,
}

/// What came of all rows.
pub(super) struct AllPhrases {
    pub words: Words,
    pub graph: Graph,
    pub meanings: Vec<Meaning>,
    /// For each phrase its meaning, and the number of its vehicles.
    pub of: Vec<(MeaningId, u32)>,
}

/// Phrases that name something.
pub(super) struct Names {
    graph: Graph,
    named: Vec<Vec<Named>>,
}

impl Names {
    fn find(&self, words: &[WordId]) -> Option<&[Named]> {
        let phrase = self.graph.find(words.iter().copied())?;
        Some(&self.named[phrase as usize])
    }

    /// What the longest phrase within another names, if it says something.
    fn within(&self, words: &[WordId]) -> Option<&[Named]> {
        (1..words.len()).rev().find_map(|len| {
            words.windows(len).find_map(|part| {
                let named = self.find(part)?;
                (!named.is_empty() && !named.iter().all(|n| n.naming.is_noun())).then_some(named)
            })
        })
    }
}

impl<'s> Gathering<'s> {
    fn number(&mut self, said: Said<'s>) -> Says {
        let rule = match said {
            Said::Row(..) | Said::InList(_) | Said::Vehicles(_) => 0,
            Said::Derived(_) => DERIVED,
            Said::Inherited(_) => INHERITED,
        };
        self.said.push(said);
        rule | (self.said.len() as Says - 1)
    }

    fn said(&self, number: Says) -> &Said<'s> {
        &self.said[(number & (DERIVED - 1)) as usize]
    }

    /// Adds what a row says to all its phrases; gives how they begin.
    pub fn add(
        &mut self,
        row: &Row<'s>,
        change: impl Fn(&mut Meaning) -> Result<(), Clash> + 's,
    ) -> Result<Vec<Way>, LexiconError> {
        let written = row.required("phrase")?;
        let pattern = Pattern::parse(row, "phrase", written)?;
        let says = self.number(Said::Row(*row, Box::new(change)));
        self.wordings
            .add_pattern(&pattern, says)
            .ok_or_else(|| stands_for_nothing(row, "phrase", written))
    }

    /// Adds the phrases of a list of frames.
    pub fn add_list(&mut self, list: ListId, phrases: &[String]) {
        let says = self.number(Said::InList(list));
        for phrase in phrases {
            self.wordings.add(phrase, says);
        }
    }

    /// Adds the name of vehicles that have this number.
    pub fn add_vehicles(&mut self, name: &str, number: u32) {
        let says = self.number(Said::Vehicles(number));
        self.wordings.add(name, says);
    }

    /// Derives the plural and the two-words-as-one form of phrases; of several
    /// rows that a form comes from, the first counts.
    pub fn derive(&mut self, begins: &[Way], named: Vec<Named>) {
        let says = self.number(Said::Derived(named));
        self.wordings.derive(begins, says);
    }

    /// Derives the past of phrases that begin with a verb.
    pub fn derive_pasts(&mut self, begins: &[Way], named: &[Named], verbs: &Verbs) {
        let words = self.wordings.words();
        let verb = |(word, _): &Way| !verbs.pasts_of(words.word(*word)).is_empty();
        if begins.iter().any(verb) {
            let says = self.number(Said::Derived(named.to_vec()));
            self.wordings.derive_pasts(begins, says, verbs);
        }
    }

    /// The phrases that name something so far.
    pub fn names(&self) -> Names {
        let Gathered { graph, says, .. } = Gathered::of(&self.wordings);
        let named = says.iter().map(|says| match self.meaning(says) {
            Ok((meaning, _)) => meaning.named,
            // It comes to light when all are joined.
            Err(_) => Vec::new(),
        });
        Names {
            named: named.collect(),
            graph,
        }
    }

    /// A saying of several words that finds no subject still says what the
    /// longest shorter phrase within it says: `small oil leak` is an oil leak,
    /// `no squeal` is none.
    pub fn inherit(&mut self, begins: &[Way], names: &Names) {
        let mut found: Vec<(Vec<WordId>, &[Named])> = Vec::new();
        self.wordings.each(begins, |words| {
            found.extend(names.within(words).map(|named| (words.to_vec(), named)));
        });
        let mut numbers: HashMap<(*const Named, bool), Says> = HashMap::new();
        for (words, named) in found {
            let denied = self.denies(&words);
            let says = *numbers
                .entry((named.as_ptr(), denied))
                .or_insert_with(|| self.number(Said::Inherited(inherited(named, denied))));
            self.wordings.add_words(&words, says);
        }
    }

    /// Whether a phrase begins with a denial of what stands in it.
    fn denies(&self, words: &[WordId]) -> bool {
        let text = |word: &WordId| self.wordings.words().word(*word);
        let turned = |word: &WordId| matches!(text(word), "stop" | "stopped" | "stops" | "quit");
        words
            .first()
            .is_some_and(|word| DENIALS.contains(&text(word)))
            && !words.iter().any(turned)
    }

    /// What a phrase means of which all this is said, and the number of its
    /// vehicles; the saying that contradicts the others, if one does.
    fn meaning(&self, says: &[Says]) -> Result<(Meaning, u32), Says> {
        let mut meaning = Meaning::default();
        let mut vehicles = 0;
        for &number in says {
            match self.said(number) {
                Said::Row(_, change) => change(&mut meaning).map_err(|Clash| number)?,
                Said::Derived(named) => {
                    if meaning.named.is_empty() && !meaning.decoy {
                        meaning.named.clone_from(named);
                    }
                }
                Said::Inherited(named) => {
                    let bare = meaning.named.is_empty() && meaning.cue.is_none();
                    if bare && !meaning.effects.is_empty() {
                        meaning.named.clone_from(named);
                    }
                }
                Said::InList(list) => meaning.lists.push(*list),
                Said::Vehicles(number) => vehicles = *number,
            }
        }
        Ok((meaning, vehicles))
    }

    /// Joins all that was read.
    ///
    /// # Errors
    /// Two rows that contradict each other: the first that contradicts one
    /// above it.
    pub fn join(self) -> Result<AllPhrases, LexiconError> {
        let mut joined = Gathered::of(&self.wordings);
        // The first says nothing.
        let mut meanings = vec![Meaning::default()];
        let hasher = DefaultHashBuilder::default();
        let mut numbers: HashTable<MeaningId> = HashTable::new();
        let mut phrases: HashMap<(MeaningId, u32), PhraseId> = HashMap::new();
        let mut of = Vec::new();
        let mut renumbered = Vec::with_capacity(joined.says.len());
        let mut clash: Option<(Says, usize)> = None;
        for (at, says) in joined.says.iter().enumerate() {
            let (meaning, vehicles) = match self.meaning(says) {
                Ok(both) => both,
                Err(says) => {
                    clash = clash.into_iter().chain([(says, at)]).min();
                    continue;
                }
            };
            let entry = numbers.entry(
                hasher.hash_one(&meaning),
                |number| meanings[*number as usize] == meaning,
                |number| hasher.hash_one(&meanings[*number as usize]),
            );
            let meaning = match entry {
                Entry::Occupied(known) => *known.get(),
                Entry::Vacant(free) => {
                    let number = meanings.len() as MeaningId;
                    free.insert(number);
                    meanings.push(meaning);
                    number
                }
            };
            renumbered.push(*phrases.entry((meaning, vehicles)).or_insert_with(|| {
                of.push((meaning, vehicles));
                of.len() as PhraseId - 1
            }));
        }
        if let Some((says, at)) = clash {
            let phrase = joined.path(joined.examples[at], self.wordings.words());
            if let Said::Row(row, _) = self.said(says) {
                return Err(row.error(
                    "phrase",
                    format!("'{phrase}' stands twice with different meanings; remove one"),
                ));
            }
        }
        joined.graph.renumber(&renumbered);
        Ok(AllPhrases {
            words: self.wordings.into_words(),
            graph: joined.graph,
            meanings,
            of,
        })
    }
}

// Denials are grammar, not trade knowledge: they stay in the code.
const DENIALS: [&str; 12] = [
    "no", "not", "dont", "doesnt", "didnt", "wont", "never", "without", "hasnt", "havent", "isnt",
    "arent",
];

/// What a phrase takes over from one within it.
fn inherited(named: &[Named], denied: bool) -> Vec<Named> {
    let over = |n: &Named| match n.naming {
        Naming::Fault | Naming::States(crate::reading::Says::Bad) if denied => Named {
            naming: Naming::States(crate::reading::Says::Sound),
            ..*n
        },
        _ => *n,
    };
    named.iter().map(over).collect()
}

/// Refuses a row whose phrase is written word for word as in a row above.
pub(super) fn once<'r>(
    row: &Row<'r>,
    seen: &mut HashSet<(&'r str, &'r str)>,
    key: &'r str,
) -> Result<(), LexiconError> {
    let phrase = row.required("phrase")?;
    if seen.insert((phrase, key)) {
        Ok(())
    } else {
        Err(row.error("phrase", format!("'{phrase}' stands twice; remove one")))
    }
}
