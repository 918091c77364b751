//! What stands around a saying of the rules, by which a table looks at it again:
//! the same traits as around a part, what is said, how the rule came to say it,
//! what lies between the part and its cue, and what else is told.

use super::around::Fullness;
use super::*;
use crate::lexicon::leanings::Near;

/// Words looked at on either side of a saying.
const BESIDE: usize = 4;
/// Lengths of ads are told apart by so many words and signs.
const STEP: usize = 30;
/// So many things between a part and its cue are looked at.
const PATH: usize = 8;

/// How many, as a word of the table.
fn several(n: usize) -> &'static str {
    const COUNTS: [&str; 10] = ["0", "1", "2", "3", "4", "5", "6", "7", "8", "many"];
    COUNTS[n.min(COUNTS.len() - 1)]
}

impl Walk<'_> {
    /// Tells of all that stands around a saying, and of what it says.
    pub(super) fn around_saying(
        &self,
        (saying, told): (&Saying, &[Saying]),
        fullness: Fullness,
        key: &mut String,
        tell: &mut dyn FnMut(Near, &str),
    ) {
        let says = saying.says.word();
        let mut both = |near: Near, name: &str, tell: &mut dyn FnMut(Near, &str)| {
            key.clear();
            key.extend([name, " ", says]);
            tell(near, key);
        };
        match self.part_of_saying(saying) {
            Some(k) => self.around((k, saying.part), fullness, &mut |near, word| {
                tell(near, word);
                if near == Near::Form {
                    both(Near::FormSays, word, tell);
                }
            }),
            None => tell(Near::Form, "any"),
        }
        tell(Near::Says, says);
        both(Near::PartSays, self.parts.code(saying.part), tell);
        both(Near::NameSays, self.words(saying.item), tell);
        for word in self.measures(saying) {
            tell(Near::Form, word);
            both(Near::FormSays, word, tell);
        }
        // A number may be the cue.
        let cue = saying.cue.map_or("", |cue| self.words(cue));
        if !cue.is_empty() {
            tell(Near::Cue, cue);
        }
        self.words_beside(saying, key, tell);
        self.how_it_is_said(saying, key, tell);
        self.path_to_cue(saying, key, tell);
        told_besides(saying, told, key, tell);
    }

    /// How a rule came to say it.
    fn how_it_is_said(&self, saying: &Saying, key: &mut String, tell: &mut dyn FnMut(Near, &str)) {
        for (is, word) in [
            (saying.denied, "denied "),
            (saying.rule.hedged, "hedged "),
            (saying.past, "past "),
            (saying.latest, "latest "),
            (saying.implied, "implied "),
            (saying.done.is_some(), "dated "),
            (!saying.qualifiers.is_empty(), "which "),
            (saying.cue.is_some(), "by cue "),
        ] {
            if is {
                key.clear();
                key.extend([word, saying.says.word()]);
                tell(Near::FormSays, key);
            }
        }
    }

    /// What lies between a part and its cue, a letter a thing; words side by side
    /// are one.
    fn path_to_cue(&self, saying: &Saying, key: &mut String, tell: &mut dyn FnMut(Near, &str)) {
        let Some(cue) = saying.cue else { return };
        key.clear();
        key.extend([
            saying.says.word(),
            if cue < saying.item { " <" } else { " >" },
        ]);
        let (first, last) = (cue.min(saying.item), cue.max(saying.item));
        for j in (first + 1..last).take(PATH) {
            let letter = match self.items.kind(j) {
                ItemKind::Word => 'w',
                ItemKind::Number => '#',
                ItemKind::Phrase(_) if self.items.names(j) => 'P',
                ItemKind::Phrase(_) => match self.items.cue(j).map(|c| c.act) {
                    Some(Act::Modifier) => 'm',
                    Some(Act::State(_)) => 'S',
                    Some(Act::Negates | Act::Lacks) => 'N',
                    Some(Act::Hedges) => 'H',
                    Some(Act::Copula) => 'b',
                    Some(Act::Border) => 'B',
                    _ => 'c',
                },
                ItemKind::Sign(sign) => char::from(sign),
                ItemKind::End(_) => '.',
                ItemKind::Blank => '|',
            };
            if letter != 'w' || !key.ends_with('w') {
                key.push(letter);
            }
        }
        tell(Near::Path, key);
        let words = self.words(cue);
        if !words.is_empty() {
            key.extend([" ", words]);
            tell(Near::Path, key);
        }
    }

    /// The part that a saying is of: the one named with it, or else within its words.
    fn part_of_saying(&self, saying: &Saying) -> Option<usize> {
        let k = self.mentions.partition_point(|m| m.item < saying.item);
        if self.mentions.get(k).is_some_and(|m| m.item == saying.item) {
            return Some(k);
        }
        let (first, last) = saying.tokens;
        let from = self
            .mentions
            .partition_point(|m| self.items.list[m.item].first < first);
        let within = |m: &Mention| self.items.list[m.item].last <= last;
        self.mentions.get(from).is_some_and(within).then_some(from)
    }

    /// How many words a saying spans, where in the ad it stands, and how long that is.
    fn measures(&self, saying: &Saying) -> [&'static str; 3] {
        const SPANS: [&str; 7] = [
            "span 0", "span 1", "span 2", "span 3", "span 4", "span 5", "span 6",
        ];
        const PLACES: [&str; 4] = ["place 0", "place 1", "place 2", "place 3"];
        const LENGTHS: [&str; 9] = [
            "length 0", "length 1", "length 2", "length 3", "length 4", "length 5", "length 6",
            "length 7", "length 8",
        ];
        let (first, last) = (saying.tokens.0 as usize, saying.tokens.1 as usize);
        let all = self.items.tokens.list.len().max(1);
        [
            SPANS[((last + 1 - first) / 2).min(SPANS.len() - 1)],
            PLACES[(PLACES.len() * first / all).min(PLACES.len() - 1)],
            LENGTHS[(all / STEP).min(LENGTHS.len() - 1)],
        ]
    }

    /// The words on either side of a saying, each with how far off it stands.
    fn words_beside(&self, saying: &Saying, key: &mut String, tell: &mut dyn FnMut(Near, &str)) {
        let (first, last) = (saying.tokens.0 as usize, saying.tokens.1 as usize);
        let tokens = self.items.tokens;
        let mut beside = |near: Near, far: usize, at: usize| {
            key.clear();
            key.push(char::from(b'0' + far as u8));
            key.push(' ');
            match tokens.word(at) {
                "" => key.push_str("(line)"),
                word => key.push_str(word),
            }
            tell(near, key);
        };
        for far in 1..=BESIDE {
            if let Some(at) = first.checked_sub(far) {
                beside(Near::Left, far, at);
            }
            if last + far < tokens.list.len() {
                beside(Near::Right, far, last + far);
            }
        }
    }
}

/// What else is told: of the same part, in the same sentence, by the same cue, and
/// in all.
fn told_besides(
    saying: &Saying,
    told: &[Saying],
    key: &mut String,
    tell: &mut dyn FnMut(Near, &str),
) {
    let says = saying.says.word();
    let mut say = |what: &str, word: &str| {
        key.clear();
        key.extend([what, says, " ", word]);
        tell(Near::Told, key);
    };
    let (mut of_it, mut beside, mut by_its_cue) = (0, 0, 0);
    for t in told {
        of_it += usize::from(t.part == saying.part);
        beside += usize::from(t.sentence == saying.sentence);
        by_its_cue += usize::from(saying.cue.is_some() && t.cue == saying.cue);
        if t.part == saying.part && t.says != saying.says {
            say("same ", t.says.word());
        }
    }
    if of_it == 1 {
        say("same ", "none");
    }
    // No more than six are told apart.
    say("beside ", several(beside.min(6)));
    say("by its cue ", several(by_its_cue.min(6)));
    say("in all ", several(told.len()));
}
