//! What the manifest promises: the least Rust version, features that can be
//! left out, a package that holds what it needs.

use std::path::Path;
use std::process::Command;

const ROOT: &str = env!("CARGO_MANIFEST_DIR");

fn manifest() -> toml::Table {
    let path = Path::new(ROOT).join("Cargo.toml");
    toml::from_str(&std::fs::read_to_string(path).unwrap()).unwrap()
}

fn cargo(words: &[&str]) -> Option<String> {
    let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
    let ran = Command::new(cargo)
        .args(words)
        .current_dir(ROOT)
        .output()
        .ok()?;
    let said = String::from_utf8_lossy(&ran.stderr);
    assert!(ran.status.success(), "cargo {words:?}\n{said}");
    Some(String::from_utf8(ran.stdout).unwrap())
}

/// What the package and its dependencies say of themselves; of those alone
/// that this machine builds, since a fresh one has not fetched any other.
fn metadata_of_this_platform() -> Option<String> {
    let about = cargo(&["-vV"])?;
    let host = about.lines().find_map(|l| l.strip_prefix("host: "))?;
    let words = ["metadata", "--format-version", "1", "--locked", "--offline"];
    cargo(&[&words[..], &["--filter-platform", host]].concat())
}

fn version(text: &str) -> Vec<u32> {
    let mut parts: Vec<u32> = text.split('.').map(|p| p.parse().unwrap()).collect();
    parts.resize(3, 0);
    parts
}

#[test]
fn the_least_rust_version_is_told_once_and_enough_for_every_dependency() {
    let manifest = manifest();
    let least = manifest["package"]["rust-version"].as_str().unwrap();
    assert!(option_env!("CARGO_PKG_RUST_VERSION") == Some(least));
    let readme = std::fs::read_to_string(Path::new(ROOT).join("README.md")).unwrap();
    let told = format!("[Rust](https://www.rust-lang.org) {least} or later");
    assert!(readme.contains(&told), "README.md does not say: {told}");
    let Some(metadata) = metadata_of_this_platform() else {
        eprintln!("skipped: no cargo here to ask for the versions of dependencies");
        return;
    };
    let metadata: serde_json::Value = serde_json::from_str(&metadata).unwrap();
    let packages = metadata["packages"].as_array().unwrap();
    assert!(packages.len() > 30);
    for package in packages {
        let Some(needs) = package["rust_version"].as_str() else {
            continue;
        };
        assert!(
            version(needs) <= version(least),
            "{} needs Rust {needs}, the manifest says {least}",
            package["name"]
        );
    }
}

#[test]
fn what_can_be_left_out_is_a_feature() {
    let manifest = manifest();
    let features = manifest["features"].as_table().unwrap();
    let default: Vec<&str> = features["default"]
        .as_array()
        .unwrap()
        .iter()
        .filter_map(toml::Value::as_str)
        .collect();
    // What few need and much comes with has to be asked for.
    let asked_for = ["default", "parquet"];
    for name in features.keys().filter(|n| !asked_for.contains(&n.as_str())) {
        assert!(
            default.contains(&name.as_str()),
            "{name} is not on by default"
        );
    }
    // Each optional dependency is turned on by a feature of that purpose.
    let optional = manifest["dependencies"].as_table().unwrap().iter();
    let optional = optional.filter(|(_, d)| {
        let table = d.as_table();
        table.is_some_and(|t| t.get("optional").and_then(toml::Value::as_bool) == Some(true))
    });
    for (name, _) in optional {
        let on = format!("dep:{name}");
        let used = features.values().flat_map(|f| f.as_array().unwrap());
        let used = used.filter(|f| f.as_str() == Some(&on)).count();
        assert_eq!(used, 1, "{name}");
    }
}

#[test]
fn the_package_holds_sources_and_tables_and_no_labelled_ads() {
    if !Path::new(ROOT).join(".git").exists() {
        eprintln!("skipped: no git folder, so this is a package already");
        return;
    }
    let words = ["package", "--list", "--allow-dirty", "--offline"];
    let Some(list) = cargo(&words) else {
        eprintln!("skipped: no cargo here to list the package");
        return;
    };
    let files: Vec<&str> = list.lines().collect();
    for needed in [
        "Cargo.toml",
        "README.md",
        "LICENSE",
        "src/main.rs",
        "lexicon/parts.csv",
    ] {
        assert!(files.contains(&needed), "{needed} is not in the package");
    }
    for (table, _) in fixworth::lexicon::table::BUILT_IN {
        let path = format!("lexicon/{table}");
        assert!(
            files.contains(&path.as_str()),
            "{path} is not in the package"
        );
    }
    assert!(
        !files
            .iter()
            .any(|f| f.starts_with("samples/labelled") || f.starts_with(".ci"))
    );
}
