//! Everything that is kept on the phone goes through here: the browser's database for the records of
//! the diary, for meshes and pictures; the small store for what must be known before the first
//! paint. Knows nothing of what is kept.
//!
//! A record is confirmed when the database has committed it with strict durability: it is on the
//! phone's own memory then, whatever happens to the tab, the browser or the battery. The small store
//! answers at once, but browsers write it to disk seconds later, and two windows can't read and
//! write it in one step; so only what may be lost without harm is in it.

mod bulk;
mod key;
mod others;
mod persist;
mod small;
mod sweep;

pub(crate) use bulk::{
    ResolvedText, StoreWrite, copies, keys, load, load_all, load_bytes, load_each, write,
};
pub(crate) use key::{Key, Store};
pub(crate) use others::{Alone, hold_a_place, is_alone, on_changes_elsewhere, tell_others};
pub(crate) use persist::{ask_to_persist, is_persistent};
pub(crate) use small::{
    forget_small, load_small, load_small_of_window, on_small_change, save_small,
    save_small_of_window,
};
pub(crate) use sweep::{Swept, sweep};

/// Why something was not kept or not found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum StorageProblem {
    /// The store is full.
    Full,
    /// The browser allows no store here (a private window, or it is switched off).
    Closed,
    /// The browser refused for another reason, by its own name for it.
    Refused(String),
}
