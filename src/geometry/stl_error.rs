//! Why an STL file is not taken, and how large one may be.

/// The most triangles that are taken: twice of what a fine hull needs; a phone can still turn it.
pub const MOST_TRIANGLES: usize = 400_000;

/// The most separate surfaces that are taken.
pub const MOST_SURFACES: usize = 200;

/// Why a file is not taken. Places are in the file's own unit; triangles and lines count from 1.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum StlError {
    /// There is nothing in it.
    #[error("the file is empty: export it again")]
    EmptyFile,
    /// It is something else.
    #[error("this is not an STL file: choose STL when you export the mesh")]
    NotStl,
    /// The end of a binary file is missing.
    #[error("the file is cut short: it holds {holds} of {said} triangles; copy or export it again")]
    Truncated {
        /// Whole triangles that are there.
        holds: usize,
        /// Triangles that its header says.
        said: usize,
    },
    /// The header of a binary file says a number that has nothing to do with the file.
    #[error(
        "the header says {said} triangles, but the file has room for {holds}: it is damaged or not STL; export it again"
    )]
    HeaderCount {
        /// What the header says.
        said: usize,
        /// Triangles for which the file has the length.
        holds: usize,
    },
    /// A text file ends within a triangle.
    #[error(
        "the file is cut short: it ends at line {line}, in the middle of triangle {triangle}; \
         copy or export it again"
    )]
    CutText {
        /// The last line.
        line: usize,
        /// The triangle that is not whole.
        triangle: usize,
    },
    /// Numbers are written with a decimal comma.
    #[error("line {line} has numbers with a comma: export with decimal points, or as binary STL")]
    DecimalComma {
        /// The first such line.
        line: usize,
    },
    /// A line of a text file is not what comes there in an STL.
    #[error("line {line} cannot be read: export the mesh again, best as binary STL")]
    BadLine {
        /// The line.
        line: usize,
    },
    /// A coordinate is infinite or not a number.
    #[error("triangle {triangle} has a corner that is not a number: export the mesh again")]
    NotFinite {
        /// The triangle.
        triangle: usize,
    },
    /// It is an STL without triangles.
    #[error("the file has no triangles: select the solid when you export it")]
    NoTriangles,
    /// There are more triangles than are taken.
    #[error("the mesh has {n} triangles or more; the limit is {MOST_TRIANGLES}: export it coarser")]
    TooMany {
        /// How many were found.
        n: usize,
    },
    /// No triangle has an area.
    #[error("all {n} triangles have no area: check the scale of the export")]
    NoArea {
        /// How many triangles.
        n: usize,
    },
    /// The surface is closed but flat.
    #[error("the surface encloses no volume: give the solid a thickness and export it again")]
    NoVolume,
    /// The surface has holes.
    #[error(
        "the surface has open edges: {n}, the first from ({}, {}, {}) to ({}, {}, {}) \
         in the file's unit; close the holes and export it again",
        from[0], from[1], from[2], to[0], to[1], to[2]
    )]
    Open {
        /// How many edges have no triangle to go on with, or one that cannot face alike.
        n: usize,
        /// Where the first of them begins.
        from: [f32; 3],
        /// Where it ends.
        to: [f32; 3],
    },
    /// A surface inside another faces outwards like that one: hollow or solid is a guess.
    #[error(
        "a surface inside another one, at ({}, {}, {}) in the file's unit, does not face inwards: \
         flip it if it is a hollow, else remove it",
        at[0], at[1], at[2]
    )]
    InnerSurface {
        /// A corner of it.
        at: [f32; 3],
    },
    /// There are more separate surfaces than are taken.
    #[error(
        "the mesh has {n} separate surfaces; the limit is {MOST_SURFACES}: join the parts of the solid and export again"
    )]
    TooManySurfaces {
        /// How many.
        n: usize,
    },
}
