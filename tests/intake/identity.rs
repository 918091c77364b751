//! Ids: given, made, shared, repeated.

use fixworth::intake::Warning;

use crate::{Folder, read, read_files};

fn ids(bytes: &str) -> Vec<String> {
    read(bytes).listings.into_iter().map(|l| l.id.0).collect()
}

#[test]
fn the_same_content_has_the_same_id_in_any_file_and_order() {
    let a = ids("title,text,price\nh,one,1\nh,two,2\n");
    let b = ids("preis;text;titel;id\n2;two;h;\n1;one;h;\n");
    assert_eq!(a[0], b[1]);
    assert_eq!(a[1], b[0]);
    assert_ne!(a[0], a[1]);
    assert!(a.iter().all(|id| id.len() == 10 && id.is_ascii()));
}

/// The value was worked out apart from this code, by the words of the
/// documentation.
#[test]
fn a_made_id_does_not_change_from_one_version_to_the_next() {
    assert_eq!(ids("text,price\nruns well,500\n"), ["qyooo33kl6"]);
}

#[test]
fn the_export_s_own_id_is_taken() {
    assert_eq!(ids("ad id,text\n 0042 ,a\n"), ["0042"]);
}

#[test]
fn a_row_once_more_is_left_out_and_counted() {
    let folder = Folder::new();
    let a = folder.file("a.csv", "id,text,price\n1,a,1\n1,a,1\n2,b,2\n");
    let b = folder.file("b.csv", "id;text;price\n2;b;2\n3;c;3\n");
    let intake = read_files(&[a, b], &[]).unwrap();
    assert_eq!(intake.listings.len(), 3);
    assert_eq!(intake.repeated(), 2);
    assert_eq!(intake.warnings.len(), 1);
    assert_eq!(intake.repeats.len(), 1);
    assert_eq!(intake.repeats[0].listing, 1);
    assert_eq!(intake.repeats[0].origin.line, 2);
}

#[test]
fn an_ad_that_comes_again_changed_in_a_later_file_is_no_oddity() {
    let folder = Folder::new();
    let a = folder.file("a.csv", "id,text,price\n1,a,900\n2,b,2\n");
    let b = folder.file("b.csv", "id,text,price\n1,a,800\n2,b,2\n1,a,800\n");
    let intake = read_files(&[a, b], &[]).unwrap();
    let ids: Vec<&str> = intake.listings.iter().map(|l| &*l.id.0).collect();
    assert_eq!(ids, ["1", "2", "1-2"]);
    assert!(intake.listings.iter().all(|l| l.number.is_some()));
    // Ad 2 stood in both files; ad 1 stands twice in the second.
    assert_eq!(intake.repeats.len(), 1);
    assert_eq!(
        intake.warnings,
        [Warning::RepeatedRows {
            file: folder.0.path().join("b.csv").display().to_string().into(),
            count: 1,
        }]
    );
}

#[test]
fn a_shared_id_gets_a_number_and_is_told_once() {
    let intake = read("id,text,price\n7,a,1\n7,b,2\n8,c,3\n7,d,4\n");
    let ids: Vec<&str> = intake.listings.iter().map(|l| &*l.id.0).collect();
    assert_eq!(ids, ["7", "7-2", "8", "7-3"]);
    assert_eq!(
        intake.warnings,
        [Warning::SharedIds {
            file: "ads.csv".into(),
            count: 2,
            id: "7".into(),
            line: 3,
        }]
    );
}
