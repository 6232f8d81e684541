//! Why triangles make no solid, and why a surface cannot be moved, in words.

use super::speech::figure;
use super::t;
use trimwright::geometry::{MeshError, OffsetError};

/// A place in its three figures.
pub(super) fn place(place: [impl Into<f64>; 3]) -> String {
    let [x, y, z] = place.map(|axis| figure(axis.into()));
    t!("mesh.place", x = x, y = y, z = z)
}

/// Why triangles are not a solid.
pub(crate) fn mesh(problem: &MeshError) -> String {
    match problem {
        MeshError::Empty => t!("mesh.empty"),
        MeshError::NotFinite { vertex } => t!("mesh.not_finite", vertex = vertex),
        MeshError::MissingVertex { face, vertex, n_vertices } => {
            t!("mesh.missing_vertex", face = face, vertex = vertex, count = n_vertices)
        }
        MeshError::Collapsed { face } => t!("mesh.collapsed", face = face),
        MeshError::Open { from, to } => t!("mesh.open", from = place(*from), to = place(*to)),
        MeshError::InsideOut { volume } => t!("mesh.inside_out", volume = figure(*volume)),
        MeshError::NotHere => t!("mesh.not_here"),
        MeshError::NoVolume => t!("mesh.no_volume"),
        MeshError::TooMany { n_faces } => t!("mesh.too_many", count = n_faces),
    }
}

/// Why a surface cannot be moved that far.
pub(crate) fn offset(problem: &OffsetError) -> String {
    match problem {
        OffsetError::NotANumber(by) => t!("mesh.by_no_number", by = figure(*by)),
        OffsetError::BadWall(wall) => t!("mesh.bad_wall", wall = figure(*wall)),
        OffsetError::TooThick { wall } => t!("mesh.too_thick", wall = millimetres(*wall)),
        OffsetError::Folded { by } => t!("mesh.folded", by = millimetres(*by)),
        OffsetError::Mesh(problem) => mesh(problem),
    }
}

/// To a thousandth, so that 0.0033 m reads 3.3.
fn millimetres(metres: f64) -> String {
    figure((metres * 1e6).round() / 1e3)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::words::says_as_the_core;

    #[test]
    fn english_is_as_the_core_says_it() {
        says_as_the_core(
            mesh,
            [
                MeshError::Empty,
                MeshError::NotFinite { vertex: 3 },
                MeshError::MissingVertex { face: 1, vertex: 9, n_vertices: 8 },
                MeshError::Collapsed { face: 7 },
                MeshError::Open { from: [0.0, -0.1, 0.25], to: [1.0, 2.0, 3.5] },
                MeshError::InsideOut { volume: -0.5 },
                MeshError::NotHere,
                MeshError::NoVolume,
                MeshError::TooMany { n_faces: 5_000_000 },
            ],
        );
        says_as_the_core(
            offset,
            [
                OffsetError::NotANumber(f64::INFINITY),
                OffsetError::BadWall(-0.5),
                OffsetError::TooThick { wall: 0.0033 },
                OffsetError::Folded { by: 0.0005 },
                OffsetError::Mesh(MeshError::NoVolume),
            ],
        );
    }
}
