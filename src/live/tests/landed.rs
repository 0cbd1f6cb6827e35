//! Landings beside what the class then does.

use super::late::{CLASSES, somewhere};
use super::pieces::class;
use super::*;

/// Whatever goes, and wherever people then come from: the class ends when the landing says, what it says
/// is over is over, and what it says is in hand is in hand.
#[test]
fn a_class_ends_when_its_landing_says() {
    let mut random = fastrand::Rng::with_seed(19);
    let cool = [
        "",
        ", CoolDown([(\"child-pose\", 60)])",
        ", CoolDown([(\"march\", 45)])",
    ];
    let (mut taken, mut put_in) = (0, 0);
    for n in 0..900 {
        let mut live = class(&format!("{}{}", CLASSES[n % CLASSES.len()], cool[n % 3]));
        let now = somewhere(&mut random, &mut live);
        let (left, here) = (live.left(at(now)), live.offset(at(now)).span());
        for _ in 0..6 {
            let room = Span::from_millis(random.u64(0..left.millis() + 200_000));
            for landing in live.landings(at(now), room, random.bool()) {
                let mut copy = live.clone();
                if !landing.changes.is_empty() {
                    go(&mut copy, now, Act::Land(landing.changes.clone()));
                    taken += 1;
                }
                let told = copy.view(at(now)).notice.unwrap_or_default();
                put_in += usize::from(told.contains(", +"));
                let after = copy.left(at(now));
                let story = format!(
                    "{:?} at {now} in {room} of class {n}: {told}",
                    landing.lines
                );
                assert_eq!(after, landing.total.saturating_sub(here), "{story}");
                assert_eq!(after.saturating_sub(room), landing.over, "{story}");
                assert_eq!(room.saturating_sub(after), landing.in_hand, "{story}");
            }
        }
    }
    assert!(taken > 1_000 && put_in > 10, "{taken} {put_in}");
}
