//! Whether the ads are in the language that the tables know, and in the money of
//! the profile.

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

/// As many ads are looked at; a language shows in some of them.
const LOOKED_AT: usize = 1_000;

/// Language and money that are not those of the tables and the profile.
pub fn notes(
    listings: &[Listing],
    readings: &[Reading],
    profile: &Profile,
    lexicon: &Lexicon,
) -> Vec<Note> {
    let of = listings.len();
    let (count, looked_at) = unknown(listings, lexicon);
    // A few are seen at a glance; many would look like sound cars.
    let many = count > 0 && count * 4 >= looked_at;
    let language = many.then_some(Note::OtherLanguage {
        count,
        of: looked_at,
    });
    let mut money: Vec<(usize, Currency)> = Vec::new();
    let told = readings.iter().filter_map(|r| r.currency);
    for currency in told.filter(|c| c.sign() != profile.currency.sign()) {
        match money.iter_mut().find(|(_, known)| *known == currency) {
            Some((count, _)) => *count += 1,
            None => money.push((1, currency)),
        }
    }
    let count = money.iter().map(|(count, _)| count).sum();
    let most = money.into_iter().rev().max_by_key(|(count, _)| *count);
    let money = most.map(|(_, money)| Note::OtherMoney {
        count,
        of,
        money,
        own: profile.currency,
    });
    language.into_iter().chain(money).collect()
}

/// How many ads hardly have a word that the tables know, of how many that were
/// looked at: all, or of many some from all over the files.
fn unknown(listings: &[Listing], lexicon: &Lexicon) -> (usize, usize) {
    let step = listings.len().div_ceil(LOOKED_AT).max(1);
    let looked_at = || listings.iter().step_by(step);
    let unknown = looked_at().filter(|l| is_unknown(&l.text, lexicon));
    (unknown.count(), looked_at().count())
}

fn is_unknown(text: &str, lexicon: &Lexicon) -> bool {
    let known = |word: &str| {
        lexicon.phrases.words().find(word).is_known() || lexicon.ordinary.contains(word)
    };
    let words = text
        .split(|c: char| !c.is_alphabetic())
        .filter(|word| word.chars().count() > 1)
        .map(str::to_lowercase);
    let (mut all, mut met) = (0_usize, 0_usize);
    for word in words {
        all += 1;
        met += usize::from(known(&word));
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
