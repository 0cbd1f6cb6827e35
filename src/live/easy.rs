//! What a class that is held can go on doing by itself: an easy move that everybody knows.

use super::machine::Live;
use crate::plan::Kind;
use crate::session::{Action, Impact, Load, Position, Use, met};

/// Where the class has no move that will do (common practice, no source).
const ON_THE_SPOT: &str = "step on the spot";
/// Of a move whose cost is not known, in MET: light to moderate.
const USUAL: f64 = 3.5;

impl Live {
    /// How the easiest move of the class is called that keeps everybody moving: on the feet, with
    /// nothing to fetch, that spares what must be spared. One of the warm-up before others, and of
    /// those the one that costs least.
    pub(super) fn easy_move(&self) -> String {
        let planned = self.original.intervals().iter();
        let moving = planned.filter(|next| next.kind.is_moving());
        let turns = moving.filter_map(|next| Some((next.kind, next.turn()?)));
        let easy = turns.filter(|(_, turn)| keeps_moving(turn, &self.limits));
        let cost = |kind: Kind, turn: &Use| {
            let met = turn.version().energy().and_then(met);
            (kind != Kind::WarmUp, met.unwrap_or(USUAL))
        };
        let least = easy.min_by(|(kind, a), (other, b)| {
            let (a, b) = (cost(*kind, a), cost(*other, b));
            a.0.cmp(&b.0).then(a.1.total_cmp(&b.1))
        });
        least.map_or_else(
            || ON_THE_SPOT.to_owned(),
            |(_, turn)| turn.version().call().to_owned(),
        )
    }
}

/// Whether everybody can do it for as long as it takes, with nobody looking.
fn keeps_moving(turn: &Use, limits: &[Load]) -> bool {
    let version = turn.version();
    let rests = matches!(
        turn.of.action,
        Some(Action::Stretch | Action::Breathe | Action::Balance | Action::Mobilise)
    );
    let loads = version.loads();
    let is_held = loads.contains(&Load::Isometric);
    version.position() == Position::Standing
        && !matches!(version.impact(), Impact::High)
        && version.equipment().is_empty()
        && !rests
        && !is_held
        && !limits.iter().any(|limit| loads.contains(limit))
}
