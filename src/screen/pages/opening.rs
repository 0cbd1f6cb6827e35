//! Before the class: what it needs, what shape it has, when it must end, and who is in the room.

use std::sync::Arc;

use ratatui::layout::Rect;
use ratatui::style::Modifier;

use super::Page;
use super::field::{self, Field};
use super::paper::Paper;
use super::sheet::Sheet;
use crate::live::{Ribbon, SlotView};
use crate::screen::around::{Hint, SoundState};
use crate::screen::legible::{PREFERRED, cell_mm, height_mm};
use crate::screen::pen::{cells, right_of, row_of, width, wrap};
use crate::screen::theme::Role;
use crate::screen::zones::Zones;
use crate::screen::{ribbon, status};
use crate::time::Span;

/// A part of the class under the ribbon.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PartLabel {
    /// What it is called.
    pub name: String,
    /// Where it starts.
    pub start: Span,
    /// How long it is.
    pub length: Span,
}

/// Something that someone in the room must spare, to be switched on and off.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LimitToggle {
    /// The key that switches it.
    pub key: String,
    /// What must be spared: `wrists`.
    pub label: String,
    /// Whether it must be spared tonight.
    pub is_on: bool,
}

/// The opening page of a class.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Opening {
    /// What the class is called.
    pub title: String,
    /// What the planner wants to remember; empty where nothing was written.
    pub brief: String,
    /// What to bring: `mat, band`.
    pub bring: String,
    /// The class drawn to time and effort.
    pub ribbon: Arc<Ribbon>,
    /// Its parts.
    pub parts: Vec<PartLabel>,
    /// How long the whole is.
    pub total: Span,
    /// Whether that is an estimate.
    pub is_estimated: bool,
    /// When it would end, begun now: `18:46`.
    pub ends: String,
    /// The end of the slot, which may be edited.
    pub slot: Field,
    /// How the class stands against the slot.
    pub stands: Option<SlotView>,
    /// Who must spare what tonight.
    pub limits: Vec<LimitToggle>,
    /// The loudspeaker, and below it how to try it.
    pub sound: SoundState,
    /// How to try the sound: `t plays the signals`.
    pub sound_check: String,
    /// What is wrong and can still be mended, such as that nothing can be recorded and why; empty
    /// where nothing is.
    pub trouble: String,
    /// What could not be placed among the prompts, a line each.
    pub unplaced: Vec<String>,
    /// What the plan leaves to be mended for tonight's room, a line each.
    pub remarks: Vec<String>,
    /// What to keep in mind, a line each; shown here and nowhere else.
    pub cautions: Vec<String>,
    /// The hour.
    pub clock: String,
    /// The keys, most important first.
    pub hints: Vec<Hint>,
}

impl Page for Opening {
    fn lay(&self, mut paper: Paper) -> bool {
        let is_plain = paper.enlarged.is_none();
        let (height, last) = (paper.area.height, Ways::TIGHT);
        let ways = [Ways::large(height), Ways::roomy(height), Ways::SNUG];
        let ways = ways.into_iter().filter(|ways| is_plain || !ways.is_large);
        let mut ways = ways.filter(|_| height >= LEAST_ROOMY);
        if ways.any(|ways| self.write(paper.again(), ways)) {
            return true;
        }
        paper.is_tight = is_plain;
        self.write(paper, last)
    }

    fn hints(&self) -> Vec<Hint> {
        self.keys()
    }
}

impl Opening {
    /// Writes the page, the facts that decide about the class large or not; tells whether all of it
    /// had room.
    fn write(&self, paper: Paper, ways: Ways) -> bool {
        let clock = status::clock(&self.clock);
        let mut sheet = Sheet::new(paper, (&self.title, &clock), &self.keys());
        let body = sheet.room;
        self.length(&mut sheet, ways.is_large);
        for trouble in self.troubles() {
            if ways.is_large {
                sheet.legible(Role::Trouble, &trouble);
            } else {
                sheet.say(Role::Trouble, &trouble);
            }
        }
        self.shape(&mut sheet, ways.ribbon);
        sheet.gap();
        self.to_know(&mut sheet, ways.is_large);
        let row = sheet.take(1);
        field::draw(&mut sheet.pen, row, 0, &self.slot);
        self.limits(&mut sheet);
        self.sound(&mut sheet);
        sheet.gap();
        let has_room = self.notes(&mut sheet);
        if !sheet.is_whole && has_room {
            more(&mut sheet, body);
        }
        sheet.is_whole
    }

    /// How long it is, how it stands against the slot, and when it ends; the last is first to go.
    fn length(&self, sheet: &mut Sheet, is_large: bool) {
        let about = if self.is_estimated { "about " } else { "" };
        let mut texts = vec![(Role::Now, format!("{about}{} in all", self.total))];
        texts.extend(self.stands.map(status::slot));
        let used: u16 = texts.iter().map(|(_, text)| width(text) + 3).sum();
        if !self.ends.is_empty() {
            let full = format!("begun now it ends {}", self.ends);
            let is_short = used + width(&full) > sheet.room.width;
            let brief = format!("ends {}", self.ends);
            texts.push((Role::Now, if is_short { brief } else { full }));
        }
        if is_large {
            let worst = texts.iter().any(|(role, _)| *role == Role::Trouble);
            let role = if worst { Role::Trouble } else { Role::Now };
            let texts: Vec<String> = texts.into_iter().map(|(_, text)| text).collect();
            return sheet.legible(role, &texts.join(" · "));
        }
        let row = sheet.take(1);
        status::parts(&mut sheet.pen, row, &texts);
    }

    /// What to bring, and what the planner wants to remember.
    fn to_know(&self, sheet: &mut Sheet, is_large: bool) {
        if is_large {
            sheet.legible(Role::Now, &format!("bring: {}", self.bring));
            sheet.legible(Role::Now, &self.brief);
        } else {
            sheet.pair("bring:", Role::Now, &self.bring);
            sheet.say(Role::Now, &self.brief);
        }
    }

    /// What is wrong and can still be mended before anyone is on the mat.
    fn troubles(&self) -> Vec<String> {
        let sound = self.sound.is_trouble().then(|| {
            let words = self.sound.words();
            match self.sound.detail() {
                Some(why) if !why.is_empty() => format!("{words}: {why}"),
                _ => words,
            }
        });
        let all = [Some(self.trouble.clone()), sound].into_iter().flatten();
        all.filter(|text| !text.is_empty()).collect()
    }

    /// The loudspeaker and how to try it; how far a name is read.
    fn sound(&self, sheet: &mut Sheet) {
        let words = if self.sound.is_trouble() {
            String::new()
        } else {
            self.sound.words()
        };
        let row = sheet.take(1);
        let texts = [words, self.sound_check.clone()].into_iter();
        let texts = texts.filter(|text| !text.is_empty());
        let mut texts: Vec<_> = texts.map(|text| (Role::Now, text)).collect();
        let columns = |texts: &[(Role, String)]| -> u16 {
            texts.iter().map(|(_, text)| width(text) + 3).sum()
        };
        sheet.is_whole &= columns(&texts) <= row.width + 3;
        // A class through another device than the one in the room is mended here or not at all.
        let device = self.sound.detail().filter(|_| !self.sound.is_trouble());
        let mut device = device.map(|device| (Role::Quiet, device.to_owned()));
        let reads = read_to(sheet.seen(), sheet.title_high);
        let brief = reads.last().map_or(0, |brief| width(brief));
        let named = device
            .iter()
            .map(|(_, device)| width(device) + 3)
            .sum::<u16>();
        if columns(&texts) + named + brief <= row.width {
            texts.extend(device.take());
        }
        let needed = columns(&texts);
        let fits = |text: &String| needed + width(text) <= row.width;
        texts.extend(reads.into_iter().find(fits).map(|text| (Role::Quiet, text)));
        status::parts(&mut sheet.pen, row, &texts);
        if let Some(device) = device {
            let row = sheet.take(1);
            status::parts(&mut sheet.pen, row, &[device]);
        }
    }

    /// The ribbon, so many lines high, with the names of its parts where it is more than one.
    fn shape(&self, sheet: &mut Sheet, lines: u16) {
        if lines == 0 {
            return;
        }
        sheet.gap();
        let rect = sheet.take(lines);
        ribbon::draw(&mut sheet.pen, rect, &self.ribbon, None);
        if lines < 2 {
            return;
        }
        let row = sheet.take(1);
        let style = sheet.pen.theme.style(Role::Quiet);
        let mut free = row.x;
        for part in &self.parts {
            let start = rect.x + ribbon::column(part.start, self.total, rect.width);
            let end = rect.x + ribbon::column(part.start + part.length, self.total, rect.width);
            if start >= free && start + width(&part.name) <= end.max(start + 1) {
                let at = right_of(row, start - row.x);
                free = start + sheet.pen.text(at, 0, &part.name, style) + 1;
            }
        }
    }

    /// The limits, as many on a line as have room.
    fn limits(&self, sheet: &mut Sheet) {
        if self.limits.is_empty() {
            return;
        }
        let mut row = sheet.take(1);
        let lead = sheet
            .pen
            .text(row, 0, "spare:", sheet.pen.theme.style(Role::Quiet))
            + 1;
        let mut used = lead;
        for limit in &self.limits {
            let mark = if limit.is_on { "◆" } else { "·" };
            let text = format!("{mark} {} {}", limit.key, limit.label);
            if used + width(&text) > row.width && used > lead {
                row = sheet.take(1);
                used = lead;
            }
            let role = if limit.is_on {
                Role::Spare
            } else {
                Role::Quiet
            };
            let mut style = sheet.pen.theme.style(role);
            if limit.is_on {
                style = style.add_modifier(Modifier::BOLD);
            }
            used += sheet.pen.text(right_of(row, used), 0, &text, style) + 2;
        }
    }

    /// What to keep in mind, whole and together, for a caution that is parted from the others is
    /// passed over; then what is to be mended, and what cannot be said. Tells whether there is room
    /// to say that there is more.
    fn notes(&self, sheet: &mut Sheet) -> bool {
        let wide = sheet.room.width;
        let needs = |text: &str| cells(wrap(text, wide).len());
        let cautions = self.cautions.iter().map(|text| format!("- {text}"));
        let cautions: Vec<String> = cautions.collect();
        let all = cautions.iter().map(|text| needs(text));
        let all = all.fold(0, u16::saturating_add);
        sheet.is_whole &= all <= sheet.room.height;
        let sign = u16::from(!sheet.is_whole);
        for text in &cautions {
            if needs(text) + sign > sheet.room.height {
                return true;
            }
            sheet.say(Role::Quiet, text);
        }
        let remarks = self.remarks.iter().map(|text| vec![text.clone()]);
        for texts in remarks.chain(self.cannot_be_said()) {
            let fits = |text: &&String| needs(text) + sign <= sheet.room.height;
            let Some(text) = texts.iter().find(fits) else {
                sheet.is_whole = false;
                break;
            };
            sheet.say(Role::Trouble, text);
        }
        sheet.room.height > 0
    }

    /// What has no time to be said, with the first of it or only how much it is.
    fn cannot_be_said(&self) -> Option<Vec<String>> {
        let first = self.unplaced.first()?;
        Some(match self.unplaced.len() {
            1 => vec![
                format!("No time to say: {first}"),
                "No time to say one prompt: see the outline".to_owned(),
            ],
            more => vec![
                format!("No time to say {more} prompts, first: {first}"),
                format!("No time to say {more} prompts: see the outline"),
            ],
        })
    }

    /// The keys, those first without which nobody gets on.
    fn keys(&self) -> Vec<Hint> {
        let rank = |hint: &Hint| {
            let place = FIRST.iter().position(|key| *key == hint.key);
            place.unwrap_or(FIRST.len())
        };
        let mut hints = self.hints.clone();
        hints.sort_by_key(rank);
        hints
    }
}

/// How the page is written: what is large, and how high the ribbon is.
#[derive(Clone, Copy, Debug)]
struct Ways {
    is_large: bool,
    ribbon: u16,
}

impl Ways {
    /// Where hardly all has room.
    const SNUG: Self = Self::plain(1);
    /// Where it has not.
    const TIGHT: Self = Self::plain(0);

    const fn plain(ribbon: u16) -> Self {
        let is_large = false;
        Self { is_large, ribbon }
    }

    /// What decides about the class is large.
    fn large(height: u16) -> Self {
        Self {
            is_large: true,
            ribbon: (height / 8).clamp(2, 12),
        }
    }

    fn roomy(height: u16) -> Self {
        Self::plain((height / 5).clamp(2, 12))
    }
}

/// Below this many lines nothing but the facts has room.
const LEAST_ROOMY: u16 = 14;

/// Keys that are shown before all others.
const FIRST: [&str; 4] = ["enter", "space", "esc", "t"];

/// Says at the foot of a page that there is more of it.
fn more(sheet: &mut Sheet, body: Rect) {
    let line = body.height.saturating_sub(sheet.room.height.max(1));
    let row = row_of(body, line);
    let style = sheet.pen.theme.style(Role::Next);
    sheet.pen.fill(row, " ", style);
    sheet.pen.text(row, 0, "… more at a larger window", style);
}

/// How far a move's name can be read in a window of this size, were it to fill a laptop's screen of
/// 13.3 inches: where it spans the preferred angle. A title as high as a name shows it.
fn read_to(area: Rect, title: Option<u16>) -> [String; 3] {
    let name = Zones::of(area).map_or(1, |zones| zones.name);
    let metres = f64::from(name) / 2.0 * cell_mm(area.height) / height_mm(1.0, PREFERRED);
    let sample = if title == Some(name) {
        "names, as large as this title,"
    } else {
        "names"
    };
    let brief = format!("names read to {metres:.1} m");
    [
        format!("{sample} read to {metres:.1} m on a 13-inch screen"),
        format!("{brief} on a 13-inch screen"),
        brief,
    ]
}
