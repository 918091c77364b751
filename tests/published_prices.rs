//! The price model against published prices of used cars
//! (`tests/data/prices/README.md` names the sources).

use fixworth::lexicon::Lexicon;
use fixworth::reading::Title;
use fixworth::units::{Miles, ModelYear, Money};
use fixworth::worth::{
    Comparable, Loss, Options, Origin, Pooling, PriceBasis, PriceModel, Scale, Subject,
};

const YEAR: ModelYear = ModelYear(2017);

fn rows(name: &str) -> Vec<csv::StringRecord> {
    let path = format!("{}/tests/data/prices/{name}", env!("CARGO_MANIFEST_DIR"));
    let mut reader = csv::Reader::from_path(path).unwrap();
    reader.records().map(Result::unwrap).collect()
}

fn number(row: &csv::StringRecord, column: usize) -> f64 {
    row[column].parse().unwrap()
}

fn car(make: &str, model: &str, age: f64, thousand_miles: f64, thousands: f64) -> Comparable {
    Comparable {
        make: make.to_owned(),
        model: model.to_owned(),
        class: Some("midsize".to_owned()),
        year: ModelYear(YEAR.0 - age as u16),
        miles: Some(Miles((thousand_miles * 1000.0).round() as u32)),
        price: Money::from_f64(thousands * 1000.0).unwrap(),
        basis: PriceBasis::Sold,
        dated: None,
        body: None,
        engine: None,
    }
}

fn subject(car: &Comparable) -> Subject {
    Subject {
        make: Some(car.make.clone()),
        model: Some(car.model.clone()),
        class: car.class.clone(),
        year: Some(car.year),
        miles: car.miles,
        body: car.body.clone(),
        engine: car.engine.clone(),
        title: Title::Clean,
    }
}

fn three_cars() -> Vec<Comparable> {
    let make = |model: &str| match model {
        "Mazda6" => "Mazda",
        "Accord" => "Honda",
        "Maxima" => "Nissan",
        other => panic!("{other}"),
    };
    rows("three_cars.csv")
        .iter()
        .map(|r| car(make(&r[0]), &r[0], number(r, 1), number(r, 3), number(r, 2)))
        .collect()
}

fn car_prices() -> Vec<Comparable> {
    rows("car_prices.csv")
        .iter()
        .map(|r| Comparable {
            class: None,
            body: Some(r[1].to_owned()),
            engine: Some(r[2].to_owned()),
            ..car(&r[0], "", 0.0, number(r, 3) / 1000.0, number(r, 4) / 1000.0)
        })
        .collect()
}

/// Errors of predictions of cars that the fit did not see.
struct Held {
    relative: Vec<f64>,
    inside: usize,
}

impl Held {
    fn mean(&self) -> f64 {
        self.relative.iter().sum::<f64>() / self.relative.len() as f64
    }

    fn median(&self) -> f64 {
        let mut sorted = self.relative.clone();
        sorted.sort_by(f64::total_cmp);
        let n = sorted.len();
        (sorted[(n - 1) / 2] + sorted[n / 2]) / 2.0
    }

    fn coverage(&self) -> f64 {
        self.inside as f64 / self.relative.len() as f64
    }
}

/// Car `i` is held out in fold `i % folds`, so that both this and the script in
/// `tests/oracles` have the same folds.
fn hold_out(cars: &[Comparable], folds: usize, options: &Options) -> Held {
    let curves = Lexicon::built_in().unwrap().curves;
    let mut held = Held {
        relative: Vec::new(),
        inside: 0,
    };
    for fold in 0..folds {
        let kept: Vec<_> = cars
            .iter()
            .enumerate()
            .filter(|(i, _)| i % folds != fold)
            .collect();
        let kept: Vec<_> = kept.into_iter().map(|(_, c)| c.clone()).collect();
        let model = PriceModel::fit(&kept, Origin::File, &curves, options);
        for car in cars.iter().skip(fold).step_by(folds) {
            let price = car.price.to_f64();
            let predicted = model.predict(&subject(car), None).unwrap();
            held.relative.push((predicted.median - price).abs() / price);
            held.inside += usize::from((predicted.low..=predicted.high).contains(&price));
        }
    }
    held
}

/// Price on distance alone: the age is the same for all.
fn line_on_distance(name: &str, price: usize, miles: usize) -> fixworth::worth::Line {
    let cars: Vec<_> = rows(name)
        .iter()
        .map(|r| car("any", "any", 0.0, number(r, miles), number(r, price)))
        .collect();
    let options = Options {
        loss: Loss::Squares,
        scale: Scale::Plain,
        pooling: Pooling::None,
        ..Options::new(YEAR)
    };
    let curves = Lexicon::built_in().unwrap().curves;
    PriceModel::fit(&cars, Origin::File, &curves, &options)
        .line()
        .unwrap()
}

fn assert_near(what: &str, got: f64, published: f64, digits: i32) {
    let half = 0.5 * 10f64.powi(-digits);
    assert!(
        (got - published).abs() <= half * 1.001,
        "{what}: {got}, published {published}"
    );
}

#[test]
fn accord_prices_on_distance_give_the_published_line() {
    let line = line_on_distance("accord.csv", 1, 2);
    assert_near("intercept", line.intercept / 1000.0, 20.8096, 4);
    assert_near("slope", line.per_mile, -0.1198, 4);
    assert_near("R squared", line.r_squared, 0.7207, 4);
    assert_near("standard error", line.deviation / 1000.0, 3.085, 3);
    assert!(line.per_year.abs() < 1e-9, "a constant age has no slope");
}

#[test]
fn porsche_prices_on_distance_give_the_published_line() {
    let line = line_on_distance("porsche.csv", 1, 2);
    assert_near("intercept", line.intercept / 1000.0, 71.0905, 4);
    assert_near("slope", line.per_mile, -0.5894, 4);
    assert_near("R squared", line.r_squared, 0.7945, 4);
    assert_near("standard error", line.deviation / 1000.0, 7.1703, 4);
}

#[test]
fn three_cars_are_predicted_left_out_and_ranges_hold() {
    let held = hold_out(&three_cars(), 90, &Options::new(YEAR));
    println!(
        "three_cars, leave one out: mean {:.4}, median {:.4}, 80 % range holds {:.3}",
        held.mean(),
        held.median(),
        held.coverage()
    );
    assert!(held.mean() <= 0.1388, "mean {}", held.mean());
    assert!(held.median() <= 0.115, "median {}", held.median());
    assert!(
        (0.75..=0.85).contains(&held.coverage()),
        "coverage {}",
        held.coverage()
    );
}

#[test]
fn car_prices_are_predicted_in_ten_folds_and_ranges_hold() {
    let held = hold_out(&car_prices(), 10, &Options::new(YEAR));
    println!(
        "car_prices, ten folds: mean {:.4}, median {:.4}, 80 % range holds {:.3}",
        held.mean(),
        held.median(),
        held.coverage()
    );
    assert!(held.mean() <= 0.069, "mean {}", held.mean());
    assert!(held.median() <= 0.050, "median {}", held.median());
    assert!(
        (0.75..=0.85).contains(&held.coverage()),
        "coverage {}",
        held.coverage()
    );
}

/// What `tests/oracles/worth_models.py` printed last.
const KEPT: &str = include_str!("oracles/worth_models.txt");

/// Mean relative error by data set and model.
fn figures(text: &str) -> Vec<(String, String, f64)> {
    let lines = text.lines().skip(1).map(|line| {
        let cells: Vec<_> = line.split('\t').collect();
        let error = cells[2].parse().unwrap();
        (cells[0].to_owned(), cells[1].to_owned(), error)
    });
    lines.collect()
}

/// The library models of `tests/oracles/worth_models.py` in the same folds: the
/// figures that it printed last, and where python has them, printed anew.
/// `PYTHON` names another interpreter than `python3`.
#[test]
fn no_library_model_predicts_better_in_the_same_folds() {
    let options = Options::new(YEAR);
    let ours = [
        ("three_cars", hold_out(&three_cars(), 90, &options).mean()),
        ("car_prices", hold_out(&car_prices(), 10, &options).mean()),
    ];
    let kept = figures(KEPT);
    let anew = library_models();
    for (data, model, library) in kept.iter().chain(anew.iter().flatten()) {
        let (_, own) = ours.iter().find(|(name, _)| name == data).unwrap();
        println!("{data}, {model}: {library:.4}; ours {own:.4}");
        assert!(own <= library, "{data}, {model}: {library}, ours {own:.4}");
    }
    assert_eq!(kept.len(), 17);
    for (kept, anew) in kept.iter().zip(anew.iter().flatten()) {
        assert_eq!((&kept.0, &kept.1), (&anew.0, &anew.1));
        // Other versions may draw other trees.
        assert!((kept.2 - anew.2).abs() < 0.01, "{kept:?} {anew:?}");
    }
}

/// `None` where python or a library is missing, which it says.
fn library_models() -> Option<Vec<(String, String, f64)>> {
    let python = std::env::var("PYTHON").unwrap_or_else(|_| "python3".to_owned());
    let script = format!(
        "{}/tests/oracles/worth_models.py",
        env!("CARGO_MANIFEST_DIR")
    );
    match std::process::Command::new(&python).arg(script).output() {
        Ok(output) if output.status.success() => {
            Some(figures(std::str::from_utf8(&output.stdout).unwrap()))
        }
        Ok(output) if output.status.code() == Some(3) => {
            let why = String::from_utf8_lossy(&output.stderr);
            println!("skipped: {python} lacks a package: {}", why.trim());
            None
        }
        Ok(output) => panic!("{}", String::from_utf8_lossy(&output.stderr)),
        Err(error) => {
            println!("skipped: {python} does not run: {error}");
            None
        }
    }
}

/// The curve is from memory and of another decade; its range must be honest
/// enough to hold most of the published prices all the same.
#[test]
fn the_curve_without_data_brackets_most_published_prices() {
    let curves = Lexicon::built_in().unwrap().curves;
    let model = PriceModel::fit(&[], Origin::File, &curves, &Options::new(YEAR));
    let (mut inside, mut off) = (0, 0.0);
    let cars = three_cars();
    for car in &cars {
        let price = car.price.to_f64();
        let predicted = model.predict(&subject(car), None).unwrap();
        inside += usize::from((predicted.low..=predicted.high).contains(&price));
        off += (predicted.median / price).ln() / cars.len() as f64;
    }
    let share = inside as f64 / cars.len() as f64;
    println!("curve on three_cars: range holds {share:.3}, mean log ratio {off:+.3}");
    assert!(share >= 0.80, "{share}");
    assert!(off.abs() < 0.4, "{off}");
}
