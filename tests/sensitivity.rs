//! What is supposed otherwise has the effect that it would have if it were so.

use std::path::Path;
use std::process::Command;

const ADS: &str = "\
id,title,description,price
1,2003 Toyota Corolla,\"Runs and drives, 148000 miles, clean title. 5 speed. Needs a clutch.\",900
2,2005 Mazda 3,\"Runs and drives, 120k miles. Clutch slips.\",1500
3,2006 Kia Rio,\"Runs and drives, 130k miles, clean title.\",
4,Wheels off a Subaru,\"Set of four wheels with tires\",200
";

const SOLD: &str = "\
year,make,model,miles,price
2003,Toyota,Corolla,150000,3900
2005,Toyota,Corolla,140000,4400
2004,Mazda,3,130000,3300
2006,Mazda,3,110000,3900
2007,Kia,Rio,120000,2600
2002,Toyota,Camry,160000,3500
";

struct Folder(tempfile::TempDir);

impl Folder {
    fn new() -> Self {
        let folder = Folder(tempfile::tempdir().unwrap());
        folder.write("ads.csv", ADS);
        folder.write("sold.csv", SOLD);
        folder
    }

    fn write(&self, name: &str, text: &str) {
        std::fs::write(self.path().join(name), text).unwrap();
    }

    fn path(&self) -> &Path {
        self.0.path()
    }

    fn run(&self, args: &[&str]) -> Result<String, String> {
        let output = Command::new(env!("CARGO_BIN_EXE_fixworth"))
            .current_dir(self.path())
            .args(args)
            .args(if args[0] == "explain" || args[0] == "shortlist" {
                &["--comparables", "sold.csv", "--as-of", "2016"][..]
            } else {
                &[]
            })
            .output()
            .unwrap();
        let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
        if output.status.success() {
            Ok(text(output.stdout))
        } else {
            Err(text(output.stderr))
        }
    }

    /// The figures of an ad as changed: `label  before  after`.
    fn what_if(&self, id: &str, changes: &[&str]) -> Vec<(String, String, String)> {
        let mut args = vec!["explain", id, "ads.csv"];
        for change in changes {
            args.extend(["--what-if", change]);
        }
        let page = self.run(&args).unwrap();
        let (_, table) = page.split_once("Before and after\n").unwrap();
        let rows = table
            .lines()
            .skip(1)
            .take_while(|l| !l.contains("Hours of repair"));
        rows.map(|line| {
            let cells: Vec<_> = line
                .split("  ")
                .map(str::trim)
                .filter(|c| !c.is_empty())
                .collect();
            (
                cells[0].to_owned(),
                cells[1].to_owned(),
                cells[2].to_owned(),
            )
        })
        .collect()
    }

    fn margin_if(&self, id: &str, change: &str) -> String {
        let rows = self.what_if(id, &[change]);
        let row = rows.into_iter().find(|r| r.0 == "expected margin");
        row.unwrap().2
    }

    /// The margin that the shortlist has of an ad of a file.
    fn margin(&self, id: &str, ads: &str, profile: &str) -> String {
        self.write("changed.csv", ads);
        self.write("changed.toml", profile);
        let args = [
            "shortlist",
            "changed.csv",
            "--format",
            "csv",
            "--profile",
            "changed.toml",
        ];
        let text = self.run(&args).unwrap();
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        let headers = reader.headers().unwrap().clone();
        let at = |name| headers.iter().position(|h| h == name).unwrap();
        let (id_at, margin_at) = (at("id"), at("margin_likely"));
        let rows = csv::Reader::from_reader(text.as_bytes()).into_records();
        let row = rows.map(Result::unwrap).find(|r| &r[id_at] == id).unwrap();
        let amount: rust_decimal::Decimal = row[margin_at].parse().unwrap();
        fixworth::units::Money::new(amount).to_string()
    }

    /// The rows of the list of what moves the margin: words, low, high, margin
    /// at both, move.
    fn tornado(&self, id: &str, more: &[&str]) -> Vec<Vec<String>> {
        let page = self
            .run(&[&["explain", id, "ads.csv"], more].concat())
            .unwrap();
        let (_, list) = page.split_once("What moves the margin most\n").unwrap();
        let rows = list
            .lines()
            .skip(1)
            .take_while(|l| !l.starts_with("  With") && !l.starts_with("  Each"));
        rows.map(|line| {
            let cells = line.split("  ").map(str::trim).filter(|c| !c.is_empty());
            cells.map(str::to_owned).collect()
        })
        .collect()
    }
}

#[test]
fn who_breaks_cars_has_a_better_way_out() {
    let folder = Folder::new();
    folder.write(
        "wreck.csv",
        "id,title,description,price\n1,2003 Toyota Corolla,\"Engine blown, transmission slips, \
         rust in the frame. 148000 miles, clean title.\",400\n",
    );
    let whole = folder.run(&["explain", "1", "wreck.csv"]).unwrap();
    assert!(whole.contains("(scrap:"), "{whole}");
    let broken = folder
        .run(&["explain", "1", "wreck.csv", "--what-if", "breaks_cars=true"])
        .unwrap();
    let line = broken
        .lines()
        .find(|l| l.trim_start().starts_with("the way out"));
    let change = line.and_then(|l| l.split_whitespace().last()).unwrap();
    assert!(change.starts_with('+'), "{broken}");
}

#[test]
fn a_key_of_the_profile_does_what_the_profile_would_do() {
    let folder = Folder::new();
    for (change, line) in [
        ("hour_value=25", "hour_value = 25"),
        ("hour_value=0", "hour_value = 0"),
        ("skills=[\"basic\"]", "skills = [\"basic\"]"),
        ("buys_used_parts=false", "buys_used_parts = false"),
        ("scrap_ton=metric", "scrap_ton = \"metric\""),
        ("suspect_chance=0.9", "suspect_chance = 0.9"),
    ] {
        let expected = folder.margin("1", ADS, line);
        assert_eq!(folder.margin_if("1", change), expected, "{change}");
    }
}

#[test]
fn a_fact_of_the_ad_does_what_the_ad_would_do() {
    let folder = Folder::new();
    for (change, said, instead) in [
        ("ask=600", "clutch.\",900", "clutch.\",600"),
        ("title=salvage", "clean title. 5", "salvage title. 5"),
        ("miles=190000", "148000", "190000"),
        ("year=2006", "1,2003 Toyota", "1,2006 Toyota"),
        ("gearbox=automatic", "5 speed", "automatic"),
        ("clutch=unsaid", " Needs a clutch.", ""),
        ("clutch=suspect", "Needs a clutch", "Might need a clutch"),
    ] {
        assert!(ADS.contains(said), "{said}");
        let expected = folder.margin("1", &ADS.replacen(said, instead, 1), "");
        assert_eq!(folder.margin_if("1", change), expected, "{change}");
    }
}

#[test]
fn several_changes_hold_together_and_before_stays_before() {
    let folder = Folder::new();
    let rows = folder.what_if("1", &["ask=600", "hour_value=25"]);
    let row = rows.iter().find(|r| r.0 == "expected margin").unwrap();
    assert_eq!(row.1, folder.margin("1", ADS, ""));
    let cheaper = ADS.replacen("clutch.\",900", "clutch.\",600", 1);
    assert_eq!(row.2, folder.margin("1", &cheaper, "hour_value = 25"));
    // The steps of the sum are there, too.
    for label in [
        "worth once right",
        "fix bill",
        "selling",
        "price",
        "ceiling",
    ] {
        assert!(rows.iter().any(|r| r.0 == label), "{label}: {rows:?}");
    }
}

#[test]
fn a_supposed_worth_moves_the_sum_by_as_much() {
    let folder = Folder::new();
    let rows = folder.what_if("1", &["worth=5000"]);
    let worth = rows.iter().find(|r| r.0 == "worth once right").unwrap();
    assert_eq!(worth.2, "5,000");
}

#[test]
fn the_ends_of_an_assumption_are_what_the_car_leaves_there() {
    let folder = Folder::new();
    let rows = folder.tornado("1", &[]);
    let hour = rows
        .iter()
        .find(|r| r[0] == "what your hour is worth")
        .unwrap();
    assert_eq!(hour[1..3], ["7.5".to_owned(), "22.5".to_owned()]);
    assert_eq!(hour[3], folder.margin_if("1", "hour_value=7.5"));
    assert_eq!(hour[4], folder.margin_if("1", "hour_value=22.5"));
    let worth = rows.iter().find(|r| r[0] == "worth once right").unwrap();
    let plain = |text: &str| text.replace(',', "");
    assert_eq!(
        worth[3],
        folder.margin_if("1", &format!("worth={}", plain(&worth[1])))
    );
}

#[test]
fn the_strongest_assumption_comes_first() {
    let folder = Folder::new();
    for id in ["1", "2"] {
        let moves: Vec<i64> = folder
            .tornado(id, &[])
            .iter()
            .map(|row| row[5].replace(',', "").parse().unwrap())
            .collect();
        assert!(moves.len() >= 5, "{moves:?}");
        assert!(moves.is_sorted_by(|a, b| a >= b), "{moves:?}");
        assert!(moves.iter().all(|m| *m > 0), "{moves:?}");
    }
    // Papers that the ad tells are no assumption; those of the other are.
    let has_papers = |id| {
        folder
            .tornado(id, &[])
            .iter()
            .any(|r| r[0].starts_with("papers"))
    };
    assert!(!has_papers("1") && has_papers("2"));
}

#[test]
fn an_ad_without_a_price_and_one_without_a_car_do_not_fail() {
    let folder = Folder::new();
    assert!(!folder.tornado("3", &[]).is_empty());
    let rows = folder.what_if("3", &["ask=800"]);
    let margin = rows.iter().find(|r| r.0 == "expected margin").unwrap();
    assert_eq!(margin.1, "-");
    assert_ne!(margin.2, "-");
    let parts = folder
        .run(&["explain", "4", "ads.csv", "--what-if", "ask=100"])
        .unwrap();
    assert!(parts.contains("ask is 100 instead of 200"), "{parts}");
}

#[test]
fn distances_in_kilometres_are_supposed_in_kilometres() {
    let folder = Folder::new();
    folder.write(
        "km.toml",
        "distance_unit = \"km\"\ndistance_to_seller = 50\ntravel_rate = 0.3\n",
    );
    let rows = folder.tornado("1", &["--profile", "km.toml"]);
    let distance = rows.iter().find(|r| r[0] == "distance to the seller");
    let distance = distance.expect("among the strongest");
    assert_eq!(distance[1..3], ["15".to_owned(), "150".to_owned()]);
}

#[test]
fn a_wrong_name_or_value_is_told_with_what_would_do() {
    let folder = Folder::new();
    for (change, message) in [
        (
            "hour_vale=3",
            "no key 'hour_vale'; did you mean 'hour_value'?",
        ),
        (
            "head_gaskit=bad",
            "no key 'head_gaskit'; did you mean 'head_gasket'?",
        ),
        (
            "currency=EUR",
            "currency tells how the ads are read; change it in the profile",
        ),
        (
            "loss_limit=2",
            "loss_limit: 2 is no chance; it must be between 0 and 1",
        ),
        (
            "ask=cheap",
            "ask: 'cheap' is not an amount such as 600, or unknown",
        ),
        (
            "hour_value=25\nask = 3",
            "hour_value: '25\\nask = 3' is no value of it",
        ),
    ] {
        let error = folder.run(&["explain", "1", "ads.csv", "--what-if", change]);
        assert_eq!(
            error,
            Err(format!("fixworth: --what-if: {message}\n")),
            "{change}"
        );
    }
    let error = folder
        .run(&["explain", "1", "ads.csv", "--what-if", "ask"])
        .unwrap_err();
    assert_eq!(
        error,
        "fixworth: --what-if: 'ask' does not do; give KEY=VALUE such as hour_value=25\n"
    );
}
