//! The landing over a running class: what would end it on time, and what the keys choose of it.
//!
//! What a landing changes is worked out by `live`; here it is only asked for, shown and taken.

use super::clock::Wall;
use super::did::Did;
use super::footer;
use crate::live::{Act, Input, Landing, Live, SlotView};
use crate::screen::pages::LandingPage;
use crate::time::{Moment, Span};

/// What is chosen on the page.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Chosen {
    /// Which choice, where there is more than one.
    pub(super) choice: usize,
    /// Whether the running interval may be shortened.
    pub(super) running: bool,
}

/// What can be chosen between: the landing where the class is over its time, else what can be done
/// with the time in hand.
fn landings(live: &Live, now: Moment, running: bool) -> Vec<Landing> {
    room(live, now).map_or_else(Vec::new, |room| live.landings(now, room, running))
}

/// Class time until the end of the slot: a class that is held must be counted in first.
fn room(live: &Live, now: Moment) -> Option<Span> {
    let count = if live.is_held() {
        live.session().cueing.count_span()
    } else {
        Span::ZERO
    };
    let start = live.projected_end(now).before(live.left(now)) + count;
    Some(live.ends_at()?.since(start))
}

/// What a key does to the page.
pub(super) fn press(name: &str, at: Chosen, live: &Live, now: Moment) -> Did<Chosen> {
    let Chosen { choice, running } = at;
    let choices = landings(live, now, running);
    let chosen = |choice, running| Did::Page(Chosen { choice, running });
    match name {
        "up" | "left" | "pageup" => chosen(choice.saturating_sub(1), running),
        "down" | "right" | "pagedown" => {
            chosen((choice + 1).min(choices.len().saturating_sub(1)), running)
        }
        "r" => chosen(0, !running),
        "enter" => match choices.into_iter().nth(choice) {
            Some(landing) if !landing.changes.is_empty() => {
                Did::Say(Input::Act(Act::Land(landing.changes)))
            }
            _ => Did::Close,
        },
        _ => Did::Nothing,
    }
}

/// The page as it is drawn.
pub(super) fn page(
    live: &Live,
    now: Moment,
    hour_at: &dyn Fn(Moment) -> Wall,
    Chosen { choice, running }: Chosen,
) -> LandingPage {
    let choices = landings(live, now, running);
    let choice = choice.min(choices.len().saturating_sub(1));
    let landing = choices.get(choice);
    let before = live.view(now).slot;
    let mut lines = landing.map_or_else(Vec::new, |landing| landing.lines.clone());
    if live.ends_at().is_none() {
        lines.push(
            "No end of the slot is set: set it on the page of the class, or start with --ends-at."
                .into(),
        );
    }
    let end = live.projected_end(now);
    let after = landing.map(|landing| {
        if landing.over.is_zero() {
            SlotView::InHand(landing.in_hand.floor_secs())
        } else {
            SlotView::Over(landing.over.ceil_secs())
        }
    });
    let old = live.offset(now).span() + live.left(now);
    let new = landing.map(|landing| landing.total);
    let new = new.unwrap_or(old);
    let ends = hour_at((end + new.saturating_sub(old)).before(old.saturating_sub(new)));
    let mut offered = vec![("enter", "do it")];
    if choices.len() > 1 {
        offered.push(("↑ ↓", "another way"));
    }
    offered.push(("esc", "leave it"));
    offered.push(if running {
        ("r", "leave what runs alone")
    } else {
        ("r", "shorten what runs, too")
    });
    LandingPage {
        before,
        lines,
        ends: ends.format("%H:%M:%S").to_string(),
        after,
        hints: footer::of_page(&offered),
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::*;
    use crate::session::{Library, Session};

    /// 200 s: two rounds of two works of 40 s with rests of 10 s, and 20 s between the rounds.
    const CLASS: &str = r#"(title: "Tide", parts: [Talk(time: 0.001, say: "Go."), Block(
        moves: ["squat", "march"],
        pattern: Same(rounds: 2, work: 40, rest: 10),
        recovery: 20,
    )])"#;

    /// The class begun, with so many seconds until the end of the slot.
    fn begun(slot: Option<u64>) -> Live {
        let session = Session::read("tide", CLASS, &Library::builtin()).expect("a class");
        let mut live = Live::new(Arc::new(session));
        let end = slot.map(|secs| Moment::ZERO + Span::from_secs(secs));
        live.handle(Moment::ZERO, &Input::EndsAt(end));
        live.handle(Moment::ZERO, &Input::Act(Act::Begin));
        live
    }

    #[test]
    fn enter_takes_the_landing_that_is_shown_and_the_class_ends_on_time() {
        let now = Moment::ZERO + Span::from_secs(5);
        let mut live = begun(Some(195));
        live.handle(now, &Input::Wake);
        assert_eq!(landings(&live, now, false).len(), 1);
        let Did::Say(taken) = press("enter", Chosen::default(), &live, now) else {
            panic!("nothing taken");
        };
        live.handle(now, &taken);
        assert_eq!(Some(live.projected_end(now)), live.ends_at());
    }

    /// Whoever counts slowly is ended by the cap, and so is the class as the page tells it.
    #[test]
    fn the_hour_on_the_page_is_that_at_which_the_class_then_ends() {
        let text = r#"(title: "Tide", parts: [Talk(time: 5), Block(
            moves: [Use(move: "squat", reps: 10)], pattern: Reps(rounds: 4, rest: 20, cap: "3:00")),
            Recover(time: 60), Block(moves: ["march"], pattern: Same(rounds: 2, work: 60, rest: 40))])"#;
        let session = Session::read("tide", text, &Library::builtin()).expect("a class");
        let mut live = Live::new(Arc::new(session));
        let wall = chrono::DateTime::parse_from_rfc3339("2026-03-04T18:00:00+01:00");
        let wall = wall.expect("a date");
        let hour_at =
            |moment: Moment| wall + crate::record::wall::delta(moment.since(Moment::ZERO));
        let end = Moment::ZERO + Span::from_secs(380);
        live.handle(Moment::ZERO, &Input::EndsAt(Some(end)));
        live.handle(Moment::ZERO, &Input::Act(Act::Begin));
        // Of 405 s 305 are left where the first squats go on for a minute and a half too long.
        let now = Moment::ZERO + Span::from_secs(120);
        live.handle(now, &Input::Wake);
        let shown = page(&live, now, &hour_at, Chosen::default());
        assert_eq!(shown.after, Some(SlotView::InHand(Span::ZERO)), "{shown:?}");
        let Did::Say(taken) = press("enter", Chosen::default(), &live, now) else {
            panic!("nothing taken");
        };
        live.handle(now, &taken);
        let ends = hour_at(live.projected_end(now)).format("%H:%M:%S");
        assert_eq!(shown.ends, ends.to_string());
        assert_eq!(live.projected_end(now), end);
    }

    #[test]
    fn with_time_in_hand_there_is_a_choice_and_the_arrows_stay_within_it() {
        let now = Moment::ZERO + Span::from_secs(5);
        let live = begun(Some(600));
        let choices = landings(&live, now, false).len();
        assert!(choices > 1, "{choices}");
        let mut at = Chosen::default();
        for key in ["up", "down", "down", "down", "down", "down", "down"] {
            let Did::Page(next) = press(key, at, &live, now) else {
                panic!("no page");
            };
            at = next;
        }
        assert_eq!(at.choice, choices - 1);
        let Did::Page(other) = press("r", at, &live, now) else {
            panic!("no page");
        };
        assert_eq!((other.choice, other.running), (0, true));
    }

    #[test]
    fn without_an_end_of_the_slot_enter_only_closes_and_the_page_says_why() {
        let live = begun(None);
        let did = press("enter", Chosen::default(), &live, Moment::ZERO);
        assert!(matches!(did, Did::Close), "{did:?}");
        let wall = chrono::DateTime::parse_from_rfc3339("2026-03-04T18:45:00+01:00");
        let wall = wall.expect("a date");
        let hour_at =
            |moment: Moment| wall + crate::record::wall::delta(moment.since(Moment::ZERO));
        let page = page(&live, Moment::ZERO, &hour_at, Chosen::default());
        assert!(page.lines[0].starts_with("No end of the slot"), "{page:?}");
        assert_eq!(page.ends, "18:48:20");
    }

    /// While the class is held the end moves, and the count-in is still to come.
    #[test]
    fn a_held_class_has_its_count_in_less() {
        let mut live = begun(Some(300));
        let hold = Act::Hold(crate::live::HoldReason::Hold);
        let now = Moment::ZERO + Span::from_secs(30);
        assert_eq!(room(&live, now), Some(Span::from_secs(270)));
        live.handle(now, &Input::Act(hold));
        let later = now + Span::from_secs(60);
        assert_eq!(room(&live, later), Some(Span::from_secs(207)));
    }
}
