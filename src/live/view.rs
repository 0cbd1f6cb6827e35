//! What can be seen of a class at a moment, as plain values for the screen to draw.
//!
//! Two views that are equal look equal, so the screen is drawn only when something visible changes.

use std::sync::Arc;

use super::input::HoldReason;
use super::ribbon::Ribbon;
use crate::plan::{Kind, Nth, PositionChange, PromptKind};
use crate::session::Position;
use crate::time::Span;

/// How the screen stands: what is urgent grows, the rest steps back.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stance {
    /// Before the first interval.
    Waiting,
    /// People move, and nothing changes soon.
    AtWork,
    /// The last seconds of work, a rest, or getting ready: the next move takes the first place.
    Turning,
    /// Long recovery or briefing: room for words and the shape of what comes.
    Open,
    /// The clock of the class stands still.
    Held,
    /// The class is over.
    Ended,
}

/// The large figures.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Digits {
    /// Time left in the interval, in seconds, a begun one counted.
    Left(u64),
    /// Untimed work: seconds since it began.
    Up(u64),
    /// Counting in after a hold: 3, 2, 1.
    CountIn(u64),
}

/// A move as it is shown.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MoveView {
    /// Its name.
    pub name: String,
    /// What it is called in class, where the name is too long.
    pub call: String,
    /// The option in force, by its call.
    pub option: Option<String>,
    /// The planner's word for it here.
    pub note: Option<String>,
    /// How many, where repetitions are counted.
    pub reps: Option<u32>,
    /// How hard it is meant to be, 0 to 10, where that is planned.
    pub effort: Option<u8>,
    /// What the planner wrote that is shown and never said.
    pub aside: Option<String>,
    /// Where the body is.
    pub position: Position,
    /// Whether sides change at half-time, and which half this is: `Some(1)` or `Some(2)`.
    pub side: Option<u8>,
    /// The easier options, gentlest last, by their calls.
    pub easier: Vec<String>,
    /// The harder options, hardest last, by their calls.
    pub harder: Vec<String>,
    /// The versions for a joint or a position, by their calls.
    pub instead: Vec<String>,
    /// Form cues, most important first.
    pub form: Vec<String>,
    /// How to get into it.
    pub setup: String,
    /// Who must spare what, and with which option: `wrists: onto forearms`.
    pub spare: Vec<String>,
}

/// What comes next.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NextView {
    /// The move.
    pub is: MoveView,
    /// How the body changes its position to get there.
    pub change: PositionChange,
    /// Where the body is before that; before the first move of a class everyone stands.
    pub from: Position,
    /// What must be fetched for it that is not in use now.
    pub fetch: Vec<String>,
    /// How long until it starts.
    pub starts_in: Span,
    /// How long it is going to be; nothing where it is untimed.
    pub length: Option<Span>,
    /// Whether it is another block than the one running, and that block's title.
    pub block: Option<String>,
}

/// Several moves at once: who is where, or is to be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TogetherView {
    /// The stations in the order in which people stand.
    pub stations: Vec<StationView>,
    /// Which work until everybody has been everywhere, and of how many: the one that runs, or was
    /// before the pause that runs; before the first the one that comes.
    pub turn: Nth,
    /// Whether it is what comes, and not what is done.
    pub is_next: bool,
    /// Whether people go on to it from another work of the same going round.
    pub is_swap: bool,
    /// Whether people walk from station to station.
    pub is_walked: bool,
}

/// A station, and who is there.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StationView {
    /// The groups there, where they have names.
    pub groups: Vec<String>,
    /// How many people, where it is known how many come.
    pub people: Option<u32>,
    /// Whether nobody is there.
    pub is_free: bool,
    /// The name of its move, with repetitions and version.
    pub name: String,
    /// What it is called in class.
    pub call: String,
    /// What the body of whoever goes there does on the way.
    pub change: PositionChange,
}

/// Something to say.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PromptView {
    /// The words.
    pub say: String,
    /// What they are about.
    pub kind: PromptKind,
    /// Whether they are for a limit of someone in the room.
    pub marked: bool,
    /// How much of the time to say it is left, in twelfths; 12 before it begins.
    pub left: u8,
}

/// What the running seconds lead to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ThenView {
    /// Rest, recovery or words.
    Pause {
        /// Which.
        kind: Kind,
        /// For how long.
        length: Span,
        /// Whether it is so long that nobody is to be sent to the next move yet.
        is_long: bool,
    },
    /// The next move, at once.
    Move,
    /// The end of the class.
    End,
}

/// Another version of a move.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct VersionView {
    /// Who it is for, and what they do: `wrists: onto forearms`, `easier: knees down`.
    pub words: String,
    /// Whether it is for a limit of someone in the room.
    pub marked: bool,
}

/// How the class stands against the slot.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SlotView {
    /// It ends this much after the slot.
    Over(Span),
    /// It ends this much before the slot, or just on it.
    InHand(Span),
}

/// A class that is held.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HeldView {
    /// Why.
    pub why: HoldReason,
    /// For how long, in whole seconds.
    pub secs: u64,
    /// How long the laptop slept, where it did.
    pub gap: Option<Span>,
    /// What everybody does meanwhile by themselves, as it is called, where they keep moving.
    pub doing: Option<String>,
}

/// What was done.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Done {
    /// Class time run.
    pub run: Span,
    /// Class time planned at the start.
    pub planned: Span,
    /// Time in works.
    pub work: Span,
    /// Works begun and not skipped.
    pub works: usize,
    /// Works planned.
    pub works_planned: usize,
    /// Moves left out.
    pub skipped: usize,
    /// How often the class was held.
    pub holds: usize,
    /// For how long, all in all.
    pub held: Span,
    /// Moments noted.
    pub marks: usize,
    /// Whether it ran to its end.
    pub completed: bool,
}

/// What the class asks before it does it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Asked {
    /// Whether to end the class.
    End,
    /// Whether so much time in which a circuit is repeated freely is to go, or to be had again.
    Window {
        /// What is asked of it.
        what: WindowAsked,
        /// How long that is, in whole seconds.
        length: Span,
    },
}

/// What is asked of a window in which a circuit is repeated freely.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WindowAsked {
    /// To leave what is left of it.
    Leave,
    /// To leave the coming one out.
    LeaveOut,
    /// To do it once more.
    Again,
}

impl Asked {
    /// The question in a few words, to be read from the mat.
    #[must_use]
    pub fn short(self) -> String {
        match self {
            Self::End => "End the class?".into(),
            Self::Window { what, length } => match what {
                WindowAsked::Leave => format!("End AMRAP, {length}?"),
                WindowAsked::LeaveOut => format!("Skip AMRAP, {length}?"),
                WindowAsked::Again => format!("AMRAP again, {length}?"),
            },
        }
    }

    /// The question, in words.
    #[must_use]
    pub fn question(self) -> String {
        match self {
            Self::End => "End the class?".into(),
            Self::Window { what, length } => match what {
                WindowAsked::Leave => format!("Leave the rest of the AMRAP, {length}?"),
                WindowAsked::LeaveOut => format!("Leave out the AMRAP, {length}?"),
                WindowAsked::Again => format!("The AMRAP once more, {length}?"),
            },
        }
    }
}

/// What the keys mean now whose meaning depends on where the class is.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct MeantView {
    /// What a skip would leave out, in a pause or in a window.
    pub skip: Option<String>,
    /// Whether nothing can be skipped: who has begun to go round comes to every station.
    pub goes_round: bool,
    /// What would be done once more, in a pause or in a window.
    pub once_more: Option<String>,
    /// What would be taken back.
    pub undo: Option<String>,
}

/// Everything that can be seen of the class.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct View {
    /// What the class is called.
    pub title: Arc<str>,
    /// How the screen stands.
    pub stance: Stance,
    /// What some keys mean now.
    pub meant: MeantView,
    /// What the interval is for.
    pub kind: Kind,
    /// The large figures.
    pub digits: Digits,
    /// How long the interval is.
    pub length: Span,
    /// What the planner wants said in a briefing or recovery.
    pub brief: Arc<str>,
    /// The move being done; in a circuit the first of `circuit`.
    pub now: Option<MoveView>,
    /// The moves of a circuit that is repeated freely, with their repetitions.
    pub circuit: Vec<String>,
    /// Several moves at once, where they are done or come next.
    pub together: Option<TogetherView>,
    /// What comes next: the next interval in which people move.
    pub next: Option<NextView>,
    /// What stands between: the kind and length of the interval after this, if people rest in it.
    pub between: Option<(Kind, Span)>,
    /// What the running seconds lead to; nothing where nothing runs.
    pub then: Option<ThenView>,
    /// The versions to have ready: those for tonight's limits, else one that everyone does now or
    /// that is easier.
    pub version: Vec<VersionView>,
    /// How long nothing need be said; nothing where words are due.
    pub free: Option<Span>,
    /// Which minute, and of how many, where a move starts each minute.
    pub minute: Option<Nth>,
    /// Whether this is the last work of its block, or of the class.
    pub last_of: Option<&'static str>,
    /// What to say now.
    pub say: Option<PromptView>,
    /// What to say after that.
    pub say_next: Option<PromptView>,
    /// The block's title, if it has one.
    pub block_title: Option<Arc<str>>,
    /// Which block, and of how many; zero outside of blocks.
    pub block: Nth,
    /// Which round, and of how many.
    pub round: Nth,
    /// Which move of the round, and of how many.
    pub place: Nth,
    /// The whole class, drawn to time and effort.
    pub ribbon: Arc<Ribbon>,
    /// Where the class is, in whole seconds.
    pub at: Span,
    /// Length of the whole class as it now stands, in whole seconds.
    pub total: Span,
    /// Class time left, in whole seconds, a begun one counted.
    pub left: Span,
    /// Whether the time left is an estimate.
    pub estimated: bool,
    /// How the class stands against the slot, in whole seconds; nothing where there is no slot.
    pub slot: Option<SlotView>,
    /// The last seconds before a start or stop: how many are left, for a silent flash.
    pub count: Option<u64>,
    /// Set where the class is held.
    pub held: Option<HeldView>,
    /// What is asked.
    pub asked: Option<Asked>,
    /// What was just done, in words, for a few seconds.
    pub notice: Option<String>,
    /// Whether that was a change, so that it belongs beside it when the class now ends.
    pub is_changed: bool,
    /// What was done, once the class is over; nothing until then.
    pub done: Done,
}
