//! What was set before the last class of this title: offered on its page, never assumed.

use super::errand::Errand;
use crate::record::wall;
use crate::session::Load;
use crate::store::Shelf;
use crate::time::Span;

/// How long the room was ours, and who had to spare what.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct LastTime {
    /// From when the class began, in whole minutes.
    pub(super) slot: Option<Span>,
    /// What somebody in the room had to spare.
    pub(super) limits: Vec<Load>,
}

/// The last class of a title, which is being looked for.
pub(super) type Asked = Errand<Option<LastTime>>;

impl LastTime {
    /// Of the latest record of this title that can be read.
    pub(super) fn of(shelf: &Shelf, title: &str) -> Option<Self> {
        let classes = shelf.listing().ok()?.classes;
        let mut classes = classes.into_iter().rev();
        let last = classes.find(|class| class.summary.title == title)?;
        let header = shelf.read(&last.name).ok()?.header;
        let slot = header.slot_end.map(|end| wall::since(end, header.started));
        Some(Self {
            slot: slot.map(minutes).filter(|slot| *slot > Span::ZERO),
            limits: header.limits,
        })
    }

    /// The offer in a line; nothing where the page has it so already.
    pub(super) fn offer(&self, slot: Option<Span>, limits: &[Load]) -> String {
        let other = self.slot.filter(|_| self.slot != slot.map(minutes));
        let mut words: Vec<String> = other.iter().map(ToString::to_string).collect();
        if !same(&self.limits, limits) {
            words.push(match &self.limits[..] {
                [] => "no limits".into(),
                on => on
                    .iter()
                    .map(|on| on.label())
                    .collect::<Vec<_>>()
                    .join(", "),
            });
        }
        if words.is_empty() {
            return String::new();
        }
        format!("last time {}: y sets it so", words.join("; "))
    }
}

/// To the nearest minute: a class is not begun on the second.
fn minutes(slot: Span) -> Span {
    const MINUTE: u64 = 60_000;
    Span::from_millis((slot.millis() + MINUTE / 2) / MINUTE * MINUTE)
}

fn same(some: &[Load], others: &[Load]) -> bool {
    some.len() == others.len() && some.iter().all(|one| others.contains(one))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::record::Header;
    use crate::session::{Library, Session};

    fn put(shelf: &Shelf, title: &str, hour: u32, slot: Option<u64>, limits: &[Load]) {
        let text = format!("(title: \"{title}\", parts: [Talk(time: 60, say: \"Welcome.\")])");
        let session = Session::read("a", &text, &Library::builtin()).expect("a class");
        let hour = format!("2026-03-04T{hour:02}:02:13+01:00");
        let began = chrono::DateTime::parse_from_rfc3339(&hour).expect("an hour");
        let mut header = Header::new(session, began).limits(limits.to_vec());
        if let Some(slot) = slot {
            header = header.ends_at(began + wall::delta(Span::from_secs(slot)));
        }
        let begun = shelf.begin(&header).expect("begun");
        begun
            .recorder
            .finish(crate::app::waits::FINISH)
            .expect("recorded");
    }

    #[test]
    fn the_latest_class_of_the_title_is_asked_and_no_other() {
        let folder = tempfile::tempdir().expect("a folder");
        let shelf = Shelf::at(folder.path());
        assert_eq!(LastTime::of(&shelf, "Ebb"), None);
        put(&shelf, "Ebb", 8, Some(30 * 60), &[]);
        put(&shelf, "Ebb", 12, Some(44 * 60 + 47), &[Load::Knee]);
        put(&shelf, "Flood", 18, None, &[Load::Wrist]);
        let of = |title| LastTime::of(&shelf, title);
        let time = |slot: Option<u64>, limits: &[Load]| {
            Some(LastTime {
                slot: slot.map(Span::from_secs),
                limits: limits.to_vec(),
            })
        };
        assert_eq!(of("Ebb"), time(Some(45 * 60), &[Load::Knee]));
        assert_eq!(of("Flood"), time(None, &[Load::Wrist]));
        assert_eq!(of("Slack"), None);
    }

    #[test]
    fn only_what_is_different_is_offered() {
        let minutes = |minutes: u64| Span::from_secs(60 * minutes);
        let knee = [Load::Knee];
        let last = LastTime {
            slot: Some(minutes(45)),
            limits: knee.to_vec(),
        };
        for (slot, limits, offer) in [
            (Some(minutes(45)), &knee[..], ""),
            (
                Some(minutes(30)),
                &knee[..],
                "last time 45:00: y sets it so",
            ),
            (None, &knee[..], "last time 45:00: y sets it so"),
            (Some(minutes(45)), &[], "last time knees: y sets it so"),
            (None, &[], "last time 45:00; knees: y sets it so"),
        ] {
            assert_eq!(last.offer(slot, limits), offer, "{slot:?} {limits:?}");
        }
        let none = LastTime::default();
        assert_eq!(none.offer(None, &[]), "");
        assert_eq!(none.offer(None, &knee), "last time no limits: y sets it so");
    }
}
