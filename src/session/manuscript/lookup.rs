//! What stands at a place of a plan, as it is written.

use super::Manuscript;
use crate::session::branch::Branch;
use crate::session::edit::Step;
use crate::session::readable::Readable;

impl Manuscript {
    /// The text of the value at a path, as it is written.
    #[must_use]
    pub fn value(&self, path: &[Step]) -> Option<&str> {
        let (base, at) = self.at(path)?;
        Some(&base.text()[at.whole.clone()])
    }

    /// The fields of the group at a path, in the order of the text, with their values as they are
    /// written. None where there is no group, as at a move's id alone.
    #[must_use]
    pub fn fields(&self, path: &[Step]) -> Vec<(&str, &str)> {
        let Some((base, at)) = self.at(path) else {
            return Vec::new();
        };
        let field = |twig| Some((base.key(twig)?, &base.text()[twig.value.whole.clone()]));
        at.inside.iter().filter_map(field).collect()
    }

    /// The name before the bracket of the value at a path: `Block`, `Use`; or the word that it is.
    #[must_use]
    pub fn name_of(&self, path: &[Step]) -> Option<&str> {
        let (base, at) = self.at(path)?;
        base.name(at)
    }

    /// How many values the list or tuple at a path has, or fields the group.
    #[must_use]
    pub fn items(&self, path: &[Step]) -> usize {
        self.at(path).map_or(0, |(_, at)| at.inside.len())
    }

    /// The line in which the value at a path begins, counted from 1.
    #[must_use]
    pub fn line_of(&self, path: &[Step]) -> Option<usize> {
        let (base, at) = self.at(path)?;
        Some(base.written().line(at.whole.start))
    }

    /// The row of a line of the text, counted from 1: the innermost that takes it, or the one before
    /// it.
    #[must_use]
    pub fn row_at_line(&self, line: usize) -> usize {
        let rows = self.rows().iter().enumerate();
        let inside = rows.clone().filter(|(_, row)| row.lines.contains(&line));
        let innermost = inside.max_by_key(|(n, row)| (row.depth, usize::MAX - n));
        let before = || (rows.clone()).rfind(|(_, row)| row.lines.start <= line);
        innermost.or_else(before).map_or(0, |(n, _)| n)
    }

    fn at(&self, path: &[Step]) -> Option<(&Readable, &Branch)> {
        let base = self.state.base.as_deref()?;
        Some((base, base.at(path)?))
    }
}
