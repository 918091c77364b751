//! JSON Schemas (draft 2020-12) of all that is printed as JSON.
//!
//! They are derived from the types that are printed, so that they cannot differ
//! from them. A key that is not in a schema is refused by it. Versions have two
//! numbers: the second grows where something is added, the first where
//! something goes or means something else. `tests/schemas/` holds each as it
//! was last committed, so that a change is seen.

use schemars::generate::SchemaSettings;
use schemars::{JsonSchema, Schema};
use serde_json::{Value, json};

use super::columns::FileColumns;
use super::explained::Explained;
use super::kerb::json::{CallJson, DecisionJson};
use super::ledger::All;
use super::plan::PlanList;
use super::price::PriceRow;
use super::reading::ReadRow;
use super::shortlist::{CarLine, Shortlist};

/// A form of JSON that is printed.
#[derive(Debug, Clone, Copy)]
pub struct Form {
    /// Its name.
    pub name: &'static str,
    /// The version of its schema.
    pub version: &'static str,
    /// What prints it.
    pub what: &'static str,
    make: fn() -> Schema,
}

/// All forms.
pub const FORMS: &[Form] = &[
    Form {
        name: "read",
        version: "1.0",
        what: "a line of 'read', an element of its list",
        make: made::<ReadRow<'static>>,
    },
    Form {
        name: "price",
        version: "1.1",
        what: "a line of 'price', an element of its list",
        make: made::<PriceRow<'static>>,
    },
    Form {
        name: "shortlist",
        version: "1.1",
        what: "'shortlist --format json'",
        make: made::<Shortlist>,
    },
    Form {
        name: "car",
        version: "1.1",
        what: "a line of 'shortlist --format jsonl'",
        make: made::<CarLine<'static>>,
    },
    Form {
        name: "explain",
        version: "2.0",
        what: "'explain --format json'",
        make: made::<Explained<'static>>,
    },
    Form {
        name: "plan",
        version: "1.0",
        what: "'plan --format json'",
        make: made::<PlanList>,
    },
    Form {
        name: "call",
        version: "1.0",
        what: "'call --format json'",
        make: made::<CallJson<'static>>,
    },
    Form {
        name: "decide",
        version: "1.0",
        what: "'decide --format json'",
        make: made::<Vec<DecisionJson<'static>>>,
    },
    Form {
        name: "ledger",
        version: "1.0",
        what: "'ledger --format json'",
        make: made::<All>,
    },
    Form {
        name: "columns",
        version: "1.1",
        what: "'columns --format json'",
        make: made::<Vec<FileColumns>>,
    },
];

/// What the schema of a form is known by; objects that are made by it alone say
/// so under the key `schema`. Rows of which there are many do not: who reads
/// them knows what was asked for.
pub fn id_of(name: &str) -> String {
    Form::of_name(name).map_or_else(String::new, Form::id)
}

fn made<T: JsonSchema>() -> Schema {
    let settings = SchemaSettings::draft2020_12().for_serialize();
    settings.into_generator().into_root_schema_for::<T>()
}

impl Form {
    /// The form of this name.
    pub fn of_name(name: &str) -> Option<&'static Form> {
        FORMS.iter().find(|form| form.name == name)
    }

    /// What its schema is known by.
    pub fn id(&self) -> String {
        format!("urn:fixworth:{}:{}", self.name, self.version)
    }

    /// Its schema.
    ///
    /// ```
    /// let form = fixworth::report::schema::Form::of_name("shortlist").unwrap();
    /// let schema = form.schema();
    /// assert_eq!(schema["$id"], "urn:fixworth:shortlist:1.1");
    /// ```
    pub fn schema(&self) -> Value {
        let mut schema = (self.make)();
        schema.insert("$id".to_owned(), self.id().into());
        if let Some(own) = schema.pointer_mut("/properties/schema") {
            *own = json!({ "const": self.id() });
        }
        let title = format!("fixworth {} {}", self.name, self.version);
        schema.insert("title".to_owned(), title.into());
        schema.insert(
            "description".to_owned(),
            format!("What is printed by {}.", self.what).into(),
        );
        schema.to_value()
    }
}
