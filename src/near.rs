//! What somebody may have meant who wrote a name that does not exist.

/// Below this, two names have little in common (Jaro similarity; tried on
/// swapped, dropped and doubled letters, which stay above 0.85).
const ALIKE: f64 = 0.8;

/// The name that is most like the one wanted, letter case aside, if any is like
/// it at all.
///
/// ```
/// use fixworth::near::nearest;
/// assert_eq!(nearest("cluch", ["clutch", "starter"]), Some("clutch"));
/// assert_eq!(nearest("moon", ["clutch", "starter"]), None);
/// ```
pub fn nearest<'a>(wanted: &str, names: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let wanted = wanted.to_lowercase();
    names
        .into_iter()
        .map(|name| (likeness(&name.to_lowercase(), &wanted), name))
        .filter(|(likeness, _)| *likeness >= ALIKE)
        // Of two that are as like, the one earlier in the alphabet.
        .max_by(|a, b| a.0.total_cmp(&b.0).then_with(|| b.1.cmp(a.1)))
        .map(|(_, name)| name)
}

/// Jaro similarity; words with but one letter other, missing, added or swapped
/// are alike however short they are.
fn likeness(a: &str, b: &str) -> f64 {
    let jaro = strsim::jaro(a, b);
    let one_off = a.len() >= 3 && strsim::osa_distance(a, b) == 1;
    if one_off { jaro.max(ALIKE) } else { jaro }
}

/// `; did you mean 'clutch'?`, or what to do where no name is like it.
pub fn hint<'a>(wanted: &str, names: impl IntoIterator<Item = &'a str>, otherwise: &str) -> String {
    nearest(wanted, names).map_or_else(
        || format!("; {otherwise}"),
        |near| format!("; did you mean '{}'?", crate::safe_text::for_terminal(near)),
    )
}
