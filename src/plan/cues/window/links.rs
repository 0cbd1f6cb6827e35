//! Which asks depend on which, and how long that matters.

/// What asks need of each other along the steps of a score.
#[derive(Clone, Debug)]
pub(super) struct Links {
    /// For each ask, the one that it needs.
    pub(super) needs: Vec<Option<usize>>,
    /// For each ask, those that need it.
    by: Vec<Vec<usize>>,
    /// For each ask, its last step.
    last: Vec<Option<usize>>,
    /// For each ask, the step from which on it no longer matters whether it was said.
    settled: Vec<usize>,
}

impl Links {
    /// By what each ask needs, and which ask each step of the score is about.
    pub(super) fn of(needs: Vec<Option<usize>>, steps: impl Iterator<Item = usize>) -> Self {
        let mut last = vec![None; needs.len()];
        for (n, ask) in steps.enumerate() {
            last[ask] = Some(n);
        }
        let after = |ask: usize| last[ask].map_or(0, |step| step + 1);
        let mut settled: Vec<usize> = (0..needs.len()).map(after).collect();
        let mut by = vec![Vec::new(); needs.len()];
        for (ask, needed) in needs.iter().enumerate() {
            if let Some(needed) = *needed {
                settled[ask] = settled[ask].max(after(needed));
                settled[needed] = settled[needed].max(after(ask));
                by[needed].push(ask);
            }
        }
        Self {
            needs,
            by,
            last,
            settled,
        }
    }

    /// Whether it still matters at a step that this ask was said: it could be said again, or
    /// another that needs it or that it needs is yet to come.
    pub(super) fn matters(&self, ask: usize, step: usize) -> bool {
        step < self.settled[ask]
    }

    /// Whether one that needs this ask is not said, and something said needs that one, however far
    /// along: it is still to be said before, and this ask before it.
    pub(super) fn comes_before_something_owed(&self, ask: usize, said: &[usize]) -> bool {
        let mut open = vec![ask];
        let mut owed = false;
        while let Some(needed) = open.pop() {
            for &by in &self.by[needed] {
                let is_said = said.contains(&by);
                owed |= is_said && needed != ask;
                if !is_said {
                    open.push(by);
                }
            }
        }
        owed
    }

    /// Whether an ask can no longer be said after this step.
    pub(super) fn is_last(&self, ask: usize, step: usize) -> bool {
        self.last[ask] == Some(step)
    }

    /// Whether an ask needs another or is needed.
    pub(super) fn has(&self, ask: usize) -> bool {
        self.needs[ask].is_some() || !self.by[ask].is_empty()
    }
}
