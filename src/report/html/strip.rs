//! The strip of a car in the list: twenty ticks, each as likely as the next,
//! for what is left at the expected price. All strips have one scale, so that
//! the line of nothing gained and nothing lost runs down the whole list.

use super::scale::Scale;
use super::svg::{Anchor, Svg, short};
use crate::margin::Spread;
use crate::report::car::Car;
use crate::units::Money;

/// Ticks of a strip, and dots of a spread.
pub(super) const OUTCOMES: usize = 20;

/// Size of a strip.
const WIDTH: f64 = 400.0;
const HEIGHT: f64 = 22.0;
/// Room at both ends for the sign that something lies beyond.
const EDGE: f64 = 10.0;

/// The scale of the strips of a list.
#[derive(Debug, Clone, Copy)]
pub(super) struct Strips {
    scale: Scale,
    wanted: f64,
}

impl Strips {
    /// A scale that holds nineteen in twenty of the ends of all margins, the
    /// wanted margin and nothing.
    pub fn new(cars: &[Car], wanted: f64) -> Self {
        let margins = cars.iter().filter_map(|c| c.margin);
        let (mut low, mut high): (Vec<f64>, Vec<f64>) = margins
            .map(|m| (m.money.low.to_f64(), m.money.high.to_f64()))
            .unzip();
        low.sort_by(f64::total_cmp);
        high.sort_by(f64::total_cmp);
        let of_twenty = |all: &[f64], n: usize| {
            let at = all.len().saturating_sub(1) * n / 20;
            all.get(at).copied().unwrap_or_default()
        };
        let (low, high) = (of_twenty(&low, 1), of_twenty(&high, 19));
        let room = (high.max(wanted) - low.min(0.0)) * 0.04;
        let amounts = (low.min(0.0) - room, high.max(wanted * 1.5) + room);
        Strips {
            scale: Scale::new(amounts, (EDGE, WIDTH - EDGE)),
            wanted,
        }
    }

    /// The figures over the strips.
    pub fn head(&self) -> String {
        let mut svg = Svg::new("axis", WIDTH, 24.0, None);
        let mut ticks = String::new();
        for amount in self.scale.ticks(6) {
            let x = self.scale.at(amount);
            ticks.push_str(&format!("M{} 19v5", short(x)));
            let words = Money::from_f64(amount).unwrap_or_default().to_string();
            svg.text("n", (x, 14.0), Anchor::Middle, &words);
        }
        svg.path("tick", &ticks);
        svg.finish()
    }

    /// The lines that run through all strips: no gain and no loss, and what is
    /// wanted. They reach far beyond: on a desk each row cuts them at its
    /// border.
    pub fn lines(&self) -> String {
        let at = |amount| short(self.scale.at(amount));
        let (zero, wanted) = (at(0.0), at(self.wanted));
        format!(
            "<g id=\"lines\"><path class=\"plumb\" d=\"M{zero} -30V300\"/>\
             <path class=\"wanted\" d=\"M{wanted} -30V300\"/></g>"
        )
    }

    /// The strip of a car without a price, through which the lines run.
    pub fn blank(&self) -> String {
        let mut svg = Svg::new("strip", WIDTH, HEIGHT, None);
        svg.shared("lines");
        svg.finish()
    }

    /// The strip of a car at a price.
    pub fn draw(&self, spread: &Spread, price: Money) -> String {
        let mut svg = Svg::new("strip", WIDTH, HEIGHT, None);
        svg.shared("lines");
        let (mut gains, mut losses) = (String::new(), String::new());
        let (mut under, mut over) = (false, false);
        for left in outcomes(spread).map(|v| v - price.to_f64()) {
            under |= left < self.scale.amounts.0;
            over |= left > self.scale.amounts.1;
            let x = short(self.scale.at(left));
            // A loss is short and low: the strip tells it without colour.
            if left < 0.0 {
                losses.push_str(&format!("M{x} 13v7"));
            } else {
                gains.push_str(&format!("M{x} 3v15"));
            }
        }
        svg.path("gain", &gains);
        svg.path("loss", &losses);
        if under {
            svg.path("beyond", "M6 7l-4 4l4 4");
        }
        if over {
            svg.path("beyond", "M394 7l4 4l-4 4");
        }
        svg.finish()
    }
}

/// The middles of twenty equally likely slices.
pub(super) fn outcomes(spread: &Spread) -> impl Iterator<Item = f64> {
    let at = |i: usize| spread.quantile((i as f64 + 0.5) / OUTCOMES as f64);
    (0..OUTCOMES).map(at).collect::<Vec<_>>().into_iter()
}
