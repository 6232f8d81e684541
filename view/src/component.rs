//! A component: a function of its properties.

use proc_macro2::TokenStream;
use quote::quote;
use rstml::node::{Node, NodeAttribute, NodeElement};
use syn::spanned::Spanned;

type Element = NodeElement<rstml::Infallible>;

/// The call of a component with its properties.
pub(crate) fn call(part: &Element) -> syn::Result<TokenStream> {
    let name = part.name();
    let mut properties = Vec::new();
    for attribute in part.attributes() {
        let NodeAttribute::Attribute(attribute) = attribute else {
            return Err(syn::Error::new(attribute.span(), "write a property: name=value"));
        };
        let (key, value) = (&attribute.key, crate::value(attribute)?);
        properties.push(quote! { .#key(#[allow(unused_braces)] { #value }) });
    }
    if let Some(child) = part.children.iter().find(|child| !matches!(child, Node::Comment(_))) {
        return Err(syn::Error::new(child.span(), "no component has anything inside it"));
    }
    Ok(quote! {
        ::leptos::component::component_view(
            #[allow(clippy::needless_borrows_for_generic_args)]
            &#name,
            ::leptos::component::component_props_builder(&#name)#(#properties)*.build(),
        )
    })
}
