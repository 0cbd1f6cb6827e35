//! After class: planned beside taught, and what can be added: how hard it was, how many came, words.

use std::sync::Arc;
use std::time::Duration;

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use super::clock;
use super::errand::{Errand, PATIENCE};
use super::footer;
use super::hands::Nature;
use super::keys::Key;
use super::shell::{NO_PASTE, Painted, Shell, Told};
use super::strokes::Stroke;
use crate::export::happenings;
use crate::live::{Done, Live, Ribbon};
use crate::record::{Note, RATING_SCALE, Rating, Summary};
use crate::screen::pages::{Beside, EndedPage, Field, Page as _};
use crate::screen::{Hint, RecordState, Theme};
use crate::store::{Recorder, Shelf};
use crate::time::{Moment, Span};

/// How long the thread of the record waits for the disk; the page goes on without it.
const LONGEST: Duration = Duration::from_secs(12 * 3600);
/// The longest text of the few words.
const MOST_WORDS: usize = 400;

/// A class that is over, for its page.
pub(super) struct Class<'a> {
    pub(super) live: &'a Live,
    pub(super) now: Moment,
    /// What happened, a line each, as the class itself knows it.
    pub(super) lines: Vec<String>,
    /// The record, as soon as it is safe.
    pub(super) kept: Errand<Kept>,
}

/// What became of the record of a class that is over.
#[derive(Debug)]
pub(super) struct Kept {
    record: RecordState,
    /// Where a note is kept, and the record's name.
    place: Option<(Shelf, String)>,
    /// What happened, a line each, as the record has it.
    lines: Option<Vec<String>>,
}

impl Kept {
    /// Waits until the record is safe, and reads it. `name` is that of a class that was taken up.
    pub(super) fn of(
        recorder: Option<Recorder>,
        shelf: Option<&Shelf>,
        name: Option<String>,
    ) -> Self {
        let Some(recorder) = recorder else {
            return Self::nowhere("no place for it".into());
        };
        let begun = recorder.told_name();
        let record = match recorder.finish(LONGEST) {
            Ok(()) => RecordState::Recorded,
            Err(why) => RecordState::Off(why.why.to_string()),
        };
        let place = shelf.cloned().zip(name.or_else(begun));
        let read = place
            .as_ref()
            .and_then(|(shelf, name)| shelf.read(name).ok());
        Self {
            record,
            lines: read.map(|record| happenings(&Summary::of(&record))),
            place,
        }
    }

    /// There is no record, for this reason.
    const fn nowhere(why: String) -> Self {
        Self {
            record: RecordState::Off(why),
            place: None,
            lines: None,
        }
    }
}

impl Painted for EndedPage {
    fn paint(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        self.draw(area, buf, theme);
    }
}

/// How the page was left.
pub(super) enum Left {
    /// For good; what went wrong with what was written, if anything.
    Out(Option<String>),
    /// The class is gone on with, in the record of that name if there is one.
    TakenUp(Option<String>),
}

/// The key that takes the end back, where it writes nothing.
const TAKE_UP: &str = "u";

/// Shows the page until it is left; what was written is kept then.
pub(super) fn show(shell: &mut Shell, class: &Class<'_>, form: &mut Form) -> Left {
    let mut last = None;
    let mut kept: Option<Kept> = None;
    let waiting = Kept::nowhere("the disk has not taken it yet".into());
    shell.begin_waiting();
    while !shell.is_leaving() {
        if let (None, Some(back)) = (&kept, class.kept.look()) {
            let lost = |()| Kept::nowhere("the recorder stopped".into());
            kept = Some(back.unwrap_or_else(lost));
        }
        let can_write = kept.as_ref().is_some_and(|kept| kept.place.is_some());
        let mut page = page(class, kept.as_ref().unwrap_or(&waiting), form);
        page.hints = shell.or_word(page.hints);
        // On a sound disk the record is safe before the eye is there.
        if kept.is_some() || shell.waited(PATIENCE) {
            shell.show(&page, &mut last);
        }
        let stroke = match shell.next(PATIENCE, nature) {
            Some(Told::Key(stroke)) => stroke,
            Some(Told::Paste(text)) if can_write => {
                form.write(&text);
                continue;
            }
            Some(Told::Paste(_)) => {
                shell.say(NO_PASTE);
                continue;
            }
            None => continue,
        };
        match stroke.key.name().as_str() {
            "esc" | "ctrl-c" => break,
            TAKE_UP if class.live.can_take_up_again() && !(can_write && form.is_in_words()) => {
                match kept {
                    Some(kept) => return Left::TakenUp(kept.place.map(|(_, name)| name)),
                    None => shell.say("the record is not safe yet; once more in a moment"),
                }
            }
            "enter" if !can_write || form.is_done() => break,
            "q" | "Q" if !can_write => break,
            _ if can_write && Form::takes(stroke.key) => form.press(stroke.key),
            _ => shell.say_unbound(stroke.key),
        }
    }
    let Some(kept) = kept else {
        let fault = "not recorded to its end: the disk did not answer";
        return Left::Out(Some(fault.into()));
    };
    let note = kept.place.zip(form.note());
    Left::Out(note.and_then(|(place, note)| keep_note(shell, place, note)))
}

/// Writes the note; tells where it was not.
fn keep_note(shell: &mut Shell, (shelf, name): (Shelf, String), note: Note) -> Option<String> {
    let (wall, is_leaving) = (clock::wall(), shell.is_leaving());
    let (done, kept) = std::sync::mpsc::channel();
    let write = move || {
        let _ = done.send(shelf.note(&name, wall, note));
    };
    let writing = Errand::send(shell.back(), write);
    if !is_leaving {
        let _ = writing.wait(shell, "Keeping the note.");
    }
    let wait = if is_leaving {
        super::waits::FINISH
    } else {
        Duration::ZERO
    };
    match kept.recv_timeout(wait) {
        Ok(Ok(())) => None,
        Ok(Err(error)) => Some(format!("the note was not kept: {error}")),
        Err(_) => Some("the note was not kept: the disk did not answer".into()),
    }
}

/// What goes on through the fields and leaves writes what is in them; the rest writes or moves.
pub(super) fn nature(stroke: Stroke) -> Nature {
    match stroke.key.name().as_str() {
        "enter" | "esc" => Nature::Begin,
        "tab" | "q" | "Q" | "ctrl-c" => Nature::Step,
        _ => Nature::Flow,
    }
}

/// What is written about a class.
#[derive(Default)]
pub(super) struct Form {
    texts: [String; 3],
    focus: usize,
}

impl Form {
    /// Whether a key has a use here.
    fn takes(key: Key) -> bool {
        let moves = ["tab", "down", "up", "enter", "backspace"];
        key.letter().is_some() || moves.contains(&key.name().as_str())
    }

    /// Writes pasted text as if it were typed.
    fn write(&mut self, text: &str) {
        for letter in text.trim().chars() {
            self.type_in(letter);
        }
    }

    fn type_in(&mut self, letter: char) {
        let is_words = self.focus == 2;
        let text = &mut self.texts[self.focus];
        let fits = text.chars().count() < if is_words { MOST_WORDS } else { 5 };
        if fits && (is_words || letter.is_ascii_digit()) {
            text.push(letter);
        }
    }

    fn press(&mut self, key: Key) {
        match key.name().as_str() {
            "tab" | "down" | "enter" => self.focus = (self.focus + 1) % self.texts.len(),
            "up" => self.focus = (self.focus + self.texts.len() - 1) % self.texts.len(),
            "backspace" => {
                self.texts[self.focus].pop();
            }
            _ => {
                if let Some(letter) = key.letter() {
                    self.type_in(letter);
                }
            }
        }
    }

    fn rating(&self) -> Result<Option<Rating>, String> {
        let text = self.texts[0].trim();
        if text.is_empty() {
            return Ok(None);
        }
        let number = text.parse::<u8>().ok();
        let rating = number.and_then(|number| Rating::try_from(number).ok());
        rating
            .map(Some)
            .ok_or_else(|| "a whole number, 0 to 10".to_owned())
    }

    fn people(&self) -> Result<Option<u32>, String> {
        let text = self.texts[1].trim();
        if text.is_empty() {
            return Ok(None);
        }
        let number = text.parse().ok();
        number.map(Some).ok_or_else(|| "a whole number".to_owned())
    }

    /// Whether letters are written, not only figures.
    const fn is_in_words(&self) -> bool {
        self.focus == 2
    }

    /// Whether nothing is left to write, and nothing to put right.
    fn is_done(&self) -> bool {
        self.focus + 1 >= self.texts.len() && self.wrong().is_none()
    }

    fn wrong(&self) -> Option<String> {
        self.rating().err().or(self.people().err())
    }

    /// What was written; nothing where nothing was. What is wrong is left out.
    fn note(&self) -> Option<Note> {
        let note = Note {
            people: self.people().unwrap_or_default(),
            words: self.texts[2].trim().to_owned(),
            ..Note::default()
        };
        let note = note.rated(self.rating().unwrap_or_default());
        (note != Note::default()).then_some(note)
    }

    fn fields(&self) -> Vec<Field> {
        let hints = [
            self.rating()
                .err()
                .unwrap_or_else(|| RATING_SCALE.to_owned()),
            self.people().err().unwrap_or_default(),
            String::new(),
        ];
        let labels = [
            "how hard for the room, 0 to 10",
            "how many came",
            "a few words",
        ];
        let rows = labels.iter().zip(&self.texts).zip(hints).enumerate();
        rows.map(|(n, ((label, text), hint))| Field {
            label: (*label).to_owned(),
            text: text.clone(),
            is_focused: n == self.focus,
            hint,
        })
        .collect()
    }
}

fn page(class: &Class<'_>, kept: &Kept, form: &Form) -> EndedPage {
    let live = class.live;
    let done = live.done(class.now);
    let taught = live.view(class.now).ribbon;
    EndedPage {
        title: live.session().title.clone(),
        planned: planned(live),
        taught,
        beside: beside(live, &done),
        lines: kept.lines.as_ref().unwrap_or(&class.lines).clone(),
        record: kept.record.clone(),
        fields: if kept.place.is_some() {
            form.fields()
        } else {
            Vec::new()
        },
        hints: keys(class, kept.place.is_some(), form),
    }
}

fn keys(class: &Class<'_>, can_write: bool, form: &Form) -> Vec<Hint> {
    let mut keys = if can_write {
        vec![("enter", "next field, then leave"), ("esc", "leave")]
    } else {
        vec![("enter", "leave")]
    };
    if class.live.can_take_up_again() {
        let key = if can_write && form.is_in_words() {
            "tab, u"
        } else {
            TAKE_UP
        };
        keys.push((key, "not over: go on"));
    }
    if can_write {
        keys.push(("tab", "next field"));
    }
    footer::of_page(&keys)
}

fn planned(live: &Live) -> Arc<Ribbon> {
    Live::new(live.session().clone()).view(Moment::ZERO).ribbon
}

fn beside(live: &Live, done: &Done) -> Vec<Beside> {
    let row = |what: &str, planned: String, taught: String| Beside {
        what: what.to_owned(),
        planned,
        taught,
    };
    let whole = |span: Span| span.floor_secs().to_string();
    let planned = crate::plan::Timeline::of(live.session());
    let work = planned.time_in(crate::plan::Kind::Work);
    vec![
        row("class time", whole(done.planned), whole(done.run)),
        row("work", whole(work), whole(done.work)),
        row(
            "works",
            done.works_planned.to_string(),
            done.works.to_string(),
        ),
    ]
}

/// What happened in a class of which there is no record.
pub(super) fn lines(done: &Done, against_slot: Option<String>) -> Vec<String> {
    let mut lines: Vec<String> = against_slot.into_iter().collect();
    if done.skipped > 0 {
        lines.push(counted(done.skipped, "move left out", "moves left out"));
    }
    if done.holds > 0 {
        let holds = counted(done.holds, "hold", "holds");
        lines.push(format!("{holds}, {} in all", done.held.floor_secs()));
    }
    if done.marks > 0 {
        lines.push(counted(done.marks, "moment noted", "moments noted"));
    }
    lines
}

fn counted(count: usize, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn typed(keys: &[&str]) -> Form {
        let mut form = Form::default();
        for key in keys {
            form.press(Key::named(key).expect(key));
        }
        form
    }

    #[test]
    fn what_is_typed_becomes_the_note_and_what_is_wrong_is_left_out() {
        let rated = |n| Note::default().rated(Some(Rating::try_from(n).expect("a rating")));
        let people = |n| Note {
            people: Some(n),
            ..Note::default()
        };
        let words = |words: &str| Note {
            words: words.to_owned(),
            ..Note::default()
        };
        for (keys, note, is_wrong) in [
            (&[][..], None, false),
            (&["7"], Some(rated(7)), false),
            (&["1", "0"], Some(rated(10)), false),
            (&["1", "1"], None, true),
            (&["1", "1", "backspace"], Some(rated(1)), false),
            (&["x", "7"], Some(rated(7)), false),
            (&["enter", "1", "2"], Some(people(12)), false),
            (&["tab", "-", "3"], Some(people(3)), false),
            (&["up", "a", "space", "q"], Some(words("a q")), false),
            (&["down", "down", "space"], None, false),
        ] {
            let form = typed(keys);
            assert_eq!(form.note(), note, "{keys:?}");
            assert_eq!(form.wrong().is_some(), is_wrong, "{keys:?}");
        }
    }

    /// The foot of the page says so: next field, then leave.
    #[test]
    fn enter_goes_through_the_fields_and_leaves_only_what_is_right() {
        assert!(!typed(&["7"]).is_done());
        assert!(!typed(&["7", "enter"]).is_done());
        assert!(typed(&["7", "enter", "enter"]).is_done());
        assert!(!typed(&["1", "1", "enter", "enter"]).is_done());
    }

    #[test]
    fn no_field_takes_more_than_it_has_room_for() {
        for (focus, room) in [(0, 5), (1, 5), (2, MOST_WORDS)] {
            let mut form = Form {
                focus,
                ..Form::default()
            };
            for _ in 0..=MOST_WORDS {
                form.press(Key::named("9").expect("a key"));
            }
            assert_eq!(form.texts[focus].chars().count(), room);
        }
    }
}
