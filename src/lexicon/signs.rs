//! The table of signs: what tells papers, moving, gearbox and the other plain
//! fields.

use serde::{Deserialize, Serialize};

use super::frames::{Frame, Lists, is_frame};
use super::gathering::{Clash, Gathering, once};
use super::phrases::{Meaning, Sign, SignField};
use super::table::{LexiconError, Row, Sheet};
use crate::reading::signs::{AsideSign, BasisSign, GearboxSign, KindSign, MovesSign};
use crate::reading::{MilesBasis, Title, Vague};

/// A frame and what it is a sign of.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct SignFrame {
    /// The frame.
    pub frame: Frame,
    /// The field.
    pub field: SignField,
    /// Its word; `None` where the saying only looks like a sign of the field.
    pub value: Option<String>,
}

impl SignFrame {
    /// What the frame means as a phrase.
    pub(super) fn meaning(&self) -> Meaning {
        let mut meaning = Meaning {
            open: self.frame.is_open(),
            ..Meaning::default()
        };
        match &self.value {
            Some(value) => meaning.signs.push(Sign {
                field: self.field,
                value: value.clone(),
            }),
            None => meaning.hides = Some(self.field),
        }
        meaning
    }
}

/// The fields by their words, in the order of the messages.
const FIELDS: [(&str, SignField); 9] = [
    ("title", SignField::Title),
    ("moves", SignField::Moves),
    ("gearbox", SignField::Gearbox),
    ("vague", SignField::Vague),
    ("ask_basis", SignField::AskBasis),
    ("miles_basis", SignField::MilesBasis),
    ("kind", SignField::Kind),
    ("distance", SignField::Distance),
    ("aside", SignField::Aside),
];

fn knows(field: SignField, value: &str) -> bool {
    match field {
        SignField::Title => Title::of_word(value).is_some(),
        SignField::Moves => MovesSign::of_word(value).is_some(),
        SignField::Gearbox => GearboxSign::of_word(value).is_some(),
        SignField::Vague => Vague::of_word(value).is_some(),
        SignField::AskBasis => BasisSign::of_word(value).is_some(),
        // `vouched`: the seller calls the distance the original one;
        // `doubted_beside`: a doubt of the figure that it stands behind.
        SignField::MilesBasis => {
            matches!(value, "vouched" | "doubted_beside") || MilesBasis::of_word(value).is_some()
        }
        SignField::Kind => KindSign::of_word(value).is_some(),
        SignField::Distance => matches!(value, "km" | "miles"),
        SignField::Aside => AsideSign::of_word(value).is_some(),
    }
}

/// The field and value of a row; no value where it only looks like a sign.
fn sign_of<'r>(row: &Row<'r>) -> Result<(SignField, Option<&'r str>), LexiconError> {
    let word = row.required("field")?;
    let Some((_, field)) = FIELDS.iter().find(|(name, _)| *name == word) else {
        let names: Vec<&str> = FIELDS.iter().map(|(name, _)| *name).collect();
        return Err(row.error(
            "field",
            format!("'{word}' is none of: {}, list", names.join(", ")),
        ));
    };
    match row.required("value")? {
        "ignore" => Ok((*field, None)),
        value if knows(*field, value) => Ok((*field, Some(value))),
        value => Err(row.error("value", format!("'{value}' is no value of this field"))),
    }
}

impl<'s> Gathering<'s> {
    /// Reads the signs; gives the frames among them.
    pub(super) fn read_signs(&mut self, sheet: &'s Sheet) -> Result<Vec<SignFrame>, LexiconError> {
        let mut lists = Lists::default();
        for row in sheet.rows() {
            if row.text("field")? == "list" {
                lists.name(&row, row.required("value")?, row.required("phrase")?)?;
            }
        }
        let mut seen = std::collections::HashSet::new();
        let mut frames = Vec::new();
        for row in sheet.rows() {
            once(&row, &mut seen, row.text("field")?)?;
            if row.text("field")? == "list" {
                continue;
            }
            let (field, value) = sign_of(&row)?;
            let written = row.required("phrase")?;
            if is_frame(written) {
                frames.push(SignFrame {
                    frame: lists.frame(&row, written)?,
                    field,
                    value: value.map(str::to_owned),
                });
                continue;
            }
            self.add(&row, move |meaning| sign(meaning, field, value))?;
        }
        for (list, phrases) in lists.all() {
            self.add_list(list, phrases);
        }
        Ok(frames)
    }
}

/// Adds one sign to what a phrase means.
fn sign(meaning: &mut Meaning, field: SignField, value: Option<&str>) -> Result<(), Clash> {
    let other = |s: &Sign| s.field == field && Some(s.value.as_str()) != value;
    let hidden = meaning.hides == Some(field);
    if meaning.signs.iter().any(other) || hidden && value.is_some() {
        return Err(Clash);
    }
    match value {
        None if meaning.hides.is_some_and(|f| f != field) => return Err(Clash),
        None => meaning.hides = Some(field),
        Some(value) => {
            let sign = Sign {
                field,
                value: value.to_owned(),
            };
            if !meaning.signs.contains(&sign) {
                meaning.signs.push(sign);
            }
        }
    }
    Ok(())
}
