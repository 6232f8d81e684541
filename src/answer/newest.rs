//! The newest reading of the boat in hand: what is typed, or what was kept last.

use super::hand::Hand;
use super::typed::{Asked, Own, Unreadable, read_remedy, read_typed, read_water};
use crate::diary::Diary;
use crate::reading::Reading;

/// Where the newest reading comes from.
#[derive(Debug, Clone, PartialEq)]
pub enum Newest {
    /// It is being typed.
    Typed(Asked),
    /// It was kept, and of the boat as it is now.
    Kept(Asked),
    /// It was kept, and the boat was changed after that: nothing was read of it as it is now. The water
    /// is that of the draft, its density in kg/m³.
    Nothing {
        /// Density of the water, kg/m³.
        density: f64,
    },
}

/// The newest reading of the boat in hand. A kept one counts while the boat is as it was then: after a
/// change nobody has read it.
///
/// # Errors
/// All fields that are filled in and cannot be read.
pub fn newest_reading(diary: &Diary, hand: &Hand, own: Own<'_>) -> Result<Newest, Vec<Unreadable>> {
    let (_, density) = read_water(&diary.draft.water).map_err(|wrong| vec![wrong])?;
    if let Some(typed) = read_typed(&diary.draft, hand, density, own)? {
        return Ok(Newest::Typed(typed));
    }
    let nothing = Newest::Nothing { density };
    let sessions = diary.sessions.iter().filter(|s| s.boat == diary.draft.boat);
    let latest = sessions.max_by(|a, b| a.started_at.cmp(&b.started_at));
    let Some(kept) = latest.and_then(|session| session.unanswered()) else { return Ok(nothing) };
    let state = diary.boat(&diary.draft.boat).map(|boat| crate::diary::state_of(boat).0);
    if !kept.state.is_empty() && Some(&kept.state) != state.as_ref() {
        return Ok(nothing);
    }
    let remedy = read_remedy(&diary.draft, hand, own).map_err(|wrong| vec![wrong])?;
    let reading: Reading = kept.reading();
    Ok(Newest::Kept(Asked { reading, fill: kept.fill, remedy, part: None }))
}
