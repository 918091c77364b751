//! The `console` blocks of a page, and their upkeep.

/// A piece of a page; all of them in a row are the page.
pub enum Piece<'a> {
    /// Anything that is not the command and output of a block.
    Prose(&'a str),
    /// A command with the output that is shown of it.
    Run {
        /// The command as it stands, continued lines and all, without `$ `.
        command: String,
        /// The lines after it.
        shown: Vec<&'a str>,
    },
}

/// Cuts a page into pieces.
pub fn pieces(page: &str) -> Vec<Piece<'_>> {
    let mut out = Vec::new();
    let mut inside = false;
    let mut lines = page.split_inclusive('\n').peekable();
    while let Some(line) = lines.next() {
        let command = line.strip_prefix("$ ").filter(|_| inside);
        if let Some(first) = command {
            let mut command = first.trim_end().to_owned();
            while command.ends_with('\\') {
                command.push('\n');
                command.push_str(lines.next().unwrap().trim_end());
            }
            let mut shown = Vec::new();
            while let Some(next) = lines.next_if(|l| !l.starts_with("$ ") && !l.starts_with("```"))
            {
                shown.push(next.trim_end_matches('\n'));
            }
            out.push(Piece::Run { command, shown });
            continue;
        }
        if line.starts_with("```") {
            inside = line.trim_end() == "```console";
        }
        out.push(Piece::Prose(line));
    }
    out
}

/// The command with its output as it is to be shown: as it stands where it
/// fits what was printed, else what was printed, cut where the old one was.
pub fn shown_again(command: &str, shown: Vec<&str>, printed: &str) -> String {
    let printed: Vec<&str> = printed.lines().map(str::trim_end).collect();
    let lines = if fits(&shown, &printed) {
        shown.iter().map(|l| (*l).to_owned()).collect()
    } else {
        cut_alike(&shown, &printed)
    };
    let mut out = format!("$ {command}\n");
    for line in lines {
        out.push_str(&line);
        out.push('\n');
    }
    out
}

const GAP: &str = "…";

fn fits(shown: &[&str], printed: &[&str]) -> bool {
    match shown.split_first() {
        None => printed.is_empty(),
        Some((&GAP, rest)) => (0..=printed.len()).any(|skip| fits(rest, &printed[skip..])),
        Some((line, rest)) => printed
            .split_first()
            .is_some_and(|(first, others)| fits_line(line, first) && fits(rest, others)),
    }
}

fn fits_line(shown: &str, printed: &str) -> bool {
    let Some((start, rest)) = shown.split_once(GAP) else {
        return shown == printed;
    };
    let Some(mut left) = printed.strip_prefix(start) else {
        return false;
    };
    let mut parts: Vec<_> = rest.split(GAP).collect();
    let end = parts.pop().unwrap_or_default();
    for part in parts {
        match left.find(part) {
            Some(at) => left = &left[at + part.len()..],
            None => return false,
        }
    }
    left.ends_with(end)
}

/// What was printed, with gaps between the lines most like those that stood
/// beside the gaps.
fn cut_alike(shown: &[&str], printed: &[&str]) -> Vec<String> {
    if shown.is_empty() {
        return printed.iter().map(|l| (*l).to_owned()).collect();
    }
    let mut out = Vec::new();
    let mut from = 0;
    let segments: Vec<_> = shown.split(|l| *l == GAP).collect();
    for (k, segment) in segments.iter().enumerate() {
        if k > 0 {
            out.push(GAP.to_owned());
        }
        let (Some(first), Some(last)) = (segment.first(), segment.last()) else {
            continue;
        };
        let start = if k == 0 {
            0
        } else {
            nearest(first, printed, from)
        };
        let end = match (k + 1 == segments.len(), segment.len()) {
            (true, _) => printed.len(),
            (false, 1) => (start + 1).min(printed.len()),
            (false, _) => (nearest(last, printed, start + 1) + 1).min(printed.len()),
        };
        for line in &printed[start.min(end)..end] {
            // A line that is shortened and still fits stays shortened.
            let short = segment
                .iter()
                .find(|l| l.contains(GAP) && fits_line(l, line));
            out.push((*short.unwrap_or(line)).to_owned());
        }
        from = end;
    }
    out
}

fn nearest(line: &str, among: &[&str], from: usize) -> usize {
    let alike = |at: usize| {
        if fits_line(line, among[at]) {
            1.0
        } else {
            strsim::normalized_levenshtein(line, among[at])
        }
    };
    let mut best = from;
    for at in from..among.len() {
        if alike(at) > alike(best) {
            best = at;
        }
    }
    best
}

#[test]
fn gaps_stand_for_lines_and_for_letters() {
    assert!(fits(&["a", "…", "d"], &["a", "b", "c", "d"]));
    assert!(fits(&["a", "…"], &["a"]));
    assert!(!fits(&["a", "…", "d"], &["a", "b"]));
    assert!(fits_line("{\"id\":1,…}", "{\"id\":1,\"x\":[2]}"));
    assert!(!fits_line("{\"id\":1,…]", "{\"id\":1,\"x\":[2]}"));
}

#[test]
fn a_stale_block_is_cut_where_the_old_one_was() {
    let shown = vec!["head 1", "…", "sum  10", "rest  9"];
    let printed = "head 2\none\ntwo\nsum  12\nrest 11\n";
    assert_eq!(
        shown_again("x", shown, printed),
        "$ x\nhead 2\n…\nsum  12\nrest 11\n"
    );
    assert_eq!(shown_again("x", Vec::new(), "new\n"), "$ x\nnew\n");
}
