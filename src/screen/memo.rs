//! What one frame worked out and the next asks for again: the same words at the same size.
//!
//! A class shows the same for many seconds, and to set words large costs more than to write their
//! cells. Drawing stays a function of its values: only what follows from the key alone may be kept. It
//! is bounded, and every thread has its own.

use std::cell::RefCell;
use std::hash::Hash;
use std::num::NonZeroUsize;

use lru::LruCache;

/// More than a screen shows at once.
const MOST: NonZeroUsize = NonZeroUsize::MIN.saturating_add(127);

/// Values by what they follow from; those not asked for in longest go first.
pub(super) struct Memo<K: Hash + Eq, V>(RefCell<LruCache<K, V>>);

impl<K: Hash + Eq, V: Clone> Memo<K, V> {
    pub(super) fn new() -> Self {
        Self(RefCell::new(LruCache::new(MOST)))
    }

    /// What goes with a key, kept or worked out now.
    pub(super) fn get(&self, key: K, work_out: impl FnOnce(&K) -> V) -> V {
        if let Some(kept) = self.0.borrow_mut().get(&key) {
            return kept.clone();
        }
        let value = work_out(&key);
        self.0.borrow_mut().put(key, value.clone());
        value
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_value_is_worked_out_once_and_forgotten_when_many_others_were_asked_for() {
        let memo = Memo::new();
        let mut times = 0;
        let mut ask = |key: usize| {
            memo.get(key, |key| {
                times += 1;
                key * 2
            })
        };
        assert_eq!((ask(1), ask(1), ask(2)), (2, 2, 4));
        (3..3 + MOST.get()).for_each(|key| assert_eq!(ask(key), key * 2));
        assert_eq!(ask(1), 2);
        assert_eq!(times, 3 + MOST.get());
    }
}
