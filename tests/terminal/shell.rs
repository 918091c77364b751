//! Completions and manual pages name all that there is.

use super::printed;

/// The commands that a help text lists.
fn commands(help: &str) -> Vec<String> {
    let lines = help.lines().skip_while(|l| *l != "Commands:").skip(1);
    lines
        .take_while(|l| !l.is_empty())
        .filter(|l| l.starts_with("  ") && !l.starts_with("   "))
        .filter_map(|l| l.split_whitespace().next())
        .map(str::to_owned)
        .collect()
}

#[test]
fn completions_of_every_shell_know_every_command() {
    let all = commands(&printed(&["--help"]));
    assert!(all.len() > 8, "{all:?}");
    for shell in ["bash", "elvish", "fish", "powershell", "zsh"] {
        let script = printed(&["completions", shell]);
        for name in all
            .iter()
            .map(String::as_str)
            .chain(["max-price", "what-if", "color"])
        {
            assert!(script.contains(name), "{shell}: {name}");
        }
    }
}

#[test]
fn completions_of_bash_are_a_script_that_bash_takes() {
    let script = printed(&["completions", "bash"]);
    let check = std::process::Command::new("bash")
        .args(["-n", "-c", &script])
        .output();
    match check {
        Ok(ran) => assert!(
            ran.status.success(),
            "{}",
            String::from_utf8_lossy(&ran.stderr)
        ),
        Err(_) => eprintln!("skipped: no bash here to check the completions"),
    }
}

#[test]
fn every_command_has_a_manual_page_with_its_options() {
    let main = printed(&["man"]);
    assert!(main.contains(".TH fixworth 1"), "{main}");
    for command in commands(&printed(&["--help"])) {
        let page = printed(&["man", &command]).replace("\\-", "-");
        assert!(main.contains(&command), "{command}");
        assert!(
            page.contains(&format!(".TH fixworth-{command} 1")),
            "{page}"
        );
        let help = printed(&[&command, "--help"]);
        // Those that lines begin with; in the words stand options of others.
        let lines = help.lines().map(str::trim_start);
        let options = lines
            .filter(|l| l.starts_with('-'))
            .flat_map(str::split_whitespace)
            .filter(|w| w.starts_with("--"));
        for option in options.collect::<std::collections::BTreeSet<_>>() {
            assert!(page.contains(option), "{command}: {option}");
        }
    }
}
