//! Classes of any length, begun, and what stands around them on the screen.
#![allow(dead_code, reason = "each user takes its part")]

use std::sync::Arc;

use matside::live::{Act, Input, Live};
use matside::screen::{Around, Hint, RecordState, SoundState, SpeechState, Theme, draw};
use matside::session::{Library, Session};
use matside::time::{Moment, Offset};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

/// Intervals of one block and the recovery behind it.
pub(crate) const STRETCH: usize = 20;

/// A session file of so many stretches: 2 rounds of 5 moves with rests, and a recovery after each.
pub(crate) fn text(stretches: usize, work: &str, rest: &str) -> String {
    let stretch = format!(
        "        Block(
            title: \"Spring Tide\",
            moves: [\"squat\", Use(move: \"plank\", note: \"long neck\"), \"march\", \"side-plank\", \"dead-bug\"],
            pattern: Same(rounds: 2, work: {work}, rest: {rest}),
            recovery: {work},
        ),
        Recover(time: {work}, say: \"Water by the door. The next block is much the same.\"),\n"
    );
    format!(
        "Session(\n    title: \"Long Shore\",\n    limits: [Wrist],\n    parts: [\n{}    ],\n)\n",
        stretch.repeat(stretches)
    )
}

/// The session of such a file.
pub(crate) fn read(text: &str) -> Session {
    let read = Session::read("long-shore.ron", text, &Library::builtin());
    read.unwrap_or_else(|faults| panic!("{faults}"))
}

/// A class of so many intervals at the pace of an ordinary one, however many hours that is.
pub(crate) fn class(intervals: usize) -> Session {
    let mut session = read(&text(1, "\"0:40\"", "20"));
    let parts = session.parts.iter().cycle().cloned();
    session.parts = parts.take(2 * (intervals / STRETCH)).collect();
    session
}

/// The moment at which a class that was begun at zero has come to a place.
pub(crate) const fn moment(place: Offset) -> Moment {
    Moment::from_millis(place.millis())
}

/// A class begun at zero that has come so far.
pub(crate) fn running(session: Session, place: Offset) -> Live {
    let mut live = Live::new(Arc::new(session));
    live.handle(Moment::ZERO, &Input::Act(Act::Begin));
    live.handle(moment(place), &Input::Wake);
    while live.poll_output().is_some() {}
    live
}

/// Ordinary surroundings.
pub(crate) fn around() -> Around {
    Around {
        clock: "18:02".into(),
        ends: "18:46".into(),
        sound: SoundState::On {
            loudness: 7,
            device: "Kiln Row speaker".into(),
        },
        speech: SpeechState::Off,
        record: RecordState::Recorded,
        prompts: true,
        note: String::new(),
        motion: true,
        flash: true,
        hints: [("space", "hold"), ("s", "skip"), ("l", "land on time")]
            .map(|(key, action)| Hint::new(key, action))
            .into(),
    }
}

/// A class as it looks at a moment.
pub(crate) fn frame(live: &Live, now: Moment, (width, height): (u16, u16)) -> Buffer {
    let area = Rect::new(0, 0, width, height);
    let mut buf = Buffer::empty(area);
    draw(
        area,
        &mut buf,
        &live.view(now),
        &around(),
        &Theme::default(),
    );
    buf
}
