"""Calculates the template boats independently of the program.

    python calculate.py FOLDER_OF_BOATS FOLDER_OF_RESULTS [NAME ..]

Needs numpy, scipy, trimesh and manifold3d. Volumes, areas and centres of materials are closed forms;
what lies under water is cut from fine meshes by boolean operations; attitudes come from a root finder
on force and levers; metacentric heights are differences of levers. Conventions: see the README beside.
"""

import json
import math
import sys
from importlib.metadata import version
from pathlib import Path

import manifold3d
import numpy as np
import scipy.optimize
import trimesh

WATER = 998.2067  # kg/m3, fresh, 20 degC: Tanaka et al. 2001
AROUND = 360  # corners around a circle
ALONG = 96  # steps along a dome
COUNTED = ("fixed", "temporary")


# ---------------------------------------------------------------- solids, by closed forms


class Box:
    def __init__(self, size, centre):
        self.size, self.centre = np.array(size, float), np.array(centre, float)
        self.volume = float(np.prod(self.size))
        x, y, z = self.size
        self.area = 2 * (x * y + y * z + z * x)
        self.area_centre = self.centre

    def moved_in(self, by):
        return Box(self.size - 2 * by, self.centre)

    def mesh(self):
        box = trimesh.creation.box(extents=self.size)
        box.apply_translation(self.centre)
        return manifold(box)


class Round:
    """A body of revolution with a profile of straight pieces, along one of the axes."""

    def __init__(self, profile, origin, axis=0):
        self.profile = [(float(x), float(r)) for x, r in profile]
        self.origin, self.axis = np.array(origin, float), axis
        ends = [(self.profile[0][0], 0.0), *self.profile, (self.profile[-1][0], 0.0)]
        volume = first = area = area_first = 0.0
        for (x, r), (u, s) in zip(ends, ends[1:]):
            frustum = math.pi / 3 * (u - x) * (r * r + r * s + s * s)
            volume += frustum
            if frustum:
                part = (r * r + 2 * r * s + 3 * s * s) / (4 * (r * r + r * s + s * s))
                first += frustum * (x + (u - x) * part)
            skin = math.pi * (r + s) * math.hypot(u - x, r - s)
            area += skin
            if skin:
                area_first += skin * (x + (u - x) * (r + 2 * s) / (3 * (r + s)))
        self.volume, self.area = volume, area
        self.centre = self.along(first / volume)
        self.area_centre = self.along(area_first / area)

    def along(self, x):
        at = self.origin.copy()
        at[self.axis] += x
        return at

    def moved_in(self, by):
        """Each piece moved square to itself; neighbours meet where their lines cross."""
        ends = [(self.profile[0][0], 0.0), *self.profile, (self.profile[-1][0], 0.0)]
        lines = []  # a x + b r = c with (a, b) outwards
        for (x, r), (u, s) in zip(ends, ends[1:]):
            length = math.hypot(u - x, s - r)
            if length > 0:
                a, b = -(s - r) / length, (u - x) / length
                lines.append((a, b, a * x + b * r - by))
        inner = []
        axis = (0.0, 1.0, 0.0)
        first = [] if self.profile[0][1] > 0 else [axis]
        last = [] if self.profile[-1][1] > 0 else [axis]
        lines = first + lines + last
        for (a, b, c), (d, e, f) in zip(lines, lines[1:]):
            inner.append(np.linalg.solve([[a, b], [d, e]], [c, f]))
        points = [(p[0], max(p[1], 0.0)) for p in inner]
        assert all(q[0] >= p[0] - 1e-12 for p, q in zip(points, points[1:])), "the wall is too thick"
        return Round(points, self.origin, self.axis)

    def mesh(self):
        return turned(self.profile, self.volume, self.axis, self.origin)


class Domed:
    """A cylinder fore and aft with ellipsoidal domes; a sphere when there is no cylinder."""

    def __init__(self, length, diameter, dome, centre, out=0.0):
        self.length, self.radius, self.dome, self.out = length, diameter / 2, dome, out
        self.centre = self.area_centre = np.array(centre, float)
        r, straight = self.radius, length - 2 * dome
        self.volume = math.pi * r * r * straight + 4 / 3 * math.pi * r * r * dome
        if abs(dome - r) < 1e-12:
            cap = 2 * math.pi * r * r
        else:
            assert dome < r, "prolate domes are not needed here"
            e = math.sqrt(1 - (dome / r) ** 2)
            cap = math.pi * r * r * (1 + (1 - e * e) / e * math.atanh(e))
        self.area = 2 * math.pi * r * straight + 2 * cap
        if out:
            # The parallel of an ellipse is none: its volume by very short straight pieces.
            self.volume = Round(self.profile(4000), self.centre).volume

    def moved_in(self, by):
        length = (self.length, 2 * self.radius, self.dome, self.centre)
        return Domed(*length, out=self.out - by)

    def profile(self, steps):
        turn = np.linspace(0, math.pi / 2, steps + 1)
        a, b = self.dome, self.radius
        normal = np.array([b * np.sin(turn), a * np.cos(turn)])
        normal /= np.hypot(*normal)
        x = self.length / 2 - a + a * np.sin(turn) + self.out * normal[0]
        r = b * np.cos(turn) + self.out * normal[1]
        r[-1] = 0.0
        half = list(zip(x, r))
        straight = self.length > 2 * a
        return [(-x, r) for x, r in reversed(half)] + half[0 if straight else 1 :]

    def mesh(self):
        return turned(self.profile(ALONG // 2), self.volume, 0, self.centre)


AXES = {"fore_and_aft": 0, "athwartships": 1, "upright": 2}


def solid_of(record):
    ((kind, s),) = record.items()
    if kind == "box":
        return Box(s["size_m"], s["centre_m"])
    if kind == "cylinder":
        half, r = s["length_m"] / 2, s["diameter_m"] / 2
        return Round([(-half, r), (half, r)], s["centre_m"], AXES[s["axis"]])
    if kind == "frustum":
        half = s["length_m"] / 2
        profile = [(-half, s["diameter_aft_m"] / 2), (half, s["diameter_fore_m"] / 2)]
        return Round(profile, s["centre_m"])
    if kind == "revolved":
        return Round(s["stations_m"], s["origin_m"])
    if kind == "domed_cylinder":
        return Domed(s["length_m"], s["diameter_m"], s["dome_m"], s["centre_m"])
    if kind == "sphere":
        return Domed(s["diameter_m"], s["diameter_m"], s["diameter_m"] / 2, s["centre_m"])
    raise ValueError(kind)


# ---------------------------------------------------------------- meshes


def manifold(shape):
    solid = manifold3d.Manifold(
        manifold3d.Mesh64(
            np.ascontiguousarray(shape.vertices, np.float64),
            np.ascontiguousarray(shape.faces, np.uint64),
        )
    )
    assert solid.status() == manifold3d.Error.NoError, solid.status()
    return solid


def lathe(profile):
    """Turned about z by the library, then laid along x."""
    line = [(r, x) for x, r in profile]
    if line[0][0] > 0:
        line.insert(0, (0.0, line[0][1]))
    if line[-1][0] > 0:
        line.append((0.0, line[-1][1]))
    # In millimetres, as the library drops triangles that are small in absolute numbers.
    shape = trimesh.creation.revolve(1e3 * np.array(line), sections=AROUND)
    shape.merge_vertices()
    shape.apply_transform([[0, 0, 1, 0], [1, 0, 0, 0], [0, 1, 0, 0], [0, 0, 0, 1]])
    shape.apply_scale(1e-3)
    if shape.volume < 0:
        shape.invert()
    assert shape.is_watertight
    return shape


def turned(profile, volume, axis, origin):
    shape = lathe(profile)
    grow = math.sqrt(volume / shape.volume)
    assert grow < 1.001, grow
    shape.apply_transform(np.diag([1, grow, grow, 1]))
    # x to y to z keeps the hand.
    step = np.roll(np.eye(3), axis, axis=0)
    turn = np.eye(4)
    turn[:3, :3] = step
    turn[:3, 3] = origin
    shape.apply_transform(turn)
    return manifold(shape)


def moments(solid):
    """Volume and first moment of a mesh."""
    if solid.is_empty():
        return 0.0, np.zeros(3)
    mesh = solid.to_mesh64()
    points = np.asarray(mesh.vert_properties)[:, :3]
    a, b, c = np.moveaxis(points[np.asarray(mesh.tri_verts)], 1, 0)
    six = np.einsum("ij,ij->i", a, np.cross(b, c))
    return six.sum() / 6, ((a + b + c) * six[:, None]).sum(0) / 24


class Body:
    """A mesh with what is asked of it again and again."""

    def __init__(self, solid):
        self.solid = solid
        self.volume, self.first = moments(solid)
        self.points = np.asarray(solid.to_mesh64().vert_properties)[:, :3]
        hull = np.asarray(solid.hull().to_mesh64().vert_properties)[:, :3]
        self.reach = hull

    def below(self, up, height):
        """Volume and first moment of what has up.p + height < 0."""
        heights = self.reach @ up + height
        if heights.min() >= 0:
            return 0.0, np.zeros(3)
        if heights.max() <= 0:
            return self.volume, self.first
        return moments(self.solid.trim_by_plane(tuple(-up), height))

    def filled(self, volume, up):
        """First moment of a liquid of this volume lying level."""
        if volume <= 0:
            return np.zeros(3)
        if volume >= self.volume * (1 - 1e-12):
            return self.first
        got, first = self.below(up, self.level(volume, up))
        return first * (volume / got)

    def level(self, volume, up):
        """The height at which the level lies for a volume below it."""
        levels = self.reach @ up
        low, high = -levels.max(), -levels.min()
        miss = lambda height: self.below(up, height)[0] - volume
        return scipy.optimize.brentq(miss, high, low, xtol=1e-13, rtol=1e-14)


# ---------------------------------------------------------------- the boat


class Boat:
    def __init__(self, record):
        self.name = record["name"]
        self.bodies, self.names = [], []
        self.weight, self.moment = 0.0, np.zeros(3)
        self.masses, self.crowns = {}, []
        for part in record["parts"]:
            if part.get("status", "fixed") in COUNTED:
                self.add_part(part)
        self.tanks = []
        for tank in record["tanks"]:
            shape = solid_of(tank["cavity"])
            self.weigh(tank["name"], tank["mass_kg"], tank["centre_m"])
            spaces = [shape.mesh()]
            if not tank["inside_a_part"]:
                self.crown(shape)
                self.displace(tank["name"], Body(spaces[0]))
            for bulkhead in tank.get("bulkheads", []):
                normal = dict(transverse=(1, 0, 0), lengthwise=(0, 1, 0))[bulkhead["way"]]
                spaces = [h for s in spaces for h in s.split_by_plane(normal, bulkhead["at_m"])]
            whole = sum(s.volume() for s in spaces)
            for space in spaces:
                # Every space is filled to the same share, and has a surface of its own.
                self.tanks.append(
                    dict(
                        cavity=Body(space),
                        capacity=shape.volume * space.volume() / whole,
                        fill=tank.get("fill", 0.0),
                        density=tank["liquid_density_kg_m3"],
                        least=tank.get("least_fill", 0.0),
                        most=tank.get("most_fill", 1.0),
                    )
                )
        self.marks = [(m["name"], np.array(m["at_m"])) for m in record["marks"]]
        self.volume = sum(b.volume for b in self.bodies)
        self.first = sum(b.first for b in self.bodies)

    def weigh(self, name, mass, centre):
        self.masses[name] = self.masses.get(name, 0.0) + mass
        self.weight += mass
        self.moment = self.moment + mass * np.asarray(centre, float)

    def displace(self, name, body):
        self.bodies.append(body)
        self.names.append(name)

    def crown(self, shape):
        """Remembers where a round solid along the boat is highest, and its radius."""
        if isinstance(shape, Round) and shape.axis == 0:
            radius = max(r for _, r in shape.profile)
        elif isinstance(shape, Domed):
            radius = shape.radius + shape.out
        else:
            return
        self.crowns.append((shape.centre, radius))

    def add_part(self, part):
        name = part["name"]
        if "solid" not in part:
            self.weigh(name, part["mass_kg"], part["centre_m"])
            return
        outer = solid_of(part["solid"])
        wall, coat = part.get("wall"), part.get("coat")
        inner = outer.moved_in(wall["thickness_m"]) if wall else None
        material, centre = outer.volume, outer.centre
        if inner:
            material = outer.volume - inner.volume
            centre = (outer.volume * outer.centre - inner.volume * inner.centre) / material
        mass = part.get("mass_kg")
        if mass is None:
            mass = part["material"]["density_kg_m3"] * material
        self.weigh(name, mass, part.get("centre_m", centre))
        skin = outer
        if coat:
            area = coat.get("area_m2", outer.area)
            paint = area * coat["thickness_m"]
            if "mass_kg" not in part:  # the scales weighed the paint with the part
                self.weigh(name, paint * coat["density_kg_m3"], outer.area_centre)
            skin = outer.moved_in(-paint / outer.area)
        solid = skin.mesh()
        self.crown(skin)
        if inner and wall["inside"] == "flooded":
            self.crown(inner)
            solid = solid - inner.mesh()
        self.displace(name, Body(solid))

    def overlaps(self):
        """Pairs of solids that share volume, m3."""
        found = []
        for i, a in enumerate(self.bodies):
            for j in range(i):
                b = self.bodies[j]
                shared = (a.solid ^ b.solid).volume()
                if shared > 1e-10:
                    found.append((self.names[j], self.names[i], shared))
        return found

    def with_fill(self, fill):
        """All tanks at one fill."""
        other = object.__new__(Boat)
        other.__dict__ = dict(self.__dict__)
        other.tanks = [dict(t, fill=fill) for t in self.tanks]
        return other

    def mass(self):
        return self.weight + sum(t["fill"] * t["capacity"] * t["density"] for t in self.tanks)

    def gravity(self, up):
        moment = self.moment.copy()
        for t in self.tanks:
            first = t["cavity"].filled(t["fill"] * t["capacity"], up)
            moment = moment + t["density"] * first
        return moment / self.mass()

    def wet(self, up, height):
        volume, first = 0.0, np.zeros(3)
        for body in self.bodies:
            v, f = body.below(up, height)
            volume += v
            first = first + f
        return volume, first

    def floats(self):
        return self.mass() < WATER * self.volume - 5e-5


def up_of(phi, theta):
    return np.array(
        [-math.sin(theta), math.sin(phi) * math.cos(theta), math.cos(phi) * math.cos(theta)]
    )


def axes_of(up):
    bow = np.array([1.0, 0, 0]) - up * up[0]
    forward = bow / np.linalg.norm(bow)
    return forward, np.cross(up, forward)


def height_for(boat, up, guess=None):
    """The height at which the boat displaces its mass."""
    want = boat.mass() / WATER
    miss = lambda h: boat.wet(up, h)[0] - want
    if guess is not None:
        try:
            found = scipy.optimize.newton(miss, guess, x1=guess + 2e-5, tol=1e-12, maxiter=12)
            if abs(miss(found)) < 1e-11 * want:
                return found
        except RuntimeError:
            pass
    levels = np.concatenate([b.reach @ up for b in boat.bodies])
    low, high = -levels.max(), -levels.min()
    return scipy.optimize.brentq(miss, low, high, xtol=1e-13, rtol=1e-14)


def lever(boat, up, submerged=False, guess=None):
    """Horizontal distance of the centre of gravity from that of buoyancy: forward, to port."""
    if submerged:
        volume, first, height = boat.volume, boat.first, None
    else:
        height = height_for(boat, up, guess)
        volume, first = boat.wet(up, height)
    arm = boat.gravity(up) - first / volume
    forward, port = axes_of(up)
    return np.array([forward @ arm, port @ arm]), height, first / volume


def at_rest(boat, start, submerged, guess):
    """Heel and trim at which both levers vanish."""
    scale = boat.volume ** (1 / 3)
    guess = [guess]

    def miss(angles):
        arm, height, _ = lever(boat, up_of(*angles), submerged, guess[0])
        guess[0] = height
        return arm / scale

    found = scipy.optimize.root(miss, start, method="hybr", options=dict(xtol=1e-10, eps=1e-6))
    off = np.abs(miss(found.x)).max() * scale
    assert off < 1e-8, (found.message, off)
    return found.x


def turned_by(up, axis, angle):
    """Up seen from a body turned about a horizontal axis of the world."""
    return up * math.cos(angle) + np.cross(up, axis) * math.sin(angle)


STEP = math.radians(0.002)


def metacentric(boat, up, submerged=False, guess=None):
    """GM across and along: slopes of the levers for small turns about the horizontal axes."""
    forward, port = axes_of(up)

    def slope(axis, direction):
        levers = []
        for step in (STEP, -STEP):
            arm = lever_vector(boat, turned_by(up, axis, step), submerged, guess)
            # The horizontal direction in which the lever is taken turns with the body.
            levers.append(arm @ turned_by(direction, axis, step))
        return (levers[0] - levers[1]) / (2 * STEP)

    return slope(forward, port), -slope(port, forward)


def lever_vector(boat, up, submerged, guess):
    if submerged:
        return boat.gravity(up) - boat.first / boat.volume
    volume, first = boat.wet(up, height_for(boat, up, guess))
    return boat.gravity(up) - first / volume


def righting(boat, degrees, start, guess=None):
    """Lever at a held heel, trim free."""
    phi = math.radians(degrees)
    guess = [guess]

    def miss(theta):
        arm, guess[0], _ = lever(boat, up_of(phi, theta), False, guess[0])
        return arm[0]

    theta = scipy.optimize.newton(miss, start, x1=start + 1e-3, tol=1e-9, maxiter=60)
    return lever(boat, up_of(phi, theta), False, guess[0])[0][1], theta


def section(body, up, height):
    """Area and second moments, across and along, of a plane section about its own centroid."""
    forward, port = axes_of(up)
    turn = np.array([[*forward, 0], [*port, 0], [*up, height]]) * 1e3  # millimetres
    polygons = body.solid.transform(turn).slice(0.0).to_polygons()
    sums = np.zeros(5)
    for polygon in polygons:
        x, y = np.asarray(polygon).T * 1e-3
        u, v = np.roll(x, -1), np.roll(y, -1)
        cross = x * v - u * y
        sums += [
            cross.sum() / 2,
            ((x + u) * cross).sum() / 6,
            ((y + v) * cross).sum() / 6,
            ((x * x + x * u + u * u) * cross).sum() / 12,
            ((y * y + y * v + v * v) * cross).sum() / 12,
        ]
    return sums


def metacentric_by_area(boat, up, height):
    """GM across and along from second moments of the waterplane: the check on the slopes."""
    volume, first = boat.wet(up, height)
    mass = boat.mass()
    area, mx, my, xx, yy = sum(section(b, up, height) for b in boat.bodies)
    along, across = WATER * (xx - mx * mx / area), WATER * (yy - my * my / area)
    for t in boat.tanks:
        if 0 < t["fill"] < 1:
            level = t["cavity"].level(t["fill"] * t["capacity"], up)
            a, mx, my, xx, yy = section(t["cavity"], up, level)
            along -= t["density"] * (xx - mx * mx / a)
            across -= t["density"] * (yy - my * my / a)
    over = up @ (boat.gravity(up) - first / volume)
    return across / mass - over, along / mass - over


# ---------------------------------------------------------------- results


def afloat(boat, start=(0.0, 0.0), guess=None):
    phi, theta = at_rest(boat, start, False, guess)
    up = up_of(phi, theta)
    height = height_for(boat, up, guess)
    volume, first = boat.wet(up, height)
    across, along = metacentric(boat, up, False, height)
    other = metacentric_by_area(boat, up, height)
    assert np.allclose(other, (across, along), rtol=1e-3, atol=2e-6), (other, across, along)
    water = lambda p: -(height + up[0] * p[0] + up[1] * p[1]) / up[2]
    return dict(
        heel_deg=math.degrees(phi),
        trim_deg=math.degrees(theta),
        height_m=height,
        displacement_kg=boat.mass(),
        displaced_volume_m3=volume,
        centre_of_gravity_m=boat.gravity(up),
        centre_of_buoyancy_m=first / volume,
        gm_across_m=across,
        gm_along_m=along,
        marks_mm=[dict(name=n, above_mm=1e3 * (water(p) - p[2])) for n, p in boat.marks],
    )


def under(boat, start=(0.0, 0.0)):
    phi, theta = at_rest(boat, start, True, None)
    up = up_of(phi, theta)
    gravity, buoyancy = boat.gravity(up), boat.first / boat.volume
    across, along = metacentric(boat, up, True)
    return dict(
        heel_deg=math.degrees(phi),
        trim_deg=math.degrees(theta),
        mass_kg=boat.mass(),
        bg_m=float(up @ (buoyancy - gravity)),
        centre_of_gravity_m=gravity,
        centre_of_buoyancy_m=buoyancy,
        gm_across_m=across,
        gm_along_m=along,
    )


def tank_need(boat):
    heights = {round(float(p[2]), 9) for _, p in boat.marks}
    assert len(heights) == 1, "the marks lie on one level"
    up = np.array([0.0, 0.0, 1.0])
    volume, _ = boat.wet(up, -heights.pop())
    need = boat.volume - volume
    capacity = sum(t["capacity"] for t in boat.tanks)
    usable = sum(t["capacity"] * (t["most"] - t["least"]) for t in boat.tanks)
    fill = (WATER * boat.volume - boat.weight) / sum(t["capacity"] * t["density"] for t in boat.tanks)
    return dict(
        need_m3=need,
        capacity_m3=capacity,
        usable_m3=usable,
        spare_share=(usable - need) / need,
        fill_for_neutral=fill,
    )


def crown(boat, up, height):
    """How much facets count where the surface is just below a round top: (R/y)^2 at most."""
    across = math.hypot(up[1], up[2])  # the radius is square to the axis, which may be trimmed
    depths = [(-(height + up @ middle + across * r), r) for middle, r in boat.crowns]
    return max([radius / (-2 * d) for d, radius in depths if d < 0], default=0.0)


def upright(boat, guess):
    """GM across with the heel held at zero and the trim free: what a person would quote."""
    submerged = not boat.floats()
    guess = [guess]

    def miss(theta):
        arm, guess[0], _ = lever(boat, up_of(0.0, theta), submerged, guess[0])
        return arm[0]

    theta = scipy.optimize.newton(miss, 0.0, x1=1e-4, tol=1e-9, maxiter=60)
    up = up_of(0.0, theta)
    return metacentric(boat, up, submerged, guess[0])[0]


STRIDE = 0.5  # degrees


def loll(boat, heel, trim, guess):
    """Heel and trim near which a leaning boat rests: from a heel down the slope, trim free, to where
    its lever changes sign; upright if it comes to that. From upright it goes to starboard."""
    before = max(math.degrees(heel), STRIDE / 2)
    arm, trim = righting(boat, before, trim, guess)
    if arm > 0 and math.degrees(heel) < STRIDE:
        return 0.0, trim
    way = -STRIDE if arm > 0 else STRIDE
    while 0.0 < before < 60.0:
        after = before + way
        arm, trim = righting(boat, after, trim, guess)
        if arm * way > 0:
            return math.radians((before + after) / 2), trim
        before = after
    assert before <= 0.0, "it falls over"
    return 0.0, trim


def rest(boat, at, guess):
    """The row that is reached from the one before."""
    held = upright(boat, guess)
    if held < 0 or math.degrees(at[0]) > STRIDE:
        at = loll(boat, *at, guess)
    row = afloat(boat, at, guess) if boat.floats() else under(boat, at)
    assert row["gm_across_m"] > 0 and row["gm_along_m"] > 0, row
    assert abs(row["heel_deg"] - math.degrees(at[0])) < 2 * STRIDE, "another rest than was looked for"
    return dict(row, gm_across_upright_m=held)


def sweep(boat, steps, leans=False):
    rows, at, guess = [], (0.0, 0.0), None
    for k in range(steps + 1):
        filled = boat.with_fill(k / steps)
        submerged = not filled.floats()
        if leans:
            row = rest(filled, at, guess)
        else:
            row = under(filled, at) if submerged else afloat(filled, at, guess)
        guess = row.get("height_m")
        at = (math.radians(row["heel_deg"]), math.radians(row["trim_deg"]))
        up = up_of(*at)
        row["crown"] = 0.0 if submerged else crown(filled, up, row["height_m"])
        keep = ("heel_deg", "trim_deg", "gm_across_m", "gm_along_m", "gm_across_upright_m", "crown")
        rows.append(
            dict(
                fill=k / steps,
                floats=not submerged,
                residual_kg=filled.mass() - WATER * filled.volume,
                **{key: row[key] for key in keep if key in row},
            )
        )
    return rows


# Boats that lean on the way, with the bulkhead that cures it.
CURES = dict(coot=dict(way="lengthwise", at_m=0.0))


def with_bulkhead(record, bulkhead):
    tanks = [dict(t, bulkheads=[*t.get("bulkheads", []), bulkhead]) for t in record["tanks"]]
    return Boat(dict(record, tanks=tanks))


def results(boat, steps, leans):
    float_now = afloat(boat)
    need = tank_need(boat)
    neutral = under(boat.with_fill(need["fill_for_neutral"]))
    start = math.radians(float_now["trim_deg"])
    gz = []
    for degrees in range(10, 61, 10):
        arm, start = righting(boat, degrees, start)
        gz.append(dict(heel_deg=degrees, lever_m=arm, trim_deg=math.degrees(start)))
    return dict(
        water_kg_m3=WATER,
        total_volume_m3=boat.volume,
        total_centre_m=boat.first / boat.volume,
        half_breadth_m=max(float(np.abs(b.reach[:, 1]).max()) for b in boat.bodies),
        parts_kg=[dict(name=n, mass_kg=m) for n, m in boat.masses.items()],
        afloat=float_now,
        righting=gz,
        tank=need,
        neutral=neutral,
        sweep=sweep(boat, steps, leans),
    )


def plain(value):
    if isinstance(value, dict):
        return {k: plain(v) for k, v in value.items()}
    if isinstance(value, (list, tuple, np.ndarray)):
        return [plain(v) for v in value]
    if isinstance(value, (bool, np.bool_)):
        return bool(value)
    if isinstance(value, (float, np.floating)):
        return float(f"{value:.9g}") if abs(value) > 1e-12 else 0.0
    return value


def check_the_method():
    """Closed forms: a box afloat with a slack tank, a round log with its weight low."""
    box = dict(box=dict(size_m=[1.0, 0.4, 0.3], centre_m=[0, 0, 0.15]))
    tank = dict(box=dict(size_m=[0.5, 0.2, 0.1], centre_m=[0, 0, 0.05]))
    record = dict(
        name="box",
        parts=[dict(name="hull", solid=box, mass_kg=0.1 * WATER * 0.5, centre_m=[0, 0, 0.05])],
        tanks=[
            dict(
                name="tank",
                cavity=tank,
                fill=0.5,
                liquid_density_kg_m3=WATER,
                mass_kg=0.0,
                centre_m=[0, 0, 0],
                inside_a_part=True,
            )
        ],
        marks=[],
    )
    volume = 0.05 + 0.005
    draught = volume / 0.4
    gravity = (0.05 * 0.05 + 0.005 * 0.025) / volume
    across = 0.4**3 / 12 / volume + draught / 2 - gravity - 0.5 * 0.2**3 / 12 / volume
    along = 0.4 / 12 / volume + draught / 2 - gravity - 0.2 * 0.5**3 / 12 / volume
    got = afloat(Boat(record))
    close(got["height_m"], -draught, 1e-9)
    close(got["gm_across_m"], across, 1e-5 * across)
    close(got["gm_along_m"], along, 1e-5 * along)
    log = dict(cylinder=dict(axis="fore_and_aft", length_m=1.0, diameter_m=0.1, centre_m=[0, 0, 0]))
    mass = WATER * math.pi * 0.05**2 / 2
    record = dict(
        name="log",
        parts=[dict(name="hull", solid=log, mass_kg=mass, centre_m=[0.0, 0.0, -0.02])],
        tanks=[],
        marks=[],
    )
    boat = Boat(record)
    got = afloat(boat)
    close(got["height_m"], 0.0, 1e-9)
    close(got["gm_across_m"], 0.02, 2e-6)
    close(righting(boat, 30.0, 0.0)[0], 0.02 * math.sin(math.radians(30)), 2e-6)


def close(got, expected, tolerance):
    assert abs(got - expected) <= tolerance, (got, expected)


def main(boats, folder, *only):
    check_the_method()
    for path in sorted(Path(boats).glob("*.json")):
        if only and path.stem not in only:
            continue
        record = json.loads(path.read_text())["boats"][0]
        boat = Boat(record)
        for a, b, shared in boat.overlaps():
            print(f"{path.stem}: {a} and {b} share {shared * 1e9:.1f} mm3")
        cure = CURES.get(path.stem)
        # Seventeen steps: no row has a flat top just awash or is about to come back upright, where
        # a hair decides.
        steps, leans = (17, True) if cure else (10, False)
        out = results(boat, steps, leans)
        if cure:
            cured = sweep(with_bulkhead(record, cure), steps, leans)
            out["cured"] = dict(bulkhead=cure, sweep=cured)
        out = plain(out)
        (Path(folder) / f"{path.stem}.json").write_text(json.dumps(out, indent=1) + "\n")
        print(path.stem, json.dumps(out["tank"]))
    names = ("numpy", "scipy", "trimesh", "manifold3d")
    print("Python", sys.version.split()[0], *(f"{n} {version(n)}" for n in names))


if __name__ == "__main__":
    main(*sys.argv[1:])
