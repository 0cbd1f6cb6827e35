//! Wishes of degree: with them a class has more of what is wished than without, counted from its times.

use matside::advice::{Draft, Exertion, Kit, Wishes, draft};
use matside::plan::{Kind, Timeline};
use matside::session::{Action, Library, Region, Use, met};

const SEEDS: u64 = 6;

fn kit() -> Vec<Kit> {
    let thing = |thing: &str| Kit {
        thing: thing.to_owned(),
        count: None,
    };
    ["dumbbells", "band"].map(thing).to_vec()
}

fn drafts(wishes: &Wishes) -> Vec<Draft> {
    let library = Library::builtin();
    let of = |seed| {
        let wishes = Wishes {
            seed,
            kit: kit(),
            ..wishes.clone()
        };
        draft(&wishes, &library).unwrap_or_else(|why| panic!("{seed}: {why}"))
    };
    (0..SEEDS).map(of).collect()
}

/// The mean over all time of work of what each move has, in the mean of some classes.
fn mean(drafts: &[Draft], of: impl Fn(&Use) -> f64) -> f64 {
    let (mut sum, mut secs) = (0.0, 0.0);
    for draft in drafts {
        for one in Timeline::of(&draft.session).intervals() {
            if one.kind == Kind::Work {
                let each = one.span().secs() / one.moves.iter().map(|_| 1.0).sum::<f64>();
                sum += one.moves.iter().map(|turn| of(turn) * each).sum::<f64>();
                secs += one.span().secs();
            }
        }
    }
    sum / secs
}

fn share(drafts: &[Draft], counts: impl Fn(&Use) -> bool) -> f64 {
    mean(drafts, |turn| if counts(turn) { 1.0 } else { 0.0 })
}

#[test]
fn what_is_in_the_focus_has_more_of_the_work() {
    let plain = drafts(&Wishes::default());
    for region in [Region::Upper, Region::Core, Region::Lower] {
        let wishes = Wishes {
            regions: vec![region],
            ..Wishes::default()
        };
        let is = |turn: &Use| turn.of.regions.contains(&region);
        let (with, without) = (share(&drafts(&wishes), is), share(&plain, is));
        assert!(with > without + 0.1, "{region:?}: {with:.2} {without:.2}");
        assert!(with > 0.4, "{region:?}: {with:.2}");
    }
    for action in [
        Action::Push,
        Action::Pull,
        Action::Squat,
        Action::Hinge,
        Action::Lunge,
        Action::Brace,
        Action::Rotate,
    ] {
        let wishes = Wishes {
            actions: vec![action],
            ..Wishes::default()
        };
        let is = |turn: &Use| turn.of.action == Some(action);
        let (with, without) = (share(&drafts(&wishes), is), share(&plain, is));
        assert!(with > without + 0.03, "{action:?}: {with:.2} {without:.2}");
    }
}

/// By the figures of the Compendium that the library has for its moves.
#[test]
fn harder_work_costs_more_and_lighter_less() {
    let cost = |exertion| {
        let wishes = Wishes {
            exertion,
            ..Wishes::default()
        };
        let met = |turn: &Use| turn.version().energy().and_then(met).unwrap_or(3.5);
        mean(&drafts(&wishes), met)
    };
    let [light, moderate, vigorous] = Exertion::ALL.map(cost);
    assert!(
        light + 0.25 < moderate && moderate + 0.25 < vigorous,
        "{light:.2} {moderate:.2} {vigorous:.2}"
    );
}
