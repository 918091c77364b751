//! A stray quote costs at most its own row.

use crate::{bodies, read, rejects};

#[test]
fn a_quote_never_closed_does_not_swallow_the_file() {
    let good: String = (3..5_000).map(|n| format!("{n},good {n},{n}\n")).collect();
    let intake = read(format!(
        "id,text,price\n1,first,1\n2,\"needs work,2\n{good}"
    ));
    assert_eq!(intake.listings.len(), 4_999);
    assert_eq!(bodies(&intake)[1], "\"needs work");
    assert_eq!(rejects(&intake), []);
}

#[test]
fn a_quote_never_closed_is_found_by_the_next_opening_one() {
    let intake = read("id,text,price\n1,\"needs work,1\n2,\"fine, \"\"so\"\"\",2\n3,ok,3\n");
    assert_eq!(bodies(&intake), ["\"needs work", "fine, \"so\"", "ok"]);
}

#[test]
fn two_strays_far_apart_do_not_join_what_is_between() {
    let good: String = (2..40).map(|n| format!("{n},good,{n}\n")).collect();
    let intake = read(format!(
        "id,text,price\n1,\"odd,1\n{good}40,15\",40\n41,ok,41\n"
    ));
    assert_eq!(intake.listings.len(), 41);
    assert_eq!(rejects(&intake), []);
}

#[test]
fn lines_of_a_text_with_as_many_commas_as_a_row_stay_text() {
    let text = "Drives well, new tires, brakes\nNeeds a belt, a hose, plugs, time, and care\n\
                The rest is fine, mostly, says my sister, who drove it";
    let intake = read(format!(
        "id,title,text,price,miles\n1,Saab 900,\"{text}\",900,151000\n2,Kia Rio,ok,800,90000\n"
    ));
    assert_eq!(bodies(&intake), [text, "ok"]);
    assert_eq!(intake.listings[0].price.as_deref(), Some("900"));
    assert_eq!(rejects(&intake), []);
}

#[test]
fn a_quote_within_a_quoted_cell_is_a_letter_where_that_fits() {
    let intake = read(
        "id,text,price\n1,\"15\" wheels, new\ntires, brakes\",1\n2,\"say \"hi\" to\nme, ok\",2\n3,ok,3\n",
    );
    assert_eq!(
        bodies(&intake),
        [
            "15\" wheels, new\ntires, brakes",
            "say \"hi\" to\nme, ok",
            "ok"
        ]
    );
    assert_eq!(rejects(&intake), []);
}

#[test]
fn what_no_reading_makes_whole_is_one_reject_and_the_next_row_is_good() {
    let intake = read("id,text,price\n1,\"a\" b, c, d,1\nrest of it\nmore\n2,ok,2\n");
    assert_eq!(rejects(&intake), [(2, "stray_quote")]);
    assert_eq!(bodies(&intake), ["ok"]);
    assert_eq!(intake.rejects[0].raw, "1,\"a\" b, c, d,1\nrest of it\nmore");
    assert_eq!(intake.listings[0].origin.line, 5);
}

#[test]
fn the_last_row_may_lack_its_closing_quote() {
    let intake = read("id,text,price\n1,ok,1\n2,\"cut,2");
    assert_eq!(bodies(&intake), ["ok", "\"cut"]);
}

#[test]
fn spaces_round_quotes_are_forgiven() {
    let intake = read("id,text,price\n1, \"a, b\" ,1\n2,\"c\" ,2\n");
    assert_eq!(bodies(&intake), ["a, b", "c"]);
}

#[test]
fn an_honest_text_of_many_lines_and_commas_stays_whole() {
    let text = "battery, tires\nbelts, hoses\nplugs, wires\nbrakes, rotors";
    let intake = read(format!("id,text,price\n1,\"{text}\",1\n2,\"{text}\",2\n"));
    assert_eq!(bodies(&intake), [text, text]);
}

#[test]
fn every_row_with_a_stray_quote_costs_no_other_row() {
    let rows: String = (0..3_000)
        .map(|n| match n % 3 {
            0 => format!("{n},\"open {n},{n}\n"),
            1 => format!("{n},in\"ch {n},{n}\n"),
            _ => format!("{n},plain {n},{n}\n"),
        })
        .collect();
    let intake = read(format!("id,text,price\n{rows}"));
    assert_eq!(intake.listings.len(), 3_000);
}

#[test]
fn quotes_that_chain_row_to_row_are_read_row_by_row() {
    let rows: String = (0..3_000)
        .map(|n| format!("{n}x\",\"b {n},{n}\n"))
        .collect();
    let intake = read(format!("id,text,price\n{rows}"));
    assert_eq!(intake.listings.len(), 3_000);
    assert_eq!(bodies(&intake)[2_999], "\"b 2999");
}
