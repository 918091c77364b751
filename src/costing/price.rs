//! One job in money, for this car and this user.

use rust_decimal::Decimal;

use super::case::Case;
use super::faults::Faults;
use crate::lexicon::classes::Class;
use crate::lexicon::repairs::{JobId, Repair};
use crate::profile::Profile;
use crate::units::{HourlyRate, Hours, Money, ThreePoint};

/// Who does a job. Hours are only shared between jobs of the same hands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hands {
    /// The user.
    Own,
    /// A workshop.
    Shop,
}

/// A job priced, done alone.
#[derive(Debug, Clone, PartialEq)]
pub struct Price {
    /// Parts as bought.
    pub parts: ThreePoint<Money>,
    /// Whether they are used ones.
    pub parts_used: bool,
    /// Fluids, sealer, cleaner.
    pub consumables: Money,
    /// The user's own hours; none where the job goes out.
    pub own_hours: ThreePoint<Hours>,
    /// A workshop's charge for the hours, where the job goes out.
    pub shop_labor: ThreePoint<Money>,
    /// What goes out whoever does the job.
    pub outwork: ThreePoint<Money>,
    /// Why work goes out.
    pub outwork_why: Option<String>,
    /// Who does it.
    pub hands: Hands,
    /// What an hour of the user is worth.
    pub rate: HourlyRate,
}

impl Price {
    /// This job at somebody's own figure for all of it.
    pub fn instead(self, cost: Money) -> Self {
        Price {
            parts: ThreePoint::exactly(cost),
            parts_used: false,
            consumables: Money::ZERO,
            own_hours: ThreePoint::exactly(Hours::ZERO),
            shop_labor: ThreePoint::exactly(Money::ZERO),
            outwork: ThreePoint::exactly(Money::ZERO),
            outwork_why: None,
            ..self
        }
    }

    /// The price of a job done alone, by what was heard of its part.
    pub fn told(case: &Case<'_>, faults: &Faults, job: JobId) -> Self {
        let repairs = &case.lexicon.repairs;
        let repair = repairs.get(job);
        // The spare is the part that the claim's own job would buy.
        let own = repairs.for_part(repair.part, case.gearbox, &case.class.name) == Some(job);
        let heard = faults.heard(repair.part);
        let price = Price::of(repair, case.class, case.profile, own && heard.spare);
        match heard.found.and_then(|f| f.cost) {
            Some(cost) if own => price.instead(cost),
            _ => price,
        }
    }

    /// Prices a job. `spare`: the part comes with the car.
    pub fn of(repair: &Repair, class: &Class, profile: &Profile, spare: bool) -> Self {
        let parts_factor = class.parts_factor * profile.parts_factor;
        let (parts, parts_used) = if spare {
            (ThreePoint::exactly(Money::ZERO), false)
        } else {
            let used = repair
                .part_used
                .filter(|u| profile.buys_used_parts && u.mean() <= repair.part_new.mean());
            let bought = used.unwrap_or(repair.part_new);
            (bought.map(|m| m.times(parts_factor)), used.is_some())
        };
        let hours = repair.hours.map(|h| h.times(class.hours_factor));
        let hands = hands(repair, profile);
        let out = repair.outwork.high > Money::ZERO;
        let (own_hours, shop_labor, outwork_why) = match hands {
            Hands::Own => (
                hours,
                ThreePoint::exactly(Money::ZERO),
                repair.outwork_why.clone().filter(|_| out),
            ),
            Hands::Shop => {
                let lacking = lacking(repair, profile);
                (
                    ThreePoint::exactly(Hours::ZERO),
                    hours.map(|h| h.times(profile.shop_hours_factor) * profile.shop_rate),
                    Some(match repair.outwork_why.as_deref().filter(|_| out) {
                        Some(why) => format!("the job goes out ({lacking}); {why}"),
                        None => format!("the job goes out ({lacking})"),
                    }),
                )
            }
        };
        Price {
            parts,
            parts_used,
            consumables: repair.consumables.times(parts_factor),
            own_hours,
            shop_labor,
            outwork: repair.outwork,
            outwork_why,
            hands,
            rate: profile.hour_value,
        }
    }

    /// An allowance that is money and nothing else.
    pub fn allowance(amount: ThreePoint<Money>, profile: &Profile) -> Self {
        Price {
            parts: amount,
            parts_used: false,
            consumables: Money::ZERO,
            own_hours: ThreePoint::exactly(Hours::ZERO),
            shop_labor: ThreePoint::exactly(Money::ZERO),
            outwork: ThreePoint::exactly(Money::ZERO),
            outwork_why: None,
            hands: Hands::Own,
            rate: profile.hour_value,
        }
    }

    /// This allowance with an exact amount on top.
    pub fn with_allowance(self, more: Money) -> Self {
        Price {
            parts: self.parts + ThreePoint::exactly(more),
            ..self
        }
    }

    /// All of it in money.
    pub fn cost(&self) -> ThreePoint<Money> {
        self.parts
            + ThreePoint::exactly(self.consumables)
            + self.own_hours.map(|h| h * self.rate)
            + self.shop_labor
            + self.outwork
    }

    /// The means of what can be saved: hours in money, parts with
    /// consumables, outwork.
    pub fn shares(&self) -> Shares {
        // Free hours get a trifle of a value, so that they too are counted as
        // saved where jobs share them.
        let trifle = HourlyRate(Money::new(Decimal::new(1, 2)));
        let rate = self.rate.max(trifle);
        Shares {
            hours: (self.own_hours.map(|h| h * rate) + self.shop_labor).mean(),
            parts: self.parts.mean() + self.consumables,
            outwork: self.outwork.mean(),
        }
    }

    /// The price with shares of hours, parts and outwork taken off, each 0 to 1.
    pub fn less(mut self, hours: Decimal, parts: Decimal, outwork: Decimal) -> Self {
        let [h, p, o] = [hours, parts, outwork].map(|share| Decimal::ONE - share);
        self.own_hours = self.own_hours.map(|x| x.times(h));
        self.shop_labor = self.shop_labor.map(|x| x.times(h));
        self.parts = self.parts.map(|x| x.times(p));
        self.consumables = self.consumables.times(p);
        self.outwork = self.outwork.map(|x| x.times(o));
        if (self.shop_labor + self.outwork).high == Money::ZERO {
            self.outwork_why = None;
        }
        self
    }
}

/// Mean amounts of a job by kind.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shares {
    /// Hours, own or a workshop's.
    pub hours: Money,
    /// Parts and consumables.
    pub parts: Money,
    /// Outwork that always goes out.
    pub outwork: Money,
}

impl Shares {
    /// All three.
    pub fn sum(&self) -> Money {
        self.hours + self.parts + self.outwork
    }
}

/// What the user lacks for a job, in words.
/// Who does a job.
pub fn hands(repair: &Repair, profile: &Profile) -> Hands {
    if profile.has_skill(&repair.skill) && missing_tools(repair, profile).next().is_none() {
        Hands::Own
    } else {
        Hands::Shop
    }
}

fn missing_tools<'r>(repair: &'r Repair, profile: &Profile) -> impl Iterator<Item = &'r str> {
    let tools = repair.tools.iter().map(String::as_str);
    tools.filter(|tool| !profile.has_tool(tool))
}

/// What the user lacks for a job that goes out, in words.
fn lacking(repair: &Repair, profile: &Profile) -> String {
    if !profile.has_skill(&repair.skill) {
        return format!("skill: {}", repair.skill);
    }
    let missing: Vec<_> = missing_tools(repair, profile).collect();
    format!("tools: {}", missing.join(", "))
}
