//! A class for tonight drafted from wishes, by computation and not by chance.
//!
//! Moves and their versions are the choice that is worth most for the stated sum of wishes (regions,
//! actions, effort, variety, kit, fetching), found by a mixed-integer program, or a good one with
//! the bound that none can pass. Warm-up and cool-down are chosen in the same way for the work that
//! was found, after it: all three together might be better in another way, and no bound is told for
//! that. The order is that of [`arrange`](super::arrange()), the times those of
//! [`Fit`](super::Fit), and what is said is left to the cue plan. It is a draft: the instructor decides. Who comes,
//! and what was taught beyond what the wishes say, is not known here.

mod by_slot;
mod candidate;
mod class;
mod earlier;
mod fault;
mod frame;
mod greedy;
mod in_class;
mod instead;
mod list;
mod made;
mod one_block;
mod orders;
mod reason;
mod score;
mod selection;
mod shape;
mod solve;
mod steps;
mod wishes;
mod words;
mod work;
mod worth;
mod written;

use crate::session::{Library, Load, Session, Use};
use candidate::{candidates, not_of_the_last_class};
use earlier::Earlier;
use list::listed;
use made::{Made, Maker};
use reason::reason;

pub use fault::CannotDraft;
pub use instead::{Alternative, alternatives};
pub use one_block::{DraftedBlock, draft_block};
pub use score::Score;
pub use shape::{BlockWish, Ground, WAYS};
pub use wishes::{Exertion, Kit, LastTaught, Level, Wishes};

/// A drafted class.
#[derive(Clone, Debug, PartialEq)]
pub struct Draft {
    /// The class.
    pub session: Session,
    /// Its file, with the reason of each move in a comment.
    pub text: String,
    /// How good it is by the wishes.
    pub score: Score,
    /// Why each move is in it, by the moves' ids in the order of the class.
    pub reasons: Vec<(String, String)>,
    /// What was made otherwise than it was wished, so that the slot is filled, in words.
    pub adjusted: Vec<String>,
    /// Wishes that could not be met, in words.
    pub told: Vec<String>,
    /// Things that are there and that no move of it needs, in words.
    pub unused: Vec<String>,
}

/// The best class for these wishes.
///
/// # Errors
/// Wishes that contradict one another, or for which the library has too little.
pub fn draft(wishes: &Wishes, library: &Library) -> Result<Draft, CannotDraft> {
    let mut all = several(wishes, library, 1)?;
    all.pop().ok_or(CannotDraft::NoFrame("class"))
}

/// Three classes to choose from, the best first: each has other moves for three quarters of its work
/// and half of its warm-up and cool-down, as far as there are others.
///
/// # Errors
/// As [`draft`]; fewer than three where the library has no more.
pub fn three(wishes: &Wishes, library: &Library) -> Result<Vec<Draft>, CannotDraft> {
    several(wishes, library, 3)
}

fn several(wishes: &Wishes, library: &Library, count: usize) -> Result<Vec<Draft>, CannotDraft> {
    check(wishes, library)?;
    let candidates = candidates(wishes, library);
    let fresh = not_of_the_last_class(wishes, &candidates);
    let (mut works, mut frames) = (Earlier::default(), Earlier::default());

    let mut drafts: Vec<Draft> = Vec::new();
    for nth in 1..=count {
        let title = title(wishes, nth, count);
        let maker = Maker {
            wishes,
            candidates: &candidates,
            fresh: &fresh,
            library,
            title,
        };
        match maker.class(&works, &frames) {
            Ok(made) => {
                works.note(&made.work);
                frames.note(&made.frames);
                drafts.push(written_down(made, wishes));
            }
            Err(why) if drafts.is_empty() => return Err(why),
            Err(_) => break,
        }
    }
    Ok(drafts)
}

fn written_down(made: Made, wishes: &Wishes) -> Draft {
    let Made {
        session,
        score,
        adjusted,
        told,
        unused,
        ..
    } = made;
    let why = |turn: &Use, place| reason(turn, wishes, place);
    let text = written::file(
        &session,
        &wishes.said(),
        &score,
        &why,
        [&adjusted, &told, &unused],
    );
    let turns = in_class::turns(&session);
    let reasons = turns
        .iter()
        .map(|(turn, place)| (turn.of.id.clone(), why(turn, *place)));
    let reasons = reasons.collect();
    Draft {
        session,
        text,
        score,
        reasons,
        adjusted,
        told,
        unused,
    }
}

/// What the class is called: a draft, always.
fn title(wishes: &Wishes, nth: usize, of: usize) -> String {
    let which = if of > 1 {
        format!("Draft {nth}")
    } else {
        "Draft".to_owned()
    };
    let title: Option<String> = wishes
        .title
        .as_ref()
        .map(|title| title.trim().chars().take(150).collect());
    let own = title.filter(|title| !title.is_empty());
    let name = own.unwrap_or_else(|| {
        let regions = wishes.regions.iter().map(|region| region.label());
        let actions = wishes.actions.iter().map(|action| action.label());
        let more: Vec<&str> = regions.chain(actions).collect();
        let focus = if more.is_empty() {
            "whole body".to_owned()
        } else {
            listed(&more)
        };
        format!("{focus} in {}", wishes.slot)
    });
    format!("{which}: {name}")
}

fn check(wishes: &Wishes, library: &Library) -> Result<(), CannotDraft> {
    for block in &wishes.shape {
        let shape = block.to_string();
        block
            .clone()
            .checked()
            .map_err(|why| CannotDraft::Shape { shape, why })?;
    }
    if let Some(id) = wishes.have.iter().find(|id| wishes.leave_out.contains(id)) {
        return Err(CannotDraft::Both(id.clone()));
    }
    for id in wishes.have.iter().chain(&wishes.leave_out) {
        if library.get(id).is_none() {
            return Err(CannotDraft::NoSuchMove(id.clone()));
        }
    }
    let candidates = candidates(wishes, library);
    let is_clean = |id: &&String| candidates.iter().any(|one| one.id() == id.as_str());
    if let Some(id) = wishes.have.iter().find(|id| !is_clean(id)) {
        let limits: Vec<&str> = wishes.limits.iter().copied().map(Load::label).collect();
        return Err(CannotDraft::Unclean {
            id: id.clone(),
            limits: listed(&limits),
        });
    }
    Ok(())
}
