//! The newest reading of the boat in hand: what is typed, or what was kept last.

use super::kept::latest_session;
use super::own::Own;
use super::ready_boat::ReadyBoat;
use super::typed::{AdviceRequest, asked, read_typed};
use super::wrong::Unreadable;
use crate::diary::{Diary, state_of};

/// The newest reading of the boat in hand, in water of `density` (kg/m³) if it is being typed. A kept one
/// counts while the boat is as it was then: after a change nobody has read it. None if there is none.
///
/// # Errors
/// All fields that are filled in and cannot be read.
pub fn newest_reading(
    diary: &Diary,
    hand: &ReadyBoat,
    density: f64,
    own: Own<'_>,
) -> Result<Option<AdviceRequest>, Vec<Unreadable>> {
    if let Some(typed) = read_typed(&diary.draft, hand, density, own)? {
        return Ok(Some(typed));
    }
    let Some(kept) = latest_session(diary).and_then(|session| session.unanswered()) else {
        return Ok(None);
    };
    let state = diary.boat(&diary.draft.boat).map(|boat| state_of(boat).0);
    if !kept.state.is_empty() && Some(&kept.state) != state.as_ref() {
        return Ok(None);
    }
    asked(&diary.draft, hand, own, (kept.reading(), kept.fill)).map(Some)
}
