//! What to do, for the terminal of a telephone: the first line says it.

use std::io::{self, Write};

use crate::kerb::{About, Advice, Decision, Finding, Outcome};
use crate::lexicon::Lexicon;
use crate::lexicon::facts::Fact;
use crate::margin::Appraisal;
use crate::report::car::Car;
use crate::report::page::Page;
use crate::report::screen::{Ink, Screen};
use crate::report::shortlist::Basis;
use crate::report::text::{cut, left, part_words, right, shown, width};
use crate::units::Money;

/// As many checks as are named that were not done.
const MOST_LEFT: usize = 5;

/// What a decision is shown with.
pub struct DecisionPage<'a> {
    /// The ad in short.
    pub car: &'a Car,
    /// What was decided.
    pub decision: &'a Decision<'a, 'a>,
    /// What the figures rest on.
    pub basis: &'a Basis,
    /// The tables, for words.
    pub lexicon: &'a Lexicon,
}

impl DecisionPage<'_> {
    /// Writes it at a width in columns.
    ///
    /// # Errors
    /// When writing fails.
    pub fn write(&self, screen: impl Into<Screen>, out: &mut dyn Write) -> io::Result<()> {
        let mut page = Page::new(out, screen, 80);
        let (line, (ink, word)) = (self.line(), self.first_word());
        page.put_marked(0, (ink, word), &line)?;
        page.hang("", 2, &format!("{}, id {}", self.car.name(), self.car.id))?;
        page.hang("", 2, &self.reason())?;
        let beware = self.car.warnings_in_words();
        if !beware.is_empty() {
            page.hang("", 2, &format!("Beware: {beware}"))?;
        }
        self.figures(&mut page)?;
        self.found(&mut page)?;
        self.left(&mut page)
    }

    fn amount(&self, money: Money) -> String {
        format!("{}{money}", self.basis.currency.sign())
    }

    /// What to do, in one line.
    fn line(&self) -> String {
        match &self.decision.advice {
            Advice::Offer { up_to, begin, .. } => {
                let begin = begin.map_or_else(String::new, |offer| {
                    format!("; begin at {}", self.amount(offer))
                });
                format!("OFFER UP TO {}{begin}", self.amount(*up_to))
            }
            Advice::WalkAway { unless: None } => "WALK AWAY".to_owned(),
            Advice::WalkAway {
                unless: Some(price),
            } => format!("WALK AWAY, unless for {}", self.amount(*price)),
            Advice::CheckFirst { check, about } => {
                format!("CHECK FIRST: {} ({about})", check.name)
            }
            Advice::AskFirst { question } => format!("ASK FIRST: {question}"),
        }
    }

    /// The words of that line that say it, and their colour.
    fn first_word(&self) -> (Ink, &'static str) {
        match &self.decision.advice {
            Advice::Offer { .. } => (Ink::Go, "OFFER"),
            Advice::WalkAway { .. } => (Ink::Faint, "WALK AWAY"),
            Advice::CheckFirst { .. } => (Ink::Care, "CHECK FIRST"),
            Advice::AskFirst { .. } => (Ink::Care, "ASK FIRST"),
        }
    }

    fn reason(&self) -> String {
        let now = &self.decision.now;
        let asks = now.reading.ask.map_or_else(
            || "no price".to_owned(),
            |ask| format!("asks {}", self.amount(ask)),
        );
        let worth = match &self.decision.advice {
            Advice::Offer {
                worth_it_up_to: Some(ceiling),
                ..
            } => format!(", worth it up to {}", self.amount(*ceiling)),
            _ => String::new(),
        };
        format!("{asks}{worth}; {}", now.reason)
    }

    fn figures(&self, page: &mut Page<'_>) -> io::Result<()> {
        let (told, now) = (&self.decision.told, &self.decision.now);
        type Figure = (&'static str, fn(&Appraisal) -> Option<Money>);
        let figures: [Figure; 4] = [
            ("fix bill", |a| a.bill.as_ref().map(|b| b.total.likely)),
            ("worth", |a| a.worth.as_ref().map(|w| w.right.likely)),
            ("margin", |a| a.margin.map(|m| m.likely)),
            ("pay up to", |a| a.ceiling),
        ];
        let show = |m: Option<Money>| m.map_or_else(|| "?".to_owned(), |m| m.to_string());
        let line = |label: &str, a: &str, b: &str| {
            format!("{}{}{}", left(label, 12), right(a, 9), right(b, 10))
        };
        writeln!(page.out)?;
        writeln!(page.out, "{}", line("", "by ad", "now"))?;
        for (label, figure) in figures {
            writeln!(
                page.out,
                "{}",
                line(label, &show(figure(told)), &show(figure(now)))
            )?;
        }
        Ok(())
    }

    fn found(&self, page: &mut Page<'_>) -> io::Result<()> {
        if self.decision.effects.is_empty() {
            return Ok(());
        }
        page.head("Found (what it does to the price)")?;
        for effect in &self.decision.effects {
            let change = match effect.ceiling {
                Some(money) if money > Money::ZERO => format!("+{money}"),
                Some(money) => money.to_string(),
                None => "?".to_owned(),
            };
            let prefix = format!("{}  ", right(&change, 7));
            page.hang(&prefix, width(&prefix), &self.words(effect.finding))?;
        }
        Ok(())
    }

    /// `Tread and sizes: bad; tire now 97 %; "two bald"; 180 by your figure`.
    pub(super) fn words(&self, finding: &Finding) -> String {
        let mut words = match finding.about {
            About::Check(place, _) => {
                let check = self.lexicon.checks.rows().get(place);
                check.map_or_else(String::new, |c| c.name.clone())
            }
            About::Code(part) => part_words(self.lexicon, part),
            About::Fact => String::new(),
        };
        let outcome = match finding.outcome {
            Outcome::Good => ": good".to_owned(),
            Outcome::Bad => ": bad".to_owned(),
            Outcome::Open => String::new(),
            Outcome::Ask(ask) => format!("asks {}", self.amount(ask)),
            Outcome::Miles(miles) => format!("{miles} miles"),
            Outcome::Fact(fact) => match fact {
                Fact::Title(title) => format!("papers {title}"),
                Fact::Moves(moves) => format!("moves {moves}"),
                Fact::Gearbox(gearbox) => format!("gearbox {gearbox}"),
                Fact::Miles(basis) => format!("distance {basis}"),
                Fact::Fault(part) => part_words(self.lexicon, part),
            }
            .replace('_', " "),
        };
        words.push_str(&outcome);
        let weighed = &self.decision.weighed;
        // What a check does to codes that nobody speaks of is no news.
        for w in weighed.iter().filter(|w| w.line == finding.line) {
            if (w.before - w.after).abs() >= 0.005 && matches!(finding.about, About::Check(..)) {
                words.push_str(&format!(
                    "; {} {:.0} -> {:.0} %",
                    part_words(self.lexicon, w.part),
                    w.before * 100.0,
                    w.after * 100.0
                ));
            }
        }
        if let Some(cost) = finding.cost {
            words.push_str(&format!("; {} by your figure", self.amount(cost)));
        }
        if finding.spare {
            words.push_str("; the part lies with it");
        }
        if let Some(note) = &finding.note {
            words.push_str(&format!("; {}", cut(&shown(note), 60)));
        }
        words
    }

    fn left(&self, page: &mut Page<'_>) -> io::Result<()> {
        let left = &self.decision.left;
        if left.is_empty() {
            return Ok(());
        }
        page.head("Not looked at, though the ad calls for it")?;
        for chosen in left.iter().take(MOST_LEFT) {
            let text = format!("{} ({})", chosen.check.name, chosen.why.join(", "));
            page.put(2, &text)?;
        }
        match left.len().saturating_sub(MOST_LEFT) {
            0 => Ok(()),
            more => page.put(2, &format!("and {more} more on the sheet")),
        }
    }
}
