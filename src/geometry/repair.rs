//! What was mended in the mesh of a file.

use std::fmt;

/// What was mended in a file, or is worth knowing about it.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum Repair {
    /// Triangles without area were left out.
    NoAreaLeftOut {
        /// How many.
        n: usize,
    },
    /// Triangles that were there before were left out.
    TwiceLeftOut {
        /// How many.
        n: usize,
    },
    /// Corners that nearly met were joined to close the surface.
    Joined {
        /// How many.
        n: usize,
        /// How far apart they were at most, in the file's unit.
        within: f64,
    },
    /// Triangles that faced the other way than their neighbours were turned.
    Turned {
        /// How many.
        n: usize,
    },
    /// Surfaces were inside out and were turned.
    InsideOut {
        /// How many.
        n: usize,
        /// Of how many.
        of: usize,
    },
    /// The mesh consists of several surfaces; nothing was changed.
    Surfaces {
        /// How many.
        n: usize,
        /// How many of them bound a hollow inside another.
        n_hollows: usize,
    },
}

impl fmt::Display for Repair {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let triangles = |n: usize| if n == 1 { "triangle" } else { "triangles" };
        match *self {
            Self::NoAreaLeftOut { n } => {
                write!(f, "{n} {} without area left out", triangles(n))
            }
            Self::TwiceLeftOut { n } => {
                write!(f, "{n} {} left out that were there already", triangles(n))
            }
            Self::Joined { n, within } => {
                write!(f, "{n} corners joined to others less than {within:.1e} away")
            }
            Self::Turned { n } => {
                write!(f, "{n} {} flipped to match the rest", triangles(n))
            }
            Self::InsideOut { n: 1, of: 1 } => write!(f, "the mesh was inside out: turned"),
            Self::InsideOut { n, of } => {
                write!(f, "{n} of {of} surfaces were inside out: turned")
            }
            Self::Surfaces { n, n_hollows: 0 } => {
                write!(f, "{n} separate solids; where they overlap, the volume counts twice")
            }
            Self::Surfaces { n, n_hollows } => {
                write!(f, "{n} surfaces, {n_hollows} of them around a hollow inside")
            }
        }
    }
}
