//! What was repeated, written as a repeat again where each time came out alike.

use crate::session::{Part, Ron, Written};

/// What came of one part of the plan as it was laid.
pub(super) type Came = (usize, Vec<Ron>);

/// The parts of the file, and whether a repeat had to be written out.
pub(super) fn folded(parts: &[Part], came: &[Came]) -> (Vec<Ron>, bool) {
    let mut out = Vec::new();
    let mut written_out = false;
    let mut rest = came;
    while let Some((first, these)) = rest.first() {
        let repeat = repeat_at(parts, *first).and_then(|(of, many)| {
            let (its, _) = rest.split_at_checked(many)?;
            let in_order = its.iter().zip(*first..).all(|(one, nth)| one.0 == nth);
            in_order.then_some((of, its))
        });
        if let Some((of, its)) = repeat {
            let mut left = its;
            let (rons, all) = go(of, &mut left);
            written_out |= !all;
            out.extend(rons);
            rest = &rest[its.len()..];
        } else {
            written_out |= is_repeated(parts, *first);
            out.extend(these.iter().cloned());
            rest = &rest[1..];
        }
    }
    (out, written_out)
}

/// How many laid parts a part comes to.
fn width(of: &Part) -> usize {
    match of {
        Part::Until { part, .. } => width(part),
        Part::Repeat {
            times,
            parts,
            between,
        } => {
            let times = *times as usize;
            let go: usize = parts.iter().map(width).sum();
            let pauses = usize::from(between.is_some()) * times.saturating_sub(1);
            go * times + pauses
        }
        _ => 1,
    }
}

/// The repeat that begins with a laid part, and how many laid parts it comes to.
fn repeat_at(parts: &[Part], at: usize) -> Option<(&Part, usize)> {
    let mut from = 0;
    for part in parts {
        let many = width(part);
        if from == at && matches!(part, Part::Repeat { .. }) {
            return Some((part, many));
        }
        from += many;
    }
    None
}

fn is_repeated(parts: &[Part], at: usize) -> bool {
    let mut from = 0;
    parts.iter().any(|part| {
        let its = from..from + width(part);
        from = its.end;
        its.contains(&at) && matches!(part, Part::Repeat { .. })
    })
}

/// What came of a part, taken from the front; and whether what it repeats was alike.
fn go(of: &Part, left: &mut &[Came]) -> (Vec<Ron>, bool) {
    let Part::Repeat {
        times,
        parts,
        between,
    } = of
    else {
        let [first, rest @ ..] = *left else {
            return (Vec::new(), true);
        };
        *left = rest;
        return (first.1.clone(), true);
    };
    let (mut goes, mut pauses, mut all) = (Vec::new(), Vec::new(), true);
    for nth in 0..*times {
        let mut one = Vec::new();
        for part in parts {
            let (rons, alike) = go(part, left);
            one.extend(rons);
            all &= alike;
        }
        goes.push(one);
        if let Some(between) = between.as_deref().filter(|_| nth + 1 < *times) {
            pauses.push(go(between, left).0);
        }
    }
    let even = |all: &[Vec<Ron>]| all.windows(2).all(|pair| pair[0] == pair[1]);
    let pause = pauses.first().map(Vec::as_slice);
    let one_pause = pause.is_none_or(|pause| pause.len() == 1);
    if even(&goes) && even(&pauses) && one_pause {
        let pause = pause.and_then(|pause| pause.first().cloned());
        let repeat = Written::default()
            .with("times", Ron::word(times))
            .with("parts", Ron::List(goes.swap_remove(0)))
            .maybe("between", pause);
        return (vec![repeat.group("Repeat")], all);
    }
    let mut pauses = pauses.into_iter();
    let out = goes.into_iter().flat_map(|mut one| {
        one.extend(pauses.next().unwrap_or_default());
        one
    });
    (out.collect(), false)
}
