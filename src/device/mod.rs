//! The phone: every browser call lives here. Each module works calmly where its feature is
//! missing, and knows nothing of screens or state.

pub(crate) mod clock;
pub(crate) mod file;
pub(crate) mod history;
pub(crate) mod keys;
pub(crate) mod language;
pub(crate) mod motion;
pub(crate) mod own_file;
pub(crate) mod picture;
pub(crate) mod room;
pub(crate) mod scroll;
pub(crate) mod share;
pub(crate) mod storage;
pub(crate) mod theme;
pub(crate) mod tilt;
pub(crate) mod update;
pub(crate) mod views;
