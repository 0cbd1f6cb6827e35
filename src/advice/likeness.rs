//! In what two moves are alike: region, action, joints.

use crate::session::{Action, Load, Region, Use};

/// Joints that few moves load.
pub(super) const SMALL_JOINTS: [Load; 5] = [
    Load::Wrist,
    Load::Elbow,
    Load::Shoulder,
    Load::Neck,
    Load::LowBack,
];

/// Joints that nearly every move on the feet loads.
pub(super) const LARGE_JOINTS: [Load; 3] = [Load::Hip, Load::Knee, Load::Ankle];

/// Actions that a class should have much of the one as of the other.
pub(super) const OPPOSED: [(Action, Action); 2] =
    [(Action::Push, Action::Pull), (Action::Pull, Action::Push)];

/// The region that a move stands for in the order of a block: the whole body where it is named at
/// all, else the one named first.
pub(super) fn region(of: &Use) -> Option<Region> {
    let regions = &of.of.regions;
    let total = regions.contains(&Region::Total).then_some(Region::Total);
    total.or_else(|| regions.first().copied())
}

/// Whether one pushes and the other pulls: opposed muscles rest in turn, though the region is one.
pub(super) fn are_opposed(a: &Use, b: &Use) -> bool {
    let actions = a.of.action.zip(b.of.action);
    actions.is_some_and(|actions| OPPOSED.contains(&actions))
}
