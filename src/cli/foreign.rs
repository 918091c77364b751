//! Whether the ads are in the language that the tables know, and their prices
//! in the user's money.

use super::notes::Note;
use crate::intake::Listing;
use crate::lexicon::Lexicon;
use crate::profile::Profile;
use crate::reading::Reading;
use crate::units::Currency;

/// Fewer words tell nothing about a language.
const LEAST_WORDS: usize = 5;
/// Ads in English that hold a smaller share of known words are rare (of the
/// sample ads none), ads in other languages that hold a larger one too.
const KNOWN: f64 = 0.4;

/// Ads in another language or with prices in other money, counted as they come.
#[derive(Debug, Clone, Default)]
pub(super) struct Foreign {
    ads: usize,
    unknown: usize,
    /// Each other money in the order in which it was met.
    money: Vec<(usize, Currency)>,
}

impl Foreign {
    /// Looks at the next ad.
    pub fn look(
        &mut self,
        listing: &Listing,
        reading: &Reading,
        profile: &Profile,
        lexicon: &Lexicon,
    ) {
        self.ads += 1;
        self.unknown += usize::from(is_unknown(&listing.text, lexicon));
        let told = reading.currency;
        if let Some(currency) = told.filter(|c| c.sign() != profile.currency.sign()) {
            self.count(1, currency);
        }
    }

    fn count(&mut self, more: usize, currency: Currency) {
        match self.money.iter_mut().find(|(_, known)| *known == currency) {
            Some((count, _)) => *count += more,
            None => self.money.push((more, currency)),
        }
    }

    /// Adds what was counted of the ads behind these.
    pub fn add(&mut self, behind: Foreign) {
        self.ads += behind.ads;
        self.unknown += behind.unknown;
        for (count, currency) in behind.money {
            self.count(count, currency);
        }
    }

    /// What the user should know.
    pub fn notes(self, profile: &Profile) -> impl Iterator<Item = Note> {
        let (count, of) = (self.unknown, self.ads);
        // A few are looked over at a glance; many would look like sound cars.
        let language = (count * 4 >= of && count > 0).then_some(Note::OtherLanguage { count, of });
        let count = self.money.iter().map(|(count, _)| count).sum();
        let most = self.money.into_iter().rev();
        let most = most.max_by_key(|(count, _)| *count);
        let money = most.map(|(_, money)| Note::OtherMoney {
            count,
            of,
            money,
            own: profile.currency,
        });
        language.into_iter().chain(money)
    }
}

fn is_unknown(text: &str, lexicon: &Lexicon) -> bool {
    let known = |word: &str| {
        lexicon.phrases.words().find(word).is_known() || lexicon.ordinary.contains(word)
    };
    let (mut all, mut met, mut seen) = (0_usize, 0_usize, 0_usize);
    let mut lower = String::new();
    for word in text.split(|c: char| !c.is_alphabetic()) {
        seen += word.len() + 1;
        if word.chars().nth(1).is_none() {
            continue;
        }
        all += 1;
        met += usize::from(if word.is_ascii() {
            lower.clear();
            lower.push_str(word);
            lower.make_ascii_lowercase();
            known(&lower)
        } else {
            known(&word.to_lowercase())
        });
        // A word with what parts it from the next takes three bytes: of most
        // ads enough is known halfway.
        let to_come = text.len().saturating_sub(seen) / 3 + 1;
        if met as f64 >= KNOWN * (all + to_come) as f64 {
            return false;
        }
    }
    all >= LEAST_WORDS && (met as f64) < KNOWN * all as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn english_is_known_and_other_languages_are_not() {
        let lexicon = Lexicon::built_in().unwrap();
        for text in [
            "Toyota Yaris\nEmbrayage à refaire, roule bien, contrôle technique à repasser",
            "VW Golf\nKupplung rutscht, TÜV abgelaufen, fährt noch, Verhandlungsbasis",
            "Mazda 3\nEmbrague patina, sin papeles, motor arranca pero echa humo azul",
            "Volvo V70\nKoppelingen slirar, obesiktigad, säljes i befintligt skick",
        ] {
            assert!(is_unknown(text, &lexicon), "{text}");
        }
        for text in [
            "2009 Toyota Corolla\nclutch slips, clean title, drives fine",
            "Saab 9-3\nMy late husband's pride, garaged each winter, will not turn over",
            "Wagon\nlou",
        ] {
            assert!(!is_unknown(text, &lexicon), "{text}");
        }
    }
}
