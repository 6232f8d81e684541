//! Why a mesh file is not taken, and what was mended in one that is, in words.

use super::mesh::place;
use super::speech::speech;
use super::t;
use crate::words::{Word, word};
use trimwright::geometry::{MOST_SURFACES, MOST_TRIANGLES, Repair, StlError};

/// Why a mesh file is not taken.
pub(crate) fn stl(problem: &StlError) -> String {
    match problem {
        StlError::EmptyFile => t!("stl.empty_file"),
        StlError::NotStl => t!("stl.not_stl"),
        StlError::Truncated { holds, said } => t!("stl.truncated", holds = holds, said = said),
        StlError::HeaderCount { said, holds } => {
            t!("stl.header_count", said = said, holds = holds)
        }
        StlError::CutText { line, triangle } => {
            t!("stl.cut_text", line = line, triangle = triangle)
        }
        StlError::DecimalComma { line } => t!("stl.decimal_comma", line = line),
        StlError::BadLine { line } => t!("stl.bad_line", line = line),
        StlError::NotFinite { triangle } => t!("stl.not_finite", triangle = triangle),
        StlError::NoTriangles => t!("stl.no_triangles"),
        StlError::TooMany { n } => t!("stl.too_many", count = n, most = MOST_TRIANGLES),
        StlError::NoArea { n } => t!("stl.no_area", count = n),
        StlError::NoVolume => t!("stl.no_volume"),
        StlError::Open { n, from, to } => {
            t!("stl.open", count = n, from = place(*from), to = place(*to))
        }
        StlError::InnerSurface { at } => t!("stl.inner_surface", place = place(*at)),
        StlError::TooManySurfaces { n } => {
            t!("stl.too_many_surfaces", count = n, most = MOST_SURFACES)
        }
        // The core may learn of others before this does.
        _ => t!("stl.other"),
    }
}

/// What was mended in a file, or is worth knowing about it.
pub(crate) fn repair(note: &Repair) -> String {
    let counted =
        |n: usize, [one, other]: [Word; 2]| t!(if n == 1 { one } else { other }, count = n);
    match *note {
        Repair::NoAreaLeftOut { n } => {
            counted(n, [word!("stl.no_area_left_out_one"), word!("stl.no_area_left_out_other")])
        }
        Repair::TwiceLeftOut { n } => {
            counted(n, [word!("stl.twice_left_out_one"), word!("stl.twice_left_out_other")])
        }
        Repair::Joined { n, within } => {
            t!(
                "stl.joined",
                count = n,
                within = speech().decimal.with_mark(&format!("{within:.1e}"))
            )
        }
        Repair::Turned { n } => counted(n, [word!("stl.turned_one"), word!("stl.turned_other")]),
        Repair::InsideOut { n: 1, of: 1 } => t!("stl.inside_out_whole"),
        Repair::InsideOut { n, of } => t!("stl.inside_out", count = n, of = of),
        Repair::Surfaces { n, n_hollows: 0 } => t!("stl.solids", count = n),
        Repair::Surfaces { n, n_hollows } => t!("stl.surfaces", count = n, hollows = n_hollows),
        // The core may learn of others before this does.
        _ => t!("stl.other_note"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::words::says_as_the_core;

    #[test]
    fn english_is_as_the_core_says_it() {
        says_as_the_core(
            stl,
            [
                StlError::EmptyFile,
                StlError::NotStl,
                StlError::Truncated { holds: 3, said: 12 },
                StlError::HeaderCount { said: 900, holds: 12 },
                StlError::CutText { line: 8, triangle: 1 },
                StlError::DecimalComma { line: 4 },
                StlError::BadLine { line: 2 },
                StlError::NotFinite { triangle: 5 },
                StlError::NoTriangles,
                StlError::TooMany { n: 500_000 },
                StlError::NoArea { n: 12 },
                StlError::NoVolume,
                StlError::Open { n: 2, from: [0.0, 1.5, -2.0], to: [3.0, 4.25, 5.0] },
                StlError::InnerSurface { at: [0.5, -1.0, 2.0] },
                StlError::TooManySurfaces { n: 300 },
            ],
        );
        says_as_the_core(
            repair,
            [
                Repair::NoAreaLeftOut { n: 1 },
                Repair::NoAreaLeftOut { n: 2 },
                Repair::TwiceLeftOut { n: 1 },
                Repair::TwiceLeftOut { n: 3 },
                Repair::Joined { n: 4, within: 0.000_12 },
                Repair::Turned { n: 1 },
                Repair::Turned { n: 6 },
                Repair::InsideOut { n: 1, of: 1 },
                Repair::InsideOut { n: 1, of: 2 },
                Repair::Surfaces { n: 2, n_hollows: 0 },
                Repair::Surfaces { n: 3, n_hollows: 1 },
            ],
        );
    }
}
