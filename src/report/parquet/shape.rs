//! What the columns of a table hold.

use std::sync::Arc;

use parquet::basic::{LogicalType, Repetition, Type as Physical};
use parquet::errors::Result;
use parquet::schema::types::{Type, TypePtr};
use serde_json::Value;

/// A column of a table.
#[derive(Debug, Clone, Copy)]
pub struct TableColumn {
    /// Its name.
    pub name: &'static str,
    /// The key of the row's JSON that it holds.
    pub key: &'static str,
    /// The object of the row's JSON that has the key; `None` for the row itself.
    pub of: Option<&'static str>,
    /// What it holds.
    pub shape: Shape,
}

/// What a column holds. Anything may be missing.
#[derive(Debug, Clone, Copy)]
pub enum Shape {
    /// Text.
    Text,
    /// A whole number.
    Whole,
    /// A number.
    Number,
    /// Any number of the same.
    List(&'static Shape),
    /// Each of these.
    Record(&'static [(&'static str, Shape)]),
}

impl TableColumn {
    /// A column that holds what the row has under its name.
    pub const fn key(name: &'static str, shape: Shape) -> Self {
        TableColumn {
            name,
            key: name,
            of: None,
            shape,
        }
    }

    pub(super) fn value<'v>(&self, row: &'v Value) -> Option<&'v Value> {
        match self.of {
            None => row.get(self.key),
            Some(outer) => row.get(outer)?.get(self.key),
        }
    }
}

impl Shape {
    /// The type of a column of this name.
    fn typed(self, name: &str) -> Result<Type> {
        let leaf =
            |kind| Type::primitive_type_builder(name, kind).with_repetition(Repetition::OPTIONAL);
        let group = |fields| {
            Type::group_type_builder(name)
                .with_repetition(Repetition::OPTIONAL)
                .with_fields(fields)
        };
        match self {
            Shape::Text => {
                let leaf = leaf(Physical::BYTE_ARRAY);
                leaf.with_logical_type(Some(LogicalType::String)).build()
            }
            Shape::Whole => leaf(Physical::INT64).build(),
            Shape::Number => leaf(Physical::DOUBLE).build(),
            Shape::List(shape) => {
                let repeated = Type::group_type_builder("list")
                    .with_repetition(Repetition::REPEATED)
                    .with_fields(vec![Arc::new(shape.typed("element")?)])
                    .build()?;
                let list = group(vec![Arc::new(repeated)]);
                list.with_logical_type(Some(LogicalType::List)).build()
            }
            Shape::Record(fields) => {
                let fields = fields
                    .iter()
                    .map(|(name, shape)| Ok(Arc::new(shape.typed(name)?)));
                group(fields.collect::<Result<_>>()?).build()
            }
        }
    }
}

/// The schema of a table of these columns.
pub(super) fn schema(columns: &[TableColumn]) -> Result<TypePtr> {
    let fields = columns
        .iter()
        .map(|column| Ok(Arc::new(column.shape.typed(column.name)?)));
    let fields = fields.collect::<Result<_>>()?;
    let table = Type::group_type_builder("ads").with_fields(fields);
    Ok(Arc::new(table.build()?))
}
