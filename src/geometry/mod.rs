//! Closed triangle meshes, the solids that become them, and what lies below a plane.
//!
//! Invariant: knows nothing of water, mass or boats.

mod bundle;
mod cut;
mod level;
mod mesh;
mod offset;
mod outline;
mod revolve;
mod solid;
mod split;

pub use cut::{Cut, Waterplane};
pub use level::{Level, level_of_volume, solve_level};
pub use mesh::{Bounds, Mesh, MeshError};
pub use offset::{OffsetError, offset, shell};
pub use outline::{OutlinePoint, outline};
pub use revolve::{Station, revolve};
pub use solid::{Axis, Fineness, Solid, SolidError};
pub use split::Split;
