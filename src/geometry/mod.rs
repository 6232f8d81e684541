//! Closed triangle meshes, the solids that become them, and what lies below a plane.
//!
//! Invariant: knows nothing of water, mass or boats.

mod axis;
mod bounds;
mod bundle;
mod checking;
mod corner;
mod cut;
mod edge_findings;
mod edges;
mod level;
mod mend;
mod mesh;
mod moved;
mod offset;
mod outline;
mod overlap;
mod rays;
mod repair;
mod revolve;
mod silhouette;
mod solid;
mod split;
mod stl;
mod stl_error;
mod stl_file;
mod surface;
mod view;
mod weld;

pub use axis::Axis;
pub use bounds::Bounds;
pub use checking::{Checking, MeshError};
pub use cut::{Cut, Waterplane};
pub use level::{Level, level_of_volume, level_of_volume_near, solve_level};
pub use mesh::Mesh;
pub use offset::{OffsetError, offset, offset_with, shell, shell_with};
pub use outline::{outline, outline_with};
pub use overlap::Overlap;
pub use repair::Repair;
pub use revolve::{Station, revolve};
pub use silhouette::{OutlinePoint, silhouette};
pub use solid::{Fineness, Solid, SolidError};
pub use split::Split;
pub use stl::{Imported, StlImport, likely_unit, read_stl};
pub use stl_error::{MOST_SURFACES, MOST_TRIANGLES, StlError};
