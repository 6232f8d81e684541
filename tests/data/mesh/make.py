"""Writes the STL files of this folder and expected.json beside them (see README.md).

Volume, centroid and inertia are trimesh's, in double precision, of the single-precision
coordinates that the file holds.
"""

import json
import math
from pathlib import Path

import numpy as np
import trimesh

FOLDER = Path(__file__).parent


def sphere():
    return trimesh.creation.icosphere(subdivisions=4, radius=50.0)


def torus():
    return trimesh.creation.torus(60.0, 18.0, major_sections=60, minor_sections=30)


def section(x, half_length, half_beam, height, foot, n_around):
    """A closed ring of points at x: an oval that narrows towards both ends."""
    fullness = math.sqrt(max(0.0, 1.0 - (x / half_length) ** 2)) ** 1.4
    angles = np.arange(n_around) * (2.0 * math.pi / n_around)
    y = half_beam * fullness * np.cos(angles)
    z = foot + height * 0.5 * fullness * np.sin(angles)
    return np.column_stack([np.full(n_around, x), y, z])


def loft(rings, ends):
    """Joins rings of points by triangles, and closes the ends at a point each."""
    n_around = len(rings[0])
    points = np.vstack(rings + [np.array([end]) for end in ends])
    first, last = len(points) - 2, len(points) - 1
    faces = []
    for k in range(len(rings) - 1):
        a, b = k * n_around, (k + 1) * n_around
        for i in range(n_around):
            j = (i + 1) % n_around
            faces += [[a + i, a + j, b + j], [a + i, b + j, b + i]]
    tail = (len(rings) - 1) * n_around
    for i in range(n_around):
        j = (i + 1) % n_around
        faces += [[first, j, i], [last, tail + i, tail + j]]
    return points, np.array(faces)


def hull():
    """A lofted hull, 640 mm long, with a sail drawn up out of its back.

    One surface: the points of the back that lie under the sail are lifted.
    """
    n_around = 36
    places = [320.0 * math.sin(math.pi / 2 * t) for t in np.linspace(-0.985, 0.985, 45)]
    places += [20.0, 21.0, 98.0, 99.0]
    places = sorted(places)
    rings = [section(x, 322.0, 41.0, 88.0, 0.0, n_around) for x in places]
    for ring, x in zip(rings, places):
        if 20.5 < x < 98.5:
            back = np.abs(ring[:, 1]) < 13.0
            back &= ring[:, 2] > 0.0
            ring[back, 2] += 47.0
    points, faces = loft(rings, [[-322.0, 0.0, 0.0], [322.0, 0.0, 0.0]])
    # Off the middle and askew, so that no moment is zero.
    points[:, 1] += 3.0 + 0.01 * points[:, 0]
    points[:, 2] += 12.0
    mesh = trimesh.Trimesh(points, faces, process=False)
    trimesh.repair.fix_normals(mesh)
    return mesh


def write(name, mesh, text=False):
    binary = FOLDER / f"{name}.stl"
    binary.write_bytes(trimesh.exchange.stl.export_stl(mesh))
    if text:
        words = trimesh.exchange.stl.export_stl_ascii(mesh)
        (FOLDER / f"{name}_text.stl").write_text(words + "\n")
    read = trimesh.load(binary)
    assert read.is_watertight and read.is_winding_consistent and read.volume > 0, name
    assert len(read.faces) == len(mesh.faces), name
    return {
        "n_triangles": len(read.faces),
        "volume": float(read.volume),
        "centroid": read.center_mass.tolist(),
        "inertia": read.moment_inertia.tolist(),
    }


def main():
    expected = {
        "sphere": write("sphere", sphere()),
        "torus": write("torus", torus(), text=False),
        "hull": write("hull", hull()),
        "ball": write("ball", trimesh.creation.icosphere(subdivisions=2, radius=20.0), text=True),
    }
    (FOLDER / "expected.json").write_text(json.dumps(expected, indent=1) + "\n")


if __name__ == "__main__":
    main()
