//! What a price model says, and that it says something sane whatever it is fed.

use std::sync::LazyLock;

use fixworth::lexicon::Lexicon;
use fixworth::reading::Title;
use fixworth::units::{Miles, ModelYear, Money};
use fixworth::worth::{
    Comparable, Loss, Options, Origin, Pooling, PriceModel, Scale, Scrap, Subject, Worth,
    WorthBasis,
};
use proptest::prelude::*;
use rust_decimal::Decimal;

const YEAR: ModelYear = ModelYear(2024);

static LEXICON: LazyLock<Lexicon> = LazyLock::new(|| Lexicon::built_in().unwrap());

fn car(model: &str, age: u16, miles: u32, price: i64) -> Comparable {
    Comparable {
        make: "Toyota".to_owned(),
        model: model.to_owned(),
        class: Some("compact".to_owned()),
        year: ModelYear(YEAR.0 - age),
        miles: Some(Miles(miles)),
        price: Money::whole(price),
        dated: None,
        body: None,
        engine: None,
    }
}

fn subject() -> Subject {
    Subject {
        make: Some("Toyota".to_owned()),
        model: Some("Corolla".to_owned()),
        class: Some("compact".to_owned()),
        year: Some(ModelYear(YEAR.0 - 14)),
        miles: Some(Miles(168_000)),
        body: None,
        engine: None,
        title: Title::Clean,
    }
}

/// Prices that fall 12 % a year, every other one 10 % up or down.
fn market(model: &str, new: f64, count: u16) -> Vec<Comparable> {
    (0..count)
        .map(|i| {
            let age = 5 + i % 15;
            let swing = if i.is_multiple_of(2) { 1.1 } else { 0.9 };
            let price = new * 0.88f64.powi(i32::from(age)) * swing;
            car(model, age, u32::from(age) * 12_000, price.round() as i64)
        })
        .collect()
}

fn fit(rows: &[Comparable], options: Options) -> PriceModel {
    PriceModel::fit(rows, Origin::File, &LEXICON.curves, &options)
}

fn usual(rows: &[Comparable]) -> PriceModel {
    fit(rows, Options::new(YEAR))
}

fn scrap() -> Scrap {
    Scrap::complete(Decimal::from(2_918), Money::whole(170))
}

fn worth(model: &PriceModel, subject: &Subject) -> Worth {
    model
        .estimate(subject, &LEXICON.titles, &scrap(), None)
        .unwrap()
}

/// Upper over lower end of the range.
fn width(worth: &Worth) -> f64 {
    worth.right.high.to_f64() / worth.right.low.to_f64()
}

#[test]
fn without_data_the_curve_serves_says_so_and_is_wide() {
    let (curve, own) = LEXICON.curves.of_class(Some("compact"));
    assert!(own);
    let worth = worth(&usual(&[]), &subject());
    assert_eq!(worth.basis, WorthBasis::Curve);
    let expected = Money::from_f64(curve.price(14.0, 0.0)).unwrap().rounded();
    assert_eq!(worth.right.likely, expected);
    assert!(width(&worth) > 3.0, "{:?}", worth.right);
    assert_eq!(worth.floor, Money::whole(248));
}

#[test]
fn data_draw_the_worth_away_from_the_curve_as_far_as_they_weigh() {
    let dear = |count| worth(&usual(&market("Corolla", 60_000.0, count)), &subject());
    let curve = worth(&usual(&[]), &subject());
    let (few, many) = (dear(5), dear(60));
    // 60,000 * 0.88^14 = 10,021
    let market = Money::whole(10_021);
    assert!(curve.right.likely < few.right.likely && few.right.likely < market);
    let off = (many.right.likely.to_f64() / market.to_f64()).ln().abs();
    assert!(off < 0.05, "{:?}", many.right);
    assert!(width(&curve) > width(&few) && width(&few) > width(&many));
    let basis = WorthBasis::Comparables {
        all: 60,
        make: 60,
        model: 60,
    };
    assert_eq!(many.basis, basis);
}

#[test]
fn a_model_that_the_data_do_not_know_borrows_from_its_make_with_a_wider_range() {
    let model = usual(&market("Corolla", 40_000.0, 60));
    let known = worth(&model, &subject());
    let other = Subject {
        model: Some("Echo".to_owned()),
        ..subject()
    };
    let unknown = worth(&model, &other);
    assert!(width(&unknown) > width(&known));
    assert!(unknown.right.likely > worth(&usual(&[]), &other).right.likely);
    let basis = WorthBasis::Comparables {
        all: 60,
        make: 60,
        model: 0,
    };
    assert_eq!(unknown.basis, basis);
}

#[test]
fn a_few_absurd_prices_do_not_move_the_robust_fit() {
    let clean = market("Corolla", 30_000.0, 40);
    let mut dirty = clean.clone();
    dirty.extend((0..4).map(|i| car("Corolla", 14 + i, 150_000, 900_000)));
    let shift = |loss| {
        let options = Options {
            loss,
            ..Options::new(YEAR)
        };
        let price = |rows: &[Comparable]| {
            let model = fit(rows, options);
            model.predict(&subject(), None).unwrap().median
        };
        (price(&dirty) / price(&clean)).ln().abs()
    };
    let (robust, squares) = (shift(Loss::Huber), shift(Loss::Squares));
    assert!(robust < 0.12, "{robust}");
    assert!(squares > 3.0 * robust, "{squares} against {robust}");
}

#[test]
fn an_unknown_distance_is_supposed_told_and_widens_the_range() {
    let model = usual(&market("Corolla", 30_000.0, 40));
    let known = worth(&model, &subject());
    let unknown = worth(
        &model,
        &Subject {
            miles: None,
            ..subject()
        },
    );
    assert!(width(&unknown) > width(&known));
    assert_eq!(
        unknown.supposed,
        ["distance not given: 12,000 miles a year supposed"]
    );
    assert!(known.supposed.is_empty());
}

#[test]
fn papers_take_their_share_and_junk_leaves_the_floor() {
    let model = usual(&market("Corolla", 30_000.0, 40));
    let with = |title| worth(&model, &Subject { title, ..subject() });
    let clean = with(Title::Clean);
    for &title in Title::ALL {
        let worth = with(title);
        let expected = (clean.right.likely.to_f64() * worth.title_factor).max(248.0);
        assert!(
            (worth.right.likely.to_f64() - expected).abs() <= 1.0,
            "{title}"
        );
    }
    let junk = with(Title::Junk);
    assert_eq!((junk.right.low, junk.right.high), (junk.floor, junk.floor));
    assert!(with(Title::Unstated).right.likely < clean.right.likely);
    assert!(with(Title::Salvage).right.likely < with(Title::Rebuilt).right.likely);
}

#[test]
fn age_is_taken_at_the_sale_where_the_row_tells_its_date() {
    let old_sales: Vec<_> = market("Corolla", 30_000.0, 40)
        .into_iter()
        .map(|c| Comparable {
            year: ModelYear(c.year.0 - 6),
            dated: Some(ModelYear(YEAR.0 - 6)),
            ..c
        })
        .collect();
    let now = usual(&market("Corolla", 30_000.0, 40));
    assert_eq!(
        worth(&usual(&old_sales), &subject()).right,
        worth(&now, &subject()).right
    );
}

#[test]
fn a_cars_own_price_does_not_vouch_for_it() {
    let mut rows = market("Corolla", 30_000.0, 20);
    rows.push(car("Corolla", 14, 168_000, 900));
    let own = rows.len() - 1;
    let with = usual(&rows);
    let without = usual(&rows[..own]);
    let price = |m: &PriceModel, own| m.predict(&subject(), own).unwrap().median;
    let left_out = price(&with, Some(own));
    assert!(left_out > price(&with, None));
    // The weights of the other rows are not fitted anew, so not to the digit.
    let refit = price(&without, None);
    assert!((left_out / refit).ln().abs() < 0.02, "{left_out} {refit}");
    let worth = with
        .estimate(&subject(), &LEXICON.titles, &scrap(), Some(own))
        .unwrap();
    assert!(matches!(
        worth.basis,
        WorthBasis::Comparables {
            all: 20,
            model: 20,
            ..
        }
    ));
}

#[test]
fn an_unknown_year_gives_no_worth_and_a_very_old_car_says_what_it_counts_as() {
    let model = usual(&[]);
    assert_eq!(
        model.predict(
            &Subject {
                year: None,
                ..subject()
            },
            None
        ),
        None
    );
    let old = Subject {
        year: Some(ModelYear(1962)),
        class: None,
        ..subject()
    };
    let supposed = worth(&model, &old).supposed;
    assert_eq!(supposed.len(), 2);
    assert!(supposed[0].contains("class of the car not known"));
    assert!(supposed[1].contains("valued as 35 years old"));
}

fn any_car() -> impl Strategy<Value = Comparable> {
    let price = prop_oneof![
        4 => 300i64..30_000,
        1 => Just(0),
        1 => Just(1),
        1 => Just(-500),
        1 => Just(9_999_999),
        1 => Just(i64::MAX),
    ];
    let miles = prop_oneof![
        3 => (0u32..300_000).prop_map(Some),
        1 => Just(None),
        1 => Just(Some(u32::MAX)),
        1 => Just(Some(0)),
    ];
    let year = prop_oneof![5 => 1995u16..2026, 1 => Just(0), 1 => Just(u16::MAX)];
    let word = prop_oneof![Just(""), Just("wagon"), Just("sedan"), Just("--")];
    let class = prop_oneof![Just(None), Just(Some("van")), Just(Some("boat"))];
    let model = prop_oneof![Just("Corolla"), Just("Camry"), Just(""), Just("?")];
    (price, miles, year, word, class, model, any::<bool>()).prop_map(
        |(price, miles, year, body, class, model, collinear)| Comparable {
            miles: if collinear {
                Some(Miles(u32::from(year) * 10))
            } else {
                miles.map(Miles)
            },
            year: ModelYear(year),
            class: class.map(str::to_owned),
            body: Some(body.to_owned()),
            ..car(model, 0, 0, price)
        },
    )
}

fn any_options() -> impl Strategy<Value = Options> {
    let loss = prop_oneof![Just(Loss::Huber), Just(Loss::Squares)];
    let scale = prop_oneof![Just(Scale::Log), Just(Scale::Plain)];
    let pooling = prop_oneof![Just(Pooling::Partial), Just(Pooling::None)];
    (loss, scale, pooling).prop_map(|(loss, scale, pooling)| Options {
        as_of: YEAR,
        loss,
        scale,
        pooling,
    })
}

fn any_rows() -> impl Strategy<Value = Vec<Comparable>> {
    let varied = prop::collection::vec(any_car(), 0..14);
    let constant = (any_car(), 0usize..8).prop_map(|(c, n)| vec![c; n]);
    prop_oneof![3 => varied, 1 => constant]
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 200,
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn whatever_the_rows_the_worth_is_finite_in_order_and_above_the_floor(
        rows in any_rows(),
        options in any_options(),
        subject_car in any_car(),
        own in 0usize..14,
    ) {
            let model = fit(&rows, options);
        let subject = Subject {
            make: Some(subject_car.make.clone()),
            model: Some(subject_car.model.clone()),
            class: subject_car.class.clone(),
            year: Some(subject_car.year),
            miles: subject_car.miles,
            body: subject_car.body.clone(),
            engine: None,
            title: Title::Unstated,
        };
        for own in [None, Some(own)] {
            let p = model.predict(&subject, own).unwrap();
            prop_assert!(p.low.is_finite() && p.median.is_finite() && p.high.is_finite());
            prop_assert!(p.low <= p.median && p.median <= p.high);
            let worth = model.estimate(&subject, &LEXICON.titles, &scrap(), own).unwrap();
            prop_assert!(worth.floor <= worth.right.low);
            prop_assert!(worth.right.low <= worth.right.likely);
            prop_assert!(worth.right.likely <= worth.right.high);
        }
    }

    #[test]
    fn the_order_of_rows_does_not_matter(rows in prop::collection::vec(any_car(), 5..14)) {
        let mut turned = rows.clone();
        turned.reverse();
        let price = |rows: &[Comparable]| usual(rows).predict(&subject(), None).unwrap().median;
        let (a, b) = (price(&rows), price(&turned));
        prop_assert!((a / b).ln().abs() < 1e-3, "{a} {b}");
    }
}
