//! What the worth rests on: worth against distance, the comparables and the
//! car itself; and the price asked over time.

use super::scale::Scale;
use super::spread::{WIDTH, amount};
use super::svg::{Anchor, Svg, along, dot, short};
use crate::day::Day;
use crate::history::History;
use crate::margin::Appraisal;
use crate::report::text::{cut, distance};
use crate::units::{DistanceUnit, Miles, Money};
use crate::worth::{Around, PriceBasis};

/// Years within which a comparable counts as of the car's age. Common
/// practice, no source.
const NEAR_YEARS: u16 = 2;

/// Place of the drawing's corner, and its height without the figures below.
const LEFT: f64 = 44.0;
const HEIGHT: f64 = 190.0;

/// Worth against distance.
#[derive(Debug)]
pub(super) struct GroundView {
    /// The drawing.
    pub svg: String,
    /// What the comparables are.
    pub caption: String,
    /// Each comparable in words: car, distance, price.
    pub rows: Vec<(String, String, String)>,
}

impl GroundView {
    /// The view; none where the car cannot be valued.
    pub fn new(around: &Around, appraisal: &Appraisal, unit: DistanceUnit) -> Option<Self> {
        let worth = appraisal.worth.as_ref()?;
        let reading = &appraisal.reading;
        let is_near = |year: u16| {
            reading
                .year
                .is_some_and(|own| own.0.abs_diff(year) <= NEAR_YEARS)
        };
        let make = reading.make.as_deref().unwrap_or("this make");
        let model = reading.model.as_deref().filter(|_| around.of_model);
        let named = model.map_or_else(|| make.to_owned(), |model| format!("{make} {model}"));
        let caption = match around.like.len() {
            0 => format!("No {make} among the comparables: a line of like cars."),
            1 => format!("The one {named} among the comparables."),
            n => format!("The {n} nearest {named} among the comparables."),
        };
        let rows = around.like.iter().map(|c| {
            let asked = match c.basis {
                PriceBasis::Asked => " asked",
                PriceBasis::Sold => "",
            };
            let name = if around.of_model {
                c.year.to_string()
            } else {
                format!("{} {}", c.year, cut(&c.model, 30))
            };
            (name, distance(c.miles, unit), format!("{}{asked}", c.price))
        });
        Some(GroundView {
            svg: draw(around, worth.right.likely, appraisal, unit, &is_near),
            caption,
            rows: rows.collect(),
        })
    }
}

fn draw(
    around: &Around,
    worth: Money,
    appraisal: &Appraisal,
    unit: DistanceUnit,
    is_near: &dyn Fn(u16) -> bool,
) -> String {
    let far = around.line.last().map_or(1, |(miles, _)| miles.0);
    let highs = around.line.iter().map(|(_, w)| w.high.to_f64());
    let line_high = highs.fold(0.0, f64::max);
    // A rare find among the comparables must not flatten all the others.
    let prices = around.like.iter().map(|c| c.price.to_f64());
    let high = prices.fold(line_high, f64::max).min(line_high * 1.6);
    let x = Scale::new((0.0, f64::from(far)), (LEFT, WIDTH - 8.0));
    let y = Scale::new((0.0, high * 1.04), (HEIGHT, 8.0));
    let label = format!(
        "Worth {worth} for this car among {} comparables; a table follows",
        around.like.len()
    );
    let mut svg = Svg::new("ground", WIDTH, HEIGHT + 22.0, Some(&label));
    let (mut grid, mut ticks) = (String::new(), String::new());
    for tick in y.ticks(4) {
        let at = y.at(tick);
        grid.push_str(&format!("M{} {}H{}", short(LEFT), short(at), short(WIDTH)));
        svg.text("n", (LEFT - 5.0, at + 4.0), Anchor::End, &amount(tick));
    }
    let in_unit = |miles: f64| match unit {
        DistanceUnit::Miles => miles,
        DistanceUnit::Km => miles * crate::units::KM_PER_MILE,
    };
    let shown = Scale::new((0.0, in_unit(f64::from(far))), x.places);
    for tick in shown.ticks(3).into_iter().filter(|t| *t > 0.0) {
        let at = shown.at(tick);
        ticks.push_str(&format!("M{} {}v4", short(at), short(HEIGHT)));
        let words = format!("{},000", (tick / 1_000.0).round());
        let anchor = if at > WIDTH - 30.0 {
            Anchor::End
        } else {
            Anchor::Middle
        };
        svg.text("n", (at, HEIGHT + 16.0), anchor, &words);
    }
    svg.path("grid", &grid);
    svg.path("tick", &ticks);
    let place = |miles: Miles, money: Money| (x.at(f64::from(miles.0)), y.at(money.to_f64()));
    let low = around.line.iter().rev().map(|(m, w)| place(*m, w.low));
    let top = around.line.iter().map(|(m, w)| place(*m, w.high));
    svg.path("band", &format!("{}z", along(top.chain(low))));
    svg.path(
        "likely",
        &along(around.line.iter().map(|(m, w)| place(*m, w.likely))),
    );
    let (mut near, mut other) = (String::new(), String::new());
    for car in &around.like {
        let side = if is_near(car.year.0) {
            &mut near
        } else {
            &mut other
        };
        side.push_str(&dot(place(car.miles, car.price)));
    }
    svg.dots("far", 3.8, &other);
    svg.dots("core", 2.4, &other);
    svg.dots("near", 3.6, &near);
    let known = appraisal.reading.miles.filter(|m| m.0 <= far);
    if let (Some(miles), Some(right)) = (known, appraisal.worth.as_ref().map(|w| w.right)) {
        let (at, middle) = place(miles, right.likely);
        svg.line(
            "own",
            (at, place(miles, right.low).1),
            (at, place(miles, right.high).1),
        );
        let [at, top] = [at, middle - 7.0].map(short);
        svg.path("this", &format!("M{at} {top}l7 7l-7 7l-7 -7z"));
    }
    svg.finish()
}

/// The price asked over time; none where it is always the same.
pub(super) fn prices(history: &History) -> Option<String> {
    const HEIGHT: f64 = 96.0;
    let asks: Vec<(Day, f64)> = history
        .prices()
        .into_iter()
        .filter_map(|(at, ask)| Some((at.day?, ask?.to_f64())))
        .collect();
    let (first, last) = (asks.first()?.0, history.last_seen()?);
    let (low, high) = asks.iter().fold((f64::MAX, f64::MIN), |(l, h), (_, ask)| {
        (l.min(*ask), h.max(*ask))
    });
    if low >= high {
        return None;
    }
    let since = |day: Day| f64::from(day.since(first));
    let x = Scale::new((0.0, since(last)), (4.0, WIDTH - 36.0));
    let y = Scale::new((low, high), (HEIGHT - 24.0, 20.0));
    let words: Vec<_> = asks
        .iter()
        .map(|(day, ask)| format!("{} on {day}", amount(*ask)))
        .collect();
    let label = format!("Price asked: {}", words.join(", "));
    let mut svg = Svg::new("prices", WIDTH, HEIGHT, Some(&label));
    let (mut steps, mut points) = (String::new(), String::new());
    for (i, (day, ask)) in asks.iter().enumerate() {
        let (at, level) = (x.at(since(*day)), y.at(*ask));
        steps.push_str(&match i {
            0 => format!("M{} {}", short(at), short(level)),
            _ => format!("H{}V{}", short(at), short(level)),
        });
        points.push_str(&dot((at, level)));
        svg.text("", (at + 5.0, level - 6.0), Anchor::Start, &amount(*ask));
        svg.text(
            "n",
            (at, HEIGHT - 6.0),
            Anchor::Start,
            &day.to_string()[5..],
        );
    }
    steps.push_str(&format!("H{}", short(WIDTH)));
    svg.path("step", &steps);
    svg.dots("near", 3.6, &points);
    Some(svg.finish())
}
