//! The rows of the tables of phrases: names of parts and symptoms, senses, cues
//! with their reach, sayings that depend on their subject, words beside numbers.

use std::collections::HashSet;

use super::gathering::{Clash, Gathering, Names, once};
use super::meaning::*;
use super::parts::{PartKind, Parts};
use super::table::{LexiconError, Sheet};
use super::verbs::Verbs;
use crate::reading::Says;

impl<'s> Gathering<'s> {
    pub(super) fn read_phrases(
        &mut self,
        sheet: &'s Sheet,
        parts: &Parts,
        verbs: &Verbs,
    ) -> Result<(), LexiconError> {
        let mut seen = HashSet::new();
        for row in sheet.rows() {
            once(&row, &mut seen, "")?;
            let says = row.required("says")?;
            let naming = match says {
                "noun" => Some(Naming::Noun),
                "generic" => Some(Naming::Generic),
                "equipment" => Some(Naming::Equipment),
                "feature" => Some(Naming::Feature),
                "subject" => Some(Naming::Subject),
                "fault" => Some(Naming::Fault),
                "ignore" => None,
                word => Some(Naming::States(Says::of_word(word).ok_or_else(|| {
                    row.error(
                        "says",
                        format!(
                            "'{word}' is none of: noun, generic, equipment, feature, subject, fault, bad, suspect, renewed, sound, \
                             spare, ignore"
                        ),
                    )
                })?)),
            };
            let mut codes = Vec::new();
            for code in row.list("code")? {
                codes.push(parts.of_cell(&row, "code", code)?);
            }
            if codes.is_empty() && naming.is_some() {
                return Err(row.error("code", "is empty; name a code of parts.csv"));
            }
            let named: Vec<Named> = match naming {
                Some(naming) => codes.iter().map(|&part| Named { part, naming }).collect(),
                None => Vec::new(),
            };
            let said = named.clone();
            let begins = self.add(&row, move |meaning| {
                let taken = !meaning.named.is_empty() || meaning.decoy;
                if taken && (meaning.named != said || meaning.decoy != naming.is_none()) {
                    return Err(Clash);
                }
                meaning.named.clone_from(&said);
                meaning.decoy = naming.is_none();
                Ok(())
            })?;
            let fault = matches!(naming, Some(Naming::Fault | Naming::States(Says::Bad)));
            let symptom = |n: &Named| parts.get(n.part).kind == PartKind::Symptom;
            if fault && named.iter().all(symptom) {
                self.derive_pasts(&begins, &named, verbs);
            }
            if naming.is_some_and(|n| n.is_noun() || n == Naming::Fault) {
                self.derive(&begins, named);
            }
        }
        Ok(())
    }

    pub(super) fn read_senses(
        &mut self,
        sheet: &'s Sheet,
        parts: &Parts,
    ) -> Result<(), LexiconError> {
        let mut seen = HashSet::new();
        for row in sheet.rows() {
            once(&row, &mut seen, row.text("means")?)?;
            let mut beside = Vec::new();
            for name in row.list("beside")? {
                let group = parts.of_group(name);
                match group.is_empty() {
                    true => beside.push(parts.of_cell(&row, "beside", name)?),
                    false => beside.extend(group),
                }
            }
            if beside.is_empty() {
                return Err(row.error("beside", "name the codes or groups that decide"));
            }
            let within = match row.text("within")? {
                "" => usize::MAX,
                text => text.parse().map_err(|_| {
                    row.error(
                        "within",
                        format!("'{text}' is no number of words; leave it empty for the sentence"),
                    )
                })?,
            };
            let part = parts.of_cell(&row, "means", row.required("means")?)?;
            let sense = Sense {
                beside,
                within,
                part,
            };
            self.add(&row, move |meaning| {
                meaning.senses.push(sense.clone());
                Ok(())
            })?;
        }
        Ok(())
    }

    pub(super) fn read_cues(&mut self, sheet: &'s Sheet) -> Result<(), LexiconError> {
        let mut seen = HashSet::new();
        for row in sheet.rows() {
            once(&row, &mut seen, "")?;
            let word = row.required("act")?;
            let act = Act::of_word(word).ok_or_else(|| {
                let all = Act::ALL.map(Act::word).join(", ");
                row.error(
                    "act",
                    format!("'{word}' is none of: bad, suspect, renewed, sound, spare, {all}"),
                )
            })?;
            let side = row.text("side")?;
            if side == "heading" {
                let Act::State(says) = act else {
                    return Err(
                        row.error("act", "a heading gives a state: bad, renewed, sound, spare")
                    );
                };
                self.add(&row, move |meaning| {
                    if meaning.heading.is_some_and(|h| h != says) {
                        return Err(Clash);
                    }
                    meaning.heading = Some(says);
                    Ok(())
                })?;
                continue;
            }
            let (outlasts, said) = (side == "outlasts", side == "said");
            let heard = said || side == "heard";
            let side = match side {
                "after" | "heard" | "said" => Side::After,
                "before" | "outlasts" => Side::Before,
                "next" => Side::Next,
                "either" | "" => Side::Either,
                word => {
                    return Err(row.error(
                        "side",
                        format!(
                            "'{word}' is none of: after, heard, said, before, outlasts, next, either, heading"
                        ),
                    ));
                }
            };
            self.add(&row, move |meaning| {
                let cue = meaning.cue.get_or_insert(Cue {
                    act,
                    side,
                    outlasts,
                    heard,
                    said,
                });
                if (cue.act, cue.side) != (act, side) {
                    return Err(Clash);
                }
                cue.outlasts |= outlasts;
                cue.heard |= heard;
                cue.said |= said;
                Ok(())
            })?;
        }
        Ok(())
    }

    pub(super) fn read_effects(
        &mut self,
        sheet: &'s Sheet,
        parts: &Parts,
        names: &Names,
    ) -> Result<(), LexiconError> {
        let mut seen = HashSet::new();
        for row in sheet.rows() {
            once(&row, &mut seen, row.text("subject")?)?;
            let mut subjects = Vec::new();
            let of = match row.required("subject")? {
                "any" => EffectOf::Any,
                "nothing" => EffectOf::Nothing,
                _ => {
                    for code in row.list("subject")? {
                        subjects.push(parts.of_cell(&row, "subject", code)?);
                    }
                    EffectOf::Named
                }
            };
            let mut claims = Vec::new();
            for claim in row.list("claims")? {
                let (code, says) = claim.split_once(':').ok_or_else(|| {
                    row.error(
                        "claims",
                        format!("'{claim}' is not CODE:STATE or subject:STATE"),
                    )
                })?;
                let says = Says::of_word(says).ok_or_else(|| {
                    row.error("claims", format!("'{says}' is no state of a claim"))
                })?;
                let part = match code {
                    "subject" => None,
                    code => Some(parts.of_cell(&row, "claims", code)?),
                };
                if part.is_none() && of == EffectOf::Nothing {
                    return Err(row.error("claims", "there is no subject in a row for nothing"));
                }
                claims.push((part, says));
            }
            let begins = self.add(&row, move |meaning| {
                let clash = meaning.effects.iter().any(|e| {
                    e.claims != claims
                        && match of {
                            EffectOf::Named => e.subjects.iter().any(|s| subjects.contains(s)),
                            other => e.of == other,
                        }
                });
                if clash {
                    return Err(Clash);
                }
                meaning.effects.push(Effect {
                    subjects: subjects.clone(),
                    of,
                    claims: claims.clone(),
                });
                Ok(())
            })?;
            self.inherit(&begins, names);
        }
        Ok(())
    }

    pub(super) fn read_numbers(&mut self, sheet: &'s Sheet) -> Result<(), LexiconError> {
        let mut seen = HashSet::new();
        for row in sheet.rows() {
            once(&row, &mut seen, row.text("stands")?)?;
            let word = row.required("role")?;
            let role = NumberRole::of_word(word).ok_or_else(|| {
                let all = NumberRole::ALL.map(NumberRole::word).join(", ");
                row.error("role", format!("'{word}' is none of: {all}"))
            })?;
            let before = match row.required("stands")? {
                "before" => true,
                "after" => false,
                word => {
                    return Err(
                        row.error("stands", format!("'{word}' is neither before nor after"))
                    );
                }
            };
            self.add(&row, move |meaning| {
                let new = NumberCue { role, before };
                let other = |n: &NumberCue| {
                    n.before == before && *n != new && !n.role.is_beside() && !role.is_beside()
                };
                if meaning.numbers.iter().any(other) {
                    return Err(Clash);
                }
                if !meaning.numbers.contains(&new) {
                    meaning.numbers.push(new);
                }
                Ok(())
            })?;
        }
        Ok(())
    }
}
