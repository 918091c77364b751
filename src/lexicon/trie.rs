//! All phrases as one tree of words: phrases that begin alike share their
//! beginning, and from any word of a text every phrase that begins there is
//! found by going down once.
//!
//! The written phrases stand for some ninety thousand forms. They are spelled
//! straight into the tree, so that a bracket's common beginning is looked up
//! once and no form is ever a string of its own; the form's words are kept end
//! to end in one text, for the reader who asks for the reason of a claim.

use std::hash::BuildHasher;

use hashbrown::{DefaultHashBuilder, HashTable};

use super::phrasing::Pattern;
use super::words::{WordId, Words};

/// A place in the tree.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct NodeId(u32);

/// Where every phrase begins.
const ROOT: NodeId = NodeId(0);

/// About as many ways as the built-in tables have: a table that does not grow
/// is filled in half the time.
const ROOM: usize = 200_000;

/// A phrase, by its number.
pub type PhraseId = u32;

#[derive(Debug, Clone, Copy)]
struct Node {
    parent: NodeId,
    word: WordId,
}

/// What is asked of a node when a text has come to it: the phrase that ends
/// there, and in the highest bit whether longer ones go on. Apart from the
/// nodes, so that all of them fit into a cache.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Tip(u32);

impl Tip {
    const INNER: u32 = 1 << 31;
    const NO_PHRASE: u32 = Tip::INNER - 1;
    const EMPTY: Tip = Tip(Tip::NO_PHRASE);

    fn inner(self) -> bool {
        self.0 & Tip::INNER != 0
    }

    fn phrase(self) -> Option<PhraseId> {
        Some(self.0 & !Tip::INNER).filter(|p| *p != Tip::NO_PHRASE)
    }
}

/// How far a search has come: a node, with what is asked of it next.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Reached {
    node: NodeId,
    tip: Tip,
}

impl Reached {
    const NOWHERE: Reached = Reached {
        node: ROOT,
        tip: Tip::EMPTY,
    };

    /// The phrase that ends here.
    #[inline]
    pub fn phrase(self) -> Option<PhraseId> {
        self.tip.phrase()
    }
}

/// The way from a node to one below it.
#[derive(Debug, Clone, Copy)]
struct Edge {
    from: NodeId,
    word: WordId,
    to: NodeId,
}

/// The tree.
#[derive(Debug)]
pub struct Trie {
    words: Words,
    nodes: Vec<Node>,
    /// Beside the nodes.
    tips: Vec<Tip>,
    /// What is reached by each word as the first of a phrase, by the word's
    /// number. It repeats what the node holds, since most searches end here and
    /// the nodes are too many for a cache.
    first: Vec<Reached>,
    /// The ways to every other node. Their ends are held in the table, so that
    /// a search that fails looks at nothing else.
    edges: HashTable<Edge>,
    hasher: DefaultHashBuilder,
    texts: String,
    /// For each phrase, where its text ends and its node.
    phrases: Vec<(u32, NodeId)>,
}

impl Default for Trie {
    fn default() -> Self {
        Trie {
            words: Words::default(),
            nodes: vec![Node {
                parent: ROOT,
                word: WordId::UNKNOWN,
            }],
            tips: vec![Tip::EMPTY],
            first: Vec::new(),
            edges: HashTable::with_capacity(ROOM),
            hasher: DefaultHashBuilder::default(),
            texts: String::new(),
            phrases: Vec::new(),
        }
    }
}

impl Trie {
    /// All places of the tree, each behind the one above it, the root first:
    /// the number of the one above, the word that leads here, and the phrase
    /// that ends here.
    pub fn places(&self) -> impl ExactSizeIterator<Item = (usize, WordId, Option<PhraseId>)> {
        let all = self.nodes.iter().zip(&self.tips);
        all.map(|(node, tip)| (node.parent.0 as usize, node.word, tip.phrase()))
    }

    /// The words of all phrases.
    pub fn words(&self) -> &Words {
        &self.words
    }

    /// The number of a word, a new one where it has none.
    pub fn intern(&mut self, word: &str) -> WordId {
        self.words.intern(word)
    }

    /// How many phrases there are.
    pub fn len(&self) -> usize {
        self.phrases.len()
    }

    /// Whether there is no phrase.
    pub fn is_empty(&self) -> bool {
        self.phrases.is_empty()
    }

    /// The folded words of a phrase.
    pub fn text(&self, phrase: PhraseId) -> &str {
        let at = phrase as usize;
        let start = at.checked_sub(1).map_or(0, |before| self.phrases[before].0);
        &self.texts[start as usize..self.phrases[at].0 as usize]
    }

    /// The words of a phrase, last to first.
    pub fn words_backwards(&self, phrase: PhraseId) -> impl Iterator<Item = WordId> {
        let mut node = self.phrases[phrase as usize].1;
        std::iter::from_fn(move || {
            let Node { parent, word, .. } = self.nodes[node.0 as usize];
            (node != ROOT).then(|| {
                node = parent;
                word
            })
        })
    }

    /// Where phrases that begin with this word go on.
    #[inline]
    pub fn begin(&self, word: WordId) -> Option<Reached> {
        let first = self.first.get(word.index()).copied();
        first.filter(|at| at.node != ROOT)
    }

    /// Where phrases go on by this word.
    #[inline]
    pub fn go_on(&self, at: Reached, word: WordId) -> Option<Reached> {
        if !at.tip.inner() || !word.is_known() {
            return None;
        }
        let same = |e: &Edge| e.from == at.node && e.word == word;
        let hash = self.hasher.hash_one(key(at.node, word));
        let node = self.edges.find(hash, same)?.to;
        let tip = self.tips[node.0 as usize];
        Some(Reached { node, tip })
    }

    /// The phrase of these folded words.
    pub fn find(&self, text: &str) -> Option<PhraseId> {
        self.walk(text.split(' ').map(|word| self.words.find(word)))
    }

    /// The phrase of these words.
    pub fn find_words(&self, words: &[WordId]) -> Option<PhraseId> {
        self.walk(words.iter().copied())
    }

    fn walk(&self, mut words: impl Iterator<Item = WordId>) -> Option<PhraseId> {
        let first = self.begin(words.next()?)?;
        words
            .try_fold(first, |at, word| self.go_on(at, word))?
            .phrase()
    }

    /// The node under this one by this word, made where it is missing.
    fn grow(&mut self, node: NodeId, word: WordId) -> NodeId {
        let new = NodeId(self.nodes.len() as u32);
        let made = Node { parent: node, word };
        if node == ROOT {
            if self.first.len() <= word.index() {
                self.first.resize(word.index() + 1, Reached::NOWHERE);
            }
            let found = &mut self.first[word.index()];
            if found.node == ROOT {
                found.node = new;
                self.nodes.push(made);
                self.tips.push(Tip::EMPTY);
            }
            return found.node;
        }
        let Trie { edges, hasher, .. } = self;
        let entry = edges.entry(
            hasher.hash_one(key(node, word)),
            |e| e.from == node && e.word == word,
            |e| hasher.hash_one(key(e.from, e.word)),
        );
        match entry {
            hashbrown::hash_table::Entry::Occupied(found) => found.get().to,
            hashbrown::hash_table::Entry::Vacant(free) => {
                free.insert(Edge {
                    from: node,
                    word,
                    to: new,
                });
                self.tips[node.0 as usize].0 |= Tip::INNER;
                self.repeat_first(node);
                self.nodes.push(made);
                self.tips.push(Tip::EMPTY);
                new
            }
        }
    }

    /// Brings what `first` repeats of a node up to date.
    fn repeat_first(&mut self, node: NodeId) {
        let Node { parent, word } = self.nodes[node.0 as usize];
        if parent == ROOT {
            let tip = self.tips[node.0 as usize];
            self.first[word.index()] = Reached { node, tip };
        }
    }

    /// The phrase that ends at this node, made where it is missing; its text
    /// comes in two parts.
    fn end(&mut self, node: NodeId, head: &str, last: &str) -> PhraseId {
        let new = self.phrases.len() as PhraseId;
        let tip = &mut self.tips[node.0 as usize];
        if let Some(phrase) = tip.phrase() {
            return phrase;
        }
        tip.0 = tip.0 & Tip::INNER | new;
        self.texts.push_str(head);
        self.texts.push_str(last);
        self.phrases.push((self.texts.len() as u32, node));
        self.repeat_first(node);
        new
    }

    /// The phrase of these folded words, added where it is missing.
    pub fn add(&mut self, text: &str) -> PhraseId {
        let mut node = ROOT;
        for word in text.split(' ') {
            let word = self.words.intern(word);
            node = self.grow(node, word);
        }
        self.end(node, text, "")
    }

    /// The phrase of this one word, added where it is missing.
    pub fn single(&mut self, word: WordId) -> PhraseId {
        let node = self.grow(ROOT, word);
        let text = self.words.word(word).to_owned();
        self.end(node, "", &text)
    }

    /// The phrase that differs from this one in its last word, added where it
    /// is missing.
    pub fn beside(&mut self, phrase: PhraseId, last: WordId) -> PhraseId {
        let Node { parent, word } = self.nodes[self.phrases[phrase as usize].1.0 as usize];
        let node = self.grow(parent, last);
        let text = self.text(phrase);
        let head = text[..text.len() - self.words.word(word).len()].to_owned();
        let last = self.words.word(last).to_owned();
        self.end(node, &head, &last)
    }

    /// Adds all forms of a written phrase and puts their numbers into `out`;
    /// one may come more than once. Gives back whether one of them has no word.
    pub fn add_forms(&mut self, pattern: &Pattern<'_>, out: &mut Vec<PhraseId>) -> bool {
        let mut spelling = Spelling {
            trie: self,
            text: String::new(),
            out,
            empty: false,
        };
        let start = Place {
            length: 0,
            word: 0,
            node: ROOT,
        };
        spelling.go(pattern.pieces(), start);
        spelling.empty
    }
}

fn key(node: NodeId, word: WordId) -> u64 {
    (u64::from(node.0) << 32) | word.index() as u64
}

/// How far a form is spelled.
#[derive(Clone, Copy)]
struct Place {
    /// Bytes of the form so far.
    length: usize,
    /// Where its last, unfinished word begins.
    word: usize,
    /// The node of the finished words.
    node: NodeId,
}

/// Goes through the forms of a pattern, the first piece outermost.
struct Spelling<'a> {
    trie: &'a mut Trie,
    text: String,
    out: &'a mut Vec<PhraseId>,
    empty: bool,
}

impl Spelling<'_> {
    fn go(&mut self, pieces: &[Vec<&str>], from: Place) {
        let Some((choices, rest)) = pieces.split_first() else {
            return self.end(from);
        };
        for choice in choices {
            self.text.truncate(from.length);
            let mut place = from;
            let mut parts = choice.split(' ');
            self.text.push_str(parts.next().unwrap_or_default());
            for part in parts {
                self.close(&mut place);
                self.text.push_str(part);
            }
            place.length = self.text.len();
            self.go(rest, place);
        }
    }

    /// Ends the word that is being spelled, if there is one.
    fn close(&mut self, place: &mut Place) {
        if self.text.len() > place.word {
            let word = self.trie.words.intern(&self.text[place.word..]);
            place.node = self.trie.grow(place.node, word);
            self.text.push(' ');
            place.word = self.text.len();
        }
    }

    fn end(&mut self, mut place: Place) {
        self.text.truncate(place.length);
        self.close(&mut place);
        if place.node == ROOT {
            self.empty = true;
        } else {
            let text = self.text.trim_end_matches(' ');
            self.out.push(self.trie.end(place.node, text, ""));
        }
    }
}
