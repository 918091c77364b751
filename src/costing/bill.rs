//! The types of a fix bill.

use super::optional::Optional;
use crate::lexicon::parts::PartId;
use crate::normal::Part;
use crate::units::{Hours, Money, ThreePoint};

pub use crate::units::Chance;

/// One job of the bill, with all that its figure is made of.
#[derive(Debug, Clone, PartialEq)]
pub struct JobLine {
    /// The job's code in `repairs.csv`.
    pub job: String,
    /// In words.
    pub name: String,
    /// The claims that call for it; none for what is only due.
    pub because: Vec<PartId>,
    /// How it came into the bill.
    pub reason: Reason,
    /// In words, how the chance came about: `stated`, `suspected`,
    /// `likely cause of 'overheats' (17 % by itself)`.
    pub why: String,
    /// How likely the job has to be done.
    pub chance: Chance,
    /// Parts as bought (new or used by the profile), before chance.
    pub parts: ThreePoint<Money>,
    /// Whether `parts` are used ones.
    pub parts_used: bool,
    /// Consumables: fluids, gaskets, sealer.
    pub consumables: Money,
    /// The user's own hours.
    pub own_hours: ThreePoint<Hours>,
    /// Work that goes out: the whole job where skill or tool is lacking, or
    /// the machining, alignment, refrigerant that always does.
    pub outwork: ThreePoint<Money>,
    /// Why work goes out, if it does.
    pub outwork_why: Option<String>,
    /// With which jobs it shares work, and why; what that saves is already
    /// taken off parts, consumables, hours and outwork.
    pub shared_with: Option<String>,
    /// All of it in money, the user's hours at the profile's rate, if the job
    /// has to be done.
    pub cost: ThreePoint<Money>,
    /// The usual caution where the work can hurt someone.
    pub caution: Option<String>,
    /// Where the figures are from.
    pub source: String,
}

/// How a job came into the bill.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Reason {
    /// The fault is told.
    Stated,
    /// The fault is suspected.
    Suspected,
    /// It may be the cause of symptoms.
    Cause,
    /// A symptom may come from something that the tables do not list.
    SomethingElse,
    /// It may come with another fault.
    FollowOn,
    /// Age and distance make it due.
    Due,
    /// What is told may not be all of it.
    Doubt,
}

impl Reason {
    /// The word for it in machine-readable output.
    pub const fn word(self) -> &'static str {
        match self {
            Reason::Stated => "stated",
            Reason::Suspected => "suspected",
            Reason::Cause => "cause",
            Reason::SomethingElse => "something-else",
            Reason::FollowOn => "follow-on",
            Reason::Due => "due",
            Reason::Doubt => "doubt",
        }
    }
}

/// A fault that is cheaper to leave and sell with.
#[derive(Debug, Clone, PartialEq)]
pub struct LeftAlone {
    /// The fault.
    pub part: PartId,
    /// In words, what is left undone.
    pub name: String,
    /// How likely the fault is there.
    pub chance: Chance,
    /// What it takes off the value of the finished car, on average: the mean
    /// of its range times the chance.
    pub effect: Money,
    /// What putting it right would cost (likely).
    pub instead_of: Money,
}

impl FixBill {
    /// The mean of it, with what faults left alone take off the value.
    pub fn with_left(&self) -> Money {
        self.total.likely + self.left.iter().map(|left| left.effect).sum()
    }
}

/// The whole bill of one listing.
#[derive(Debug, Clone, PartialEq)]
pub struct FixBill {
    /// Jobs to do, dearest first (likely cost times chance).
    pub jobs: Vec<JobLine>,
    /// Faults left, with their effect on value.
    pub left: Vec<LeftAlone>,
    /// Range of the bill: sum over jobs, chances weighed; `likely` is the
    /// mean, `low` and `high` are the 10 % and 90 % points. What is left alone
    /// is not in it.
    pub total: ThreePoint<Money>,
    /// The ways the bill may turn out, the cheapest first: what is then
    /// expected, and how far that spreads.
    pub outcomes: Vec<Part>,
    /// Faults that the car can be sold with, repaired or not.
    pub optional: Vec<Optional>,
    /// What the faults told add to what is due on such a car anyway, those left
    /// alone included (mean); only where an ad tells of nothing but faults.
    pub told: Option<Money>,
    /// Standard deviation of the total, in money.
    pub deviation: f64,
    /// The user's own hours, chances weighed.
    pub hours: ThreePoint<Hours>,
    /// The bill if every job that may be needed is needed, at its high cost.
    pub worst: Money,
    /// What was supposed because it is not known, in words.
    pub notes: Vec<String>,
}
