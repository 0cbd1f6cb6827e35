//! Where things stand at a size of the terminal.
//!
//! It refuses to know what is shown: zones follow from the size alone, so nothing jumps when the
//! stance changes. Room that is left over goes to the zones in the order of what the eye asks.

use ratatui::layout::Rect;

/// The least width and height at which a class is drawn in zones; below it there is one line.
pub(super) const LEAST: (u16, u16) = (40, 12);

/// The zones of a class, from top to bottom.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Zones {
    /// Size of the enlarged text, in half steps.
    pub(super) step: u16,
    /// Where in the class we are, and the clock.
    pub(super) status: Rect,
    /// The figures, and at their right the panel.
    pub(super) band: Rect,
    /// The interval's time left, as a line.
    pub(super) horizon: Rect,
    /// The move that has the first place.
    pub(super) head: Rect,
    /// A line about it.
    pub(super) sub: Rect,
    /// What is small: at work, what comes next.
    pub(super) detail: Rect,
    /// What to say.
    pub(super) say: Rect,
    /// The class drawn to time and effort.
    pub(super) ribbon: Rect,
    /// Time against the slot, sound, record.
    pub(super) class: Rect,
    /// Keys, or what was just done.
    pub(super) footer: Rect,
}

/// Heights of the zones that can grow, in order from the top.
#[derive(Clone, Copy, Default)]
struct Heights {
    head: u16,
    sub: u16,
    gap: u16,
    detail: u16,
    say: u16,
    ribbon: u16,
}

/// Status, horizon, class and footer: a line each.
const FIXED: u16 = 4;

impl Zones {
    /// The zones of an area; nothing where it is too small for them.
    pub(super) fn of(area: Rect) -> Option<Self> {
        if area.width < LEAST.0 || area.height < LEAST.1 {
            return None;
        }
        let step = step(area);
        let heights = heights(area, step);
        let margin = u16::from(area.width >= 60);
        let mut y = area.y;
        let mut take = |height: u16| {
            let rect = Rect::new(area.x + margin, y, area.width - 2 * margin, height);
            y += height;
            rect
        };
        let (status, band, horizon) = (take(1), take(4 * step), take(1));
        let (head, sub) = (take(heights.head), take(heights.sub));
        let detail = take(heights.detail);
        take(heights.gap);
        let (say, ribbon) = (take(heights.say), take(heights.ribbon));
        Some(Self {
            step,
            status,
            band,
            horizon,
            head,
            sub,
            detail,
            say,
            ribbon,
            class: take(1),
            footer: take(1),
        })
    }

    /// The head and what stands under it down to the prompt, for a name that needs two lines.
    pub(super) fn roomy_head(&self) -> Rect {
        Rect {
            height: self.head.height + self.sub.height + self.detail.height,
            ..self.head
        }
    }
}

/// The largest step whose figures, name and least other lines have room.
fn step(area: Rect) -> u16 {
    let by_width = (area.width / 38).max(1);
    (1..=by_width)
        .rev()
        .find(|&step| 4 * step + head_lines(step) + least_rest(step) <= area.height)
        .unwrap_or(1)
}

const fn head_lines(step: u16) -> u16 {
    if step == 1 { 3 } else { 2 * step }
}

const fn least_rest(step: u16) -> u16 {
    match step {
        1 => FIXED + 1,
        2 => FIXED + 3,
        _ => FIXED + 10,
    }
}

/// Gives the lines out, the most wanted first.
fn heights(area: Rect, step: u16) -> Heights {
    let mut left = area.height - FIXED - 4 * step;
    let mut out = Heights::default();
    let mut give = |zone: &mut u16, upto: u16| {
        let more = upto.saturating_sub(*zone).min(left);
        *zone += more;
        left -= more;
    };
    give(&mut out.head, head_lines(step));
    give(&mut out.say, 2);
    give(&mut out.ribbon, 1);
    give(&mut out.sub, 1);
    give(&mut out.say, 4);
    give(&mut out.ribbon, 2);
    give(&mut out.detail, 1);
    if step > 2 {
        give(&mut out.say, 2 * step);
    }
    give(&mut out.ribbon, 3);
    give(&mut out.detail, step + 1);
    give(&mut out.gap, 1);
    give(&mut out.say, 6);
    give(&mut out.ribbon, 4);
    give(&mut out.detail, 3 * step);
    give(&mut out.ribbon, 2 * step);
    give(&mut out.gap, u16::MAX);
    out
}

/// The room below the figures, where a page may lie while a class runs: the eye still finds the
/// time where it always is.
#[must_use]
pub fn below_figures(area: Rect) -> Rect {
    match Zones::of(area) {
        Some(zones) => Rect {
            y: zones.head.y,
            height: area.bottom().saturating_sub(zones.head.y),
            ..area
        },
        None => area,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn zones_fill_the_area_and_do_not_overlap() {
        for width in (40..=500).step_by(3) {
            for height in 12..=200 {
                let area = Rect::new(3, 5, width, height);
                let zones = Zones::of(area).expect("large enough");
                let all = [
                    zones.status,
                    zones.band,
                    zones.horizon,
                    zones.head,
                    zones.sub,
                    zones.detail,
                    zones.say,
                    zones.ribbon,
                    zones.class,
                    zones.footer,
                ];
                let mut y = area.y;
                for zone in all {
                    assert!(zone.y >= y && zone.right() <= area.right(), "{area}");
                    y = zone.bottom();
                }
                assert_eq!(y, area.bottom(), "{area}");
                assert!(zones.say.height >= 1 && zones.head.height >= 3, "{area}");
            }
        }
    }

    #[test]
    fn the_common_sizes_have_their_steps() {
        for (width, height, step) in [
            (40, 12, 1),
            (80, 24, 2),
            (120, 35, 3),
            (160, 45, 4),
            (200, 50, 5),
        ] {
            let zones = Zones::of(Rect::new(0, 0, width, height)).expect("large enough");
            assert_eq!(zones.step, step, "{width}x{height}");
        }
    }
}
