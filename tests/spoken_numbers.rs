//! Numbers as they are spoken into a telephone: model year, distance and price
//! put into words by a program, side by side and in every order, as a text
//! without signs has them. What was put into words must be read.

mod ad;

use ad::read_ad;
use fixworth::reading::{AskBasis, MilesBasis};
use fixworth::units::Money;

const ONES: [&str; 20] = [
    "",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
];
const TENS: [&str; 10] = [
    "", "", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety",
];

fn below_hundred(n: u32) -> String {
    match n {
        0..20 => ONES[n as usize].to_owned(),
        _ => format!("{} {}", TENS[n as usize / 10], ONES[n as usize % 10])
            .trim()
            .to_owned(),
    }
}

/// The ways in which people say a year.
fn years(year: u32) -> Vec<String> {
    let two = below_hundred(year % 100);
    match year {
        ..2000 => vec![format!("nineteen {two}"), two],
        2000 => vec!["two thousand".to_owned()],
        2001..2010 => vec![
            format!("two thousand {two}"),
            format!("two thousand and {two}"),
            format!("oh {two}"),
        ],
        _ => vec![format!("two thousand {two}"), format!("twenty {two}")],
    }
}

fn prices(price: u32) -> Vec<String> {
    let (hundreds, rest) = (price / 100, price % 100);
    let said = below_hundred(hundreds);
    match (hundreds % 10, rest) {
        (0, 0) if hundreds >= 10 => vec![format!("{} thousand", below_hundred(hundreds / 10))],
        (_, 0) => vec![format!("{said} hundred")],
        _ => vec![
            format!("{said} {}", below_hundred(rest)),
            format!("{said} hundred and {}", below_hundred(rest)),
        ],
    }
}

fn distances(thousands: u32) -> Vec<String> {
    let rest = below_hundred(thousands % 100);
    match thousands {
        ..100 => vec![format!("{rest} thousand")],
        100..200 => vec![
            format!("a hundred {rest} thousand"),
            format!("one hundred and {rest} thousand"),
        ],
        _ => vec![format!("two hundred {rest} thousand")],
    }
}

/// Each of a list in turn, the next at every call.
struct Turns(usize);

impl Turns {
    fn of<'a, T>(&mut self, list: &'a [T]) -> &'a T {
        // Steps of a prime go through pairs of lists of other lengths.
        self.0 += 7;
        &list[self.0 / 7 * 31 % list.len()]
    }
}

#[test]
fn year_distance_and_price_in_words_are_read() {
    let cars = [
        "mazda protege",
        "toyota corolla",
        "nissan sentra",
        "buick lesabre",
    ];
    let facts = [
        "it runs and drives good",
        "the heater works real good",
        "seats are clean",
    ];
    let told = [
        "it has {} miles on it",
        "about {} miles",
        "{} approximately",
        "mileage is {}",
    ];
    let asked = [
        "i want {} for it",
        "{} dollars",
        "asking {}",
        "{} or best offer",
        "price {}",
    ];
    let (years_of, prices_of) = ([1997, 2000, 2004, 2013], [400, 850, 1200, 1750, 2500, 3000]);
    let (mut turns, mut wrong, mut count) = (Turns(0), Vec::new(), 0);
    for car in cars {
        for year in years_of {
            for price in prices_of {
                for thousands in [67, 89, 104, 131, 188, 226] {
                    let year_said = turns.of(&years(year)).clone();
                    let far = told[count % told.len()]
                        .replace("{}", turns.of(&distances(thousands)).as_str());
                    let sum =
                        asked[count % asked.len()].replace("{}", turns.of(&prices(price)).as_str());
                    let fact = turns.of(&facts);
                    let text = match count % 2 {
                        0 => format!("selling this {year_said} {car} {fact} {far} {sum}"),
                        _ => format!("selling this {year_said} {car} {sum} {fact} {far}"),
                    };
                    count += 1;
                    let read = read_ad(car, &text);
                    let right = read.year.map(|y| u32::from(y.0)) == Some(year)
                        && read.miles.map(|m| m.0) == Some(thousands * 1000)
                        && read.miles_basis == MilesBasis::Rounded
                        && read.ask.map(Money::to_f64) == Some(f64::from(price))
                        && read.ask_basis != AskBasis::None;
                    if !right {
                        wrong.push(format!(
                            "{text:?}: {:?} {:?} {:?}",
                            read.year, read.miles, read.ask
                        ));
                    }
                }
            }
        }
    }
    assert!(count >= 500, "{count} texts");
    assert!(wrong.is_empty(), "{} of {count}: {wrong:#?}", wrong.len());
}
