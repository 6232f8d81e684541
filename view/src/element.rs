//! An element: its markup and the slots in it.

use proc_macro2::{Span, TokenStream};
use quote::quote;
use rstml::node::{KeyedAttribute, KeyedAttributeValue, Node, NodeAttribute, NodeElement};
use syn::Ident;
use syn::spanned::Spanned;

type Element = NodeElement<rstml::Infallible>;

/// Elements without an end.
const VOID: [&str; 8] = ["area", "br", "col", "hr", "img", "input", "link", "wbr"];
/// Elements of drawings, which the browser reads only inside one.
const DRAWING: [&str; 13] = [
    "circle", "clipPath", "defs", "ellipse", "g", "line", "path", "pattern", "polygon", "polyline",
    "rect", "text", "use",
];
/// What ends a paragraph when it begins inside it, so that the browser would read it beside it.
const BLOCKS: [&str; 18] = [
    "details", "div", "dl", "fieldset", "figure", "footer", "form", "h1", "h2", "h3", "header",
    "main", "nav", "ol", "p", "section", "table", "ul",
];

/// The node for an element and all elements in it.
pub(crate) fn build(part: &Element) -> syn::Result<TokenStream> {
    let mut template = ElementBuilder::default();
    template.element(part, &[])?;
    let ElementBuilder { markup, slots, .. } = template;
    let (slots, fillings): (Vec<_>, Vec<_>) = slots.into_iter().unzip();
    let drawing = DRAWING.contains(&part.name().to_string().as_str());
    // A name that no expression of the caller's can mean.
    let filled = Ident::new("filled", Span::mixed_site());
    Ok(quote! {
        {
            static TEMPLATE: crate::ui::node::Template = crate::ui::node::Template {
                markup: #markup,
                drawing: #drawing,
                slots: &[#(#slots),*],
            };
            #[allow(unused_mut, reason = "without slots")]
            let mut #filled = crate::ui::node::Filled::new(&TEMPLATE);
            #(#filled.#fillings;)*
            crate::ui::node::Node::Element(#filled)
        }
    })
}

/// What is collected on the way through an element.
#[derive(Default)]
struct ElementBuilder {
    markup: String,
    /// Each slot, and the call that fills it.
    slots: Vec<(TokenStream, TokenStream)>,
    /// Nodes so far, in the order of the markup: the place of the last one, plus one.
    nodes: u8,
}

impl ElementBuilder {
    fn element(&mut self, part: &Element, around: &[&str]) -> syn::Result<()> {
        let tag = part.name().to_string();
        can_stand_in(&tag, around, part.name().span())?;
        let here = self.node(part.name().span())?;
        let before = self.slots.len();
        self.markup.extend(["<", &tag]);
        for attribute in part.attributes() {
            match attribute {
                NodeAttribute::Attribute(attribute) => self.attribute(here, attribute)?,
                NodeAttribute::Block(block) => {
                    return Err(syn::Error::new(block.span(), "write an attribute: name=value"));
                }
            }
        }
        self.markup.push('>');
        if VOID.contains(&tag.as_str()) {
            return Ok(());
        }
        let attributes = self.slots.len() - before;
        self.children(here, &part.children, &[around, &[tag.as_str()]].concat())?;
        // What is inside comes first, as in Leptos: a name that both use is cloned inside and moved by the element.
        self.slots[before..].rotate_left(attributes);
        self.markup.extend(["</", &tag, ">"]);
        Ok(())
    }

    fn attribute(&mut self, here: u8, attribute: &KeyedAttribute) -> syn::Result<()> {
        let name = attribute.key.to_string();
        let literal = attribute.value_literal_string();
        let is_flag = matches!(attribute.possible_value, KeyedAttributeValue::None);
        let (kind, name) = match name.split_once(':') {
            Some(("on", event)) => {
                let event_type = Ident::new(event, attribute.key.span());
                let value = crate::value(attribute)?;
                self.slot(
                    here,
                    quote! { Listener(#event) },
                    quote! { listen(::leptos::ev::#event_type, #value) },
                );
                return Ok(());
            }
            Some(("prop", name)) => (quote! { Property }, name),
            Some(("class", name)) => (quote! { Class }, name),
            Some(("style", name)) => (quote! { Style }, name),
            None if name == "inner_html" => {
                let value = crate::value(attribute)?;
                self.slot(here, quote! { Html }, quote! { html(#value) });
                return Ok(());
            }
            None if is_flag => {
                self.markup.extend([" ", &name]);
                return Ok(());
            }
            None => match literal {
                Some(text) => {
                    self.markup.extend([" ", &name, "=\"", &escaped(&text), "\""]);
                    return Ok(());
                }
                None => (quote! { Attribute }, name.as_str()),
            },
            Some(_) => {
                return Err(syn::Error::new(attribute.key.span(), "no such kind of attribute"));
            }
        };
        let value = crate::value(attribute)?;
        self.slot(here, quote! { #kind(#name) }, quote! { value(#value) });
        Ok(())
    }

    fn children(&mut self, here: u8, children: &[Node], around: &[&str]) -> syn::Result<()> {
        let mut after_text = false;
        let last = children.iter().rposition(|child| !matches!(child, Node::Comment(_)));
        for (k, child) in children.iter().enumerate() {
            match child {
                Node::Comment(_) => continue,
                Node::Text(text) if text.value_string().is_empty() => continue,
                Node::Text(text) => {
                    // Texts side by side are one node to the browser.
                    if !after_text {
                        self.node(text.span())?;
                    }
                    self.markup.push_str(&escaped(&text.value_string()));
                }
                Node::Element(part) if !crate::is_component(part.name()) => {
                    self.element(part, around)?;
                }
                other => {
                    let child = crate::one(other)?;
                    let kind = if Some(k) == last {
                        self.slot(here, quote! { Inside }, quote! { child(#child) });
                        continue;
                    } else {
                        self.markup.push_str("<!>");
                        quote! { Instead }
                    };
                    let here = self.node(other.span())?;
                    self.slot(here, kind, quote! { child(#child) });
                }
            }
            after_text = matches!(child, Node::Text(_));
        }
        Ok(())
    }

    /// One node more in the markup; its place.
    fn node(&mut self, span: Span) -> syn::Result<u8> {
        let here = self.nodes;
        self.nodes =
            here.checked_add(1).ok_or_else(|| syn::Error::new(span, "more than 255 nodes"))?;
        Ok(here)
    }

    fn slot(&mut self, here: u8, kind: TokenStream, filling: TokenStream) {
        self.slots.push((quote! { (#here, crate::ui::node::Slot::#kind) }, filling));
    }
}

/// Whether the browser reads an element inside those around it as it is written.
fn can_stand_in(tag: &str, around: &[&str], span: Span) -> syn::Result<()> {
    let parent = around.last().copied().unwrap_or_default();
    let moved = match tag {
        "tr" => parent == "table",
        "button" | "form" | "a" => around.contains(&tag),
        _ => BLOCKS.contains(&tag) && around.contains(&"p"),
    };
    if moved {
        return Err(syn::Error::new(
            span,
            format!("the browser takes <{tag}> out of what it stands in here"),
        ));
    }
    Ok(())
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('"', "&quot;")
}
