"""Draws boats of solids that lie inside one another, and measures their unions.

    python make.py > boats.json

Needs trimesh and manifold3d. Lengths are drawn and written in millimetres, volumes in cubic metres.
"""

import json
import math
import random

import numpy as np
import trimesh

SEED = 20261130
BOATS = 300
CORNERS = 96  # around a circle
BALL = 32  # from pole to pole
# What is drawn sticks out of its holder by none at all, or by so much, mm, and so large a share.
CLEAR = 4.0
SHARE = 0.03
# What is in two solids is at least so much, mm3.
LEAST = 2000.0


def circle_factor():
    """By which a polygon has the area of its circle."""
    angle = 2 * math.pi / CORNERS
    return math.sqrt(angle / math.sin(angle))


def scaled_to(mesh, volume):
    mesh.apply_scale((volume / mesh.volume) ** (1 / 3))
    return mesh


def mesh_of(part):
    kind, size, at = part["kind"], part["size"], part["at"]
    if kind == "box":
        mesh = trimesh.creation.box(size)
    elif kind == "ball":
        (d,) = size
        mesh = trimesh.creation.uv_sphere(d / 2, count=[BALL, CORNERS])
        scaled_to(mesh, math.pi / 6 * d**3)
    else:
        length, d = size
        mesh = trimesh.creation.cylinder(d / 2 * circle_factor(), length, sections=CORNERS)
        if kind == "along":
            mesh.apply_transform(trimesh.transformations.rotation_matrix(math.pi / 2, [0, 1, 0]))
        elif kind == "across":
            mesh.apply_transform(trimesh.transformations.rotation_matrix(math.pi / 2, [1, 0, 0]))
    mesh.apply_translation(at)
    if "skin" in part:
        inner = trimesh.creation.box(np.array(size) - 2 * part["skin"])
        inner.apply_translation(at)
        mesh = trimesh.boolean.difference([mesh, inner], engine="manifold")
    return mesh


def half(part):
    """Half of the box around a part."""
    kind, size = part["kind"], part["size"]
    if kind == "box":
        return np.array(size) / 2
    if kind == "ball":
        return np.full(3, size[0] / 2)
    length, d = size
    return {"along": [length, d, d], "across": [d, length, d], "upright": [d, d, length]}[kind] * np.array(0.5)


def draw(rng, low, high):
    """A solid of sides between two lengths, nowhere."""
    kind = rng.choice(["box", "box", "ball", "along", "across", "upright"])
    side = lambda: round(rng.uniform(low, high), 1)
    size = {"box": [side(), side(), side()], "ball": [side()]}.get(kind, [side(), side()])
    return {"kind": kind, "size": size, "at": [0.0, 0.0, 0.0]}


def surface(part):
    """Points of a part's outside by its closed form, for a quick look."""
    turn = np.linspace(0, 2 * math.pi, 33)[:-1]
    across, up = np.cos(turn), np.sin(turn)
    kind = part["kind"]
    if kind == "box":
        points = np.array([[x, y, z] for x in (-1, 1) for y in (-1, 1) for z in (-1, 1)], float)
    elif kind == "ball":
        rise = np.linspace(0, math.pi, 17)
        points = np.array([[math.cos(r), math.sin(r) * a, math.sin(r) * u] for r in rise for a, u in zip(across, up)])
    else:
        points = np.array([[end, a, u] for end in (-1, 1) for a, u in zip(across, up)])
        points = points[:, {"along": [0, 1, 2], "across": [1, 0, 2], "upright": [1, 2, 0]}[kind]]
    return points * half(part) + np.array(part["at"])


def out_of(points, holder):
    """By how much the points stick out of a solid by its closed form, mm; below 0 they are inside."""
    kind, size = holder["kind"], holder["size"]
    p = np.abs(points - np.array(holder["at"]))
    if kind == "ball":
        return float((np.linalg.norm(p, axis=1) - size[0] / 2).max())
    if kind == "box":
        return float((p - half(holder)).max())
    axis = {"along": 0, "across": 1, "upright": 2}[kind]
    round_ = np.linalg.norm(np.delete(p, axis, 1), axis=1) - size[1] / 2
    return float(max(round_.max(), (p[:, axis] - size[0] / 2).max()))


def put_inside(rng, holder, wall):
    """A solid inside another, at least so far from its surface, mm; one time in five it touches."""
    room = 2 * half(holder).min()
    for _ in range(200):
        part = draw(rng, 0.15 * room, 0.8 * room)
        spare = half(holder) - half(part) - wall
        if (spare < 0).any():
            continue
        at = [rng.uniform(-s, s) for s in spare]
        if wall == 0 and rng.random() < 0.2:
            axis = rng.randrange(3)
            at[axis] = rng.choice([-1, 1]) * spare[axis]
        part["at"] = [round(float(c + d), 1) for c, d in zip(holder["at"], at)]
        if out_of(surface(part), holder) <= -wall + 1e-9:
            return part
    return None


def fill(rng, holder, depth, wall=0.0):
    """What lies inside a solid, and inside that."""
    parts = []
    for _ in range(rng.randint(0 if depth < 3 else 1, 2)):
        part = put_inside(rng, holder, wall)
        if part is not None:
            parts.append(part)
            if depth > 1:
                parts += fill(rng, part, depth - 1)
    return parts


def put_partly(rng, holder):
    """A solid that sticks out of another's end."""
    room = 2 * half(holder).min()
    for _ in range(20):
        part = draw(rng, 0.2 * room, 0.7 * room)
        axis = rng.randrange(1, 3)
        at = np.array(holder["at"]) + np.array([rng.uniform(-0.3, 0.3) * h for h in half(holder)])
        at[axis] = holder["at"][axis] + rng.choice([-1, 1]) * (half(holder)[axis] + rng.uniform(-0.6, 0.6) * half(part)[axis])
        part["at"] = [round(float(c), 1) for c in at]
        if out_of(surface(part), holder) <= CLEAR:
            continue
        own, other = mesh_of(part), mesh_of(holder)
        both = trimesh.boolean.intersection([own, other], engine="manifold").volume
        if both > LEAST and SHARE < both / own.volume < 1 - SHARE:
            return part
    return None


def boat(rng):
    parts, end = [], 0.0
    for _ in range(rng.randint(1, 3)):
        holder = draw(rng, 60, 160)
        is_skin = holder["kind"] == "box" and rng.random() < 0.4
        end += half(holder)[0] + 40
        holder["at"] = [round(end, 1), 0.0, 0.0]
        end += half(holder)[0] + 40
        parts.append(holder)
        if is_skin:
            holder["skin"] = 2.0
            inner = put_inside(rng, holder, 3.0)
            if inner is not None:
                parts += [inner] + fill(rng, inner, 2)
            continue
        if rng.random() < 0.5:
            holder["dry"] = 1.0
        parts += fill(rng, holder, 3)
        if rng.random() < 0.3:
            partly = put_partly(rng, holder)
            if partly is not None:
                parts.append(partly)
        if rng.random() < 0.1:
            parts.append({k: v for k, v in holder.items() if k != "dry"})
    rng.shuffle(parts)
    return parts


def measured(parts):
    meshes = [mesh_of(part) for part in parts]
    assert all(mesh.is_volume for mesh in meshes)
    union = trimesh.boolean.union(meshes, engine="manifold").volume
    inside = []
    for k, own in enumerate(meshes):
        is_in = False
        for j, other in enumerate(meshes):
            if j == k or other.volume < own.volume * (1 - 1e-9):
                continue
            if (own.bounds[0] >= other.bounds[1]).any() or (own.bounds[1] <= other.bounds[0]).any():
                continue
            out = trimesh.boolean.difference([own, other], engine="manifold").volume / own.volume
            same = abs(own.volume / other.volume - 1) < 1e-9
            # Of two equal solids in one place the later one lies in the other.
            is_in |= out < 2e-3 and (other.volume > own.volume * (1 + 1e-9) or (same and j < k))
        inside.append(is_in)
    return float(f"{union * 1e-9:.10g}"), inside


def main():
    rng = random.Random(SEED)
    print("[")
    for k in range(BOATS):
        parts = boat(rng)
        union, inside = measured(parts)
        written = [part | ({"inside": True} if is_in else {}) for part, is_in in zip(parts, inside)]
        line = json.dumps({"union_m3": union, "parts": written}, separators=(",", ":"))
        print(line + ("," if k + 1 < BOATS else ""), flush=True)
    print("]")


main()
