//! Lists between looking and taking: kept in memory under keys that nobody can guess, a few of them, the oldest let go.

use std::collections::VecDeque;
use std::sync::{Arc, Mutex, PoisonError};

use imports::mapping::Mapping;

/// Largest list that the page takes, in bytes.
pub const LARGEST_LIST: usize = 32 << 20;
/// Lists that are kept at once.
const MOST_LISTS: usize = 4;
/// Bytes of all lists together.
const MOST_BYTES: usize = 2 * LARGEST_LIST;

/// A list that was sent.
#[derive(Debug, Clone, PartialEq)]
pub struct KeptList {
    /// Its name, as it is shown; never a path.
    pub name: String,
    /// Its bytes.
    pub bytes: Arc<Vec<u8>>,
    /// How it is read.
    pub mapping: Mapping,
}

/// Lists that were sent, by key, the oldest first.
#[derive(Debug, Default)]
pub struct KeptLists(Mutex<VecDeque<(String, KeptList)>>);

impl KeptLists {
    /// Keeps a list under this key, in place of what it held; the oldest are let go where it would be too much.
    pub fn keep(&self, key: &str, list: KeptList) {
        let mut lists = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        lists.retain(|(known, _)| known != key);
        lists.push_back((key.to_owned(), list));
        let bytes = |lists: &VecDeque<(String, KeptList)>| {
            lists.iter().map(|(_, list)| list.bytes.len()).sum::<usize>()
        };
        while lists.len() > 1 && (lists.len() > MOST_LISTS || bytes(&lists) > MOST_BYTES) {
            lists.pop_front();
        }
    }

    /// The list of this key.
    pub fn get(&self, key: &str) -> Option<KeptList> {
        let lists = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        lists.iter().find(|(known, _)| known == key).map(|(_, list)| list.clone())
    }

    /// Lets a list go.
    pub fn forget(&self, key: &str) {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).retain(|(known, _)| known != key);
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use imports::mapping::Mapping;

    use super::{KeptList, KeptLists, LARGEST_LIST};

    fn list(bytes: usize) -> KeptList {
        KeptList { name: "list".to_owned(), bytes: Arc::new(vec![0; bytes]), mapping: Mapping::default() }
    }

    #[test]
    fn the_oldest_are_let_go() {
        let lists = KeptLists::default();
        for key in ["a", "b", "c", "d"] {
            lists.keep(key, list(1));
        }
        // Kept anew, a list is the newest.
        lists.keep("a", list(2));
        lists.keep("e", list(1));
        assert_eq!(
            ["a", "b", "c", "d", "e"].map(|key| lists.get(key).is_some()),
            [true, false, true, true, true]
        );
        lists.keep("f", list(LARGEST_LIST));
        lists.keep("g", list(LARGEST_LIST));
        assert_eq!(["a", "e", "f", "g"].map(|key| lists.get(key).is_some()), [false, false, true, true]);
        lists.forget("g");
        assert!(lists.get("g").is_none());
    }
}
