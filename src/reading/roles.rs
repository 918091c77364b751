//! What the words beside a number make of it.

use super::names::Name;
use super::numbers::{Form, Number};
use super::numerals;
use super::scan::{Hit, Scanner};
use super::tokens::{TokenKind, Tokens};
use crate::lexicon::phrases::{NumberCue, NumberRole};
use crate::lexicon::word_classes::WordClass;
use crate::units::DistanceUnit;

/// What a number tells of a job that was done, by the words beside it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Job {
    /// The distance on the car at the time.
    At,
    /// The distance driven since, in this unit where one is said.
    Since(Option<DistanceUnit>),
}

/// The roles that the phrases on both sides give a number.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Roles {
    /// From the longest phrase that ends right before it.
    pub before: Option<NumberRole>,
    /// From the longest phrase that begins right after it.
    pub after: Option<NumberRole>,
    /// The words on either side say that it is the car's year.
    pub year: bool,
    /// The words before it go before a price as before much else: `only 900`.
    pub may_be_asked: bool,
    /// `about`, `approx`: not exact.
    pub approximate: bool,
    /// Behind its unit the words say that it is the car's: `90k miles on it`.
    pub own: bool,
    /// What goes before in the sentence puts it in the past: `bought it in
    /// 2011 with 90k`.
    pub past: bool,
    /// The odometer was exchanged at this distance.
    pub swapped: bool,
    /// It is the distance of a job; its role is then that of another distance.
    pub job: Option<Job>,
    /// First token of the words before it that may part it from the price
    /// before: `from 900 now down to 800`.
    pub lowered: Option<usize>,
}

impl Roles {
    /// Whether either side gives this role.
    pub fn has(&self, role: NumberRole) -> bool {
        self.before == Some(role) || self.after == Some(role)
    }
}

/// Signs that may stand between a phrase and its number.
fn transparent(kind: TokenKind) -> bool {
    matches!(
        kind,
        TokenKind::Sign(b'$' | b':' | b'-' | b'*' | b'(' | b'"' | b'#' | b'?' | b'=')
    )
}

/// The roles of one number. `hits` are all phrases, sorted by first token.
pub fn of(number: &Number, tokens: &Tokens, hits: &[Hit], scanner: &Scanner) -> Roles {
    let mut roles = Roles::default();
    let mut end = number.tokens.0;
    while end > 0 && transparent(tokens.kind(end - 1)) {
        end -= 1;
    }
    // `about a hundred and ten thousand`
    let scale = tokens.is_any(number.tokens.0, &[WordClass::Hundred, WordClass::Thousand]);
    if scale && end > 0 && tokens.is_a(end - 1, WordClass::Indefinite) {
        end -= 1;
    }
    roles.lowered = lowered(end, hits, scanner);
    let mut longest = 0;
    let earliest = end.saturating_sub(8) as u32;
    let from = hits.partition_point(|h| h.first < earliest);
    for hit in hits[from..].iter().take_while(|h| (h.first as usize) < end) {
        if !hit.marks.numbers() {
            continue;
        }
        if hit.last as usize + 1 != end {
            let meaning = scanner.meaning(hit);
            let past = |n: &NumberCue| n.role == NumberRole::PastDistance;
            roles.past |= meaning.numbers.iter().any(past)
                && (hit.last as usize + 1..end).all(|i| !ends_clause(tokens, i));
            continue;
        }
        for cue in &scanner.meaning(hit).numbers {
            if cue.role == NumberRole::Approximate {
                roles.approximate |= cue.before;
            } else if cue.role == NumberRole::ModelYear {
                roles.year |= cue.before;
            } else if cue.role == NumberRole::PastDistance {
                roles.past = true;
            } else if cue.role == NumberRole::PerhapsAsk {
                roles.may_be_asked = true;
            } else if cue.before && !cue.role.is_beside() && hit.width() > longest {
                longest = hit.width();
                roles.before = Some(cue.role);
            }
        }
    }
    roles.swapped = roles.before == Some(NumberRole::SwapDistance);
    if matches!(
        roles.before,
        Some(NumberRole::JobDistance | NumberRole::SwapDistance)
    ) {
        roles.before = Some(NumberRole::OtherDistance);
        roles.job = Some(Job::At);
    }
    // Letters glued to the digits: `98kms`, `61kmi`, `149,000ish`.
    let tail = tokens
        .word(number.tokens.1)
        .get(number.tail..)
        .unwrap_or_default();
    if !tail.is_empty() {
        let glued = scanner.find(tail).map(|p| p.meaning.numbers.as_slice());
        let after = glued.and_then(|n| n.iter().find(|n| !n.before).map(|n| n.role));
        match after {
            Some(NumberRole::Approximate) => roles.approximate = true,
            // Other letters make it a size or a code: 185r14, 2wd, 5spd.
            None | Some(NumberRole::Neither) => {
                roles.after = Some(NumberRole::Neither);
                return roles;
            }
            other => roles.after = other,
        }
    }
    let mut start = number.tokens.1 + 1;
    if tokens.kind(start) == TokenKind::Sign(b'$') {
        start += 1;
    }
    // `auto - $1,500 - new tires`: a dash that stands apart begins another entry.
    let mut parted = false;
    if matches!(tokens.kind(start), TokenKind::Sign(b'-' | b')' | b'*'))
        && !matches!(tokens.kind(start + 1), TokenKind::Number)
    {
        parted = tokens.kind(start) != TokenKind::Sign(b')') && spaced_before(tokens, start);
        start += 1;
    }
    // `260k (kilometers, not miles)`
    if tokens.kind(start) == TokenKind::Sign(b'(') && unit_at(start + 1, hits, scanner).is_some() {
        start += 1;
    }
    // `900 plus tax` is no more than it says, `900 plus` is. A phrase may say
    // both, `150,000 and change`: then it is the role too.
    let longer = longest_after(start, hits, scanner, false).map_or(0, |(_, last)| last);
    if let Some((NumberRole::Approximate, last)) = longest_after(start, hits, scanner, true)
        && last >= longer
    {
        roles.approximate = true;
        if last > longer {
            start = last + 1;
        }
    }
    roles.year |= is_year(start, hits, scanner);
    let begin = start;
    let own = |(role, _): &(NumberRole, usize)| {
        use NumberRole::{Neither, OtherDistance, OtherMoney, SinceJob};
        !parted || !matches!(role, Neither | OtherDistance | OtherMoney | SinceJob)
    };
    if let Some((role, last)) = longest_after(start, hits, scanner, false).filter(own) {
        roles.after = Some(role);
        start = last + 1;
        // `450 dollars deposit`: what the money is for stands behind its name.
        let other = longest_after(start, hits, scanner, false)
            .filter(|(role, _)| *role == NumberRole::Deposit);
        if let Some((other, end)) = other
            && last == begin
            && roles.before != Some(NumberRole::Ask)
            && numerals::is_money(tokens, last)
        {
            roles.after = Some(other);
            start = end + 1;
        }
    }
    // `150,000 miles or so`, `158,000 miles, give or take`
    if matches!(
        roles.after,
        Some(NumberRole::UnitMiles | NumberRole::UnitKm)
    ) {
        let comma = usize::from(tokens.kind(start) == TokenKind::Sign(b','));
        roles.approximate |= longest_after(start + comma, hits, scanner, true).is_some();
    }
    if roles.after == Some(NumberRole::SinceJob) {
        roles.after = Some(NumberRole::OtherDistance);
        let unit = match unit_at(begin, hits, scanner) {
            Some(NumberRole::UnitKm) => Some(DistanceUnit::Km),
            Some(_) => Some(DistanceUnit::Miles),
            None => None,
        };
        roles.job = Some(Job::Since(unit));
    }
    if matches!(
        roles.after,
        Some(NumberRole::UnitMiles | NumberRole::UnitKm)
    ) {
        let behind = longest_after(start, hits, scanner, false);
        roles.own = behind.is_some_and(|(role, _)| role == NumberRole::Distance);
    } else if roles.after == Some(NumberRole::Distance)
        && let Some(unit) = unit_at(begin, hits, scanner)
    {
        // `miles on the car` as one phrase.
        roles.after = Some(unit);
        roles.own = true;
    }
    roles
}

/// A number in words within the name of a car is none: `Five Hundred`.
pub(super) fn of_names(roles: &mut [(Number, Roles)], names: &[Name<'_>]) {
    for (n, of) in roles.iter_mut().filter(|(n, _)| n.form == Form::Words) {
        let named = |name: &Name<'_>| name.first < n.tokens.0 && n.tokens.1 <= name.last;
        if names.iter().any(named) {
            *of = Roles {
                after: Some(NumberRole::Neither),
                ..Roles::default()
            };
        }
    }
}

/// Gives a unit that stands between two numbers to the second, where it begins
/// what is told of that: `asking nine fifty miles about ninety thousand`.
pub fn part_units(roles: &mut [(Number, Roles)]) {
    use NumberRole::{Distance, UnitKm, UnitMiles};
    for i in 1..roles.len() {
        let (next, told) = roles[i];
        let (n, of) = roles[i - 1];
        let between = next.tokens.0 - n.tokens.1 - 1;
        if matches!(of.after, Some(UnitMiles | UnitKm))
            && told.before == Some(Distance)
            && (1..=3).contains(&between)
            && n.value < 15_000.0
            && next.value > n.value
        {
            roles[i - 1].1.after = None;
        }
        // `ninety thousand miles, eight fifty`: the unit has its number.
        if matches!(of.after, Some(UnitMiles | UnitKm))
            && told.before == Some(Distance)
            && (1..=3).contains(&between)
            && n.value >= 30_000.0
            && next.form == Form::Words
            && next.value < 15_000.0
        {
            roles[i].1.before = None;
        }
    }
}

/// The first token of the phrases in a row before this token that stand
/// between an old price and a new one.
fn lowered(mut end: usize, hits: &[Hit], scanner: &Scanner) -> Option<usize> {
    let parts = |h: &Hit| {
        let mut cues = scanner.meaning(h).numbers.iter();
        cues.any(|n| n.role == NumberRole::Lowered)
    };
    let mut first = None;
    while let Some(hit) = {
        let from = hits.partition_point(|h| (h.first as usize) + 4 < end);
        let near = hits[from..].iter().take_while(|h| (h.first as usize) < end);
        near.filter(|h| h.last as usize + 1 == end && h.marks.numbers())
            .find(|h| parts(h))
    } {
        end = hit.first as usize;
        first = Some(end);
    }
    first
}

/// The unit that begins at this token.
fn unit_at(start: usize, hits: &[Hit], scanner: &Scanner) -> Option<NumberRole> {
    let at = hits.partition_point(|h| (h.first as usize) < start);
    hits[at..]
        .iter()
        .take_while(|h| h.first as usize == start)
        .filter(|h| h.marks.numbers())
        .flat_map(|h| &scanner.meaning(h).numbers)
        .map(|n| n.role)
        .find(|r| matches!(r, NumberRole::UnitMiles | NumberRole::UnitKm))
}

/// Whether a space stands before a sign.
fn spaced_before(tokens: &Tokens, sign: usize) -> bool {
    let (before, at) = (tokens.list.get(sign.wrapping_sub(1)), tokens.list.get(sign));
    before
        .zip(at)
        .is_some_and(|(a, b)| a.source_range().end < b.source_range().start)
}

/// Whether a thought ends at this token.
fn ends_clause(tokens: &Tokens, i: usize) -> bool {
    !matches!(tokens.kind(i), TokenKind::Word | TokenKind::Number)
}

/// Whether a phrase that begins here says of the number before it that it is
/// the car's year: `94 model`.
fn is_year(start: usize, hits: &[Hit], scanner: &Scanner) -> bool {
    let at = hits.partition_point(|h| (h.first as usize) < start);
    let here = hits[at..].iter().take_while(|h| h.first as usize == start);
    let year = |n: &NumberCue| n.role == NumberRole::ModelYear && !n.before;
    here.filter(|h| h.marks.numbers())
        .any(|h| scanner.meaning(h).numbers.iter().any(year))
}

/// The role that the longest phrase beginning here gives the number before it,
/// and the phrase's last token.
fn longest_after(
    start: usize,
    hits: &[Hit],
    scanner: &Scanner,
    approximate: bool,
) -> Option<(NumberRole, usize)> {
    let at = hits.partition_point(|h| (h.first as usize) < start);
    let mut longest = 0;
    let mut found = None;
    let here = hits[at..].iter().take_while(|h| h.first as usize == start);
    for hit in here.filter(|h| h.marks.numbers()) {
        for cue in &scanner.meaning(hit).numbers {
            let wanted = (cue.role == NumberRole::Approximate) == approximate;
            let beside = matches!(cue.role, NumberRole::Lowered | NumberRole::ModelYear);
            let wanted = wanted && !beside;
            if !cue.before && wanted && hit.width() > longest {
                longest = hit.width();
                found = Some((cue.role, hit.last as usize));
            }
        }
    }
    found
}
