//! What was computed of late, each thing once, however many ask for it at the same time.

use crate::error::ApiError;
use std::collections::VecDeque;
use std::sync::{Arc, Mutex, PoisonError};
use tokio::sync::OnceCell;

/// Entries kept at most, whatever their size. Our choice: the page shows one or two at a time.
const MOST_ENTRIES: usize = 32;

/// Things by key, the latest used first; the oldest go when all together are too large.
///
/// The last one used stays whatever its size.
pub struct Recent<K, V> {
    entries: Mutex<VecDeque<Entry<K, V>>>,
    most_bytes: u64,
}

struct Entry<K, V> {
    key: K,
    bytes: u64,
    cell: Cell<V>,
}

type Cell<V> = Arc<OnceCell<Arc<V>>>;

impl<K: PartialEq, V: Send + Sync + 'static> Recent<K, V> {
    /// Nothing yet; `most_bytes` bounds the sum of the sizes told.
    pub fn new(most_bytes: u64) -> Self {
        Self { entries: Mutex::default(), most_bytes }
    }

    /// The thing of a key, made if it is not there.
    ///
    /// Who asks while it is being made waits for it. It is made to its end and kept even if all who
    /// asked have left. An error is not kept: the next who asks tries again.
    pub async fn get_or_make<F>(
        &self,
        key: K,
        bytes: u64,
        make: impl FnOnce() -> F + Send + 'static,
    ) -> Result<Arc<V>, ApiError>
    where
        F: Future<Output = Result<V, ApiError>> + Send,
    {
        let cell = self.cell(key, bytes);
        if let Some(known) = cell.get() {
            return Ok(Arc::clone(known));
        }
        let made = tokio::spawn(async move {
            cell.get_or_try_init(|| async { make().await.map(Arc::new) }).await.cloned()
        });
        made.await.map_err(|error| ApiError::internal(format!("the work broke off: {error}")))?
    }

    fn cell(&self, key: K, bytes: u64) -> Cell<V> {
        let mut entries = self.entries.lock().unwrap_or_else(PoisonError::into_inner);
        let known = entries.iter().position(|e| e.key == key).and_then(|at| entries.remove(at));
        let entry = known.unwrap_or_else(|| Entry { key, bytes, cell: Arc::default() });
        let cell = Arc::clone(&entry.cell);
        entries.push_front(entry);
        let mut total: u64 = entries.iter().map(|e| e.bytes).sum();
        while entries.len() > 1 && (entries.len() > MOST_ENTRIES || total > self.most_bytes) {
            total -= entries.pop_back().map_or(0, |e| e.bytes);
        }
        cell
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::atomic::{AtomicUsize, Ordering};
    use std::time::Duration;

    async fn text(recent: &Recent<u32, String>, key: u32, bytes: u64) -> bool {
        let made = Arc::new(AtomicUsize::new(0));
        let count = Arc::clone(&made);
        let make = move || async move {
            count.fetch_add(1, Ordering::Relaxed);
            Ok(key.to_string())
        };
        assert_eq!(*recent.get_or_make(key, bytes, make).await.unwrap(), key.to_string());
        made.load(Ordering::Relaxed) == 1
    }

    #[tokio::test]
    async fn the_oldest_in_use_go_when_all_are_too_large() {
        let recent = Recent::new(100);
        assert!(text(&recent, 1, 40).await && text(&recent, 2, 40).await);
        assert!(!text(&recent, 1, 40).await, "still there");
        assert!(text(&recent, 3, 40).await);
        assert!(!text(&recent, 1, 40).await, "used after 2");
        assert!(text(&recent, 2, 40).await, "2 had to go");
        assert!(text(&recent, 4, 1000).await && !text(&recent, 4, 1000).await);
        assert!(text(&recent, 1, 40).await, "too large a neighbour");
    }

    #[tokio::test]
    async fn who_asks_meanwhile_waits_and_it_is_made_once() {
        let recent: Arc<Recent<u32, u32>> = Arc::new(Recent::new(100));
        let made = Arc::new(AtomicUsize::new(0));
        let asks: Vec<_> = (0..8)
            .map(|_| {
                let (recent, made) = (Arc::clone(&recent), Arc::clone(&made));
                tokio::spawn(async move {
                    let make = move || async move {
                        tokio::time::sleep(Duration::from_millis(20)).await;
                        made.fetch_add(1, Ordering::Relaxed);
                        Ok(7)
                    };
                    *recent.get_or_make(1, 1, make).await.unwrap()
                })
            })
            .collect();
        for ask in asks {
            assert_eq!(ask.await.unwrap(), 7);
        }
        assert_eq!(made.load(Ordering::Relaxed), 1);
    }

    #[tokio::test]
    async fn errors_are_not_kept_and_those_who_leave_do_not_stop_the_work() {
        let recent: Recent<u32, u32> = Recent::new(100);
        let fails = || async { Err(ApiError::internal("no")) };
        assert!(recent.get_or_make(1, 1, fails).await.is_err());
        let slow = || async {
            tokio::time::sleep(Duration::from_millis(50)).await;
            Ok(3)
        };
        let left = tokio::time::timeout(Duration::from_millis(5), recent.get_or_make(1, 1, slow));
        assert!(left.await.is_err());
        let not_again = || async { Err(ApiError::internal("made again")) };
        assert_eq!(*recent.get_or_make(1, 1, not_again).await.unwrap(), 3);
    }
}
