//! An element in the page: a copy of its template, with what was filled in.

use super::following::Following;
use super::state::{NodeState, take_out};
use super::value::AttributeValue;
use super::{Filled, Filling, Listener, Slot, Template};
use leptos::prelude::{Owner, document};
use leptos::wasm_bindgen::closure::Closure;
use leptos::wasm_bindgen::{JsCast, JsValue};
use std::cell::RefCell;
use std::collections::HashMap;
use std::ptr;
use std::rc::Rc;

/// An element that was made from a template.
pub(super) struct BuiltElement {
    pub(super) element: web_sys::Element,
    template: &'static Template,
    slots: Vec<SlotState>,
}

struct SlotState {
    node: web_sys::Node,
    content: Content,
}

enum Content {
    Fixed(AttributeValue),
    /// Only kept: it ends when this is dropped.
    Live {
        _value: Following<AttributeValue>,
    },
    Node(NodeState),
    Listener(Rc<RefCell<Heard>>),
}

/// What runs at an event, under the owner that it was made under.
struct Heard {
    act: Listener,
    owner: Option<Owner>,
}

impl Filled {
    pub(super) fn is_like(&self, built: &BuiltElement) -> bool {
        ptr::eq(self.template, built.template)
    }

    pub(super) fn build(self) -> BuiltElement {
        let element = self.template.copy();
        let nodes = self.template.nodes(&element);
        let slots = self.template.slots.iter().zip(self.fillings);
        let slots = slots
            .map(|(&(at, slot), filling)| {
                let node = nodes.get(usize::from(at)).unwrap_or(&element).clone().into();
                SlotState { content: filling.fill(&node, slot), node }
            })
            .collect();
        BuiltElement { element, template: self.template, slots }
    }

    pub(super) fn update(self, built: &mut BuiltElement) {
        let slots = built.template.slots.iter().zip(self.fillings).zip(&mut built.slots);
        for ((&(_, slot), filling), state) in slots {
            match (filling, &mut state.content) {
                (Filling::Node(node), Content::Node(state)) => node.update(state),
                (Filling::Listener(act, owner), Content::Listener(heard)) => {
                    *heard.borrow_mut() = Heard { act, owner };
                }
                (Filling::Value(value), Content::Fixed(before)) if !value.is_live() => {
                    if !value.is_like(before) {
                        value.set(&state.node, slot);
                    }
                    *before = value;
                }
                (filling, content) => *content = filling.fill(&state.node, slot),
            }
        }
    }
}

impl Filling {
    fn fill(self, node: &web_sys::Node, slot: Slot) -> Content {
        match self {
            Self::Value(AttributeValue::Live(value)) => {
                let node = node.clone();
                Content::Live {
                    _value: Following::new(move |before: Option<AttributeValue>| {
                        let value = value.make().settled();
                        if before.is_none_or(|before| !value.is_like(&before)) {
                            value.set(&node, slot);
                        }
                        value
                    }),
                }
            }
            Self::Value(value) => {
                value.set(node, slot);
                Content::Fixed(value)
            }
            Self::Node(child) => {
                let state = child.build();
                if slot == Slot::Instead {
                    state.mount_before(node);
                    take_out(node);
                } else {
                    state.mount(node, None);
                }
                Content::Node(state)
            }
            Self::Listener(act, owner) => {
                let heard = Rc::new(RefCell::new(Heard { act, owner }));
                if let Slot::Listener(event) = slot {
                    listen(node, event, Rc::clone(&heard));
                }
                Content::Listener(heard)
            }
        }
    }
}

/// The browser keeps what it calls for as long as the node.
fn listen(node: &web_sys::Node, event: &str, heard: Rc<RefCell<Heard>>) {
    let called = Closure::<dyn FnMut(web_sys::Event)>::new(move |event| {
        // One that is in the midst of its event is not called for another.
        let Ok(mut heard) = heard.try_borrow_mut() else { return };
        let Heard { act, owner } = &mut *heard;
        match owner {
            Some(owner) => owner.with(|| act.act(event)),
            None => act.act(event),
        }
    });
    let _added =
        node.add_event_listener_with_callback(event, called.into_js_value().unchecked_ref());
}

impl AttributeValue {
    fn is_live(&self) -> bool {
        matches!(self, Self::Live(_))
    }

    /// What it is now, where it was a closure's.
    fn settled(self) -> Self {
        match self {
            Self::Live(value) => value.make().settled(),
            other => other,
        }
    }

    fn is_like(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Absent, Self::Absent) => true,
            (Self::Flag(a), Self::Flag(b)) => a == b,
            (Self::Text(a), Self::Text(b)) => a == b,
            _ => false,
        }
    }

    fn text(&self) -> Option<&str> {
        match self {
            Self::Text(text) => Some(text),
            Self::Flag(true) => Some(""),
            _ => None,
        }
    }

    /// Sets it. What the browser cannot set it leaves as it is.
    fn set(&self, node: &web_sys::Node, slot: Slot) {
        let element = node.unchecked_ref::<web_sys::Element>();
        match slot {
            Slot::Attribute(name) => {
                let _set = match self.text() {
                    Some(text) => element.set_attribute(name, text),
                    None => element.remove_attribute(name),
                };
            }
            Slot::Property(name) => {
                let value = match self {
                    Self::Flag(flag) => JsValue::from_bool(*flag),
                    other => other.text().map_or(JsValue::UNDEFINED, JsValue::from_str),
                };
                let _set = js_sys::Reflect::set(element, &JsValue::from_str(name), &value);
            }
            Slot::Class(name) => {
                let _set = element.class_list().toggle_with_force(name, self.text().is_some());
            }
            Slot::Style(name) => {
                let style = element.unchecked_ref::<web_sys::HtmlElement>().style();
                let _set = style.set_property(name, self.text().unwrap_or_default());
            }
            Slot::Html => element.set_inner_html(self.text().unwrap_or_default()),
            Slot::Listener(_) | Slot::Inside | Slot::Instead => {}
        }
    }
}

thread_local! {
    /// The templates that were needed so far, as the browser has read them.
    static READ: RefCell<HashMap<*const Template, web_sys::Element>> = RefCell::default();
}

impl Template {
    /// An element of its own.
    fn copy(&'static self) -> web_sys::Element {
        let read = READ.with_borrow_mut(|read| {
            read.entry(ptr::from_ref(self)).or_insert_with(|| self.read()).clone()
        });
        read.clone_node_with_deep(true).map_or(read, JsCast::unchecked_into)
    }

    fn read(&self) -> web_sys::Element {
        let read = document().create_element("template").ok().and_then(|template| {
            if self.drawing {
                template.set_inner_html(&["<svg>", self.markup, "</svg>"].concat());
            } else {
                template.set_inner_html(self.markup);
            }
            let content = template.unchecked_into::<web_sys::HtmlTemplateElement>().content();
            let first = content.first_element_child()?;
            if self.drawing { first.first_element_child() } else { Some(first) }
        });
        read.expect("a template holds an element")
    }

    /// The nodes in it as far as slots need them, in the order of the markup.
    fn nodes(&self, element: &web_sys::Element) -> Vec<web_sys::Element> {
        let last = self.slots.iter().map(|&(at, _)| at).max().unwrap_or(0);
        let mut nodes = vec![element.clone()];
        if last > 0
            && let Ok(walk) = document().create_tree_walker(element)
        {
            while nodes.len() <= usize::from(last) {
                let Ok(Some(node)) = walk.next_node() else { break };
                nodes.push(node.unchecked_into());
            }
        }
        nodes
    }
}
