//! The steps of a walk, for people who look for the reason of a claim.
//!
//! What a step did is found by comparing the walk before and after it, so that
//! no rule can change a reach without its being seen, and nothing is spent on
//! it unless a trace was asked for.

use super::*;

/// One thing that happened at one item.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Step {
    /// The item that was met.
    pub item: usize,
    /// What it did, in words.
    pub text: String,
}

/// What a walk stood at before a step.
#[derive(Debug)]
struct Standing {
    gov: Option<Governor>,
    section: Option<Governor>,
    marks: Marks,
    /// The latest mentions, and the place of the first of them.
    mentions: Vec<(Option<Says>, bool, bool)>,
    first: usize,
    notes: usize,
}

/// A step says something of the mentions before it, but of none so far back.
const LOOKED_AT: usize = 40;

/// The items of cues that wait for what they bear on, with words for each.
type Marks = [(&'static str, Option<usize>); 5];

impl Walk<'_> {
    fn marks(&self) -> Marks {
        [
            ("denies", self.neg.map(|(item, _)| item)),
            ("hedges", self.hedge),
            ("is only supposed by", self.unreal),
            ("is put into the past by", self.past),
            ("pronoun", self.pronoun),
        ]
    }

    /// Goes a step, and notes what it changed where the walk is traced.
    pub(super) fn noted(&mut self, i: usize, step: impl FnOnce(&mut Self)) {
        let before = self.trace.as_ref().map(|trace| self.standing(trace.len()));
        step(self);
        if let Some(before) = before {
            self.changed(i, before);
        }
    }

    /// Where the walk stands, with so many notes.
    fn standing(&self, notes: usize) -> Standing {
        let seen = |m: &Mention| (m.says, m.denied, m.hedged);
        let first = self.mentions.len().saturating_sub(LOOKED_AT);
        Standing {
            gov: self.gov,
            section: self.section,
            marks: self.marks(),
            mentions: self.mentions[first..].iter().map(seen).collect(),
            first,
            notes,
        }
    }

    /// Notes what has changed since.
    fn changed(&mut self, i: usize, before: Standing) {
        let mut texts = Vec::new();
        let told = self
            .trace
            .as_ref()
            .is_some_and(|trace| trace.len() > before.notes);
        let latest = self.mentions[before.first..].iter();
        for (m, was) in latest.zip(&before.mentions) {
            if !told && *was != (m.says, m.denied, m.hedged) {
                texts.push(format!("'{}' is now {}", self.words(m.item), m.state()));
            }
        }
        let item = |g: Option<Governor>| g.map(|g| (g.item, g.says));
        match (before.gov, self.gov) {
            // A rule's own note says it already.
            (was, Some(now)) if !told && item(was) != item(Some(now)) => {
                let from = was.map(|w| format!(", in place of '{}'", self.words(w.item)));
                texts.push(format!(
                    "reach of '{}' ({}{}) begins{}",
                    self.words(now.item),
                    if now.negated { "not " } else { "" },
                    now.says,
                    from.unwrap_or_default()
                ));
            }
            (Some(was), None) => {
                texts.push(format!("reach of '{}' ends", self.words(was.item)));
            }
            _ => {}
        }
        match (before.section, self.section) {
            (was, Some(now)) if !told && item(was) != item(Some(now)) => texts.push(format!(
                "'{}' is the heading of what follows ({})",
                self.words(now.item),
                now.says
            )),
            (Some(was), None) => {
                texts.push(format!("heading '{}' is over", self.words(was.item)));
            }
            _ => {}
        }
        for ((word, was), (_, now)) in before.marks.into_iter().zip(self.marks()) {
            match (was, now) {
                (was, Some(now)) if was != Some(now) => texts.push(match word {
                    "denies" | "hedges" => format!("'{}' {word} what comes", self.words(now)),
                    "pronoun" => format!("'{}' stands for what was named", self.words(now)),
                    _ => format!("what comes {word} '{}'", self.words(now)),
                }),
                (Some(was), None) if word != "pronoun" => {
                    texts.push(format!("'{}' is spent", self.words(was)));
                }
                _ => {}
            }
        }
        if let Some(trace) = &mut self.trace {
            // A note of a rule comes from within the step.
            for step in &mut trace[before.notes..] {
                step.item = i;
            }
            trace.extend(texts.into_iter().map(|text| Step { item: i, text }));
        }
    }

    /// Parts that were named and came to nothing, with the reason.
    pub(super) fn unsaid(&mut self) {
        if self.trace.is_none() {
            return;
        }
        let mut steps = Vec::new();
        for m in &self.mentions {
            let why = if m.place {
                "only tells the place or kind of the part beside it"
            } else if self.taken_by(m.item).is_some() {
                "the saying before it has taken it as its subject"
            } else if m.consumed {
                "denied, or the subject of a saying that makes its own claims"
            } else if m.unreal && m.says != Some(Says::Bad) {
                "only supposed, not told"
            } else if m.named.iter().all(|n| self.final_state(m, *n).is_none()) {
                "nothing is said of it"
            } else {
                continue;
            };
            steps.push(Step {
                item: m.item,
                text: format!("'{}' makes no claim: {why}", self.words(m.item)),
            });
        }
        if let Some(trace) = &mut self.trace {
            trace.extend(steps);
        }
    }
}

impl Mention {
    /// What has been found out so far.
    fn state(&self) -> String {
        let says = self.says.map_or("open", Says::word);
        let denied = if self.denied { ", denied" } else { "" };
        let hedged = if self.hedged { ", hedged" } else { "" };
        format!("{says}{denied}{hedged}")
    }
}
