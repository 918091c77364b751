//! What a car leaves before its price, as twenty dots over a line of prices.
//! A dot left of the price loses money. The script of the page moves the price
//! and does the sums of [`AtPrice`] on the same points.

use super::scale::{Scale, round_step};
use super::strip::outcomes;
use super::svg::{Anchor, Svg, dot, short};
use crate::margin::{Appraisal, AtPrice, Limits, Spread};
use crate::units::Money;

/// Width of drawings in a car: that of a telephone, so that words stay
/// readable there.
pub(super) const WIDTH: f64 = 340.0;

/// Most height of a heap of dots.
const HEAP: f64 = 96.0;

/// The part of a car's page about price and chance.
#[derive(Debug)]
pub(super) struct SpreadView {
    /// Twenty dots over a line of prices.
    pub dots: String,
    /// The price that the page begins with.
    pub price: Money,
    /// What that price is: `expected price`, `ceiling`.
    pub price_is: &'static str,
    /// Where the slider ends.
    pub end: Money,
    /// Step of the slider.
    pub step: i64,
    /// Mean and the ends of four in five in hundredths: exact.
    pub cents: [i64; 3],
    /// All points, for the script.
    pub points: String,
    /// How many they are.
    pub count: usize,
    /// What the price makes of the car.
    pub at: AtPrice,
    /// How many points lie below it.
    pub losing: usize,
}

impl SpreadView {
    /// The view; none where the car cannot be valued.
    pub fn new(appraisal: &Appraisal, limits: &Limits) -> Option<Self> {
        let spread = appraisal.spread()?;
        let (price, price_is) = match (appraisal.expected_price, appraisal.ceiling) {
            (Some(price), _) => (price.rounded(), "at the price expected to be paid"),
            (None, Some(ceiling)) => (ceiling, "at the most to pay, since no price is told"),
            _ => return None,
        };
        let end = end(appraisal, &spread);
        let at = AtPrice::of(&spread, limits, price);
        // The first, then by how much each is above the one before.
        let before = [0.0].iter().chain(spread.points());
        let steps = spread.points().iter().zip(before).map(|(p, b)| p - b);
        let points: Vec<_> = steps.map(|s| format!("{s:.0}")).collect();
        Some(SpreadView {
            dots: dots(appraisal, &spread, price, end),
            price,
            price_is,
            end: Money::from_f64(end)?,
            step: (round_step(end / 250.0) as i64).max(1),
            cents: [spread.mean(), spread.low(), spread.high()].map(cents),
            count: points.len(),
            points: points.join(" "),
            losing: (at.loss.value() * points.len() as f64).round() as usize,
            at,
        })
    }
}

/// Money in hundredths.
fn cents(money: Money) -> i64 {
    (money.to_f64() * 100.0).round() as i64
}

/// Where the line of prices ends: beyond nearly all that may be left and what is
/// asked, unless that is out of all proportion.
fn end(appraisal: &Appraisal, spread: &Spread) -> f64 {
    let asks = [
        appraisal.reading.ask,
        appraisal.expected_price,
        appraisal.ceiling,
    ];
    let asks = asks.into_iter().flatten().map(|m| m.to_f64() * 1.1);
    let left = spread.quantile(0.98).max(100.0);
    let most = asks.fold(left, f64::max).min(left * 3.0);
    let step = round_step(most / 20.0);
    (most / step).ceil() * step
}

fn dots(appraisal: &Appraisal, spread: &Spread, price: Money, end: f64) -> String {
    let scale = Scale::new((0.0, end), (0.0, WIDTH));
    let (heaps, radius) = heaped(spread, &scale);
    let most = heaps.iter().map(|(_, n)| *n).max().unwrap_or_default();
    let ground = (most as f64 * 2.0 * radius + 4.0).max(40.0) + 14.0;
    let losing = outcomes(spread).filter(|v| *v < price.to_f64()).count();
    let label = format!("Twenty outcomes on the line of prices, {losing} of them below {price}");
    let mut svg = Svg::new("dots", WIDTH, ground + 44.0, Some(&label));
    let mut level = std::collections::HashMap::new();
    let (mut lost, mut won) = (String::new(), String::new());
    for (value, (x, _)) in outcomes(spread).zip(&heaps) {
        let level: &mut usize = level.entry((x * 10.0) as i64).or_default();
        let y = ground - radius - 1.0 - *level as f64 * 2.0 * radius;
        *level += 1;
        let side = if value < price.to_f64() {
            &mut lost
        } else {
            &mut won
        };
        side.push_str(&dot((*x, y)));
    }
    svg.dots("lost", radius - 0.4, &lost);
    svg.dots("core", radius - 2.0, &lost);
    svg.dots("won", radius - 0.4, &won);
    let mut ticks = format!("M0 {}H{}", short(ground), short(WIDTH));
    for tick in scale.ticks(5) {
        let x = scale.at(tick);
        ticks.push_str(&format!("M{} {}v4", short(x), short(ground)));
        let anchor = match x {
            x if x < 12.0 => Anchor::Start,
            x if x > WIDTH - 12.0 => Anchor::End,
            _ => Anchor::Middle,
        };
        svg.text("n", (x, ground + 15.0), anchor, &amount(tick));
    }
    svg.path("tick", &ticks);
    flags(&mut svg, appraisal, &scale, ground);
    let x = scale.at(price.to_f64());
    svg.line("price", (x, 0.0), (x, ground + 4.0));
    svg.finish()
}

/// First offer, ask and ceiling, under the line.
fn flags(svg: &mut Svg, appraisal: &Appraisal, scale: &Scale, ground: f64) {
    let y = ground + 19.0;
    let places = [
        ("offer", appraisal.first_offer),
        ("asked", appraisal.reading.ask),
        ("pay to", appraisal.ceiling),
    ];
    let mut places: Vec<_> = places
        .into_iter()
        .filter_map(|(word, at)| Some((word, scale.at(at?.to_f64()))))
        .collect();
    places.sort_by(|a, b| a.1.total_cmp(&b.1));
    // Words that would run into each other take turns on two lines.
    let mut marks = String::new();
    let (mut last, mut below) = (f64::NEG_INFINITY, false);
    for (word, x) in places {
        below = x - last < 44.0 && !below;
        last = x;
        marks.push_str(&format!("M{} {}l-4 7h8z", short(x), short(y)));
        let anchor = match x {
            x if x < 20.0 => Anchor::Start,
            x if x > WIDTH - 20.0 => Anchor::End,
            _ => Anchor::Middle,
        };
        let y = y + if below { 25.0 } else { 16.0 };
        svg.text("", (x, y), anchor, word);
    }
    svg.path("flag", &marks);
}

/// For each outcome the middle of its heap, and how many lie in it; and a
/// radius at which the highest heap has room.
fn heaped(spread: &Spread, scale: &Scale) -> (Vec<(f64, usize)>, f64) {
    for radius in [7.0, 6.0, 5.0, 4.0, 3.2, 2.4] {
        let mut heaps: Vec<(f64, Vec<f64>)> = Vec::new();
        for x in outcomes(spread).map(|v| scale.at(v)) {
            match heaps.last_mut() {
                Some((first, heap)) if x - *first < 2.0 * radius => heap.push(x),
                _ => heaps.push((x, vec![x])),
            }
        }
        let most = heaps.iter().map(|(_, h)| h.len()).max().unwrap_or(1);
        if most as f64 * 2.0 * radius <= HEAP || radius <= 2.4 {
            let placed = heaps.iter().flat_map(|(_, heap)| {
                let middle = heap.iter().sum::<f64>() / heap.len() as f64;
                heap.iter().map(move |_| (middle, heap.len()))
            });
            return (placed.collect(), radius);
        }
    }
    (Vec::new(), 2.4)
}

pub(super) fn amount(value: f64) -> String {
    Money::from_f64(value).unwrap_or_default().to_string()
}
