//! The corners of triangles as a file has them.

/// A corner as the file has it.
pub(super) type Corner = [f32; 3];

/// True if two of the corners are one.
pub(super) fn is_collapsed([a, b, c]: [u32; 3]) -> bool {
    a == b || b == c || c == a
}
