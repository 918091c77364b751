//! Which columns of the regression a car touches.
//!
//! The columns fall in two sorts. Global ones are shared: level, age, distance,
//! classes, makes, bodies, engines. Local ones belong to one model of one make.
//! No car touches the local columns of two models, which keeps the equations
//! small however many models there are (see [`super::solve`]).

use std::collections::BTreeMap;

use super::date::Month;
use super::effects::Effect;
use super::estimate::{Comparable, PriceBasis, Subject};
use super::options::{
    ABSURD_MILES, AGE_ORIGIN, DISTANCE_SPREAD, FARTHEST_BEYOND, FARTHEST_DATE, OLDEST_AGE, Options,
    Pooling,
};
use crate::lexicon::curves::Curves;
use crate::units::{Miles, ModelYear};

/// The facts of a car that its price depends on, wherever they come from.
#[derive(Debug, Clone, Copy)]
pub(super) struct Traits<'a> {
    pub make: Option<&'a str>,
    pub model: Option<&'a str>,
    pub class: Option<&'a str>,
    pub body: Option<&'a str>,
    pub engine: Option<&'a str>,
    /// Years, 0 to [`OLDEST_AGE`].
    pub age: f64,
    pub miles: Option<Miles>,
    /// How its price came about; nothing of a car to be valued.
    pub sale: Sale,
}

/// The circumstances of a price.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Sale {
    pub asked: bool,
    /// Years after the date that worth is told for (negative: before it); none
    /// where the date is not told.
    pub later: Option<f64>,
    pub month: Option<Month>,
}

impl Sale {
    fn of(car: &Comparable, options: &Options) -> Self {
        let later = car.dated.map(|date| {
            let years = date.time() - options.as_of.time();
            years.clamp(-FARTHEST_DATE, FARTHEST_DATE)
        });
        Sale {
            asked: car.basis == PriceBasis::Asked,
            later,
            month: car.dated.and_then(|date| date.month),
        }
    }
}

impl<'a> Traits<'a> {
    pub fn of_comparable(car: &'a Comparable, options: &Options) -> Self {
        Traits {
            make: Some(&car.make),
            model: Some(&car.model),
            class: car.class.as_deref(),
            body: car.body.as_deref(),
            engine: car.engine.as_deref(),
            age: age(car.year, car.dated.unwrap_or(options.as_of).year),
            miles: car.miles,
            sale: Sale::of(car, options),
        }
    }

    /// `None` where the model year is unknown.
    pub fn of_subject(car: &'a Subject, options: &Options) -> Option<Self> {
        Some(Traits {
            make: car.make.as_deref(),
            model: car.model.as_deref(),
            class: car.class.as_deref(),
            body: car.body.as_deref(),
            engine: car.engine.as_deref(),
            age: age(car.year?, options.as_of.year),
            miles: car.miles,
            sale: Sale::default(),
        })
    }
}

/// Age in years. Next year's models are sold this year; they count as new.
fn age(year: ModelYear, at: ModelYear) -> f64 {
    f64::from(at.0.saturating_sub(year.0)).min(OLDEST_AGE)
}

/// A car as the regression sees it.
#[derive(Debug, Clone, Default)]
pub(super) struct Terms {
    pub age: f64,
    /// Distance beyond the usual, in 10,000 miles; 0 where not known.
    pub beyond: f64,
    /// Standard deviation of `beyond`; 0 where the distance is known.
    pub beyond_deviation: f64,
    /// The curve's price.
    pub curve: f64,
    /// Whether the curve is the class's own.
    pub curve_is_own: bool,
    pub global: Vec<(usize, f64)>,
    pub block: Option<usize>,
    pub local: Vec<(usize, f64)>,
    /// Effects that the data know nothing of, with the square of their factor.
    pub unseen: Vec<(Effect, f64)>,
}

/// Effects by column.
#[derive(Debug, Clone, Default)]
pub(super) struct Layout {
    pub global: Vec<Effect>,
    pub blocks: Vec<Vec<Effect>>,
    class: BTreeMap<String, usize>,
    make: BTreeMap<String, usize>,
    body: BTreeMap<String, usize>,
    engine: BTreeMap<String, usize>,
    model: BTreeMap<(String, String), usize>,
    variant: BTreeMap<(usize, String, String), usize>,
    knows_models: bool,
    pooled: bool,
    drift: Option<usize>,
    /// The first of two columns.
    season: Option<usize>,
    asked: Option<usize>,
    /// All prices of the data are asked ones.
    only_asked: bool,
}

/// Words of one name compare equal whatever their capitals and signs.
pub(super) fn key(name: &str) -> String {
    name.chars()
        .filter(|c| c.is_alphanumeric())
        .flat_map(char::to_lowercase)
        .collect()
}

fn key_of(name: Option<&str>) -> Option<String> {
    name.map(key).filter(|k| !k.is_empty())
}

/// Bodies and engines beyond this many different words are free text and not
/// groups; later ones count as unseen.
const MOST_WORDS: usize = 60;

impl Layout {
    pub fn new(pooling: Pooling) -> Self {
        let pooled = pooling == Pooling::Partial;
        let mut global = vec![Effect::Level, Effect::Age, Effect::Distance];
        if pooled {
            global.push(Effect::Curvature);
        }
        Layout {
            global,
            pooled,
            ..Layout::default()
        }
    }

    /// A layout for all cars of the data.
    pub fn of_cars(cars: &[Traits<'_>], pooling: Pooling) -> Self {
        let mut layout = Layout::new(pooling);
        cars.iter().for_each(|car| layout.admit(car));
        if layout.pooled {
            layout.admit_market(cars);
        }
        layout
    }

    /// Makes columns for what moves the market, as far as the data can tell.
    fn admit_market(&mut self, cars: &[Traits<'_>]) {
        let mut column = |wanted: bool, effects: &[Effect]| {
            let at = self.global.len();
            self.global
                .extend_from_slice(if wanted { effects } else { &[] });
            wanted.then_some(at)
        };
        let any = |f: fn(&Sale) -> bool| cars.iter().any(|car| f(&car.sale));
        let (asked, sold) = (any(|s| s.asked), any(|s| !s.asked));
        self.drift = column(any(|s| s.later.is_some()), &[Effect::Drift]);
        let wave = [Effect::Season, Effect::Season];
        self.season = column(any(|s| s.month.is_some()), &wave);
        self.asked = column(asked && sold, &[Effect::Asked]);
        self.only_asked = asked && !sold;
    }

    /// Where asked and sold prices are told apart, the column that does.
    pub fn asked(&self) -> Option<usize> {
        self.asked
    }

    /// Makes columns for the groups of a car of the data.
    pub fn admit(&mut self, car: &Traits<'_>) {
        if !self.pooled {
            return;
        }
        let global = &mut self.global;
        let mut column = |map: &mut BTreeMap<String, usize>, name, effects: &[Effect], most| {
            let Some(key) = key_of(name) else { return };
            if !map.contains_key(&key) && map.len() < most {
                map.insert(key, global.len());
                global.extend_from_slice(effects);
            }
        };
        column(&mut self.class, car.class, &[Effect::Class], MOST_WORDS);
        let make = [Effect::Make, Effect::MakeAge];
        column(&mut self.make, car.make, &make, 4 * MOST_WORDS);
        column(&mut self.body, car.body, &[Effect::Body], MOST_WORDS);
        column(&mut self.engine, car.engine, &[Effect::Engine], MOST_WORDS);
        let Some(make) = key_of(car.make) else { return };
        let model = key_of(car.model);
        self.knows_models |= model.is_some();
        // Without a model the block holds the make's variants and nothing else.
        let effects = match model {
            Some(_) => vec![Effect::Model, Effect::ModelAge],
            None => Vec::new(),
        };
        let block = *self
            .model
            .entry((make, model.unwrap_or_default()))
            .or_insert_with(|| {
                self.blocks.push(effects);
                self.blocks.len() - 1
            });
        if let Some((body, engine)) = variant_key(car) {
            let columns = &mut self.blocks[block];
            if columns.len() < MOST_WORDS {
                self.variant
                    .entry((block, body, engine))
                    .or_insert_with(|| {
                        columns.push(Effect::Variant);
                        columns.len() - 1
                    });
            }
        }
    }

    /// What a car touches.
    pub fn terms(&self, car: &Traits<'_>, curves: &Curves) -> Terms {
        let (curve, curve_is_own) = curves.of_class(car.class);
        let usual = if self.pooled {
            curve.usual_at(car.age)
        } else {
            0.0
        };
        let miles = car.miles.filter(|m| m.0 <= ABSURD_MILES);
        let (beyond, beyond_deviation) = match miles {
            Some(Miles(miles)) if self.pooled => {
                let beyond = (f64::from(miles) - usual) / 10_000.0;
                (beyond.clamp(-FARTHEST_BEYOND, FARTHEST_BEYOND), 0.0)
            }
            Some(Miles(miles)) => (f64::from(miles) / 10_000.0, 0.0),
            // A car of this year has some distance too: half a year's.
            None => (
                0.0,
                DISTANCE_SPREAD * curve.usual_at(car.age.max(0.5)) / 10_000.0,
            ),
        };
        let decades = (car.age - AGE_ORIGIN) / 10.0;
        let mut terms = Terms {
            age: car.age,
            beyond,
            beyond_deviation,
            curve: curve.price(car.age, beyond),
            curve_is_own,
            global: vec![(0, 1.0), (1, decades), (2, beyond)],
            ..Terms::default()
        };
        if self.pooled {
            terms.global.push((3, decades * decades));
            self.group_terms(car, decades, &mut terms);
            self.market_terms(&car.sale, &mut terms);
        }
        terms
    }

    /// Nothing for a car to be valued: worth is told for the date of the run,
    /// for a sale, and as the year's average, since nobody knows in which month
    /// the repaired car will sell.
    fn market_terms(&self, sale: &Sale, terms: &mut Terms) {
        if let Some((column, years)) = self.drift.zip(sale.later) {
            terms.global.push((column, years));
        }
        if let Some((column, month)) = self.season.zip(sale.month) {
            let (sine, cosine) = (std::f64::consts::TAU * month.share_of_year()).sin_cos();
            terms.global.extend([(column, sine), (column + 1, cosine)]);
        }
        match self.asked {
            Some(column) if sale.asked => terms.global.push((column, 1.0)),
            None if self.only_asked && !sale.asked => terms.unseen.push((Effect::Asked, 1.0)),
            _ => {}
        }
    }

    fn group_terms(&self, car: &Traits<'_>, decades: f64, terms: &mut Terms) {
        let make = key_of(car.make);
        match make.as_ref().and_then(|k| self.make.get(k)) {
            Some(&c) => terms.global.extend([(c, 1.0), (c + 1, decades)]),
            None => terms
                .unseen
                .extend([(Effect::Make, 1.0), (Effect::MakeAge, decades * decades)]),
        }
        let mut word = |name, map: &BTreeMap<String, usize>, effect| {
            match key_of(name).and_then(|k| map.get(&k)) {
                Some(&c) => terms.global.push((c, 1.0)),
                // Data that never tell the body cannot say how bodies differ.
                None if map.is_empty() => {}
                None => terms.unseen.push((effect, 1.0)),
            }
        };
        word(car.body, &self.body, Effect::Body);
        word(car.engine, &self.engine, Effect::Engine);

        let model = key_of(car.model);
        let has_model = model.is_some();
        let block =
            make.and_then(|make| self.model.get(&(make, model.unwrap_or_default())).copied());
        terms.block = block;
        if block.is_some() && has_model {
            terms.local.extend([(0, 1.0), (1, decades)]);
        } else if has_model || self.knows_models || self.blocks.is_empty() {
            terms
                .unseen
                .extend([(Effect::Model, 1.0), (Effect::ModelAge, decades * decades)]);
        }
        match key_of(car.class).and_then(|k| self.class.get(&k)) {
            Some(&c) => terms.global.push((c, 1.0)),
            // What a class does to a model of the data is in the model's effect.
            None if block.is_some() => {}
            None => terms.unseen.push((Effect::Class, 1.0)),
        }
        let variant = block
            .zip(variant_key(car))
            .and_then(|(b, (body, engine))| self.variant.get(&(b, body, engine)));
        match variant {
            Some(&column) => terms.local.push((column, 1.0)),
            None if self.variant.is_empty() => {}
            None => terms.unseen.push((Effect::Variant, 1.0)),
        }
    }
}

fn variant_key(car: &Traits<'_>) -> Option<(String, String)> {
    let (body, engine) = (key_of(car.body), key_of(car.engine));
    (body.is_some() || engine.is_some())
        .then(|| (body.unwrap_or_default(), engine.unwrap_or_default()))
}
