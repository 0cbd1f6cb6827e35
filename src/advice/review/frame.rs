//! Warm-up and cool-down: whether they are there, long enough, and ready people for what follows.

use super::super::remark::{Remark, Weight, Where};
use super::context::{Context, cost, named};
use super::figures::{FRAME, FRAME_SOURCE, PRACTICE, TASTER, VIGOROUS, VIGOROUS_SOURCE};
use crate::plan::{Kind, Placed};
use crate::session::{Impact, Load, Muscle, Position, Use};
use crate::time::Span;

/// Whether there is a warm-up, and how long.
pub(super) fn warm_up(context: &Context) -> Vec<Remark> {
    framed(
        context,
        Kind::WarmUp,
        Weight::MustMend,
        "cold muscles and a cold heart meet full work",
    )
}

/// Whether there is a cool-down, and how long.
pub(super) fn cool_down(context: &Context) -> Vec<Remark> {
    let why = "the heart comes down slowly, and who stops at once may faint";
    framed(context, Kind::CoolDown, Weight::ThinkAgain, why)
}

fn framed(context: &Context, kind: Kind, missing: Weight, why: &str) -> Vec<Remark> {
    let time = context.timeline.time_in(kind);
    let name = kind.label();
    let parts: Vec<(usize, &Placed)> = context
        .moving()
        .filter(|(_, one)| one.kind == kind)
        .collect();
    let is_short = context.main_part() < TASTER;
    let Some((first, _)) = parts.first() else {
        let remark = Remark::new(missing, Where::default(), format!("there is no {name}"));
        let source = if kind == Kind::WarmUp {
            FRAME_SOURCE
        } else {
            PRACTICE
        };
        let part = if kind == Kind::WarmUp {
            "WarmUp"
        } else {
            "CoolDown"
        };
        return vec![
            remark
                .because(why, source)
                .so(format!("put a `{part}([..])` of {FRAME} in")),
        ];
    };
    if time >= FRAME {
        return Vec::new();
    }
    let weight = if is_short {
        Weight::Note
    } else {
        Weight::ThinkAgain
    };
    let what = format!("the {name} has {time}");
    let remark = Remark::new(weight, context.at(*first), what);
    let why = if is_short {
        format!("{FRAME} or more is usual; in a class as short as this, less may do")
    } else {
        format!("{FRAME} or more is usual: {why}")
    };
    let more = FRAME.saturating_sub(time);
    vec![
        remark
            .because(why, FRAME_SOURCE)
            .so(format!("{more} more (`matside fit` finds the time)")),
    ]
}

/// What the main part needs, and what readies for it.
struct Need {
    what: &'static str,
    weight: Weight,
    asks: fn(&Use) -> bool,
    readies: fn(&Use) -> bool,
    how: &'static str,
}

const NEEDS: &[Need] = &[
    Need {
        what: "wrists",
        weight: Weight::ThinkAgain,
        // Leaning on the hands; gripping asks less of them.
        asks: |turn| {
            let on_hands = [Position::HandsAndKnees, Position::HandsAndFeet];
            turn.version().loads().contains(&Load::Wrist)
                && on_hands.contains(&turn.version().position())
        },
        readies: |turn| {
            turn.of.muscles.contains(&Muscle::Forearms)
                || turn.version().loads().contains(&Load::Wrist)
        },
        how: "wrist circles, or hands on the wall",
    },
    Need {
        what: "shoulders",
        weight: Weight::Note,
        asks: |turn| turn.version().loads().contains(&Load::Shoulder),
        readies: |turn| {
            let named = [Muscle::Shoulders, Muscle::RotatorCuff];
            named.iter().any(|muscle| turn.of.muscles.contains(muscle))
        },
        how: "arm circles or shoulder rolls",
    },
    Need {
        what: "knees and hips",
        weight: Weight::ThinkAgain,
        asks: |turn| turn.version().loads().contains(&Load::Knee),
        readies: |turn| {
            let named = [Muscle::Quadriceps, Muscle::Glutes, Muscle::Hamstrings];
            named.iter().any(|muscle| turn.of.muscles.contains(muscle))
        },
        how: "small squats or lunges, or marching",
    },
    Need {
        what: "landings",
        weight: Weight::ThinkAgain,
        asks: |turn| turn.version().impact() == Impact::High,
        readies: |turn| {
            turn.version().impact() != Impact::None || turn.of.muscles.contains(&Muscle::Calves)
        },
        how: "steps on the spot, then the same move with a foot on the floor",
    },
];

/// Whether the warm-up readies for what the main part asks.
pub(super) fn prepared(context: &Context) -> Vec<Remark> {
    let steps: Vec<_> = context
        .moving()
        .filter(|(_, one)| one.kind == Kind::WarmUp)
        .collect();
    if steps.is_empty() {
        return Vec::new();
    }
    let told = NEEDS.iter().filter_map(|need| {
        let asks = |one: &Placed| one.moves.iter().any(|turn| (need.asks)(turn));
        let (n, first) = context.works().find(|(_, one)| asks(one))?;
        let mut warm = steps.iter().flat_map(|(_, one)| one.moves.iter());
        if warm.any(|turn| (need.readies)(turn)) {
            return None;
        }
        let what = format!(
            "nothing in the warm-up readies {} for {}",
            need.what,
            named(first)
        );
        let remark = Remark::new(need.weight, context.at(n), what);
        let why = "a small version of what comes should have been done before it is asked in full";
        Some(
            remark
                .because(why, PRACTICE)
                .so(format!("put in {}", need.how)),
        )
    });
    told.collect()
}

/// A warm-up that begins hard, or a cool-down that is.
pub(super) fn steep_start(context: &Context) -> Vec<Remark> {
    let hard = |one: &Placed| {
        one.turn()
            .and_then(|turn| cost(turn))
            .is_some_and(|met| met >= VIGOROUS)
    };
    let mut warm = Span::ZERO;
    let mut told = Vec::new();
    for (n, one) in context.moving() {
        let early = one.kind == Kind::WarmUp && warm < Span::from_secs(120);
        if (early || one.kind == Kind::CoolDown) && hard(one) {
            let what = format!("{} is vigorous in the {}", named(one), one.kind.label());
            let remark = Remark::new(Weight::ThinkAgain, context.at(n), what);
            let why = "effort rises step by step, and falls so";
            let source = VIGOROUS_SOURCE;
            told.push(
                remark
                    .because(why, source)
                    .so("take an easier version, or another move"),
            );
        }
        if one.kind == Kind::WarmUp {
            warm += one.span();
        }
    }
    told
}
