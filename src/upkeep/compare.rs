//! What one set of tables reads better or worse than another.

use std::collections::BTreeSet;

use super::judge::{Judged, Mistake};
use super::labelled::Labelled;

/// A mistake that one of two gradings makes, with its ad.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Change<'a> {
    /// The ad's id.
    pub id: &'a str,
    /// The mistake that went, or came.
    pub mistake: &'a Mistake,
}

/// Mistakes gone and mistakes come, in the order of the ads.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Changes<'a> {
    /// Wrong before, right now.
    pub gained: Vec<Change<'a>>,
    /// Right before, wrong now.
    pub broken: Vec<Change<'a>>,
}

/// Compares two gradings of the same ads. A field read wrong in two different
/// ways is no change: it was wrong and is wrong.
pub fn compare<'a>(rows: &'a [Labelled], before: &'a [Judged], after: &'a [Judged]) -> Changes<'a> {
    let mut out = Changes::default();
    for ((row, before), after) in rows.iter().zip(before).zip(after) {
        let only = |here: &'a Judged, there: &'a Judged| {
            let others: BTreeSet<Key<'a>> = there.mistakes.iter().map(key).collect();
            let left = here
                .mistakes
                .iter()
                .filter(move |m| !others.contains(&key(m)));
            left.map(|mistake| Change {
                id: &row.id,
                mistake,
            })
        };
        out.gained.extend(only(before, after));
        out.broken.extend(only(after, before));
    }
    out
}

/// What makes two mistakes the same one.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
enum Key<'a> {
    Field(&'a str),
    Other(&'a Mistake),
}

fn key(mistake: &Mistake) -> Key<'_> {
    match mistake {
        Mistake::Field(field, ..) => Key::Field(field),
        other => Key::Other(other),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reading::Says;

    #[test]
    fn what_went_is_gained_and_what_came_is_broken() {
        let row: Labelled = serde_json::from_str(
            r#"{"id":"1","title_text":"","body":"","gold":{"kind":"car","year":null,"make":null,
            "model":null,"ask":null,"ask_basis":"none","miles":null,"miles_basis":"none",
            "title":"unstated","moves":"unstated","gearbox":"unstated","vin":null,"claims":[],
            "vague":[]}}"#,
        )
        .unwrap();
        let with = |mistakes: Vec<Mistake>| Judged {
            mistakes,
            ..Judged::default()
        };
        let field = |read: &str| Mistake::Field("ask", read.to_owned(), "900".to_owned());
        let missed = Mistake::MissedClaim("clutch".to_owned(), Says::Bad);
        let extra = Mistake::ExtraClaim("clutch".to_owned(), Says::Sound);
        let before = [with(vec![field("1"), missed.clone()])];
        let after = [with(vec![field("2"), extra.clone()])];
        let rows = [row];
        let changes = compare(&rows, &before, &after);
        assert_eq!(
            changes.gained.iter().map(|c| c.mistake).collect::<Vec<_>>(),
            [&missed]
        );
        assert_eq!(
            changes.broken.iter().map(|c| c.mistake).collect::<Vec<_>>(),
            [&extra]
        );
    }
}
