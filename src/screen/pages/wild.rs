//! Pages for tests such as nobody should make, from a seeded generator.

use super::{
    Beside, BrokenFile, CardPage, Choice, Chooser, Comeback, EndedPage, Entry, Field, FoundLine,
    HelpPage, KeyGroup, LandingPage, LimitToggle, LimitsPage, Opening, Page, PartLabel, PartLine,
    PartState, PartsPage, SettingLine, SoundPage, SwapPage, sample,
};
use crate::live::SlotView;
use crate::screen::around::{Hint, RecordState};
use crate::screen::wild::{wild_ribbon, wild_span, wild_text, wild_texts};

fn wild_hints(rng: &mut fastrand::Rng) -> Vec<Hint> {
    (0..rng.usize(0..9))
        .map(|_| Hint::new(wild_text(rng), wild_text(rng)))
        .collect()
}

fn wild_field(rng: &mut fastrand::Rng) -> Field {
    Field {
        hint: wild_text(rng),
        ..sample::field(&wild_text(rng), &wild_text(rng), rng.bool())
    }
}

fn wild_entry(rng: &mut fastrand::Rng) -> Entry {
    Entry {
        title: wild_text(rng),
        length: wild_text(rng),
        ribbon: wild_ribbon(rng),
        equipment: wild_text(rng),
        last: wild_text(rng),
        file: wild_text(rng),
    }
}

/// Pages with everything in them as bad as it can be.
pub(super) fn pages(rng: &mut fastrand::Rng) -> Vec<Box<dyn Page>> {
    let mut out = before(rng);
    out.extend(after(rng));
    out.extend(super::planning::sample::wild(rng));
    out
}

/// Pages before a class.
fn before(rng: &mut fastrand::Rng) -> Vec<Box<dyn Page>> {
    let many = rng.usize(0..12);
    let chooser = Chooser {
        entries: (0..many).map(|_| wild_entry(rng)).collect(),
        chosen: rng.usize(..),
        filter: wild_text(rng),
        broken: wild_texts(rng)
            .into_iter()
            .map(|file| BrokenFile {
                file,
                fault: wild_text(rng),
            })
            .collect(),
        notice: wild_text(rng),
        clock: wild_text(rng),
        hints: wild_hints(rng),
    };
    let opening = Opening {
        title: wild_text(rng),
        brief: wild_text(rng),
        bring: wild_text(rng),
        ribbon: wild_ribbon(rng),
        parts: (0..many)
            .map(|_| PartLabel {
                name: wild_text(rng),
                start: wild_span(rng),
                length: wild_span(rng),
            })
            .collect(),
        total: wild_span(rng),
        slot: wild_field(rng),
        stands: rng.bool().then(|| SlotView::Over(wild_span(rng))),
        limits: (0..many)
            .map(|_| LimitToggle {
                key: wild_text(rng),
                label: wild_text(rng),
                is_on: rng.bool(),
            })
            .collect(),
        trouble: wild_text(rng),
        unplaced: wild_texts(rng),
        remarks: wild_texts(rng),
        cautions: wild_texts(rng),
        hints: wild_hints(rng),
        ..sample::opening()
    };
    let sound = SoundPage {
        lines: (0..many)
            .map(|_| SettingLine {
                name: wild_text(rng),
                value: wild_text(rng),
            })
            .collect(),
        chosen: rng.usize(..),
        about: wild_text(rng),
        is_lit: rng.bool(),
        state: wild_text(rng),
        is_trouble: rng.bool(),
        hints: wild_hints(rng),
    };
    vec![Box::new(chooser), Box::new(opening), Box::new(sound)]
}

/// Pages beside and after a class.
fn after(rng: &mut fastrand::Rng) -> Vec<Box<dyn Page>> {
    let many = rng.usize(0..12);
    let landing = LandingPage {
        before: Some(SlotView::InHand(wild_span(rng))),
        lines: wild_texts(rng),
        ends: wild_text(rng),
        after: None,
        hints: wild_hints(rng),
    };
    let parts = PartsPage {
        parts: (0..many * 9)
            .map(|_| PartLine {
                name: wild_text(rng),
                start: wild_span(rng),
                length: wild_span(rng),
                state: PartState::Now,
            })
            .collect(),
        chosen: rng.usize(..),
        hints: wild_hints(rng),
    };
    let swap = SwapPage {
        instead_of: wild_text(rng),
        field: wild_field(rng),
        lines: (0..many * 7)
            .map(|_| FoundLine {
                name: wild_text(rng),
                about: wild_text(rng),
                is_marked: rng.bool(),
            })
            .collect(),
        chosen: rng.usize(..),
        hints: wild_hints(rng),
    };
    let card = CardPage {
        first: wild_texts(rng),
        lines: wild_texts(rng),
        page: rng.usize(..),
        hints: wild_hints(rng),
    };
    let help = HelpPage {
        groups: (0..many)
            .map(|_| KeyGroup {
                title: wild_text(rng),
                keys: wild_hints(rng),
                full: wild_texts(rng),
            })
            .collect(),
        without: wild_texts(rng),
        page: rng.usize(..),
        hints: wild_hints(rng),
    };
    let limits = LimitsPage {
        on: wild_hints(rng),
        off: wild_hints(rng),
        page: rng.usize(..),
        hints: wild_hints(rng),
    };
    let ended = EndedPage {
        title: wild_text(rng),
        planned: wild_ribbon(rng),
        taught: wild_ribbon(rng),
        beside: (0..many)
            .map(|_| Beside {
                what: wild_text(rng),
                planned: wild_text(rng),
                taught: wild_text(rng),
            })
            .collect(),
        lines: wild_texts(rng),
        record: RecordState::Off(wild_text(rng)),
        fields: (0..many).map(|_| wild_field(rng)).collect(),
        hints: wild_hints(rng),
    };
    let comeback = Comeback {
        title: wild_text(rng),
        what: wild_text(rng),
        choices: (0..many)
            .map(|_| Choice {
                title: wild_text(rng),
                about: wild_text(rng),
            })
            .collect(),
        chosen: rng.usize(..),
        clock: wild_text(rng),
        hints: wild_hints(rng),
    };
    vec![
        Box::new(landing),
        Box::new(parts),
        Box::new(swap),
        Box::new(card),
        Box::new(help),
        Box::new(limits),
        Box::new(ended),
        Box::new(comeback),
    ]
}
