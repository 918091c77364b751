//! The effects of the price model, and what is supposed of them before data.

/// One kind of effect in the model.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Effect {
    Level,
    Age,
    Curvature,
    Distance,
    Class,
    Make,
    MakeAge,
    Body,
    Engine,
    Model,
    ModelAge,
    Variant,
    /// A year later.
    Drift,
    /// The year's wave: sine and cosine of the day of the year.
    Season,
    /// Asked and not sold, beyond what usually comes off.
    Asked,
}

/// What is supposed of a kind of effect before data: its standard deviation,
/// and how many groups' worth of evidence that supposition weighs. Effects
/// without a weight keep their deviation.
#[derive(Debug, Clone, Copy)]
pub(super) struct Prior {
    pub deviation: f64,
    pub weight: Option<f64>,
}

impl Effect {
    pub const ALL: [Effect; 15] = [
        Effect::Level,
        Effect::Age,
        Effect::Curvature,
        Effect::Distance,
        Effect::Class,
        Effect::Make,
        Effect::MakeAge,
        Effect::Body,
        Effect::Engine,
        Effect::Model,
        Effect::ModelAge,
        Effect::Variant,
        Effect::Drift,
        Effect::Season,
        Effect::Asked,
    ];

    pub const fn index(self) -> usize {
        self as usize
    }

    /// Shares of the price; of age per decade, of curvature per squared decade,
    /// of distance per 10,000 miles, of drift a year. From memory: they say how
    /// far the curve of `worth.csv` may be off, how far like cars lie apart, and
    /// how far markets move. What has a weight is estimated from the data and
    /// only steadied by this where groups are few.
    pub const fn prior(self) -> Prior {
        let (deviation, weight) = match self {
            Effect::Level => (0.30, None),
            Effect::Age => (0.40, None),
            Effect::Curvature => (0.05, None),
            Effect::Distance => (0.03, None),
            Effect::Class => (0.15, Some(3.0)),
            Effect::Make => (0.15, Some(4.0)),
            Effect::MakeAge => (0.06, Some(4.0)),
            Effect::Body => (0.15, Some(3.0)),
            Effect::Engine => (0.15, Some(3.0)),
            Effect::Model => (0.15, Some(4.0)),
            Effect::ModelAge => (0.06, Some(4.0)),
            Effect::Variant => (0.15, Some(4.0)),
            Effect::Drift => (0.03, None),
            Effect::Season => (0.03, None),
            Effect::Asked => (0.05, None),
        };
        Prior { deviation, weight }
    }
}

/// What is supposed of the spread between like cars before data.
#[derive(Debug, Clone, Copy)]
pub(super) struct ResidualPrior {
    /// Deviation at age 0.
    pub deviation: f64,
    /// Its growth a year, as a share of it.
    pub growth: f64,
    /// How many rows that weighs.
    pub weight: f64,
}

/// All that is supposed before data.
#[derive(Debug, Clone, Copy)]
pub(super) struct Priors {
    /// By [`Effect::index`].
    pub of: [Prior; Effect::ALL.len()],
    pub residual: ResidualPrior,
}

impl Priors {
    /// The usual ones. From memory: sound cars alike on paper lie about 15 %
    /// apart when new and 26 % at 15 years.
    pub fn usual() -> Self {
        Priors {
            of: Effect::ALL.map(Effect::prior),
            residual: ResidualPrior {
                deviation: 0.15,
                growth: 0.05,
                weight: 4.0,
            },
        }
    }
}

/// How many rows the supposition weighs that ranges are as wide as they should
/// be, before left-out residuals correct them.
pub(super) const CALIBRATION_WEIGHT: f64 = 20.0;
