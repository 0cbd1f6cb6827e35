//! Values put into a list, taken out of it, copied, and moved elsewhere.

use super::bracket::Bracket;
use super::piece::Piece;
use super::placing::{inserted, removed};
use super::{Edits, Step};

impl Edits {
    /// Puts a value into a list, where the path says it is to be: what is there comes behind it.
    /// The text is one value, with comments around it perhaps. Whether there is such a place.
    pub fn insert(&mut self, at: &[Step], text: &str) -> bool {
        let piece = Piece::of(text);
        let splices = self
            .place(at)
            .and_then(|(list, n)| inserted(&list, n, &piece));
        self.take(splices)
    }

    /// Takes a value out of its list, or a field out of its group, with what is said of it on lines
    /// of its own above it or behind it in its line. Whether it was there.
    pub fn remove(&mut self, path: &[Step]) -> bool {
        let splices = self.place(path).and_then(|(list, n)| removed(&list, n));
        self.take(splices)
    }

    /// Puts a value a second time into its list, behind itself. Whether it was there.
    pub fn copy(&mut self, path: &[Step]) -> bool {
        let splices = self.place(path).filter(|(list, _)| list.is_list);
        let splices = splices.and_then(|(list, n)| inserted(&list, n + 1, &Piece::at(&list, n)?));
        self.take(splices)
    }

    /// Takes a value out and puts it into a list, with what is said of it. The last step of `to` is
    /// counted in the list without it, the others in the text as it is. Whether both places are
    /// there, and the second is not inside the first.
    pub fn move_to(&mut self, from: &[Step], to: &[Step]) -> bool {
        let (Some((Step::Item(n), list)), Some((Step::Item(m), other))) =
            (from.split_last(), to.split_last())
        else {
            return false;
        };
        if list == other {
            let Some(long) = self.list(list).map(|list| list.inside.len()) else {
                return false;
            };
            return *n < long && *m < long && self.reorder(list, &moved(long, *n, *m));
        }
        if to.starts_with(from) {
            return false;
        }
        let splices = self.place(from).zip(self.place(to)).and_then(|(from, to)| {
            let piece = Piece::at(&from.0, from.1).filter(|_| from.0.is_list)?;
            let mut splices = inserted(&to.0, to.1, &piece)?;
            splices.extend(removed(&from.0, from.1)?);
            Some(splices)
        });
        self.take(splices)
    }

    /// The list or group around a place, and the number of the place in it.
    fn place(&self, path: &[Step]) -> Option<(Bracket<'_>, usize)> {
        let (last, around) = path.split_last()?;
        let around = self.base.at(around)?;
        let bracket = Bracket::of(&self.base, around)?;
        let n = match last {
            Step::Item(n) if bracket.is_list => *n,
            Step::Field(name) if !bracket.is_list => {
                let mut fields = around.inside.iter();
                fields.position(|twig| self.base.key(twig) == Some(name))?
            }
            _ => return None,
        };
        Some((bracket, n))
    }

    pub(super) fn take(&mut self, splices: Option<Vec<super::Splice>>) -> bool {
        let done = splices.is_some();
        self.splices.extend(splices.into_iter().flatten());
        done
    }
}

/// The order of so many when the one at `from` goes to `to`.
fn moved(long: usize, from: usize, to: usize) -> Vec<usize> {
    let mut order: Vec<usize> = (0..long).collect();
    let one = order.remove(from);
    order.insert(to, one);
    order
}
