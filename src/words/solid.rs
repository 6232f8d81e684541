//! Why a solid cannot be made, in words.

use super::mesh::mesh;
use super::speech::figure;
use super::t;
use crate::words::word;
use trimwright::geometry::SolidError;

/// Why a solid cannot be made.
pub(crate) fn solid(problem: &SolidError) -> String {
    match problem {
        SolidError::BadSize { name, value } => {
            t!("solid.bad_size", size = size(name), value = figure(*value))
        }
        SolidError::BadPlace => t!("solid.bad_place"),
        SolidError::DomesTooLong { dome, length } => {
            t!("solid.domes_too_long", dome = figure(*dome), length = figure(*length))
        }
        SolidError::BadTable { line } => t!("solid.bad_table", line = line),
        SolidError::Mesh(problem) => mesh(problem),
    }
}

/// A size by the name that the core has for it.
fn size(name: &str) -> String {
    t!(match name {
        "the length" => word!("solid.the_length"),
        "the width" => word!("solid.the_width"),
        "the height" => word!("solid.the_height"),
        "the diameter" => word!("solid.the_diameter"),
        "the dome" => word!("solid.the_dome"),
        "the after diameter" => word!("solid.the_after_diameter"),
        "the forward diameter" => word!("solid.the_forward_diameter"),
        "the larger diameter" => word!("solid.the_larger_diameter"),
        _ => word!("solid.a_size"),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::words::says_as_the_core;
    use trimwright::geometry::MeshError;

    #[test]
    fn english_is_as_the_core_says_it() {
        let bad = |name| SolidError::BadSize { name, value: -0.1 };
        says_as_the_core(
            solid,
            [
                bad("the length"),
                bad("the width"),
                bad("the height"),
                bad("the diameter"),
                bad("the dome"),
                bad("the after diameter"),
                bad("the forward diameter"),
                bad("the larger diameter"),
                SolidError::BadPlace,
                SolidError::DomesTooLong { dome: 0.03, length: 0.05 },
                SolidError::BadTable { line: 4 },
                SolidError::Mesh(MeshError::NotHere),
            ],
        );
    }
}
