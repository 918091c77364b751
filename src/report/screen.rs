//! What a text is laid out for: so many columns, with colours or without.
//!
//! Colours only repeat what the words say. There are few, none of them red or
//! green, which one reader in twenty cannot tell apart: cyan for a car to look
//! at, yellow for what needs a question or care, faint for what can be left.

use crate::margin::Action;

/// The narrowest text that is laid out; below it lines run over.
pub const NARROWEST: usize = 32;

/// Columns and colours of a text.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Screen {
    /// Columns.
    pub columns: usize,
    /// Whether colours are used.
    pub colour: bool,
}

impl From<usize> for Screen {
    /// So many columns, without colours.
    fn from(columns: usize) -> Self {
        Screen {
            columns,
            colour: false,
        }
    }
}

/// What a colour stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ink {
    /// A heading, or the name of a car.
    Strong,
    /// Headers of columns, and what can be left.
    Faint,
    /// A car to look at, a price to offer.
    Go,
    /// A question first, or something to distrust.
    Care,
}

impl Ink {
    /// Select Graphic Rendition of ECMA-48.
    const fn code(self) -> &'static str {
        match self {
            Ink::Strong => "\u{1b}[1m",
            Ink::Faint => "\u{1b}[2m",
            Ink::Go => "\u{1b}[1;36m",
            Ink::Care => "\u{1b}[1;33m",
        }
    }
}

impl From<Action> for Ink {
    fn from(action: Action) -> Self {
        match action {
            Action::View => Ink::Go,
            Action::Ask => Ink::Care,
            Action::Skip => Ink::Faint,
        }
    }
}

impl Screen {
    /// The same with no more columns than `most`, and enough to lay out.
    #[must_use]
    pub fn within(self, most: usize) -> Self {
        Screen {
            columns: self.columns.clamp(NARROWEST, most),
            ..self
        }
    }

    /// The text in a colour, where there are colours.
    #[must_use]
    pub fn paint(self, ink: Ink, text: &str) -> String {
        if !self.colour || text.is_empty() {
            return text.to_owned();
        }
        format!("{}{text}\u{1b}[0m", ink.code())
    }

    /// A line whose first letters are these words, with those words in a
    /// colour. Lines are laid out first, since colours take no columns.
    #[must_use]
    pub fn paint_start(self, ink: Ink, words: &str, line: &str) -> String {
        let indent = line.len() - line.trim_start().len();
        let (blank, rest) = line.split_at(indent);
        match rest.strip_prefix(words) {
            Some(after) if self.colour => {
                format!("{blank}{}{after}", self.paint(ink, words))
            }
            _ => line.to_owned(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn colours_go_around_the_words_only_where_they_are_wanted() {
        let plain = Screen::from(80);
        let coloured = Screen {
            colour: true,
            ..plain
        };
        assert_eq!(plain.paint(Ink::Go, "VIEW"), "VIEW");
        assert_eq!(
            coloured.paint_start(Ink::Care, "ASK:", "  ASK: why"),
            "  \u{1b}[1;33mASK:\u{1b}[0m why"
        );
        assert_eq!(
            coloured.paint_start(Ink::Care, "ASK:", "  VIEW: x"),
            "  VIEW: x"
        );
        assert_eq!(
            plain.paint_start(Ink::Care, "ASK:", "  ASK: why"),
            "  ASK: why"
        );
    }

    #[test]
    fn a_screen_is_never_narrower_than_can_be_laid_out() {
        assert_eq!(Screen::from(7).within(100).columns, NARROWEST);
        assert_eq!(Screen::from(300).within(100).columns, 100);
    }
}
