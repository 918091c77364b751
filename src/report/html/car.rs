//! One car of the page.

mod work;

use super::fall::{Common, FallView};
use super::ground::{GroundView, prices};
use super::said::SaidView;
use super::spread::SpreadView;
use super::strip::Strips;
use crate::kerb::{Answer, Question};
use crate::lexicon::Lexicon;
use crate::margin::{Appraisal, Limits};
use crate::report::car::Car;
use crate::report::marked::Contacts;
use crate::report::shortlist::{Basis, Entry};
use crate::report::text::{cut, distance, span};
use crate::units::{DistanceUnit, Miles, Money};
use crate::worth::Around;
pub(super) use work::JobView;
use work::{all_jobs, jobs, left, shown_jobs, skills};

/// Widest word of another's that is shown whole.
const WIDE: usize = 160;

/// Most questions and checks that are shown: the first settle most.
const QUESTIONS: usize = 3;

/// What stands for work that goes out among the skills.
pub(super) const OUTWORK: &str = "workshop";

/// What stands behind the figures of a car.
#[derive(Debug)]
pub struct Behind {
    /// What stands around its worth.
    pub around: Option<Around>,
    /// What to ask next, the best first.
    pub questions: Vec<Question>,
    /// How far away it stands, where the user has said how far the place is.
    pub away: Option<Miles>,
}

/// What is known of a car beside its row of the list.
#[derive(Debug)]
pub struct Known<'a> {
    /// The ad and what was worked out.
    pub entry: &'a Entry<'a>,
    /// What that rests on.
    pub behind: &'a Behind,
}

/// A car for the template.
#[derive(Debug)]
pub(super) struct CarView<'a> {
    pub car: &'a Car,
    pub name: String,
    pub place: String,
    /// What it can be sorted and chosen by, as `data-` attributes.
    pub data: Vec<(&'static str, String)>,
    pub faults: String,
    pub beware: String,
    pub changes: String,
    pub asks: String,
    pub pay_to: String,
    pub hours: String,
    pub margin: String,
    pub range: String,
    pub strip: String,
    pub facts: Vec<String>,
    pub link: Option<String>,
    pub limits: Vec<(&'static str, String)>,
    pub spread: Option<SpreadView>,
    pub fall: Option<FallView>,
    pub said: SaidView,
    pub jobs: Vec<JobView>,
    pub more_jobs: usize,
    pub left: Vec<String>,
    pub ground: Option<GroundView>,
    pub prices: Option<String>,
    pub events: Vec<(String, String)>,
    pub withdrawn: Vec<String>,
    pub questions: Vec<QuestionView>,
    pub checks: Vec<CheckView>,
    pub talking_points: Vec<TalkView>,
    pub supposed: Vec<String>,
}

/// Something to look at first.
#[derive(Debug)]
pub(super) struct CheckView {
    pub what: String,
    pub bad: String,
    pub worth: String,
}

/// Something to say about the price.
#[derive(Debug)]
pub(super) struct TalkView {
    pub said: String,
    pub work: String,
    pub cost: String,
}

/// A question and what hangs on it.
#[derive(Debug)]
pub(super) struct QuestionView {
    pub question: String,
    pub worth: Option<String>,
    pub answers: Vec<(&'static str, String)>,
}

/// What all cars of a page share.
#[derive(Debug)]
pub(super) struct Shared<'a> {
    pub basis: &'a Basis,
    pub lexicon: &'a Lexicon,
    pub limits: Limits,
    pub strips: Strips,
    pub contacts: Contacts,
    pub common: Common,
}

impl<'a> CarView<'a> {
    pub fn new(car: &'a Car, known: &Known<'_>, shared: &Shared<'_>) -> Self {
        let Shared { basis, lexicon, .. } = *shared;
        let a = known.entry.appraisal;
        let sign = basis.currency.sign();
        let money = |m: Money| format!("{sign}{m}");
        let spread = SpreadView::new(a, &shared.limits);
        let history = car.history.as_ref();
        let place = car.place.as_deref().unwrap_or_default();
        CarView {
            car,
            name: cut(&car.name(), WIDE),
            place: cut(place, WIDE),
            data: data(car, known, spread.as_ref(), shared),
            faults: car.faults_in_words(),
            beware: car.warnings_in_words(),
            changes: history.map_or_else(String::new, |h| h.changes_in_words()),
            asks: a.reading.ask.map_or_else(|| "no price".to_owned(), money),
            pay_to: a.ceiling.map_or_else(|| "?".to_owned(), money),
            hours: a
                .bill
                .as_ref()
                .map_or_else(|| "?".to_owned(), |b| b.hours.likely.to_string()),
            margin: a.margin.map_or_else(|| "?".to_owned(), |m| money(m.likely)),
            range: a
                .margin
                .map_or_else(String::new, |m| format!("{} to {}", m.low, m.high)),
            strip: match (a.spread(), a.expected_price) {
                (Some(spread), Some(price)) => shared.strips.draw(&spread, price),
                _ => shared.strips.blank(),
            },
            facts: facts(car, known.behind.away, basis),
            link: car.link.clone().filter(|l| is_web(l)),
            limits: limits(a, sign),
            spread,
            fall: FallView::new(a, &shared.common),
            said: SaidView::new(known.entry.listing, &a.reading, lexicon, shared.contacts),
            jobs: jobs(a, lexicon),
            more_jobs: all_jobs(a).count() - shown_jobs(a).count(),
            left: left(a, lexicon),
            ground: known
                .behind
                .around
                .as_ref()
                .and_then(|around| GroundView::new(around, a, basis.distance_unit)),
            prices: known.entry.history.and_then(prices),
            events: history.map_or_else(Vec::new, |h| {
                let events = h.events.iter().filter(|_| h.events.len() > 1);
                events
                    .map(|e| {
                        let day = e
                            .day
                            .map_or_else(|| "no date".to_owned(), |d| d.to_string());
                        (day, cut(&e.in_words(), 4 * WIDE))
                    })
                    .collect()
            }),
            withdrawn: history.map_or_else(Vec::new, |h| {
                h.withdrawn
                    .iter()
                    .map(|w| format!("{} was {} ('{}')", w.name, w.was, cut(&w.words, WIDE)))
                    .collect()
            }),
            questions: known
                .behind
                .questions
                .iter()
                .take(QUESTIONS)
                .map(|q| question(q, a.ceiling, sign))
                .collect(),
            checks: checks(a, sign),
            talking_points: a
                .talking_points(lexicon, &known.entry.listing.text)
                .into_iter()
                .map(|point| TalkView {
                    said: cut(&crate::report::shown(&point.said), WIDE),
                    work: point.work,
                    cost: money(point.cost),
                })
                .collect(),
            supposed: car
                .worth
                .as_ref()
                .map_or_else(Vec::new, |w| w.supposed.clone()),
        }
    }
}

fn data(
    car: &Car,
    known: &Known<'_>,
    spread: Option<&SpreadView>,
    shared: &Shared<'_>,
) -> Vec<(&'static str, String)> {
    let a = known.entry.appraisal;
    let place = car.place.as_deref().unwrap_or_default();
    let mut data = vec![
        ("rank", car.rank.to_string()),
        ("action", car.action.to_owned()),
        ("skills", skills(a, shared.lexicon).join(" ")),
        ("place", cut(place, WIDE)),
    ];
    let mut put = |key, value: Option<String>| data.extend(value.map(|v| (key, v)));
    let whole = |m: Money| m.rounded().amount().to_string();
    put("ask", a.reading.ask.map(whole));
    put("margin", a.margin.map(|m| whole(m.likely)));
    put("low", a.margin.map(|m| whole(m.low)));
    put("rate", a.margin_per_hour.map(whole));
    put("hours", car.bill.as_ref().map(|b| b.hours.to_string()));
    put("miles", a.reading.miles.map(|m| m.0.to_string()));
    let unit = shared.basis.distance_unit;
    put(
        "away",
        known.behind.away.map(|d| in_unit(d, unit).to_string()),
    );
    put("year", a.reading.year.map(|y| y.to_string()));
    let priced = spread.filter(|_| a.margin.is_some());
    put("losing", priced.map(|s| s.losing.to_string()));
    data
}

/// Miles as the user counts them.
fn in_unit(away: Miles, unit: DistanceUnit) -> u32 {
    match unit {
        DistanceUnit::Miles => away.0,
        DistanceUnit::Km => away.to_km(),
    }
}

fn facts(car: &Car, away: Option<Miles>, basis: &Basis) -> Vec<String> {
    let miles = car.miles.map_or_else(
        || "distance not told".to_owned(),
        |m| format!("{} ({})", distance(m, basis.distance_unit), car.miles_basis),
    );
    let mut facts = vec![miles];
    for (label, word) in [
        ("papers", car.title.word()),
        ("moves", car.moves.word()),
        ("gearbox", car.gearbox.word()),
    ] {
        let word = match word {
            "unstated" => "not told".to_owned(),
            word => word.replace('_', " "),
        };
        facts.push(format!("{label}: {word}"));
    }
    facts.extend(
        car.vin
            .as_ref()
            .map(|vin| format!("VIN {}", crate::report::shown(vin))),
    );
    facts.extend(
        [&car.place, &car.date]
            .into_iter()
            .flatten()
            .map(|t| cut(t, WIDE)),
    );
    facts.extend(away.map(|d| format!("{} away", distance(d, basis.distance_unit))));
    facts.push(format!("ad {}, {} line {}", car.id, car.file, car.line));
    facts
}

/// Whether a link leads to a page of the web and to nothing else.
fn is_web(link: &str) -> bool {
    let lower = link.to_ascii_lowercase();
    (lower.starts_with("https://") || lower.starts_with("http://")) && link.len() < 2_000
}

fn limits(a: &Appraisal, sign: &str) -> Vec<(&'static str, String)> {
    let money = |m: Money| format!("{sign}{m}");
    let all = [
        ("first offer", a.first_offer.map(money)),
        (
            "fix bill",
            a.bill
                .as_ref()
                .map(|b| format!("{} ({})", money(b.total.likely), span(&b.total))),
        ),
        ("if all goes wrong", a.bill.as_ref().map(|b| money(b.worst))),
        ("margin an hour", a.margin_per_hour.map(money)),
        (
            "worth once right",
            a.worth
                .as_ref()
                .map(|w| format!("{} ({})", money(w.right.likely), span(&w.right))),
        ),
        ("as scrap", a.worth.as_ref().map(|w| money(w.floor))),
    ];
    let told = all.into_iter();
    told.filter_map(|(label, value)| Some((label, value?)))
        .collect()
}

fn checks(a: &Appraisal, sign: &str) -> Vec<CheckView> {
    let worth_it = a.checks.iter().filter(|c| c.worth.rounded() > Money::ZERO);
    worth_it
        .take(QUESTIONS)
        .map(|check| CheckView {
            what: crate::report::shown(&check.question),
            bad: format!("{:.0} %", check.chance.value() * 100.0),
            worth: format!("{sign}{}", check.worth),
        })
        .collect()
}

fn question(q: &Question, now: Option<Money>, sign: &str) -> QuestionView {
    let means = |answer: &Answer| match (answer.ceiling, now) {
        (Some(after), Some(_)) if after == Money::ZERO => "walk away".to_owned(),
        (Some(after), Some(now)) if after == now => format!("still pay up to {sign}{after}"),
        (Some(after), Some(_)) => format!("pay up to {sign}{after}"),
        _ => "no figure hangs on it".to_owned(),
    };
    let answers = [("good", &q.good), ("bad", &q.bad)];
    let is_worth = q.worth.rounded() > Money::ZERO;
    QuestionView {
        worth: is_worth.then(|| format!("{sign}{}", q.worth)),
        question: crate::report::shown(&q.question),
        answers: answers
            .into_iter()
            .filter(|(_, answer)| !answer.words.is_empty())
            .map(|(word, answer)| (word, format!("{}: {}", answer.words, means(answer))))
            .collect(),
    }
}
