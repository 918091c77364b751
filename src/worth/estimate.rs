//! The types of a worth estimate.

use super::date::SaleDate;
use super::parting::PartedOut;
use crate::reading::Title;
use crate::units::{Miles, ModelYear, Money, ThreePoint};

/// What a known price is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum PriceBasis {
    /// What a buyer paid.
    #[default]
    Sold,
    /// What a seller asked.
    Asked,
}

impl PriceBasis {
    /// Both.
    pub const ALL: [PriceBasis; 2] = [PriceBasis::Sold, PriceBasis::Asked];

    /// The word for it in tables and comparables files.
    pub const fn word(self) -> &'static str {
        match self {
            PriceBasis::Sold => "sold",
            PriceBasis::Asked => "asked",
        }
    }

    /// What a word stands for, whatever its capitals.
    pub fn of_word(word: &str) -> Option<Self> {
        let fits = |basis: &PriceBasis| basis.word().eq_ignore_ascii_case(word);
        Self::ALL.into_iter().find(fits)
    }
}

/// A car whose price is known: from a comparables file, or a sound car that
/// drives out of the batch itself.
#[derive(Debug, Clone, PartialEq)]
pub struct Comparable {
    /// Usual full name of the make.
    pub make: String,
    /// Usual name of the model.
    pub model: String,
    /// Vehicle class (`classes.csv`), where the model table knows it.
    pub class: Option<String>,
    /// Model year.
    pub year: ModelYear,
    /// Distance on the car.
    pub miles: Option<Miles>,
    /// Asked or paid, as `basis` says.
    pub price: Money,
    /// Whether it was asked or paid.
    pub basis: PriceBasis,
    /// When it was sold or offered, where known: the age is taken then.
    pub dated: Option<SaleDate>,
    /// Body style, where the source tells.
    pub body: Option<String>,
    /// Engine or number of cylinders, where the source tells.
    pub engine: Option<String>,
}

/// The car to be valued, supposed to be put right.
#[derive(Debug, Clone, PartialEq)]
pub struct Subject {
    /// Usual full name of the make.
    pub make: Option<String>,
    /// Usual name of the model.
    pub model: Option<String>,
    /// Vehicle class (`classes.csv`).
    pub class: Option<String>,
    /// Model year.
    pub year: Option<ModelYear>,
    /// Distance on the car.
    pub miles: Option<Miles>,
    /// Body style, where known.
    pub body: Option<String>,
    /// Engine or number of cylinders, where known.
    pub engine: Option<String>,
    /// The papers.
    pub title: Title,
}

/// What an estimate rests on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum WorthBasis {
    /// A comparables file: how many rows in all, of this make, of this model.
    Comparables {
        /// Rows of the whole file that could be used.
        all: usize,
        /// Rows of the same make.
        make: usize,
        /// Rows of the same model.
        model: usize,
    },
    /// The batch's own sound cars, counted likewise.
    Batch {
        /// Sound cars of the batch.
        all: usize,
        /// Of the same make.
        make: usize,
        /// Of the same model.
        model: usize,
    },
    /// No data: the curve of `worth.csv`.
    Curve,
}

/// A worth estimate with what it is made of.
#[derive(Debug, Clone, PartialEq)]
pub struct Worth {
    /// Price the finished car should fetch: 10 %, 50 % and 90 % points of the
    /// predicted price, the papers' factor included, never below the floor.
    pub right: ThreePoint<Money>,
    /// Factor of the papers (1 for clean), already in `right`.
    pub title_factor: f64,
    /// Scrap value as it stands.
    pub floor: Money,
    /// How the floor was made, in words.
    pub floor_why: String,
    /// What it fetches if it is not repaired: the floor, or more where the user
    /// breaks cars for parts and this one yields it.
    pub way_out: Money,
    /// How, in words.
    pub way_out_why: String,
    /// What `right` rests on.
    pub basis: WorthBasis,
    /// Facts that were missing and supposed, in words (`distance not given:
    /// 12,000 a year supposed`).
    pub supposed: Vec<String>,
}

impl Worth {
    /// The same where it may be broken for parts: that counts where it leaves
    /// more than the yard pays for the whole car.
    pub fn or_broken(self, parted: &PartedOut) -> Self {
        if parted.net <= self.way_out {
            return self;
        }
        let pieces = parted.pieces.iter().filter(|p| p.brings > Money::ZERO);
        Worth {
            way_out: parted.net.rounded(),
            way_out_why: format!(
                "broken: {} pieces bring {}, the hulk {}, less {} h of one's own",
                pieces.count(),
                parted.revenue.rounded(),
                parted.hulk.floor(),
                parted.hours
            ),
            ..self
        }
    }

    /// The same car supposed to fetch another amount once right: the range
    /// keeps its shape.
    pub fn moved_to(self, likely: Money) -> Self {
        let likely = likely.max(self.floor);
        let was = self.right.likely.amount();
        let moved = |end: Money| {
            let scaled = (end.amount() * likely.amount()).checked_div(was);
            Money::new(scaled.unwrap_or(likely.amount()))
                .rounded()
                .max(self.floor)
        };
        let right = ThreePoint {
            low: moved(self.right.low).min(likely),
            likely,
            high: moved(self.right.high).max(likely),
        };
        Worth { right, ..self }
    }
}
