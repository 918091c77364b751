//! Numbers and names asked about one at a time.

use super::*;
use crate::lexicon::vehicles::VehicleName;

/// At most so many numbers and names are asked about, fewer in a long text:
/// each costs a reading of all of it.
fn most(tokens: &Tokens) -> usize {
    (200_000 / tokens.list.len().max(1)).clamp(4, 100)
}

impl Reader<'_> {
    /// The reading of the plain fields with only these numbers.
    fn again(&self, listing: &Listing, s: &Scratch) -> Reading {
        let signs = signs::gather(&s.hits, &s.tokens, &self.scanner);
        let names = names::names(&s.hits, &self.scanner);
        let headline = headline_tokens(listing, &s.tokens);
        let news = news::find(&s.hits, &s.tokens, &self.scanner, headline);
        let page = Page {
            listing,
            tokens: &s.tokens,
            signs: &signs,
            names: &names,
            news: &news,
            headline,
        };
        let mut reading = Reading::unread(listing.id.clone());
        self.vehicle(&mut reading, &page, s);
        self.price(&mut reading, &page, s);
        self.distance(&mut reading, &page, s, &[]);
        reading
    }

    pub(super) fn seen_numbers(
        &self,
        listing: &Listing,
        s: &mut Scratch,
        hidden: &[bool],
        whole: &Reading,
    ) -> Vec<SeenNumber> {
        let all = std::mem::take(&mut s.roles);
        let without_cells = Listing {
            price: None,
            distance: None,
            year: None,
            ..listing.clone()
        };
        let mut out = Vec::new();
        let own = |(n, _): &&(Number, Roles)| !hidden[n.tokens.0];
        for (number, roles) in all.iter().filter(own).take(most(&s.tokens)) {
            let range = s.tokens.source(number.tokens.0, number.tokens.1);
            s.roles = vec![(*number, *roles)];
            let alone = self.again(&without_cells, s);
            s.roles = vec![(*number, Roles::default())];
            let bare = self.again(&without_cells, s);
            let words = self.role_words(number, roles, s);
            let mut verdicts = Vec::new();
            for (key, name) in [("ask", "price"), ("miles", "distance"), ("year", "year")] {
                let from = |reading: &Reading| {
                    let here = |(k, e): &&(&str, Evidence)| *k == key && e.range == range;
                    reading.fields.iter().any(|f| here(&f))
                };
                if from(whole) {
                    verdicts.push(format!("taken as the {name}"));
                } else if from(&alone) {
                    verdicts.push(format!("no {name}: {}", instead(whole, key)));
                } else if from(&bare) {
                    verdicts.push(format!("no {name}: {}", because(&words)));
                }
            }
            if verdicts.is_empty() {
                verdicts.push("neither price, distance nor year by its form and place".to_owned());
            }
            let first = number.tokens.0.saturating_sub(2);
            out.push(SeenNumber {
                context: words_of(s, hidden, first, number.tokens.1 + 2),
                value: number.value,
                roles: words,
                verdicts,
            });
        }
        s.roles = all;
        out
    }

    /// The phrases that give a number its roles: asked one at a time.
    fn role_words(&self, number: &Number, roles: &Roles, s: &Scratch) -> Vec<String> {
        let near = number.tokens.0.saturating_sub(12) as u32..=number.tokens.1 as u32 + 12;
        let mut best: [Option<(Hit, String)>; 2] = [None, None];
        let glued = roles::of(number, &s.tokens, &[], &self.scanner);
        for hit in s.hits.iter().filter(|h| near.contains(&h.first)) {
            let one = roles::of(number, &s.tokens, &[*hit], &self.scanner);
            let sides = [
                (one.before, roles.before, glued.before),
                (one.after, roles.after, glued.after),
            ];
            for (best, (one, whole, glued)) in best.iter_mut().zip(sides) {
                let longer = best.as_ref().is_none_or(|(b, _)| hit.width() > b.width());
                if let Some(role) = one
                    && one == whole
                    && glued.is_none()
                    && longer
                {
                    let words = self.scanner.words(&s.tokens, hit.wording());
                    let text = format!("'{words}' makes it {}", role.word());
                    *best = Some((*hit, text));
                }
            }
        }
        let mut out: Vec<String> = best.into_iter().flatten().map(|(_, text)| text).collect();
        if let Some(role) = glued.after {
            out.push(format!("letters glued to it make it {}", role.word()));
        }
        if roles.approximate {
            out.push("about, not exact".to_owned());
        }
        out
    }

    pub(super) fn named_vehicles(
        &self,
        listing: &Listing,
        s: &mut Scratch,
        whole: &Reading,
    ) -> Vec<NamedVehicle> {
        let names_one = |h: &Hit| h.marks.vehicles();
        let found: Vec<Hit> = crate::reading::scan::leftmost_longest(&s.hits, names_one)
            .take(most(&s.tokens))
            .collect();
        let all = std::mem::take(&mut s.hits);
        let mut out = Vec::with_capacity(found.len());
        for hit in &found {
            let phrase = self.scanner.phrase(hit.phrase);
            let range = s.tokens.source(hit.first as usize, hit.last as usize);
            let mut taken: Vec<&str> = whole
                .fields
                .iter()
                .filter(|(key, e)| matches!(*key, "make" | "model") && e.range == range)
                .map(|(key, _)| *key)
                .collect();
            taken.dedup();
            let verdict = if taken.is_empty() {
                s.hits = all
                    .iter()
                    .filter(|h| *h == hit || !names_one(h))
                    .copied()
                    .collect();
                let alone = self.again(listing, s);
                let known = alone.make.is_some() || alone.model.is_some();
                if known {
                    format!(
                        "not taken: {} goes before it",
                        [whole.make.as_deref(), whole.model.as_deref()]
                            .into_iter()
                            .flatten()
                            .collect::<Vec<_>>()
                            .join(" ")
                    )
                } else {
                    "not taken: counts only beside its make or a year".to_owned()
                }
            } else {
                format!("taken as the {}", taken.join(" and "))
            };
            out.push(NamedVehicle {
                words: self.scanner.words(&s.tokens, hit.wording()).to_owned(),
                names: phrase
                    .vehicles()
                    .iter()
                    .map(|v| self.vehicle_words(v))
                    .collect(),
                verdict,
            });
        }
        s.hits = all;
        out
    }

    fn vehicle_words(&self, name: &VehicleName) -> String {
        let vehicles = &self.lexicon.vehicles;
        match name {
            VehicleName::Make(make) => format!("make {}", vehicles.make(*make)),
            VehicleName::Model { model, shy } => {
                let row = vehicles.model(*model);
                let only = if *shy {
                    ", only beside its make or a year"
                } else {
                    ""
                };
                format!(
                    "{} {} {}-{}{only}",
                    vehicles.make(row.make),
                    row.name,
                    row.years.0,
                    row.years.1
                )
            }
        }
    }
}

fn headline_tokens(listing: &Listing, tokens: &Tokens) -> usize {
    let in_headline =
        |t: &&crate::reading::tokens::Token| (t.source.0 as usize) < listing.headline_len;
    tokens.list.iter().take_while(in_headline).count()
}

/// What goes before a number that could be this field's by itself.
fn instead(whole: &Reading, key: &str) -> String {
    let value = match key {
        "ask" => whole.ask.map(|a| a.to_string()),
        "miles" => whole.miles.map(|m| m.to_string()),
        _ => whole.year.map(|y| y.to_string()),
    };
    value.map_or_else(
        || "the ad gives none".to_owned(),
        |value| format!("{value} goes before it"),
    )
}

fn because(roles: &[String]) -> String {
    if roles.is_empty() {
        "the words beside it".to_owned()
    } else {
        roles.join("; ")
    }
}
