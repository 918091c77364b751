//! What is written in Thrift's compact protocol, looked through without being
//! believed: nothing is made room for, and nothing is followed deeper than it
//! may go.
//!
//! The decoder goes down as deep as a schema says it is nested, and would leave
//! its stack; and it makes room for as much as a page says it unpacks to.

/// A schema is nested this deep at most: `a.b.c` is three deep.
const DEEPEST: usize = 64;

/// Structures within structures that are passed over.
const DEEPEST_SKIP: u32 = 16;

/// How large a page says it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct PageSizes {
    /// Unpacked.
    pub unpacked: i64,
    /// As it stands in the file.
    pub packed: i64,
}

/// The sizes of the page whose header these bytes begin with.
pub(super) fn page_sizes(header: &[u8]) -> Option<PageSizes> {
    let mut skim = Skim(header);
    let (mut unpacked, mut last) = (None, 0);
    loop {
        let (id, kind) = skim.field(last)?;
        last = id;
        match (id, kind) {
            (2, Kind::Whole) => unpacked = Some(skim.whole()?),
            (3, Kind::Whole) => {
                return Some(PageSizes {
                    unpacked: unpacked?,
                    packed: skim.whole()?,
                });
            }
            (_, Kind::Stop) => return None,
            _ => skim.skip(kind, DEEPEST_SKIP)?,
        }
    }
}

/// Whether the schema in an index goes no deeper than any that is meant well.
pub(super) fn schema_is_shallow(index: &[u8]) -> bool {
    depth(index).is_some()
}

fn depth(index: &[u8]) -> Option<()> {
    let mut skim = Skim(index);
    let mut last = 0;
    loop {
        let (id, kind) = skim.field(last)?;
        last = id;
        match (id, kind) {
            (2, Kind::List) => break,
            (_, Kind::Stop) => return None,
            _ => skim.skip(kind, DEEPEST_SKIP)?,
        }
    }
    let (elements, kind) = skim.list()?;
    if kind != Kind::Struct {
        return None;
    }
    // Of each group that is open, how many of its columns are to come.
    let mut open: Vec<i64> = Vec::new();
    for _ in 0..elements {
        while open.last() == Some(&0) {
            open.pop();
        }
        if let Some(left) = open.last_mut() {
            *left -= 1;
        }
        let columns = skim.columns_of_element()?;
        if columns > 0 {
            open.push(columns);
        }
        if open.len() > DEEPEST {
            return None;
        }
    }
    Some(())
}

/// How many values a column written by differences says that it has.
pub(super) fn differences(data: &[u8]) -> Option<u64> {
    let mut skim = Skim(data);
    let (_block, _parts) = (skim.varint()?, skim.varint()?);
    skim.varint()
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kind {
    Stop,
    Flag,
    Byte,
    Whole,
    Real,
    Binary,
    List,
    Map,
    Struct,
}

impl Kind {
    fn of(code: u8) -> Option<Self> {
        Some(match code {
            0 => Kind::Stop,
            1 | 2 => Kind::Flag,
            3 => Kind::Byte,
            4..=6 => Kind::Whole,
            7 => Kind::Real,
            8 => Kind::Binary,
            9 | 10 => Kind::List,
            11 => Kind::Map,
            12 => Kind::Struct,
            _ => return None,
        })
    }
}

/// The bytes that are still to come.
struct Skim<'a>(&'a [u8]);

impl Skim<'_> {
    fn byte(&mut self) -> Option<u8> {
        let (first, rest) = self.0.split_first()?;
        self.0 = rest;
        Some(*first)
    }

    fn pass(&mut self, bytes: u64) -> Option<()> {
        self.0 = self.0.get(usize::try_from(bytes).ok()?..)?;
        Some(())
    }

    fn varint(&mut self) -> Option<u64> {
        let mut value = 0_u64;
        for shift in (0..64).step_by(7) {
            let byte = self.byte()?;
            value |= u64::from(byte & 0x7f) << shift;
            if byte & 0x80 == 0 {
                return Some(value);
            }
        }
        None
    }

    fn whole(&mut self) -> Option<i64> {
        let zigzag = self.varint()?;
        Some((zigzag >> 1) as i64 ^ -((zigzag & 1) as i64))
    }

    /// The next field of a structure: its number and kind. `last` is the number
    /// of the one before.
    fn field(&mut self, last: i64) -> Option<(i64, Kind)> {
        let byte = self.byte()?;
        let kind = Kind::of(byte & 0x0f)?;
        Some(match byte >> 4 {
            _ if kind == Kind::Stop => (0, kind),
            0 => (self.whole()?, kind),
            more => (last.checked_add(i64::from(more))?, kind),
        })
    }

    /// The number of elements of a list, and their kind.
    fn list(&mut self) -> Option<(u64, Kind)> {
        let byte = self.byte()?;
        let elements = match byte >> 4 {
            15 => self.varint()?,
            few => u64::from(few),
        };
        Some((elements, Kind::of(byte & 0x0f)?))
    }

    fn skip(&mut self, kind: Kind, deepest: u32) -> Option<()> {
        let deepest = deepest.checked_sub(1)?;
        match kind {
            // The field's own head says which.
            Kind::Stop | Kind::Flag => {}
            Kind::Byte => self.pass(1)?,
            Kind::Whole => {
                self.varint()?;
            }
            Kind::Real => self.pass(8)?,
            Kind::Binary => {
                let bytes = self.varint()?;
                self.pass(bytes)?;
            }
            Kind::List => {
                let (elements, kind) = self.list()?;
                for _ in 0..elements {
                    self.skip_element(kind, deepest)?;
                }
            }
            Kind::Map => {
                let pairs = self.varint()?;
                let kinds = if pairs > 0 { self.byte()? } else { 0 };
                for _ in 0..pairs {
                    self.skip_element(Kind::of(kinds >> 4)?, deepest)?;
                    self.skip_element(Kind::of(kinds & 0x0f)?, deepest)?;
                }
            }
            Kind::Struct => {
                let mut last = 0;
                loop {
                    let (id, kind) = self.field(last)?;
                    if kind == Kind::Stop {
                        break;
                    }
                    last = id;
                    self.skip(kind, deepest)?;
                }
            }
        }
        Some(())
    }

    /// An element takes a byte at least, so that a list cannot go on for longer
    /// than the bytes do.
    fn skip_element(&mut self, kind: Kind, deepest: u32) -> Option<()> {
        match kind {
            Kind::Flag => self.pass(1),
            Kind::Stop => None,
            _ => self.skip(kind, deepest),
        }
    }

    /// Reads an element of a schema; gives how many columns are within it.
    fn columns_of_element(&mut self) -> Option<i64> {
        let (mut columns, mut last) = (0, 0);
        loop {
            let (id, kind) = self.field(last)?;
            last = id;
            match (id, kind) {
                (_, Kind::Stop) => return Some(columns),
                (5, Kind::Whole) => columns = self.whole()?,
                _ => self.skip(kind, DEEPEST_SKIP)?,
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// An index with a root and `deep` groups, each within the one before.
    fn nested(deep: usize) -> Vec<u8> {
        // Version 1; a list of structures.
        let mut index = vec![0x15, 0x02, 0x19, 0xfc];
        let mut elements = deep + 1;
        while elements >= 0x80 {
            index.push(elements as u8 | 0x80);
            elements >>= 7;
        }
        index.push(elements as u8);
        for _ in 0..deep {
            // Field 4, a name of one letter; field 5, one column.
            index.extend([0x48, 1, b'a', 0x15, 2, 0]);
        }
        index.extend([0x48, 1, b'z', 0]);
        index
    }

    #[test]
    fn a_schema_may_be_nested_but_not_without_end() {
        assert!(schema_is_shallow(&nested(3)));
        assert!(schema_is_shallow(&nested(DEEPEST)));
        assert!(!schema_is_shallow(&nested(DEEPEST + 1)));
        assert!(!schema_is_shallow(&nested(1_000_000)));
        assert!(!schema_is_shallow(&nested(3)[..10]));
        assert!(!schema_is_shallow(b""));
    }

    #[test]
    fn a_page_tells_its_sizes() {
        // Type 0; 300 bytes unpacked, 100 packed; whatever follows.
        let header = [0x15, 0, 0x15, 0xd8, 0x04, 0x15, 0xc8, 0x01, 0x2c];
        let sizes = PageSizes {
            unpacked: 300,
            packed: 100,
        };
        assert_eq!(page_sizes(&header), Some(sizes));
        assert_eq!(page_sizes(&header[..6]), None);
        assert_eq!(page_sizes(&[0]), None);
    }
}
