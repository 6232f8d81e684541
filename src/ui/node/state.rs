//! A node in the page: built, changed and taken out.

use super::Node;
use super::element::BuiltElement;
use super::following::Following;
use super::rows::Rows;
use any_spawner::Executor;
use leptos::prelude::{Owner, document};
use std::borrow::Cow;
use std::mem;

/// What of a node stands in the page. Each has at least one node there, by which its place is known.
pub(super) enum NodeState {
    Text(web_sys::Text, Cow<'static, str>),
    Element(BuiltElement),
    /// The nodes, and a comment behind them.
    List(Vec<Self>, web_sys::Comment),
    Live(Following<Self>),
    Rows(Following<Rows>),
}

impl Node {
    /// Makes what stands in the page, not yet in it.
    pub(super) fn build(self) -> NodeState {
        match self {
            Self::Text(text) => {
                let node = document().create_text_node(&text);
                NodeState::Text(node, text)
            }
            Self::Element(filled) => NodeState::Element(filled.build()),
            Self::List(nodes) => {
                let states = nodes.into_iter().map(Self::build).collect();
                NodeState::List(states, document().create_comment(""))
            }
            Self::Live(node) => {
                NodeState::Live(Following::new(move |before: Option<NodeState>| {
                    let node = node.make();
                    match before {
                        Some(mut state) => {
                            node.update(&mut state);
                            state
                        }
                        None => node.build(),
                    }
                }))
            }
            Self::Rows(rows) => NodeState::Rows(Rows::follow(rows)),
        }
    }

    /// Changes what stands in the page to this: as little as can be where both are of one kind.
    pub(super) fn update(self, state: &mut NodeState) {
        match (self, state) {
            (Self::Text(text), NodeState::Text(node, before)) => {
                if text != *before {
                    node.set_data(&text);
                    *before = text;
                }
            }
            (Self::Element(filled), NodeState::Element(built)) if filled.is_like(built) => {
                filled.update(built);
            }
            (Self::List(nodes), NodeState::List(states, end)) => {
                let n = nodes.len();
                for gone in states.drain(n.min(states.len())..) {
                    gone.unmount();
                }
                for (k, node) in nodes.into_iter().enumerate() {
                    if let Some(state) = states.get_mut(k) {
                        node.update(state);
                    } else {
                        let state = node.build();
                        state.mount_before(end);
                        states.push(state);
                    }
                }
            }
            (other, state) => {
                let new = other.build();
                new.mount_before(&state.first());
                mem::replace(state, new).unmount();
            }
        }
    }
}

impl NodeState {
    /// Puts it into an element: before the node given, or as the last.
    pub(super) fn mount(&self, parent: &web_sys::Node, before: Option<&web_sys::Node>) {
        match self {
            Self::Text(node, _) => put(parent, node, before),
            Self::Element(built) => put(parent, &built.element, before),
            Self::List(states, end) => {
                for state in states {
                    state.mount(parent, before);
                }
                put(parent, end, before);
            }
            Self::Live(effect) => {
                effect.with(|state| state.mount(parent, before));
            }
            Self::Rows(effect) => {
                effect.with(|rows| rows.mount(parent, before));
            }
        }
    }

    /// Puts it before a node that stands somewhere.
    pub(super) fn mount_before(&self, node: &web_sys::Node) {
        if let Some(parent) = node.parent_node() {
            self.mount(&parent, Some(node));
        }
    }

    /// Takes it out of the page.
    pub(super) fn unmount(&self) {
        match self {
            Self::Text(node, _) => take_out(node),
            Self::Element(built) => take_out(&built.element),
            Self::List(states, end) => {
                states.iter().for_each(Self::unmount);
                take_out(end);
            }
            Self::Live(effect) => {
                effect.with(|state| state.unmount());
            }
            Self::Rows(effect) => {
                effect.with(|rows| rows.unmount());
            }
        }
    }

    /// Its first node in the page.
    pub(super) fn first(&self) -> web_sys::Node {
        match self {
            Self::Text(node, _) => node.clone().into(),
            Self::Element(built) => built.element.clone().into(),
            Self::List(states, end) => {
                states.first().map_or_else(|| end.clone().into(), Self::first)
            }
            Self::Live(effect) => effect.with(|state| state.first()).unwrap_or_else(nowhere),
            Self::Rows(effect) => effect.with(|rows| rows.first()).unwrap_or_else(nowhere),
        }
    }

    /// Whether a node follows it at once.
    pub(super) fn stands_before(&self, node: &web_sys::Node) -> bool {
        self.last().next_sibling().is_some_and(|next| next.is_same_node(Some(node)))
    }

    fn last(&self) -> web_sys::Node {
        match self {
            Self::List(_, end) => end.clone().into(),
            Self::Live(effect) => effect.with(|state| state.last()).unwrap_or_else(nowhere),
            Self::Rows(effect) => effect.with(|rows| rows.last()).unwrap_or_else(nowhere),
            Self::Text(..) | Self::Element(_) => self.first(),
        }
    }
}

/// A node that stands nowhere: what is put before it stands nowhere too. An effect always has a value once it
/// has run, and it runs when it is made.
fn nowhere() -> web_sys::Node {
    document().create_comment("").into()
}

pub(super) fn put(parent: &web_sys::Node, node: &web_sys::Node, before: Option<&web_sys::Node>) {
    // It fails only where `before` is not in `parent`.
    let _put = parent.insert_before(node, before);
}

pub(super) fn take_out(node: &web_sys::Node) {
    if let Some(parent) = node.parent_node() {
        let _taken = parent.remove_child(node);
    }
}

/// Shows a screen in the page for as long as the page is there.
pub(crate) fn show(screen: impl FnOnce() -> Node) {
    // An error says that it was there already.
    let _there = Executor::init_wasm_bindgen();
    let owner = Owner::new();
    let state = owner.with(|| screen().build());
    if let Some(body) = document().body() {
        state.mount(&body, None);
    }
    mem::forget((owner, state));
}
