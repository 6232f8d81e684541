//! Small pictures of the shapes to choose from.

use crate::state::Shape;
use crate::ui::node::{Node, view};
use leptos::prelude::*;

/// A shape, drawn with a few lines on a page of 48 by 32.
#[component]
pub(crate) fn ShapePicture(
    /// Which.
    shape: Shape,
) -> Node {
    let path = match shape {
        Shape::Weight => "M16 26h16l4-13H12zM20 13a4 4 0 1 1 8 0",
        Shape::Box => "M6 12h28v14H6zM6 12l8-7h28l-8 7M42 5v14l-8 7",
        Shape::Cylinder => "M10 8a4 8 0 0 0 0 16h28a4 8 0 0 0 0-16zM38 8a4 8 0 0 0 0 16",
        Shape::Domed => "M14 8h20a9 8 0 0 1 0 16H14a9 8 0 0 1 0-16zM14 8v16M34 8v16",
        Shape::Cone => "M6 6a3 10 0 0 0 0 20l36-7a1 3 0 0 0 0-6zM6 6a3 10 0 0 1 0 20",
        Shape::Sphere => "M24 4a12 12 0 1 0 0 24a12 12 0 1 0 0-24M12 16a12 4 0 0 0 24 0",
        Shape::Ellipsoid => "M4 16a20 9 0 1 0 40 0a20 9 0 1 0-40 0M4 16a20 4 0 0 0 40 0",
        Shape::Turned => "M3 16c8-9 14-9 20-9s15 0 22 9c-7 9-16 9-22 9s-12 0-20-9M3 16h42",
        Shape::Mesh => {
            "M6 22L16 8l14-2 12 10-10 10-18 1zM16 8l-2 19M16 8l16 18M30 6l2 20M6 22l26 4"
        }
    };
    view! {
        <svg class="shape-picture" viewBox="0 0 48 32" aria-hidden="true">
            <path d=path />
        </svg>
    }
}
