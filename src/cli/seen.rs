//! The day on which a file was saved, as the user tells it.

use std::str::FromStr;

use crate::day::Day;

/// `FILE=DATE`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SeenOn {
    /// The file as named among the arguments.
    pub file: String,
    /// The day.
    pub day: Day,
}

impl FromStr for SeenOn {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let expected = || "give a file and a date such as ads.csv=2016-05-03".to_owned();
        // A name may hold a sign of its own; a date never does.
        let (file, day) = text.rsplit_once('=').ok_or_else(expected)?;
        if file.is_empty() {
            return Err(expected());
        }
        Ok(SeenOn {
            file: file.to_owned(),
            day: day.parse()?,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_last_sign_parts_file_and_date() {
        let seen: SeenOn = "a=b.csv=2016-05-03".parse().unwrap();
        assert_eq!(seen.file, "a=b.csv");
        assert_eq!(seen.day.to_string(), "2016-05-03");
        for text in ["ads.csv", "=2016-05-03", "ads.csv=May", "ads.csv="] {
            assert!(text.parse::<SeenOn>().is_err(), "{text}");
        }
    }
}
