//! `view!`: markup in Rust, written as Leptos writes it.
//!
//! Leptos makes a type of its own for every element, and the code to build, change and remove it with each. Here
//! what never changes becomes one text that the browser reads once and copies, and only what does change becomes
//! code: the app is a quarter lighter by it. What is made is `crate::ui::node::Node`.

mod component;
mod element;

use proc_macro2::TokenStream;
use quote::quote;
use rstml::node::{KeyedAttribute, KeyedAttributeValue, Node, NodeName};
use syn::spanned::Spanned;

/// Makes a node of markup: elements in small letters, components with a capital, texts in quotes, everything else
/// in braces.
///
/// An attribute is a literal, or any value, closure or memo that `IntoValue` takes; `on:` listens to an event,
/// `prop:` sets a property, `class:` and `style:` one class and one style, `inner_html` what is inside. Braces
/// hold what `IntoNode` takes.
#[proc_macro]
pub fn view(tokens: proc_macro::TokenStream) -> proc_macro::TokenStream {
    expand(tokens.into()).unwrap_or_else(syn::Error::into_compile_error).into()
}

fn expand(tokens: TokenStream) -> syn::Result<TokenStream> {
    let nodes = rstml::Parser::new(rstml::ParserConfig::default()).parse_simple(tokens)?;
    let nodes = many(&nodes)?;
    Ok(quote! { { #[allow(unused_braces, reason = "as they stand in the markup")] { #nodes } } })
}

/// Nodes beside one another.
fn many(nodes: &[Node]) -> syn::Result<TokenStream> {
    let nodes = nodes.iter().filter(|node| !matches!(node, Node::Comment(_)));
    let mut nodes = nodes.map(one).collect::<syn::Result<Vec<_>>>()?;
    Ok(match nodes.len() {
        1 => nodes.remove(0),
        _ => quote! { crate::ui::node::Node::List(::std::vec![#(#nodes),*]) },
    })
}

fn one(node: &Node) -> syn::Result<TokenStream> {
    match node {
        Node::Element(part) if is_component(part.name()) => component::call(part),
        Node::Element(part) => element::build(part),
        Node::Fragment(part) => many(&part.children),
        Node::Block(block) => Ok(quote! { crate::ui::node::IntoNode::into_node(#block) }),
        Node::Text(text) => {
            let text = &text.value;
            Ok(quote! { crate::ui::node::IntoNode::into_node(#text) })
        }
        other => Err(syn::Error::new(other.span(), "write an element, a text in quotes or {…}")),
    }
}

/// A component's name begins with a capital, or is a path to one that does.
fn is_component(name: &NodeName) -> bool {
    match name {
        NodeName::Path(path) => {
            let last = path.path.segments.last().map(|part| part.ident.to_string());
            last.is_some_and(|name| name.starts_with(char::is_uppercase))
        }
        _ => false,
    }
}

/// What an attribute is set to: without a value a component is given the variable of that name.
fn value(attribute: &KeyedAttribute) -> syn::Result<TokenStream> {
    match (&attribute.possible_value, attribute.value()) {
        (_, Some(expr)) => Ok(quote! { #expr }),
        (KeyedAttributeValue::None, None) => {
            let name = &attribute.key;
            Ok(quote! { #name })
        }
        (_, None) => Err(syn::Error::new(attribute.key.span(), "write a value: name=value")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn refused(tokens: TokenStream) -> String {
        expand(tokens).map_or_else(|why| why.to_string(), |made| format!("made: {made}"))
    }

    // HTML Living Standard, 13.2.6.4.7, "in body": a start tag of these closes an open p element.
    #[test]
    fn what_the_browser_would_move_is_refused() {
        let why = refused(quote! { <p>"one"<div></div></p> });
        assert!(why.contains("<div>"), "{why}");
        let why = refused(quote! { <p><span><ul></ul></span></p> });
        assert!(why.contains("<ul>"), "{why}");
        // 13.2.6.4.9, "in table": a tr there gets a tbody around it, which the slots would not count.
        let why = refused(quote! { <table><tr></tr></table> });
        assert!(why.contains("<tr>"), "{why}");
        assert!(refused(quote! { <table><tbody><tr></tr></tbody></table> }).starts_with("made"));
        assert!(refused(quote! { <div><p></p></div> }).starts_with("made"));
    }

    #[test]
    fn what_is_no_markup_is_refused_with_what_to_write() {
        assert!(refused(quote! { <p {..more}></p> }).contains("name=value"));
        assert!(refused(quote! { <p bind:value=text></p> }).contains("no such kind"));
        assert!(refused(quote! { <Part {..more} /> }).contains("name=value"));
    }

    #[test]
    fn more_nodes_than_can_be_counted_are_refused() {
        let of = |n: usize| {
            let parts = (1..n).map(|_| quote! { <br /> });
            refused(quote! { <div>#(#parts)*</div> })
        };
        assert!(of(255).starts_with("made"));
        assert!(of(256).contains("255"), "{}", of(256));
    }
}
