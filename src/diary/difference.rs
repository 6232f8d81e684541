//! What differs between two lists of named things.

use std::collections::HashMap;

/// One thing that differs between two boats.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Difference<T> {
    /// Only the later boat has it.
    Added(T),
    /// Only the earlier boat has it.
    Gone(T),
    /// Both have it, but it differs.
    Changed {
        /// In the earlier boat.
        before: T,
        /// In the later boat.
        after: T,
    },
}

impl<T> Difference<T> {
    pub(super) fn map<U>(self, mut to: impl FnMut(T) -> U) -> Difference<U> {
        match self {
            Self::Added(after) => Difference::Added(to(after)),
            Self::Gone(before) => Difference::Gone(to(before)),
            Self::Changed { before, after } => {
                Difference::Changed { before: to(before), after: to(after) }
            }
        }
    }
}

/// How things of one kind are told apart.
pub(super) struct Comparer<T> {
    /// What a thing is called.
    pub(super) name: fn(&T) -> &str,
    /// True when two are the same in all.
    pub(super) same: fn(&T, &T) -> bool,
    /// True when two are the same in all but their names.
    pub(super) renamed: fn(&T, &T) -> bool,
}

/// What differs between two lists, in the order of the later one; what is gone comes last. Things that
/// share a name are the same thing, first those that are the same in all, then in their order.
pub(super) fn differences<'a, T>(
    before: &'a [T],
    after: &'a [T],
    kind: &Comparer<T>,
) -> Vec<Difference<&'a T>> {
    let mut left: HashMap<&str, Vec<&T>> = HashMap::new();
    for thing in before {
        left.entry((kind.name)(thing)).or_default().push(thing);
    }
    let mut take_named = |thing: &T, wanted: &dyn Fn(&T) -> bool| {
        let named = left.get_mut((kind.name)(thing))?;
        let at = named.iter().position(|&t| wanted(t))?;
        Some(named.remove(at))
    };
    let mut pairs: Vec<(Option<&T>, &T)> =
        after.iter().map(|is| (take_named(is, &|was| (kind.same)(was, is)), is)).collect();
    for (was, is) in pairs.iter_mut().filter(|(was, _)| was.is_none()) {
        *was = take_named(is, &|_| true);
    }
    // In the order of the earlier list, which the map has lost.
    let is_left = |thing: &&T| {
        let named = left.get((kind.name)(thing));
        named.is_some_and(|named| named.iter().any(|&t| std::ptr::eq(t, *thing)))
    };
    let mut gone: Vec<&T> = before.iter().filter(is_left).collect();
    for (was, is) in pairs.iter_mut().filter(|(was, _)| was.is_none()) {
        let at = gone.iter().position(|&t| (kind.renamed)(t, is));
        *was = at.map(|at| gone.remove(at));
    }
    let difference = |(was, is): (Option<&'a T>, &'a T)| match was {
        None => Some(Difference::Added(is)),
        Some(was) if (kind.same)(was, is) => None,
        Some(before) => Some(Difference::Changed { before, after: is }),
    };
    pairs.into_iter().filter_map(difference).chain(gone.into_iter().map(Difference::Gone)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    type Thing = (&'static str, i32);

    const KIND: Comparer<Thing> =
        Comparer { name: |thing| thing.0, same: |a, b| a == b, renamed: |a, b| a.1 == b.1 };

    fn of(before: &[Thing], after: &[Thing]) -> Vec<Difference<Thing>> {
        differences(before, after, &KIND).into_iter().map(|d| d.map(|t| *t)).collect()
    }

    #[test]
    fn things_of_one_name_are_told_apart_by_what_they_are() {
        let before = [("lead", 20), ("lead", 30), ("lead", 40), ("tray", 5)];
        let after = [("lead", 30), ("lead", 41), ("lead", 20), ("pump", 9)];
        let expected = [
            Difference::Changed { before: ("lead", 40), after: ("lead", 41) },
            Difference::Added(("pump", 9)),
            Difference::Gone(("tray", 5)),
        ];
        assert_eq!(of(&before, &after), expected, "one lead was changed");
        assert_eq!(of(&before, &before), [], "nothing");
        let turned = [("tray", 5), ("lead", 40), ("lead", 30), ("lead", 20)];
        assert_eq!(of(&before, &turned), [], "the order does not matter");
    }

    #[test]
    fn what_has_another_name_only_was_renamed() {
        let expected = [Difference::Changed { before: ("tray", 5), after: ("shelf", 5) }];
        assert_eq!(of(&[("tray", 5)], &[("shelf", 5)]), expected, "renamed");
        let expected = [Difference::Added(("shelf", 6)), Difference::Gone(("tray", 5))];
        assert_eq!(of(&[("tray", 5)], &[("shelf", 6)]), expected, "another thing");
    }
}
