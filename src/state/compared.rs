//! Two sessions side by side: their readings, and the boats at the time.

use super::desk::Desk;
use super::log::DiaryPage;
use super::made::{Datum, MadeParts};
use super::records::session_of_key;
use crate::device::storage::Key;
use trimwright::diary::{BoatRecord, Comparison, SessionRecord, compare};

/// Two sessions and what differs between them, the earlier one first.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct TwoSessions {
    /// The sessions.
    pub(crate) sessions: [SessionRecord; 2],
    /// What differs between the boats as they were; none when one of the two was not kept.
    pub(crate) comparison: Option<Comparison>,
    /// Where lengths are measured from in the later boat.
    pub(crate) datum: Datum,
}

impl Desk {
    /// Lets the user choose the session to compare with this one.
    pub(crate) fn choose_other(self, key: Key) {
        self.log.comparing.set(Some(key));
        self.log.page.set(DiaryPage::Overview);
    }

    /// Opens the comparison of two sessions, the earlier one first.
    pub(crate) fn open_comparison(self, one: Key, other: Key) {
        self.log.comparing.set(None);
        let [earlier, later] = if one <= other { [one, other] } else { [other, one] };
        self.log.page.set(DiaryPage::Compare(earlier, later));
    }

    /// The session of the same boat before this one.
    pub(crate) fn session_before(self, key: &Key) -> Option<Key> {
        let (_, boat) = session_of_key(key)?;
        let mut of_boat = self.sessions_of(boat);
        of_boat.retain(|k| k < key);
        of_boat.pop()
    }

    /// Brings two sessions and compares them; none when one of them is gone or damaged.
    pub(crate) async fn compare_sessions(self, keys: [Key; 2]) -> Option<TwoSessions> {
        let mut read = self.sessions(&keys).await.into_iter();
        let mut next = || read.next().flatten().and_then(Result::ok);
        let sessions = [next()?, next()?];
        let [before, after] = sessions.each_ref().map(|s| s.last_state().to_owned());
        let states = [self.state(&before).await, self.state(&after).await];
        let datum = match &states {
            [_, Some(later)] => datum(later),
            _ => Datum::MIDSHIP,
        };
        let comparison = match &states {
            [Some(before), Some(after)] => Some(compare(before, after)),
            _ => None,
        };
        Some(TwoSessions { sessions, comparison, datum })
    }
}

fn datum(boat: &BoatRecord) -> Datum {
    MadeParts::of(Some(boat), None).datum(boat)
}
