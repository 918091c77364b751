//! Which of the amounts in an ad is what the seller asks now.

mod alone;
mod cell;
mod newest;
mod typed;

use super::model::AskBasis;
use super::news::News;
use super::numbers::{Form, Number};
use super::numerals;
use super::roles::Roles;
use super::signs::Found;
use super::tokens::{TokenKind, Tokens};
use crate::lexicon::phrases::NumberRole;
use alone::{bare_at_end, closes, ends_bracket, found_in_words, meant, parted_off, year_like};
pub(super) use alone::{closes_headline, in_plain_words, like_a_year, opens_a_clause};
pub use cell::of_cell;
use newest::{ends, newest, opening, rejected};
use typed::filled_in;
pub use typed::is_placeholder;

/// What was read of the price.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ask {
    /// What is asked, if a figure is.
    pub amount: Option<f64>,
    /// Only how the figure is meant: placeholder, deposit, none, or plain.
    pub basis: AskBasis,
    /// Tokens it was read from; none where it is the price cell's.
    pub tokens: Option<(usize, usize)>,
}

/// An amount that may be the price.
pub(super) struct Candidate {
    pub(super) value: f64,
    pub(super) tokens: (usize, usize),
    explicit: bool,
    both: bool,
    money: bool,
    headline: bool,
    /// Words before it tell that the price came down.
    lowered: bool,
    /// Where it stands in its sentence.
    ends: newest::Ends,
    /// It ends a bracket: `rebuilt (in March, $1,150)`.
    bracket: bool,
}

impl Candidate {
    /// A number that nothing says to be a price but where it stands.
    fn bare(n: &Number) -> Self {
        Candidate {
            value: n.value,
            tokens: n.tokens,
            explicit: false,
            both: false,
            money: false,
            headline: false,
            lowered: false,
            ends: newest::Ends::NONE,
            bracket: false,
        }
    }
}

/// Reads the price. `cell` is the export's price column.
pub(super) fn read(
    cell: Option<&str>,
    numbers: &[(Number, Roles)],
    (tokens, headline_tokens): (&Tokens, usize),
    signs: &[Found<AskBasis>],
    news: &News,
) -> Ask {
    let cell = cell.and_then(of_cell);
    let (mut found, deposits) = candidates(cell, numbers, tokens, headline_tokens, signs);
    let no_cell = cell.is_none_or(|cell| cell == 0.0);
    if no_cell && found.is_empty() && deposits.is_empty() {
        let spoken = || found_in_words(numbers);
        found.extend(parted_off(numbers, tokens, headline_tokens).or_else(spoken));
    }
    found.extend(opening(numbers, tokens, news));
    // `$2,400. Was $2,900`, and the column still has the old one.
    let was = |(n, r): &(Number, Roles)| {
        role_of(r) == Some(NumberRole::Was) && cell.is_some_and(|c| (c - n.value).abs() < 0.5)
    };
    if numbers.iter().any(was) {
        for lower in found.iter_mut().filter(|c| cell > Some(c.value)) {
            lower.explicit |= lower.money;
        }
    }
    let new = newest(cell, &found, news).map(plain);
    // What else was added tells of work done, of parts, of offers.
    let first = |c: &Candidate| news.number(c.tokens.0) == 0;
    let agrees = |c: &Candidate| Some(c.value) == cell;
    if !news.is_empty() && found.iter().any(first) && !found.iter().any(agrees) {
        found.retain(first);
    }
    let mut ask = choose(cell, &found, &deposits);
    if ask.basis == AskBasis::None && deposits.is_empty() {
        ask = filled_in(numbers, tokens).unwrap_or(ask);
    }
    new.filter(|new| new.amount != ask.amount).unwrap_or(ask)
}

fn plain(c: &Candidate) -> Ask {
    Ask {
        amount: Some(c.value),
        basis: AskBasis::Plain,
        tokens: Some(c.tokens),
    }
}

/// A deposit, rate or bid with its tokens, and what it makes of the price.
type Deposit = (f64, (usize, usize), AskBasis);

/// The amounts of a text that may be the price, and those that are a deposit
/// or a bid.
pub(super) fn candidates(
    cell: Option<f64>,
    numbers: &[(Number, Roles)],
    tokens: &Tokens,
    headline_tokens: usize,
    signs: &[Found<AskBasis>],
) -> (Vec<Candidate>, Vec<Deposit>) {
    let mut found: Vec<Candidate> = Vec::new();
    let mut deposits: Vec<Deposit> = Vec::new();
    for (i, (n, roles)) in numbers.iter().enumerate() {
        let money = n.money;
        if rejected(n, tokens) {
            continue;
        }
        let earlier = i.checked_sub(1).map(|i| &numbers[i]);
        let role = match earlier {
            Some((before, was)) if lowered_to(before, was, n, roles) => Some(NumberRole::Ask),
            _ if lowered_on(&numbers[..i], n, roles, tokens)
                && !found.iter().any(|c| c.explicit && c.value < n.value) =>
            {
                Some(NumberRole::Ask)
            }
            // `asking eight hundred and fifty seats are clean`
            _ if asked_before_things(n, roles, tokens) => Some(NumberRole::Ask),
            // `$1500 today`, `$1500 now`: with a sign of money it is no distance.
            _ if money && roles.after == Some(NumberRole::Distance) => role_of(&Roles {
                after: None,
                ..*roles
            })
            .or(Some(NumberRole::Ask)),
            _ => role_of(roles),
        };
        // Without a sign of money, a figure of that size is a distance.
        let far = !money
            && (n.form == Form::Thousands && n.value >= 50_000.0
                || n.form == Form::Words && n.value >= 30_000.0
                || n.form == Form::Grouped && n.value >= 60_000.0);
        // `98 for the farm`, `overdue by 20,000 and I know it`
        let odd = !money && roles.before != Some(NumberRole::Ask) && n.value < 100.0
            || !money
                && roles.before == Some(NumberRole::OtherDistance)
                && n.form == Form::Grouped
                && n.value >= 10_000.0;
        if odd && role == Some(NumberRole::Ask) {
            continue;
        }
        if n.value < 40.0 || n.value > 500_000.0 || n.form == Form::Masked || far {
            if role == Some(NumberRole::Deposit) && money {
                deposits.push((n.value, n.tokens, AskBasis::Deposit));
            }
            continue;
        }
        match role {
            Some(NumberRole::Deposit)
                if money || cell == Some(n.value) || roles.after == role && n.value >= 200.0 =>
            {
                deposits.push((n.value, n.tokens, AskBasis::Deposit));
            }
            Some(NumberRole::Bid) => deposits.push((n.value, n.tokens, AskBasis::None)),
            Some(NumberRole::Ask) => {
                // `asking 2000.`, `I want 2000 for it`; but `asking for my 2003`.
                let round = n.value % 50.0 == 0.0;
                let asked = roles.before == Some(NumberRole::Ask)
                    && (roles.after == Some(NumberRole::Ask) || closes(n, tokens));
                let named = numerals::is_money(tokens, n.tokens.1 + 1);
                // `2003 Century 2000 obo`: the year stands before it.
                let year = |(n, _): &(Number, Roles)| year_like(n);
                let second =
                    round && roles.after == Some(NumberRole::Ask) && numbers[..i].iter().any(year);
                let a_year = !money
                    && year_like(n)
                    && !(round && asked || named || second)
                    && cell != Some(n.value);
                // `put a clutch in it, 700 dollars`: a sum, asked or not.
                let sum = roles.before.is_none() && only_a_sum(n, tokens);
                let money = money || sum;
                if !(a_year || n.form == Form::Fraction && !money) {
                    found.push(Candidate {
                        value: n.value,
                        tokens: n.tokens,
                        explicit: !sum,
                        both: roles.before == Some(NumberRole::Ask)
                            && roles.after == Some(NumberRole::Ask),
                        money,
                        headline: n.tokens.0 < headline_tokens,
                        lowered: roles.lowered.is_some(),
                        ends: ends(n, roles, tokens),
                        bracket: ends_bracket(n, tokens),
                    });
                }
            }
            None if money || bare_at_end(n, tokens) || meant(n, tokens, signs) => {
                found.push(Candidate {
                    value: n.value,
                    tokens: n.tokens,
                    explicit: meant(n, tokens, signs),
                    both: false,
                    money,
                    headline: n.tokens.0 < headline_tokens,
                    lowered: false,
                    ends: ends(n, roles, tokens),
                    bracket: ends_bracket(n, tokens),
                })
            }
            _ => {}
        }
    }
    (found, deposits)
}

/// Whether a sum stands behind a comma with no more than the word for its money:
/// `.., 700 dollars.`
fn only_a_sum(n: &Number, tokens: &Tokens) -> bool {
    let comma = n.tokens.0.checked_sub(1);
    numerals::is_money(tokens, n.tokens.1 + 1)
        && comma.is_some_and(|i| tokens.kind(i) == TokenKind::Sign(b','))
        && !matches!(tokens.kind(n.tokens.1 + 2), TokenKind::Word)
}

/// Whether a price is the new one beside its old one: `reduced from 3,800 to
/// 3,200`.
fn lowered_to(before: &Number, was: &Roles, now: &Number, roles: &Roles) -> bool {
    was.before == Some(NumberRole::Was)
        && now.value < before.value
        && roles
            .lowered
            .is_some_and(|first| first <= before.tokens.1 + 1)
}

/// Whether a price goes on downwards from an old one in its sentence: `was
/// 5,900, then 5,400, today 4,900`.
fn lowered_on(before: &[(Number, Roles)], now: &Number, roles: &Roles, tokens: &Tokens) -> bool {
    let Some((last, was)) = before.last().filter(|_| roles.lowered.is_some()) else {
        return false;
    };
    let clause = |i: usize| {
        matches!(
            tokens.kind(i),
            TokenKind::Word | TokenKind::Sign(b',' | b'-' | b'$')
        )
    };
    // Nothing but the words that part them and a sign; `4,900 last month, now`.
    let apart = if was.after == Some(NumberRole::Was) {
        5
    } else {
        2
    };
    let near = roles
        .lowered
        .is_some_and(|first| first <= last.tokens.1 + apart);
    let mut older = before[..before.len() - 1].iter().rev();
    let old = was.has(NumberRole::Was)
        || older
            .next()
            .is_some_and(|(n, r)| r.before == Some(NumberRole::Was) && n.value > last.value);
    near && old
        && now.value < last.value
        && now.value > last.value * 0.3
        && (last.tokens.1 + 1..now.tokens.0).all(clause)
}

/// Whether words ask for a sum and what is counted behind it begins another
/// saying: no car has so many seats, doors or cylinders.
fn asked_before_things(n: &Number, roles: &Roles, tokens: &Tokens) -> bool {
    roles.before == Some(NumberRole::Ask)
        && roles.after == Some(NumberRole::Neither)
        && n.value >= 300.0
        && matches!(n.form, Form::Plain | Form::Grouped | Form::Words)
        && tokens.word(n.tokens.1).len() <= n.tail
}

/// Of two roles the one that says that it is not the price.
fn role_of(roles: &Roles) -> Option<NumberRole> {
    use NumberRole::{
        Ask, Bid, Deposit, Distance, Neither, OtherDistance, OtherMoney, UnitKm, UnitMiles, Was,
    };
    let not_money = [UnitMiles, UnitKm, Neither, OtherDistance];
    if let Some(after) = roles.after
        && (not_money.contains(&after) || after == Distance && roles.before != Some(Ask))
    {
        return Some(after);
    }
    for role in [Deposit, Bid, OtherMoney, Was, Ask] {
        if roles.has(role) {
            return Some(role);
        }
    }
    match roles.before {
        Some(Neither) => Some(Neither),
        // `only 900`, `at 900` say nothing of an amount.
        _ => None,
    }
}

/// Of two sums asked the smaller one is no price of a car where the other is so many
/// times as much. Common practice, no source.
const PART_OF_PRICE: f64 = 10.0;
/// Beside a bare figure that stands alone sums of money that are so much smaller are of
/// parts and jobs. Common practice, no source.
const SUMS_OF_PRICE: f64 = 3.0;

fn choose(cell: Option<f64>, found: &[Candidate], deposits: &[Deposit]) -> Ask {
    let explicit = |c: &&Candidate| c.explicit;
    let same = |v: f64| move |c: &&Candidate| (c.value - v).abs() < 0.5;
    let real_cell =
        cell.filter(|v| !is_placeholder(*v) || found.iter().any(|c| c.money && c.value == *v));
    if let Some(value) = real_cell {
        let deposit = deposits.iter().find(|(d, ..)| (d - value).abs() < 0.5);
        if let Some((.., basis)) = deposit
            && !found.iter().filter(explicit).any(|c| c.value > value)
        {
            return Ask {
                amount: None,
                basis: *basis,
                tokens: None,
            };
        }
        // A lower price in the text, plainly asked, is the newer one.
        let agrees = found.iter().any(|c| same(value)(&c));
        let lower = found
            .iter()
            .filter(|c| c.explicit && (c.both || c.money || !agrees))
            .rfind(|c| c.value < value && c.value > value * 0.3);
        if let (Some(c), false) = (lower, agrees) {
            return plain(c);
        }
        return Ask {
            amount: Some(value),
            basis: AskBasis::Plain,
            tokens: found.iter().find(same(value)).map(|c| c.tokens),
        };
    }
    // `3,100 is the number, the link is 60 dollars`: no car's price beside another.
    let of_a_part = |c: &&Candidate| {
        let more = |other: &Candidate| {
            let asked = other.explicit || other.headline && other.money;
            asked && !is_placeholder(other.value) && other.value >= c.value * PART_OF_PRICE
        };
        found.iter().any(more)
    };
    let best = found
        .iter()
        .rev()
        .find(|c| c.both)
        .or_else(|| {
            let mut asked = found.iter().rev().filter(explicit);
            asked.find(|c| !of_a_part(c))
        })
        .or_else(|| found.iter().find(|c| c.headline && c.money))
        // `The cap is $90. Runs. 950.`
        .or_else(|| {
            let mut sums = found.iter().filter(|c| c.money).peekable();
            sums.peek()?;
            let most = sums.fold(0.0_f64, |most, c| match c.ends.alone() {
                true => f64::INFINITY,
                false => most.max(c.value),
            });
            let mut bare = found.iter().rev().filter(|c| !c.money && c.ends.alone());
            bare.find(|c| c.value >= most * SUMS_OF_PRICE)
        })
        // `£1,295. The belt was done, I have the bill, £415.`
        .or_else(|| found.iter().rev().find(|c| c.money && c.ends.alone()))
        .or_else(|| found.iter().rev().find(|c| c.money && !c.bracket))
        .or_else(|| found.iter().rev().find(|c| !c.bracket))
        .or_else(|| found.last());
    if let Some(c) = best {
        if is_placeholder(c.value) {
            return Ask {
                amount: None,
                basis: AskBasis::Placeholder,
                tokens: Some(c.tokens),
            };
        }
        return plain(c);
    }
    if let Some((_, at, basis)) = deposits.first() {
        return Ask {
            amount: None,
            basis: *basis,
            tokens: Some(*at),
        };
    }
    Ask {
        amount: None,
        basis: if cell.is_some() {
            AskBasis::Placeholder
        } else {
            AskBasis::None
        },
        tokens: None,
    }
}
