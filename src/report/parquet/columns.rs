//! Rows laid out in columns.
//!
//! What is nested is written as Parquet has it (Melnik et al. 2010, *Proc. VLDB
//! Endowment* 3(1)): each value with the level to which what holds it is there,
//! and the level at which a list goes on.

use std::io;
use std::sync::Arc;

use parquet::basic::{LogicalType, Repetition, Type as Physical};
use parquet::data_type::ByteArray;
use parquet::errors::Result;
use parquet::schema::types::{Type, TypePtr};
use serde::Serialize;
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

    fn value<'v>(&self, row: &'v Value) -> Option<&'v Value> {
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

    /// Adds an empty leaf for each that it has. `level` is that of what holds it.
    fn add_leaves(self, level: i16, leaves: &mut Vec<Leaf>) {
        let leaf = |values| Leaf {
            values,
            whole: level + 1,
            there: Vec::new(),
            goes_on: Vec::new(),
        };
        match self {
            Shape::Text => leaves.push(leaf(Values::Text(Vec::new()))),
            Shape::Whole => leaves.push(leaf(Values::Whole(Vec::new()))),
            Shape::Number => leaves.push(leaf(Values::Number(Vec::new()))),
            Shape::List(shape) => shape.add_leaves(level + 2, leaves),
            Shape::Record(fields) => {
                for (_, shape) in fields {
                    shape.add_leaves(level + 1, leaves);
                }
            }
        }
    }

    /// How many leaves it has.
    fn leaves(self) -> usize {
        match self {
            Shape::Text | Shape::Whole | Shape::Number => 1,
            Shape::List(shape) => shape.leaves(),
            Shape::Record(fields) => fields.iter().map(|(_, s)| s.leaves()).sum(),
        }
    }

    /// Lays a value out in the leaves of this shape; gives its size, or nothing
    /// where it has another shape.
    fn lay_out(self, value: Option<&Value>, at: Levels, leaves: &mut [Leaf]) -> Option<usize> {
        let Some(value) = value.filter(|v| !v.is_null()) else {
            leaves.iter_mut().for_each(|leaf| leaf.push(at));
            return Some(leaves.len());
        };
        let here = at.below();
        match (self, value) {
            (Shape::List(_), Value::Array(list)) if list.is_empty() => {
                leaves.iter_mut().for_each(|leaf| leaf.push(here));
                Some(leaves.len())
            }
            (Shape::List(shape), Value::Array(list)) => {
                let mut size = 0;
                for (i, value) in list.iter().enumerate() {
                    let at = here.element(i > 0);
                    size += shape.lay_out(Some(value), at, leaves)?;
                }
                Some(size)
            }
            (Shape::Record(fields), Value::Object(object)) => {
                let (mut size, mut rest) = (0, leaves);
                for (name, shape) in fields {
                    let (own, others) = rest.split_at_mut_checked(shape.leaves())?;
                    size += shape.lay_out(object.get(*name), here, own)?;
                    rest = others;
                }
                Some(size)
            }
            _ => {
                let [leaf] = leaves else { return None };
                leaf.push(here);
                leaf.values.push(value)
            }
        }
    }
}

/// Where a value stands.
#[derive(Debug, Clone, Copy)]
struct Levels {
    /// How far what holds it is there.
    there: i16,
    /// At which level a list goes on with it.
    goes_on: i16,
    /// The lists that it stands in.
    lists: i16,
}

impl Levels {
    const ROW: Levels = Levels {
        there: 0,
        goes_on: 0,
        lists: 0,
    };

    fn below(self) -> Self {
        Levels {
            there: self.there + 1,
            ..self
        }
    }

    /// An element of a list that is there, the first or a further one.
    fn element(self, further: bool) -> Self {
        let lists = self.lists + 1;
        Levels {
            there: self.there + 1,
            goes_on: if further { lists } else { self.goes_on },
            lists,
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

/// Some rows in columns.
#[derive(Debug)]
pub struct Batch {
    columns: Vec<TableColumn>,
    pub(super) leaves: Vec<Leaf>,
    /// The size of each row in bytes, about.
    pub(super) rows: Vec<usize>,
}

impl Batch {
    /// No rows of these columns.
    pub fn new(columns: Vec<TableColumn>) -> Self {
        let mut leaves = Vec::new();
        for column in &columns {
            column.shape.add_leaves(0, &mut leaves);
        }
        Batch {
            columns,
            leaves,
            rows: Vec::new(),
        }
    }

    /// Adds a row.
    ///
    /// # Errors
    /// A row whose JSON is not of the columns' shapes, which is a mistake of
    /// ours.
    pub fn push(&mut self, row: &impl Serialize) -> io::Result<()> {
        let row = serde_json::to_value(row)?;
        let (mut size, mut rest) = (0, self.leaves.as_mut_slice());
        for column in &self.columns {
            let (own, others) = rest.split_at_mut(column.shape.leaves());
            let value = column.value(&row);
            size += column
                .shape
                .lay_out(value, Levels::ROW, own)
                .ok_or_else(|| {
                    let name = column.name;
                    io::Error::other(format!("column {name} cannot hold {value:?}"))
                })?;
            rest = others;
        }
        self.rows.push(size);
        Ok(())
    }

    /// Adds the rows of another batch of the same columns.
    pub(super) fn append(&mut self, other: Batch) {
        self.rows.extend(other.rows);
        for (leaf, more) in self.leaves.iter_mut().zip(other.leaves) {
            leaf.append(more);
        }
    }

    /// Takes the rows from this one on.
    pub(super) fn split_off(&mut self, row: usize) -> Batch {
        Batch {
            columns: self.columns.clone(),
            leaves: self.leaves.iter_mut().map(|l| l.split_off(row)).collect(),
            rows: self.rows.split_off(row),
        }
    }
}

/// The values of a column, or of a part of what it holds.
#[derive(Debug)]
pub(super) struct Leaf {
    pub values: Values,
    /// The level of a value that is there.
    whole: i16,
    /// To which level each value is there.
    pub there: Vec<i16>,
    /// At which level a list goes on; 0 where a row begins.
    pub goes_on: Vec<i16>,
}

#[derive(Debug)]
pub(super) enum Values {
    Text(Vec<ByteArray>),
    Whole(Vec<i64>),
    Number(Vec<f64>),
}

impl Values {
    /// Adds a value; gives its size, or nothing where it is of another kind.
    fn push(&mut self, value: &Value) -> Option<usize> {
        match self {
            Values::Text(all) => {
                let text = value.as_str()?;
                all.push(text.into());
                return Some(text.len() + 4);
            }
            Values::Whole(all) => all.push(value.as_i64()?),
            Values::Number(all) => all.push(value.as_f64()?),
        }
        Some(8)
    }
}

impl Leaf {
    fn push(&mut self, at: Levels) {
        self.there.push(at.there);
        self.goes_on.push(at.goes_on);
    }

    fn append(&mut self, other: Leaf) {
        self.there.extend(other.there);
        self.goes_on.extend(other.goes_on);
        match (&mut self.values, other.values) {
            (Values::Text(all), Values::Text(more)) => all.extend(more),
            (Values::Whole(all), Values::Whole(more)) => all.extend(more),
            (Values::Number(all), Values::Number(more)) => all.extend(more),
            // Of the same columns there is no other.
            _ => {}
        }
    }

    fn split_off(&mut self, row: usize) -> Leaf {
        let levels = self.goes_on.iter().enumerate();
        let mut begins = levels.filter(|(_, level)| **level == 0);
        let at = begins.nth(row).map_or(self.goes_on.len(), |(at, _)| at);
        let there = self.there.split_off(at);
        let kept = self.there.iter().filter(|level| **level == self.whole);
        let kept = kept.count();
        Leaf {
            values: match &mut self.values {
                Values::Text(all) => Values::Text(all.split_off(kept)),
                Values::Whole(all) => Values::Whole(all.split_off(kept)),
                Values::Number(all) => Values::Number(all.split_off(kept)),
            },
            whole: self.whole,
            there,
            goes_on: self.goes_on.split_off(at),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    const SAYS: Shape =
        Shape::Record(&[("part", Shape::Text), ("hints", Shape::List(&Shape::Text))]);

    fn batch(rows: &[Value]) -> Batch {
        let mut batch = Batch::new(vec![
            TableColumn::key("id", Shape::Text),
            TableColumn {
                name: "bill_low",
                key: "low",
                of: Some("bill"),
                shape: Shape::Number,
            },
            TableColumn::key("says", Shape::List(&SAYS)),
        ]);
        rows.iter().for_each(|row| batch.push(row).unwrap());
        batch
    }

    fn rows() -> Vec<Value> {
        vec![
            json!({"id": "a", "bill": {"low": 7}, "says": [
                {"part": "clutch", "hints": ["x", "y"]}, {"part": "seat", "hints": []}]}),
            json!({"id": "b", "bill": null, "says": []}),
            json!({"id": "c", "says": [{"part": null, "hints": ["z"]}]}),
        ]
    }

    #[test]
    fn levels_say_what_is_missing_and_where_lists_go_on() {
        let batch = batch(&rows());
        let [id, low, part, hints] = &batch.leaves[..] else {
            panic!("{batch:?}");
        };
        assert_eq!(id.there, [1, 1, 1]);
        assert_eq!(low.there, [1, 0, 0]);
        assert!(matches!(&low.values, Values::Number(n) if n[..] == [7.0]));
        // The list, its entry, the record, the part.
        assert_eq!(part.there, [4, 4, 1, 3]);
        assert_eq!(part.goes_on, [0, 1, 0, 0]);
        assert_eq!(hints.there, [6, 6, 4, 1, 6]);
        assert_eq!(hints.goes_on, [0, 2, 1, 0, 0]);
        assert_eq!(
            schema(&batch.columns).unwrap().get_fields()[1].name(),
            "bill_low"
        );
    }

    #[test]
    fn batches_can_be_cut_anywhere_and_joined_again() {
        let whole = format!("{:?}", batch(&rows()));
        for row in 0..=3 {
            let mut first = batch(&rows());
            let second = first.split_off(row);
            assert_eq!((first.rows.len(), second.rows.len()), (row, 3 - row));
            first.append(second);
            assert_eq!(format!("{first:?}"), whole, "{row}");
        }
    }

    #[test]
    fn a_value_of_another_kind_is_refused() {
        let mut batch = batch(&[]);
        for row in [
            json!({"id": 7}),
            json!({"says": {}}),
            json!({"says": ["x"]}),
        ] {
            assert!(batch.push(&row).is_err(), "{row}");
        }
    }
}
