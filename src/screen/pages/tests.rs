//! What must hold for every page at every size, and what each must not lose at the smallest.

use ratatui::buffer::{Buffer, Cell};
use ratatui::layout::Rect;

use super::{Page, sample, wild};
use crate::screen::theme::Theme;

fn text(page: &dyn Page, width: u16, height: u16) -> String {
    let area = Rect::new(0, 0, width, height);
    let mut buf = Buffer::empty(area);
    page.draw(area, &mut buf, &Theme::default());
    let row = |y| (0..width).map(|x| buf[(x, y)].symbol()).collect::<String>() + "\n";
    (0..height).map(row).collect()
}

#[test]
fn no_page_breaks_any_size_or_leaves_its_area() {
    let mut rng = fastrand::Rng::with_seed(29);
    for n in 0..250 {
        let (width, height) = match n % 5 {
            0 => (rng.u16(0..500), rng.u16(0..200)),
            1 => (rng.u16(0..12), rng.u16(0..8)),
            _ => (rng.u16(0..120), rng.u16(0..40)),
        };
        let area = Rect::new(2, 1, width, height);
        for page in wild::pages(&mut rng) {
            let whole = Rect::new(0, 0, width + 3, height + 2);
            let mut buf = Buffer::filled(whole, Cell::new("#"));
            page.draw(area, &mut buf, &Theme::default());
            for at in whole.positions().filter(|at| !area.contains(*at)) {
                assert_eq!(buf[at].symbol(), "#", "{at} outside {area}");
            }
        }
    }
}

#[test]
fn the_chosen_class_and_the_first_broken_file_are_seen_at_the_smallest_size() {
    let shown = text(&sample::chooser(), 40, 12);
    for part in [
        "▸ Low Tide, seated",
        "45:00",
        "draft.ron",
        "enter open",
        "find: ti",
    ] {
        assert!(shown.contains(part), "{part}\n{shown}");
    }
}

#[test]
fn the_opening_page_tells_everything_at_80_by_24() {
    let shown = text(&sample::opening(), 80, 24);
    for part in [
        "28:45 in all",
        "1:00 over",
        "ends 18:29",
        "bring: mat, band",
        "the slot ends 18:28",
        "◆ 1 wrists",
        "· 2 elbows",
        "◆ 5 low back",
        "sound 7/10",
        "no time to be said: bridge",
        "- Stop anyone who asks to stop.",
        "space begin",
        "Ebb",
        "cool-down",
    ] {
        assert!(shown.contains(part), "{part}\n{shown}");
    }
}
