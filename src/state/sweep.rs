//! Clearing out pictures, shapes and boats as they were that nothing names any more.

use super::desk::Desk;
use super::records::{Records, records};
use super::removal::Removed;
use crate::device::storage::{Alone, Swept, is_alone, sweep};
use crate::words::{self, t};
use trimwright::diary::{strike_named, write_kept};

impl Desk {
    /// Clears out what nothing names any more: no record, no other window, nothing that can be taken back.
    pub(crate) async fn sweep(self) {
        let said = match is_alone().await {
            Alone::Yes => self.sweep_alone().await,
            Alone::No => t!("sweep.other_window"),
            Alone::NotKnown => t!("sweep.cannot_tell"),
        };
        self.say(said);
    }

    async fn sweep_alone(self) -> String {
        self.has_written().await;
        // What is named from now on is written again, whether it was there or not.
        self.keeper.update_value(super::keep::Keeper::forget_named);
        let in_memory = self.texts_in_memory();
        let strike = |text: &str, names: &mut _| strike_named(text, names).is_ok();
        match sweep(&in_memory, strike).await {
            Ok(Swept::Gone(0, _)) => t!("sweep.nothing"),
            Ok(Swept::Gone(n, bytes)) => {
                t!("sweep.gone", count = n, size = words::file::size(bytes))
            }
            Ok(Swept::Unreadable(n)) => t!("sweep.unreadable", count = n),
            Err(_) => t!("sweep.failed"),
        }
    }

    /// All that is in memory, and all that can be taken back, as it would be kept.
    fn texts_in_memory(self) -> Vec<String> {
        let texts = |records: &Records| {
            records.values().map(|record| write_kept(record).0).collect::<Vec<_>>()
        };
        let mut all = self.diary.with_untracked(|d| texts(&records(d)));
        self.undo.with_untracked(|taken| match taken {
            Some(Removed::Change(both)) => both.iter().for_each(|one| all.extend(texts(one))),
            // This has all that it names with it.
            Some(Removed::Everything(_)) | None => {}
        });
        all
    }
}
