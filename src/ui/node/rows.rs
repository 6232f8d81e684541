//! Rows in the page: those that stay are left as they are, and where they are if they can.

use super::following::Following;
use super::state::{NodeState, put, take_out};
use super::{Make, Row};
use leptos::prelude::{Owner, ReadSignal, Set, WriteSignal, document, signal};

/// The rows, and a comment behind them.
pub(super) struct Rows {
    rows: Vec<BuiltRow>,
    end: web_sys::Comment,
}

struct BuiltRow {
    key: String,
    state: NodeState,
    place: WriteSignal<usize>,
    /// What the row's signals and effects belong to; they end with it.
    _owner: Owner,
}

impl Rows {
    /// Follows the signals that the rows are made from.
    pub(super) fn follow(rows: Box<dyn Make<Vec<Row>>>) -> Following<Self> {
        // The rows outlive a change of what they follow, and so does their owner.
        let owner = Owner::current().unwrap_or_default();
        Following::new(move |before: Option<Self>| {
            let none = || Self { rows: Vec::new(), end: document().create_comment("") };
            let before = before.unwrap_or_else(none);
            before.updated(rows.make(), &owner)
        })
    }

    fn updated(self, rows: Vec<Row>, owner: &Owner) -> Self {
        let Self { rows: mut before, end } = self;
        let make = |(k, row): (usize, Row)| {
            if let Some(at) = before.iter().position(|built| built.key == row.key) {
                let built = before.remove(at);
                built.place.set(k);
                built
            } else {
                row.build(k, owner)
            }
        };
        let rows: Vec<_> = rows.into_iter().enumerate().map(make).collect();
        for gone in before {
            gone.state.unmount();
        }
        let rows = Self { rows, end };
        rows.order();
        rows
    }

    /// Moves what does not stand before what follows it, from the last to the first.
    fn order(&self) {
        let Some(parent) = self.end.parent_node() else { return };
        let mut next: web_sys::Node = self.end.clone().into();
        for row in self.rows.iter().rev() {
            let first = row.state.first();
            if !row.state.stands_before(&next) {
                row.state.mount(&parent, Some(&next));
            }
            next = first;
        }
    }

    pub(super) fn mount(&self, parent: &web_sys::Node, before: Option<&web_sys::Node>) {
        for row in &self.rows {
            row.state.mount(parent, before);
        }
        put(parent, &self.end, before);
    }

    pub(super) fn unmount(&self) {
        for row in &self.rows {
            row.state.unmount();
        }
        take_out(&self.end);
    }

    pub(super) fn last(&self) -> web_sys::Node {
        self.end.clone().into()
    }

    pub(super) fn first(&self) -> web_sys::Node {
        self.rows.first().map_or_else(|| self.end.clone().into(), |row| row.state.first())
    }
}

impl Row {
    fn build(self, k: usize, owner: &Owner) -> BuiltRow {
        let owner = owner.with(Owner::new);
        let (read, place): (ReadSignal<usize>, _) = owner.with(|| signal(k));
        let state = owner.with(|| (self.make)(read).build());
        BuiltRow { key: self.key, state, place, _owner: owner }
    }
}
