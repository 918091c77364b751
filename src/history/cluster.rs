//! From pairs of ads to cars.

use super::blocks::Pair;
use super::same::{Facts, Ground, agree};

/// Members that a joining ad is held against; a car has seldom more.
const HELD: usize = 16;

/// The ads of each car, in order of the run; cars in order of their first ad.
///
/// Pairs come the surest first. Where only the text speaks for a pair, all ads
/// of both sides must agree in their facts, or a chain of ads, each like the
/// next, would make one car of many.
pub(super) fn cars(count: usize, facts: &[Facts], pairs: &[Pair]) -> Vec<Vec<u32>> {
    let mut of: Vec<u32> = (0..count as u32).collect();
    let mut members: Vec<Vec<u32>> = (0..count as u32).map(|i| vec![i]).collect();
    for pair in pairs {
        let (a, b) = (of[pair.a as usize], of[pair.b as usize]);
        if a == b
            || !may_join(
                &members[a as usize],
                &members[b as usize],
                facts,
                pair.ground,
            )
        {
            continue;
        }
        let (keep, give) = match members[a as usize].len() >= members[b as usize].len() {
            true => (a, b),
            false => (b, a),
        };
        let moved = std::mem::take(&mut members[give as usize]);
        for ad in &moved {
            of[*ad as usize] = keep;
        }
        members[keep as usize].extend(moved);
    }
    let mut cars: Vec<Vec<u32>> = members.into_iter().filter(|m| !m.is_empty()).collect();
    for car in &mut cars {
        car.sort_unstable();
    }
    cars.sort_unstable_by_key(|car| car[0]);
    cars
}

fn may_join(a: &[u32], b: &[u32], facts: &[Facts], ground: Ground) -> bool {
    let held = |side: &[u32]| side.iter().take(HELD).map(|i| facts[*i as usize]).collect();
    let (a, b): (Vec<Facts>, Vec<Facts>) = (held(a), held(b));
    let mut pairs = a.iter().flat_map(|x| b.iter().map(move |y| (x, y)));
    match ground {
        Ground::Vin => true,
        Ground::Link | Ground::Number => {
            pairs.all(|(x, y)| x.vin.is_none() || y.vin.is_none() || x.vin == y.vin)
        }
        Ground::Text(_) => pairs.all(|(x, y)| agree(x, y).is_some()),
    }
}
