//! Rows tried in small texts: does what they say come out?

use super::*;
use crate::lexicon::phrases::Naming;
use crate::reading::{Kind, Moves};

/// Forms of one row that are tried: those of a row are much alike.
const TRIED: usize = 6;

impl Checker<'_> {
    /// Sayings whose subject nothing names, or that are never heard.
    pub(super) fn effects(&mut self) {
        let mut nouns: HashMap<PartId, &str> = HashMap::new();
        for (words, meaning) in &self.meanings {
            if let Some(first) = meaning.named.first()
                && meaning.named.iter().all(|n| n.naming.is_noun())
                && meaning.effects.is_empty()
                && meaning.cue.is_none()
            {
                let shortest = nouns.entry(first.part).or_insert(words);
                if (words.len(), *words) < (shortest.len(), *shortest) {
                    *shortest = words;
                }
            }
        }
        for row in self.of(Table::Effects) {
            let parts = &self.lexicon.parts;
            let codes: Vec<&str> = row.cells[0].split(';').map(str::trim).collect();
            let any = codes == ["any"];
            let named: Vec<&str> = if any {
                nouns.values().min().copied().into_iter().collect()
            } else {
                let of = |code: &&str| nouns.get(&parts.find(code)?).copied();
                codes.iter().filter_map(of).collect()
            };
            if codes != ["nothing"] {
                for code in codes.iter().filter(|_| !any) {
                    let lacks = parts.find(code).is_some_and(|p| !nouns.contains_key(&p));
                    if lacks {
                        let text = format!(
                            "nothing can be said of '{code}' here: no row of phrases.csv names it \
                             as noun or subject"
                        );
                        self.find(Level::Error, row, text);
                    }
                }
                if named.is_empty() {
                    continue;
                }
            }
            let heard = row.forms.iter().take(TRIED).any(|form| {
                let texts = named
                    .iter()
                    .flat_map(|n| {
                        [
                            format!("{n} {form}"),
                            format!("{form} {n}"),
                            format!("{form} from the {n}"),
                        ]
                    })
                    .chain([form.clone(), format!("it {form}")]);
                texts.into_iter().any(|text| {
                    let sayings = self.probe.sayings(&text);
                    sayings.iter().any(|(_, cue)| cue.as_deref() == Some(form))
                })
            });
            if !heard {
                let text = format!(
                    "'{}' said of {} was not heard in any of the sentences tried",
                    row.phrase, row.cells[0]
                );
                self.find(Level::Note, row, text);
            }
        }
    }

    /// Phrases that say something by themselves, and do not.
    pub(super) fn names(&mut self) {
        for row in self.of(Table::Phrases) {
            if matches!(
                row.cells[1].as_str(),
                "noun" | "generic" | "equipment" | "feature" | "subject" | "ignore"
            ) {
                continue;
            }
            let codes: Vec<PartId> = row.cells[0]
                .split(';')
                .filter_map(|code| self.lexicon.parts.find(code.trim()))
                .collect();
            let silent = codes.iter().find(|code| {
                !row.forms.iter().take(TRIED).any(|form| {
                    let own = self.meanings.get(form.as_str()).is_some_and(|m| {
                        m.named.iter().any(|n| {
                            n.part == **code && !matches!(n.naming, Naming::Noun | Naming::Feature)
                        })
                    });
                    let sayings = self.probe.sayings(form);
                    own && sayings.iter().any(|(s, _)| s.part == **code)
                })
            });
            if let Some(code) = silent {
                let symptom = self.lexicon.parts.get(*code).kind == PartKind::Symptom;
                let why = if symptom && row.cells[1] == "spare" {
                    "a symptom has no spare"
                } else {
                    "alone in an ad it makes no claim"
                };
                let text = format!(
                    "'{}' says nothing of '{}': {why}",
                    row.phrase,
                    self.lexicon.parts.code(*code)
                );
                self.find(Level::Error, row, text);
            }
        }
    }

    /// Signs that are not read where nothing stands in their way.
    pub(super) fn signs(&mut self) {
        for row in self.of(Table::Signs) {
            let field = row.cells[0].as_str();
            // What is no value of the contract acts only beside other signs.
            let lent = field == "moves" && Moves::of_word(&row.cells[1]).is_none()
                || field == "kind" && Kind::of_word(&row.cells[1]).is_none();
            if row.cells[1] == "ignore" || field == "distance" || lent {
                continue;
            }
            let mut read = false;
            for form in row.forms.iter().take(TRIED) {
                read = read || self.probe.sign_is_read(field, form);
            }
            if !read {
                let text = format!(
                    "'{}' was not read as {field} {} where it stands alone",
                    row.phrase, row.cells[1]
                );
                self.find(Level::Note, row, text);
            }
        }
    }
}
