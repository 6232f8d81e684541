//! What stands on a screen, of one type whatever it is. `view!` makes it.
//!
//! Leptos gives each element a type of its own and compiles the code that builds, changes and removes it for each.
//! Its signals, effects, owners and components are used as they are; only the elements are these.

mod element;
mod following;
mod rows;
mod state;
mod value;

pub(crate) use state::show;
pub(crate) use trimwright_view::view;
pub(crate) use value::{AttributeValue, IntoValue};

use super::markup::Markup;
use crate::signal::{Memo, RwSignal};
use leptos::ev::EventDescriptor;
use leptos::prelude::{Get, Owner, ReadSignal};
use leptos::wasm_bindgen::JsCast;
use std::borrow::Cow;
use std::rc::Rc;

/// Elements as markup, and what in them is filled in.
pub(crate) struct Template {
    /// One element with what is in it, as the browser reads it.
    pub(crate) markup: &'static str,
    /// Whether that element belongs into a drawing.
    pub(crate) drawing: bool,
    /// What is filled in, and at which node, counted in the order of the markup from the element itself.
    pub(crate) slots: &'static [(u8, Slot)],
}

/// A place in a template that is filled in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Slot {
    /// An attribute of that name.
    Attribute(&'static str),
    /// A property of that name.
    Property(&'static str),
    /// One class, there or not.
    Class(&'static str),
    /// One style.
    Style(&'static str),
    /// All that is inside, as markup.
    Html,
    /// What happens at an event of that name.
    Listener(&'static str),
    /// Nodes inside, behind all that is there.
    Inside,
    /// Nodes in place of the one that stands there.
    Instead,
}

/// What stands on a screen.
pub(crate) enum Node {
    /// A text.
    Text(Cow<'static, str>),
    /// An element.
    Element(Box<Filled>),
    /// Any number, beside one another.
    List(Vec<Self>),
    /// What changes with the signals it reads.
    Live(Box<dyn Make<Self>>),
    /// Rows that stay as they are while others come and go.
    Rows(Box<dyn Make<Vec<Row>>>),
}

/// A template with what its slots are filled with, in their order.
pub(crate) struct Filled {
    template: &'static Template,
    fillings: Vec<Filling>,
}

enum Filling {
    Value(AttributeValue),
    Node(Node),
    /// Runs under the owner that was there when it was made.
    Listener(Listener, Option<Owner>),
}

type Listener = Box<dyn EventHandler>;

/// A closure that does something at an event, as [`Make`].
trait EventHandler {
    fn act(&mut self, event: web_sys::Event);
}

impl<F: FnMut(web_sys::Event)> EventHandler for F {
    fn act(&mut self, event: web_sys::Event) {
        self(event);
    }
}

/// One of many rows.
pub(crate) struct Row {
    key: String,
    make: Box<dyn FnOnce(ReadSignal<usize>) -> Node>,
}

/// A closure that makes something. A pointer to a trait of the language for closures brings the code to call it in
/// three ways; this one brings one.
pub(crate) trait Make<T> {
    /// Makes it.
    fn make(&self) -> T;
}

impl<T, F: Fn() -> T> Make<T> for F {
    fn make(&self) -> T {
        self()
    }
}

impl Filled {
    /// Nothing filled in yet.
    #[expect(
        clippy::unnecessary_box_returns,
        reason = "filled in and passed on as a pointer it is less code"
    )]
    pub(crate) fn new(template: &'static Template) -> Box<Self> {
        Box::new(Self { template, fillings: Vec::with_capacity(template.slots.len()) })
    }

    /// Fills the next slot with a value.
    pub(crate) fn value(&mut self, value: impl IntoValue) {
        self.fillings.push(Filling::Value(value.into_value()));
    }

    /// Fills the next slot, what is inside an element, with markup.
    pub(crate) fn html(&mut self, markup: impl Fn() -> Markup + 'static) {
        self.value(move || markup().into_string());
    }

    /// Fills the next slot with a node.
    pub(crate) fn child(&mut self, node: Node) {
        self.fillings.push(Filling::Node(node));
    }

    /// Fills the next slot with what happens at an event.
    pub(crate) fn listen<E>(&mut self, _: E, mut act: impl FnMut(E::EventType) + 'static)
    where
        E: EventDescriptor,
        E::EventType: JsCast,
    {
        self.listen_to_any(Box::new(move |event: web_sys::Event| act(event.unchecked_into())));
    }

    fn listen_to_any(&mut self, act: Listener) {
        self.fillings.push(Filling::Listener(act, Owner::current()));
    }
}

/// Rows of items, one for each key; a row is given its place among them. A row whose key stays is not made anew.
pub(crate) fn rows<T: 'static>(
    items: impl Fn() -> Vec<T> + 'static,
    key: impl Fn(&T) -> String + 'static,
    row: impl Fn(ReadSignal<usize>, T) -> Node + 'static,
) -> Node {
    let row = Rc::new(row);
    Node::Rows(Box::new(move || {
        let row_of = |item: T| {
            let (key, row) = (key(&item), Rc::clone(&row));
            Row { key, make: Box::new(move |k| row(k, item)) }
        };
        items().into_iter().map(row_of).collect()
    }))
}

/// What can stand on a screen.
pub(crate) trait IntoNode {
    /// As a node.
    fn into_node(self) -> Node;
}

impl IntoNode for Node {
    fn into_node(self) -> Node {
        self
    }
}

impl IntoNode for () {
    fn into_node(self) -> Node {
        Node::List(Vec::new())
    }
}

impl<N: IntoNode> IntoNode for Option<N> {
    fn into_node(self) -> Node {
        self.map_or_else(|| ().into_node(), N::into_node)
    }
}

impl<N: IntoNode> IntoNode for Vec<N> {
    fn into_node(self) -> Node {
        self.collect_node()
    }
}

impl<N: IntoNode, const K: usize> IntoNode for [N; K] {
    fn into_node(self) -> Node {
        self.collect_node()
    }
}

impl<N: IntoNode, F: Fn() -> N + 'static> IntoNode for F {
    fn into_node(self) -> Node {
        Node::Live(Box::new(move || self().into_node()))
    }
}

// What stands for itself, as a node and as what an attribute is set to.

macro_rules! signals {
    ($($kind:ident),*) => {$(
        impl<N: IntoNode + Clone + Send + Sync + 'static> IntoNode for $kind<N> {
            fn into_node(self) -> Node {
                (move || self.get()).into_node()
            }
        }

        impl<V: IntoValue + Clone + Send + Sync + 'static> IntoValue for $kind<V> {
            fn into_value(self) -> AttributeValue {
                (move || self.get()).into_value()
            }
        }
    )*};
}

signals!(Memo, RwSignal, ReadSignal);

macro_rules! written {
    ($($kind:ty),*) => {$(
        impl IntoNode for $kind {
            fn into_node(self) -> Node {
                self.to_string().into_node()
            }
        }

        impl IntoValue for $kind {
            fn into_value(self) -> AttributeValue {
                self.to_string().into_value()
            }
        }
    )*};
}

written!(usize, u8, u32, u64, i32, f64, char);

macro_rules! texts {
    ($($kind:ty),*) => {$(
        impl IntoNode for $kind {
            fn into_node(self) -> Node {
                Node::Text(self.into())
            }
        }

        impl IntoValue for $kind {
            fn into_value(self) -> AttributeValue {
                AttributeValue::Text(self.into())
            }
        }
    )*};
}

texts!(String, &'static str, Cow<'static, str>);

/// Nodes of many items, beside one another.
pub(crate) trait CollectNode {
    /// As one node.
    fn collect_node(self) -> Node;
}

impl<N: IntoNode, I: IntoIterator<Item = N>> CollectNode for I {
    fn collect_node(self) -> Node {
        Node::List(self.into_iter().map(N::into_node).collect())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ui::markup::Markup;

    fn filled(node: Node) -> Filled {
        match node {
            Node::Element(filled) => *filled,
            Node::Text(_) | Node::List(_) | Node::Live(_) | Node::Rows(_) => {
                static NONE: Template = Template { markup: "", drawing: false, slots: &[] };
                *Filled::new(&NONE)
            }
        }
    }

    /// What there is at each slot, in short.
    fn kinds(node: &Filled) -> Vec<&'static str> {
        let kind = |filling: &Filling| match filling {
            Filling::Value(AttributeValue::Absent) => "absent",
            Filling::Value(AttributeValue::Flag(_)) => "flag",
            Filling::Value(AttributeValue::Text(_)) => "text",
            Filling::Value(AttributeValue::Live(_)) => "live",
            Filling::Node(_) => "node",
            Filling::Listener(..) => "listener",
        };
        node.fillings.iter().map(kind).collect()
    }

    #[test]
    fn what_does_not_change_is_markup() {
        let node = filled(view! {
            <p class="note" hidden data-n=3>
                "a < b & \"c\""
                <br />
                <b>"d"</b>
            </p>
        });
        assert_eq!(
            node.template.markup,
            "<p class=\"note\" hidden data-n=\"3\">a &lt; b &amp; &quot;c&quot;<br><b>d</b></p>"
        );
        assert!(node.template.slots.is_empty() && node.fillings.is_empty());
    }

    // Nodes are counted as the browser counts them (DOM Living Standard, 4.2.1: tree order): elements, texts and
    // comments, from the outermost one, which is 0.
    #[test]
    fn what_changes_is_filled_in_where_it_stands() {
        let (shown, words) = (true, String::from("w"));
        let node = filled(view! {
            <div id=words>
                "one" "two"
                {"three"}
                <i class:on=shown>{4_usize}</i>
                "five"
                <input prop:value=move || "six" on:input=|_| {} />
                {None::<&str>}
            </div>
        });
        assert_eq!(
            node.template.markup, "<div>onetwo<!><i></i>five<input></div>",
            "the last one inside needs no node to stand for it"
        );
        assert_eq!(
            node.template.slots,
            [
                (2, Slot::Instead),
                (3, Slot::Inside),
                (3, Slot::Class("on")),
                (5, Slot::Property("value")),
                (5, Slot::Listener("input")),
                (0, Slot::Inside),
                (0, Slot::Attribute("id")),
            ]
        );
        assert_eq!(kinds(&node), ["node", "node", "flag", "live", "listener", "node", "text"]);
    }

    #[test]
    fn an_element_of_a_drawing_is_read_inside_one() {
        assert!(filled(view! { <g inner_html=Markup::default></g> }).template.drawing);
        assert!(!filled(view! { <svg><g></g></svg> }).template.drawing);
    }

    #[test]
    fn nothing_is_no_node_and_many_stand_side_by_side() {
        let many = |node: Node| match node {
            Node::List(nodes) => Some(nodes.len()),
            Node::Text(_) | Node::Element(_) | Node::Live(_) | Node::Rows(_) => None,
        };
        assert_eq!(many(None::<&str>.into_node()), Some(0));
        assert_eq!(many(view! { "a" {[1_usize, 2]} <p></p> }), Some(3));
    }
}
