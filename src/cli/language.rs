//! Whether the ads are in the language that the tables know.

use crate::intake::Listing;
use crate::lexicon::Lexicon;

/// Fewer words tell nothing about a language.
const LEAST_WORDS: usize = 5;
/// Ads in English that hold a smaller share of known words are rare (of the
/// sample ads none), ads in other languages that hold a larger one too.
const KNOWN: f64 = 0.4;

/// How many ads hardly have a word that the tables know.
pub fn unknown(listings: &[Listing], lexicon: &Lexicon) -> usize {
    listings
        .iter()
        .filter(|l| is_unknown(&l.text, lexicon))
        .count()
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
