//! What is still to be entered of a boat before anything can be said of it.

use super::made::MadeParts;
use trimwright::diary::BoatRecord;

/// Something that is still to be entered.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Missing {
    /// A part aboard with a shape: nothing displaces water.
    Shape,
    /// What the parts weigh.
    Mass,
    /// Marks: where the waterline should be.
    Marks,
    /// A tank: nothing takes it down.
    Tank,
}

impl Missing {
    /// What is missing of a boat of these parts, the first needed first.
    pub(crate) fn of(record: &BoatRecord, made: &MadeParts) -> Vec<Self> {
        let aboard = made.iter().map(|(_, made)| &made.part).filter(|p| p.status.is_aboard());
        let is_there = [
            (Self::Shape, made.bounds_without(None).is_some()),
            (Self::Mass, aboard.map(|part| part.mass).sum::<f64>() > 0.0),
            (Self::Marks, !record.marks.is_empty()),
            (Self::Tank, !record.tanks.is_empty()),
        ];
        is_there.into_iter().filter(|(_, is_there)| !is_there).map(|(what, _)| what).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use trimwright::boat::demo_boat;

    fn missing(change: impl FnOnce(&mut BoatRecord)) -> Vec<Missing> {
        let mut record = BoatRecord::ledger("it", &demo_boat().expect("fixed sizes"));
        change(&mut record);
        Missing::of(&record, &MadeParts::of(Some(&record), None))
    }

    #[test]
    fn what_is_not_entered_is_missing_and_nothing_else() {
        assert_eq!(missing(|_| ()), [], "the whole boat");
        let all = [Missing::Shape, Missing::Mass, Missing::Marks, Missing::Tank];
        let bare = |r: &mut BoatRecord| {
            r.parts.clear();
            r.marks.clear();
            r.tanks.clear();
        };
        assert_eq!(missing(bare), all, "a boat of which there is only the name");
        let no_shape = |r: &mut BoatRecord| r.parts.retain(|p| p.solid.is_none());
        assert_eq!(missing(no_shape), [Missing::Shape], "weights alone");
        assert_eq!(missing(|r| r.tanks.clear()), [Missing::Tank], "no tank");
    }

    #[test]
    fn what_was_taken_out_does_not_carry_the_boat() {
        let out = |r: &mut BoatRecord| {
            r.parts.iter_mut().for_each(|p| p.status = trimwright::diary::StatusRecord::TakenOut);
        };
        assert_eq!(missing(out), [Missing::Shape, Missing::Mass], "nothing is aboard");
    }
}
