//! The boat as it was when it last lay as it should.

use super::boat_record::BoatRecord;
use super::closing::EntryPlace;
use super::comparison::{Comparison, compare};
use super::reading_record::ConditionRecord;
use super::record::Diary;
use super::session_record::SessionRecord;
use super::state::meshes_named;

/// A reading at which a boat lay as it should.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LastGood {
    /// The reading.
    pub place: EntryPlace,
    /// At the surface or under.
    pub condition: ConditionRecord,
    /// The boat as it was: a name in [`Diary::states`].
    pub state: String,
}

/// The last reading at which a boat, by its identity, lay as it should and its state was kept.
/// The sessions come newest first; no more of them are looked at than needed.
pub fn last_good<'a>(
    boat: &str,
    newest_first: impl IntoIterator<Item = &'a SessionRecord>,
) -> Option<LastGood> {
    let mut of_boat = newest_first.into_iter().filter(|session| session.boat == boat);
    of_boat.find_map(last_good_of)
}

fn last_good_of(session: &SessionRecord) -> Option<LastGood> {
    let wanted = session.readings().rev().find(|(_, r)| r.good && !r.state.is_empty());
    wanted.map(|(entry, reading)| LastGood {
        place: EntryPlace {
            session: session.id.clone(),
            entry: entry.id.clone(),
            at: entry.at.clone(),
        },
        condition: reading.condition,
        state: reading.state.clone(),
    })
}

/// An earlier state of a boat, to replace the present one.
#[derive(Debug, Clone, PartialEq)]
pub struct TakenOver {
    /// The earlier boat, with its present identity and name.
    pub boat: BoatRecord,
    /// What changes, from now to then.
    pub changes: Comparison,
}

/// Why an earlier state cannot be taken over.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum TakeOverError {
    /// It was not kept.
    #[error("that boat state is not in this diary: import the file it was exported to")]
    NotKept,
    /// A shape of it is missing: the parts would lose it.
    #[error(
        "{0} of the shapes it had then are not in this diary: import the file it was exported to"
    )]
    ShapesMissing(usize),
}

impl Diary {
    /// The boat as it was in a state, to be put in the place of `now`.
    ///
    /// # Errors
    /// [`TakeOverError`] when the state, or a shape in it, is not here.
    pub fn taken_over(&self, state: &str, now: &BoatRecord) -> Result<TakenOver, TakeOverError> {
        let then = self.state(state).ok_or(TakeOverError::NotKept)?;
        let missing = meshes_named(&then).len();
        if missing > 0 {
            return Err(TakeOverError::ShapesMissing(missing));
        }
        let boat = BoatRecord { id: now.id.clone(), name: now.name.clone(), ..then };
        let changes = compare(now, &boat);
        Ok(TakenOver { boat, changes })
    }
}
