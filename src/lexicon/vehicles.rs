//! Makes, models and the makers' part of a vehicle identification number.

use hashbrown::HashMap;
use serde::{Deserialize, Serialize};

use super::table::{LexiconError, Row, Sheet, Source};
use crate::units::ModelYear;

/// One make, as a small number into [`Vehicles`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct MakeId(u16);

/// One model, as a small number into [`Vehicles`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct ModelId(u16);

/// One row of `models.csv`.
#[derive(Debug, Clone)]
pub struct Model {
    /// The make.
    pub make: MakeId,
    /// The usual name without trim.
    pub name: String,
    /// First and last model year sold in any market.
    pub years: (ModelYear, ModelYear),
    /// Vehicle class, a row of `classes.csv`.
    pub class: String,
    /// Common engine sizes.
    pub engines: Vec<String>,
    /// What drives the camshafts: belt, chain, gears, mixed; or not known.
    pub timing: Option<String>,
}

/// What a phrase names.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum VehicleName {
    /// A make.
    Make(MakeId),
    /// A model; `shy` when the phrase is an ordinary word that counts only
    /// beside its make or after a year.
    Model {
        /// The model.
        model: ModelId,
        /// Counts only beside its make or after a year.
        shy: bool,
    },
}

/// All makes and models.
#[derive(Debug)]
pub struct Vehicles {
    makes: Vec<String>,
    models: Vec<Model>,
    /// Phrases and what they may name.
    pub names: HashMap<String, Vec<VehicleName>>,
    wmi: HashMap<String, Vec<MakeId>>,
    by_name: HashMap<(MakeId, String), Vec<ModelId>>,
    newest: ModelYear,
}

impl Vehicles {
    /// The vehicles of a source.
    ///
    /// # Errors
    /// As [`Vehicles::read`], and files that cannot be read.
    pub fn of(source: &Source) -> Result<Self, LexiconError> {
        Self::read(
            &source.sheet("makes.csv")?,
            &source.sheet("models.csv")?,
            &source.sheet("wmi.csv")?,
        )
    }

    /// Reads `makes.csv`, `models.csv` and `wmi.csv`.
    ///
    /// # Errors
    /// A make that is not in `makes.csv`, years out of order, an alias that
    /// can never match.
    pub fn read(makes: &Sheet, models: &Sheet, wmi: &Sheet) -> Result<Self, LexiconError> {
        let mut all = Vehicles {
            makes: Vec::new(),
            models: Vec::new(),
            names: HashMap::new(),
            wmi: HashMap::new(),
            by_name: HashMap::new(),
            newest: ModelYear(0),
        };
        all.read_makes(makes)?;
        all.read_models(models)?;
        all.read_wmi(wmi)?;
        Ok(all)
    }

    fn add(&mut self, phrase: String, name: VehicleName) {
        let names = self.names.entry(phrase).or_default();
        if !names.contains(&name) {
            names.push(name);
        }
    }

    fn read_makes(&mut self, sheet: &Sheet) -> Result<(), LexiconError> {
        for row in sheet.rows() {
            let make = row.required("make")?;
            if self.makes.iter().any(|m| m == make) {
                return Err(row.error("make", format!("'{make}' stands twice; remove one")));
            }
            let id = MakeId(self.makes.len() as u16);
            self.makes.push(make.to_owned());
            // Only what is listed counts: a make's own name may be a plain word.
            for alias in row.list("aliases")? {
                self.add(matchable(&row, alias)?, VehicleName::Make(id));
            }
        }
        Ok(())
    }

    fn read_models(&mut self, sheet: &Sheet) -> Result<(), LexiconError> {
        for row in sheet.rows() {
            let make = row.required("make")?;
            let make = self.find_make(make).ok_or_else(|| {
                row.error(
                    "make",
                    format!("'{make}' is not in makes.csv; add it there first"),
                )
            })?;
            let name = row.required("model")?.to_owned();
            let shy = match row.text("needs_make")? {
                "yes" => true,
                "no" | "" => false,
                other => {
                    return Err(row.error("needs_make", format!("'{other}' is neither yes nor no")));
                }
            };
            let year = |column: &str| -> Result<ModelYear, LexiconError> {
                row.parsed::<u16>(column, "a year of four digits")?
                    .filter(|y| (1885..=2100).contains(y))
                    .map(ModelYear)
                    .ok_or_else(|| row.error(column, "must be a year of four digits"))
            };
            let years = (year("first_year")?, year("last_year")?);
            if years.0 > years.1 {
                return Err(row.error("last_year", "is before first_year"));
            }
            self.newest = self.newest.max(years.1);
            let id = ModelId(self.models.len() as u16);
            let timing = row.text("timing")?;
            self.by_name
                .entry((make, name.clone()))
                .or_default()
                .push(id);
            self.models.push(Model {
                make,
                name: name.clone(),
                years,
                class: row.required("class")?.to_owned(),
                engines: row.list("engines")?.map(str::to_owned).collect(),
                timing: (!timing.is_empty()).then(|| timing.to_owned()),
            });
            // A bare number or a single letter is never enough by itself.
            let bare = |alias: &str| alias.len() < 3 || alias.bytes().all(|b| b.is_ascii_digit());
            for alias in row.list("aliases")? {
                let form = matchable(&row, alias)?;
                let shy = shy || bare(&form);
                if let Some(parted) = parted(&form) {
                    self.add(
                        parted,
                        VehicleName::Model {
                            model: id,
                            shy: true,
                        },
                    );
                }
                self.add(form, VehicleName::Model { model: id, shy });
            }
        }
        Ok(())
    }

    fn read_wmi(&mut self, sheet: &Sheet) -> Result<(), LexiconError> {
        for row in sheet.rows() {
            let code = row.required("wmi")?.to_ascii_uppercase();
            if !(2..=3).contains(&code.len()) || !code.bytes().all(|b| b.is_ascii_alphanumeric()) {
                return Err(row.error(
                    "wmi",
                    format!("'{code}' is not two or three letters or digits"),
                ));
            }
            let mut ids = Vec::new();
            for make in row.list("make")? {
                ids.push(
                    self.find_make(make).ok_or_else(|| {
                        row.error("make", format!("'{make}' is not in makes.csv"))
                    })?,
                );
            }
            self.wmi.entry(code).or_default().extend(ids);
        }
        Ok(())
    }

    /// The make of this usual name.
    pub fn find_make(&self, name: &str) -> Option<MakeId> {
        self.makes
            .iter()
            .position(|m| m == name)
            .map(|i| MakeId(i as u16))
    }

    /// The usual name of a make.
    pub fn make(&self, id: MakeId) -> &str {
        &self.makes[usize::from(id.0)]
    }

    /// A model.
    pub fn model(&self, id: ModelId) -> &Model {
        &self.models[usize::from(id.0)]
    }

    /// The makes that a folded phrase names.
    pub fn makes_of(&self, phrase: &str) -> Vec<MakeId> {
        self.names
            .get(phrase)
            .into_iter()
            .flatten()
            .filter_map(|n| match n {
                VehicleName::Make(id) => Some(*id),
                VehicleName::Model { .. } => None,
            })
            .collect()
    }

    /// The model of a make by its usual name, built in this year if the year
    /// is known.
    pub fn find_model(&self, make: &str, model: &str, year: Option<ModelYear>) -> Option<&Model> {
        let make = self.find_make(make)?;
        let rows = self.rows_of(make, model)?;
        let fits = |m: &&Model| year.is_none_or(|y| m.years.0 <= y && y <= m.years.1);
        rows.iter()
            .map(|id| self.model(*id))
            .find(fits)
            .or_else(|| rows.first().map(|id| self.model(*id)))
    }

    fn rows_of(&self, make: MakeId, model: &str) -> Option<&[ModelId]> {
        let rows = self.by_name.get(&(make, model.to_owned()));
        rows.map(Vec::as_slice)
    }

    /// The first model that a make sold by this name.
    pub fn model_of(&self, make: MakeId, name: &str) -> Option<ModelId> {
        self.rows_of(make, name)?.first().copied()
    }

    /// First and last model year of all that a make sold by this name.
    pub fn years_built(&self, make: &str, model: &str) -> Option<(ModelYear, ModelYear)> {
        let make = self.find_make(make)?;
        let rows = self.rows_of(make, model)?;
        let years = rows.iter().map(|id| self.model(*id).years);
        years.reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))
    }

    /// The newest model year of the tables: they were written no earlier.
    pub fn newest_year(&self) -> ModelYear {
        self.newest
    }

    /// Makes that build under this world manufacturer identifier; empty where
    /// the table does not know it.
    pub fn makes_of_wmi(&self, vin: &str) -> &[MakeId] {
        let three = vin.get(..3).and_then(|w| self.wmi.get(w));
        let two = || vin.get(..2).and_then(|w| self.wmi.get(w));
        three.or_else(two).map_or(&[], Vec::as_slice)
    }
}

/// `is300` is also written `is 300`.
fn parted(form: &str) -> Option<String> {
    let letters = form.bytes().take_while(u8::is_ascii_lowercase).count();
    let (head, tail) = form.split_at(letters);
    let figures = (2..=4).contains(&tail.len()) && tail.bytes().all(|b| b.is_ascii_digit());
    ((1..=3).contains(&letters) && figures).then(|| format!("{head} {tail}"))
}

/// An alias as it stands in the folded text.
fn matchable(row: &Row<'_>, alias: &str) -> Result<String, LexiconError> {
    let folded = folded(alias);
    if folded.is_empty() {
        return Err(row.error("aliases", format!("'{alias}' holds no letter or digit")));
    }
    Ok(folded)
}

/// A name as it stands in the folded text: lower case, hyphens as spaces.
pub fn folded(name: &str) -> String {
    let mut tokens = crate::reading::tokens::Tokens::default();
    tokens.fill(name);
    tokens.folded.trim().to_owned()
}
