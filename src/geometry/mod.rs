//! Closed triangle meshes, the solids that become them, and what lies below a plane.
//!
//! Invariant: knows nothing of water, mass or boats.

mod bundle;
mod checking;
mod cut;
mod edges;
mod level;
mod mesh;
mod outline;
mod revolve;
mod solid;

pub use checking::Checking;
pub use cut::{Cut, Waterplane};
pub use level::{Level, level_of_volume, solve_level};
pub use mesh::{Bounds, Mesh, MeshError};
pub use outline::{OutlinePoint, outline};
pub use revolve::{Station, revolve};
pub use solid::{Axis, Fineness, Solid, SolidError};
