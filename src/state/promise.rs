//! Whether the browser has promised to keep what is kept, and when it is asked for that.

use super::desk::Desk;
use crate::device::storage::{ask_to_persist, hold_a_place, is_persistent};
use leptos::prelude::*;
use leptos::task::spawn_local;

impl Desk {
    /// Looks whether the browser has promised, and asks for it when there is something to lose for the first
    /// time; it is asked again when a session begins. Lets other windows know of this one.
    pub(crate) fn mind_the_store(self) {
        hold_a_place();
        spawn_local(async move {
            let promised = is_persistent().await;
            self.promised.set(Some(promised));
        });
        Effect::new(move |before: Option<bool>| {
            let something = self.diary.with(|d| !d.boats.is_empty());
            if something && before == Some(false) {
                spawn_local(self.ask_for_promise());
            }
            something
        });
    }

    /// Asks the browser to promise that it clears nothing by itself.
    pub(super) async fn ask_for_promise(self) {
        if self.promised.get_untracked() != Some(true) {
            let promised = ask_to_persist().await;
            self.promised.set(Some(promised));
        }
    }
}
