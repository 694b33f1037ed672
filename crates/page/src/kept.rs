//! What was sent and is not taken yet: kept in memory under keys that nobody can guess, a few of them, the oldest let go.

use std::collections::VecDeque;
use std::sync::{Arc, Mutex, PoisonError};

/// Files that are kept at once.
const MOST_FILES: usize = 4;
/// Bytes of all files together.
const MOST_BYTES: usize = 64 << 20;

/// A file that was sent.
#[derive(Debug, Clone, PartialEq)]
pub struct Sent<T> {
    /// Its name, as it is shown; never a path.
    pub name: String,
    /// Its bytes.
    pub bytes: Arc<Vec<u8>>,
    /// How it is read.
    pub how: T,
}

/// Files that were sent, by key, the oldest first.
#[derive(Debug)]
pub struct KeptFiles<T>(Mutex<VecDeque<(String, Sent<T>)>>);

impl<T> Default for KeptFiles<T> {
    fn default() -> Self {
        Self(Mutex::default())
    }
}

impl<T: Clone> KeptFiles<T> {
    /// Keeps a file under this key, in place of what it held; the oldest are let go where it would be too much.
    pub fn keep(&self, key: &str, file: Sent<T>) {
        let mut files = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        files.retain(|(known, _)| known != key);
        files.push_back((key.to_owned(), file));
        let bytes = |files: &VecDeque<(String, Sent<T>)>| {
            files.iter().map(|(_, file)| file.bytes.len()).sum::<usize>()
        };
        while files.len() > 1 && (files.len() > MOST_FILES || bytes(&files) > MOST_BYTES) {
            files.pop_front();
        }
    }

    /// The file of this key.
    pub fn get(&self, key: &str) -> Option<Sent<T>> {
        let files = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        files.iter().find(|(known, _)| known == key).map(|(_, file)| file.clone())
    }

    /// Lets a file go.
    pub fn forget(&self, key: &str) {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).retain(|(known, _)| known != key);
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::{KeptFiles, MOST_BYTES, Sent};

    fn list(bytes: usize) -> Sent<()> {
        Sent { name: "list".to_owned(), bytes: Arc::new(vec![0; bytes]), how: () }
    }

    #[test]
    fn the_oldest_are_let_go() {
        let lists = KeptFiles::default();
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
        lists.keep("f", list(MOST_BYTES / 2));
        lists.keep("g", list(MOST_BYTES / 2));
        assert_eq!(["a", "e", "f", "g"].map(|key| lists.get(key).is_some()), [false, false, true, true]);
        lists.forget("g");
        assert!(lists.get("g").is_none());
    }
}
