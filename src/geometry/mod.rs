//! Closed triangle meshes, the solids that become them, and what lies below a plane.
//!
//! Invariant: knows nothing of water, mass or boats.

mod bundle;
mod checking;
mod cut;
mod edges;
mod level;
mod mend;
mod mesh;
mod moved;
mod offset;
mod outline;
mod overlap;
mod rays;
mod revolve;
mod silhouette;
mod solid;
mod split;
mod stl;
mod stl_file;
mod surface;
mod sweep;
mod view;
mod weld;

pub use checking::Checking;
pub use cut::{Cut, Waterplane};
pub use level::{Level, level_of_volume, level_of_volume_near, solve_level};
pub use mesh::{Bounds, Mesh, MeshError};
pub use offset::{OffsetError, offset, shell};
pub use outline::{OutlinePoint, outline};
pub use overlap::Overlap;
pub use revolve::{Station, revolve};
pub use silhouette::silhouette;
pub use solid::{Axis, Fineness, Solid, SolidError};
pub use split::Split;
pub use stl::{
    Imported, MOST_SURFACES, MOST_TRIANGLES, Repair, StlError, StlImport, likely_unit, read_stl,
};
