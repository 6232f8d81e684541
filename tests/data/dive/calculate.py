"""Calculates boats on their way up with water trapped in their flooded spaces, independently of the
program.

    python calculate.py FOLDER

Needs numpy, scipy, trimesh and manifold3d. What lies under a surface is cut from meshes by boolean
operations; heel and trim come from root finding on levers; metacentric heights are second moments of
sections by polygons, and must agree with the slopes of the levers. The model and the conventions are
in the README beside.
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

WATER = 1000.0
NEUTRAL = 0.05e-3  # kg
DEGREE = math.pi / 180


class Solid:
    """A box and what lies below a level surface in it."""

    def __init__(self, record):
        assert record["type"] == "box"
        box = trimesh.creation.box(extents=record["size"])
        box.apply_translation(record["centre"])
        points, faces = np.asarray(box.vertices, float), np.asarray(box.faces, np.uint64)
        self.solid = manifold3d.Manifold(manifold3d.Mesh64(np.ascontiguousarray(points), faces))
        self.corners = points
        self.volume = float(np.prod(record["size"]))
        self.first = self.volume * np.array(record["centre"], float)

    def below(self, up, height):
        """Volume and first moment of what has up.p + height < 0."""
        heights = self.corners @ up + height
        if heights.min() >= 0:
            return 0.0, np.zeros(3)
        if heights.max() <= 0:
            return self.volume, self.first
        mesh = self.solid.trim_by_plane(tuple(-up), height).to_mesh64()
        points = np.asarray(mesh.vert_properties)[:, :3]
        a, b, c = np.moveaxis(points[np.asarray(mesh.tri_verts)], 1, 0)
        six = np.einsum("ij,ij->i", a, np.cross(b, c))
        return six.sum() / 6, ((a + b + c) * six[:, None]).sum(0) / 24

    def level(self, volume, up):
        """The height whose surface has this volume below it."""
        levels = self.corners @ up
        miss = lambda height: self.below(up, height)[0] - volume
        return scipy.optimize.brentq(miss, -levels.max(), -levels.min(), xtol=1e-15, rtol=1e-15)

    def holding(self, volume, up):
        """First moment of a liquid of this volume lying level."""
        if volume <= 0:
            return np.zeros(3)
        if volume >= self.volume:
            return self.first
        return self.below(up, self.level(volume, up))[1]

    def section(self, up, height):
        """Area, first and second moments (forward, to port) of a level section."""
        heights = self.corners @ up + height
        sums = np.zeros(5)
        if heights.min() >= 0 or heights.max() <= 0:
            return sums
        forward, port = axes_of(up)
        turn = np.array([[*forward, 0], [*port, 0], [*up, height]]) * 1e3  # millimetres
        for polygon in self.solid.transform(turn).slice(0.0).to_polygons():
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


def own_seconds(sums):
    """Second moments about the section's own centroid: along, across."""
    a, x, y, xx, yy = sums
    return np.array([xx - x * x / a, yy - y * y / a]) if a > 0 else np.zeros(2)


class Boat:
    def __init__(self, record):
        self.weight = sum(p["mass"] for p in record["parts"])
        self.moment = sum(p["mass"] * np.array(p["com"], float) for p in record["parts"])
        self.bodies = [(Solid(p["solid"]), 1.0) for p in record["parts"] if p["solid"]]
        self.liquids = []  # solid, share of it that liquid takes, density, volume of the cavity used
        self.tanks, self.spaces = [], []
        for t in record["tanks"]:
            solid = Solid(t["solid"])
            self.weight += t.get("mass", 0.0)
            self.moment = self.moment + t.get("mass", 0.0) * np.array(t.get("com", [0, 0, 0]))
            self.bodies.append((solid, 1.0))
            self.tanks.append(len(self.liquids))
            self.liquids.append([solid, 1.0, t["liquid_density"], t["fill"] * solid.volume])
        for s in record["spaces"]:
            solid = Solid(s["solid"])
            self.bodies.append((solid, s["permeability"]))
            self.spaces.append(len(self.liquids))
            self.liquids.append([solid, s["permeability"], WATER, solid.volume])
        self.volume = sum(share * s.volume for s, share in self.bodies)
        self.first = sum(share * s.first for s, share in self.bodies)

    def mass(self):
        return self.weight + sum(share * density * v for _, share, density, v in self.liquids)

    def residual(self):
        return self.mass() - WATER * self.volume

    def floats(self):
        return self.residual() < -NEUTRAL

    def gravity(self, up):
        moment = self.moment.copy()
        for solid, share, density, volume in self.liquids:
            moment = moment + share * density * solid.holding(volume, up)
        return moment / self.mass()

    def wet(self, up, height):
        if height is None:
            return self.volume, self.first
        volume, first = 0.0, np.zeros(3)
        for solid, share in self.bodies:
            v, f = solid.below(up, height)
            volume += share * v
            first = first + share * f
        return volume, first

    def height(self, up):
        """The height at which the boat displaces its mass; none when it is under."""
        if not self.floats():
            return None
        levels = np.concatenate([s.corners @ up for s, _ in self.bodies])
        miss = lambda h: self.wet(up, h)[0] - self.mass() / WATER
        return scipy.optimize.brentq(miss, -levels.max(), -levels.min(), xtol=1e-15, rtol=1e-15)

    def lever(self, heel, trim):
        """Horizontal distance of G from B: forward, to port."""
        up = up_of(heel, trim)
        volume, first = self.wet(up, self.height(up))
        arm = self.gravity(up) - first / volume
        forward, port = axes_of(up)
        return np.array([forward @ arm, port @ arm])

    def stiffness(self, heel, trim):
        """GM across and along: what the waterplane gives less what free surfaces take, and KB - KG."""
        up = up_of(heel, trim)
        height = self.height(up)
        volume, first = self.wet(up, height)
        seconds = np.zeros(2)
        if height is not None:
            plane = sum(share * s.section(up, height) for s, share in self.bodies)
            seconds = seconds + WATER * own_seconds(plane)
        for solid, share, density, held in self.liquids:
            if 0 < held < solid.volume:
                surface = solid.section(up, solid.level(held, up))
                seconds = seconds - share * density * own_seconds(surface)
        along, across = seconds / self.mass()
        over = up @ (self.gravity(up) - first / volume)
        return across - over, along - over


def up_of(heel, trim):
    return np.array(
        [-math.sin(trim), math.sin(heel) * math.cos(trim), math.cos(heel) * math.cos(trim)]
    )


def axes_of(up):
    bow = np.array([1.0, 0, 0]) - up * up[0]
    forward = bow / np.linalg.norm(bow)
    return forward, np.cross(up, forward)


def trimmed(boat, heel, start):
    """Trim at a held heel: where the lever forward vanishes, found outwards from where it was."""
    miss = lambda trim: boat.lever(heel, trim)[0]
    step = 1e-3
    while miss(start - step) * miss(start + step) > 0:
        step *= 2
        assert step < 1.5, "no trim"
    return scipy.optimize.brentq(miss, start - step, start + step, xtol=1e-12, rtol=1e-14)


STRIDE = 0.25 * DEGREE
SYMMETRY = 1e-11  # metres of lever


def at_rest(boat, heel, trim):
    """Down the slope from a heel, trim free, to the first heel where the boat rests. Where it is
    balanced and unstable, to starboard."""
    trim = trimmed(boat, heel, trim)
    lever = boat.lever(heel, trim)[1]
    if abs(lever) < SYMMETRY:
        if boat.stiffness(heel, trim)[0] > 0:
            return heel, trim
        way = 1.0
    else:
        # The weight to port of the buoyancy turns port down: to smaller heels.
        way = -1.0 if lever > 0 else 1.0
    before = heel
    for _ in range(int(math.pi / STRIDE)):
        after = before + way * STRIDE
        trim = trimmed(boat, after, trim)
        if boat.lever(after, trim)[1] * way >= 0:
            miss = lambda angle: boat.lever(angle, trimmed(boat, angle, trim))[1]
            # The lever just left may be that of the balanced start.
            low = before + way * STRIDE * 1e-3 if before == heel and abs(lever) < SYMMETRY else before
            heel = scipy.optimize.brentq(miss, low, after, xtol=1e-12, rtol=1e-14)
            return heel, trimmed(boat, heel, trim)
        before = after
    raise AssertionError("it turns over and over")


def check_slope(boat, heel, trim, across):
    """The metacentric height against the slope of the lever."""
    up, step = up_of(heel, trim), 2e-5
    forward, port = axes_of(up)
    levers = []
    for angle in (step, -step):
        turned = lambda v: v * math.cos(angle) + np.cross(v, forward) * math.sin(angle)
        tilted, aside = turned(up), turned(port)
        volume, first = boat.wet(tilted, boat.height(tilted))
        levers.append((boat.gravity(tilted) - first / volume) @ aside)
    slope = (levers[0] - levers[1]) / (2 * step)
    assert abs(slope - across) < 1e-3 * abs(across) + 5e-6, (slope, across)


def row(boat, fill, heel, trim):
    up = up_of(heel, trim)
    height = boat.height(up)
    across, along = boat.stiffness(heel, trim)
    check_slope(boat, heel, trim, across)
    assert across > 0 and along > 0, (fill, across, along)
    held = trimmed(boat, 0.0, trim)
    spaces = []
    for k in boat.spaces:
        solid, share, density, volume = boat.liquids[k]
        inside = solid.volume if height is None else solid.below(up, height)[0]
        above = share * density * max(0.0, volume - inside)
        spaces.append(dict(volume=volume, below_surface=inside, above_kg=above))
    return dict(
        fill=fill,
        status="floats" if boat.floats() else ("neutral" if boat.residual() <= NEUTRAL else "sinks"),
        residual_g=1e3 * boat.residual(),
        phi_deg=heel / DEGREE,
        theta_deg=trim / DEGREE,
        h=height,
        gm_t=across,
        gm_l=along,
        gm_t_upright=boat.stiffness(0.0, held)[0],
        theta_upright_deg=held / DEGREE,
        spaces=spaces,
        above_kg=sum(s["above_kg"] for s in spaces),
    )


def way_up(record, blow):
    """Rows from full to empty, one for each step, the first one under."""
    boat = Boat(record)
    drains = [s["drain_s"] for s in record["spaces"]]
    steps, dt = blow["steps"], blow["seconds"] / blow["steps"]
    rows, heel, trim = [], 0.0, 0.0
    for k in range(steps + 1):
        fill = 1 - k / steps
        for t in boat.tanks:
            boat.liquids[t][3] = fill * boat.liquids[t][0].volume
        if k > 0:
            held = [boat.liquids[s][3] for s in boat.spaces]
            before = [s["below_surface"] for s in rows[-1]["spaces"]]

            def drain(after):
                """What the spaces hold at the end of the step if the levels outside go evenly
                from those of the row before to these."""
                for n, tau in enumerate(drains):
                    speed = (after[n] - before[n]) / dt
                    left = (held[n] - before[n] + tau * speed) * math.exp(-dt / tau)
                    drained = after[n] - tau * speed + left
                    boat.liquids[boat.spaces[n]][3] = max(drained, after[n])

            def outside(after):
                """The levels outside that follow from it."""
                drain(after)
                up = up_of(*at_rest(boat, heel, trim))
                height = boat.height(up)
                solids = [boat.liquids[s][0] for s in boat.spaces]
                return np.array([s.volume if height is None else s.below(up, height)[0] for s in solids])

            after = scipy.optimize.fixed_point(outside, before, xtol=1e-10, maxiter=50)
            close(np.abs(outside(after) - after).max(), 0.0, 1e-12)
            drain(after)
        heel, trim = at_rest(boat, heel, trim)
        rows.append(row(boat, fill, heel, trim))
    return rows


# ---------------------------------------------------------------- the boats


def box(size, centre):
    return dict(type="box", size=size, centre=centre)


def boat_of(name, kg, spaces, parts=()):
    """A dry box over four flat tanks in a row, its weight at one height."""
    places = [-0.15, -0.05, 0.05, 0.15]
    tanks = [
        dict(
            name=f"tank {k}",
            solid=box([0.1, 0.08, 0.03], [x, 0.0, 0.015]),
            fill=1.0,
            liquid_density=WATER,
            open=False,
        )
        for k, x in enumerate(places, 1)
    ]
    hull = box([0.6, 0.12, 0.08], [0.0, 0.0, 0.07])
    extra = sum(p["mass"] for p in parts)
    whole = WATER * (0.4 * 0.08 * 0.03 + 0.6 * 0.12 * 0.08)
    liquid = WATER * 0.4 * 0.08 * 0.03
    # Two grams heavy with the tank full.
    dry = whole - liquid + 0.002 - extra
    return dict(
        name=name,
        parts=[dict(name="hull", mass=dry, com=[0.0, 0.0, kg], solid=hull), *parts],
        tanks=tanks,
        spaces=spaces,
    )


def space(name, size, centre, permeability, drain_s):
    solid = box(size, centre)
    return dict(name=name, solid=solid, permeability=permeability, drain_s=drain_s)


def casing(fore_s, after_s):
    """The deck casing in two halves, so that water in it does not run from end to end."""
    size, above = [0.25, 0.1, 0.05], 0.135
    return [
        space("fore casing", size, [0.125, 0.0, above], 0.9, fore_s),
        space("after casing", size, [-0.125, 0.0, above], 0.9, after_s),
    ]


def stray(grams, y):
    return dict(name="stray weight", mass=grams / 1e3, com=[0.0, y, 0.09], solid=None)


BLOW = dict(seconds=60.0, steps=20)


def cases():
    slow, fast = casing(120.0, 120.0), casing(4.0, 4.0)
    yield "stable_slow", "drains slowly, stays upright", boat_of("Plover", 0.040, slow)
    yield "top_heavy_slow", "top-heavy while it drains", boat_of("Ruff", 0.052, slow)
    yield "top_heavy_fast", "the same boat, drains fast", boat_of("Ruff", 0.052, fast)
    weight = [stray(10.0, -0.03)]
    off = boat_of("Knot", 0.046, casing(60.0, 60.0), weight)
    yield "off_centre", "little GM, a little off centre", off
    yield "two_ends", "one end drains first", boat_of("Dunlin", 0.040, casing(60.0, 10.0))


# ---------------------------------------------------------------- checks of the method


def close(got, expected, tolerance):
    assert abs(got - expected) <= tolerance, (got, expected)


def check_the_method():
    # Closed form: the boat upright, its surface somewhere in the casing, the casing half full.
    record = boat_of("check", 0.040, casing(1.0, 1.0))
    boat = Boat(record)
    for k in boat.tanks:
        boat.liquids[k][3] = 0.25 * 0.1 * 0.08 * 0.03
    for k in boat.spaces:
        boat.liquids[k][3] = 0.5 * 0.25 * 0.1 * 0.05
    mass = boat.mass()
    dry = sum(p["mass"] for p in record["parts"])
    close(mass, dry + 0.24 + 0.9 * 1.25, 1e-9)
    up = np.array([0.0, 0.0, 1.0])
    draught = 0.11 + (mass / WATER - 0.96e-3 - 5.76e-3) / (0.9 * 0.05)
    close(-boat.height(up), draught, 1e-9)
    wet = 0.9 * 0.05 * (draught - 0.11)
    volume = 0.96e-3 + 5.76e-3 + wet
    buoyancy = (0.96e-3 * 0.015 + 5.76e-3 * 0.07 + wet * (0.055 + draught / 2)) / volume
    gravity = (dry * 0.04 + 0.24 * 0.00375 + 0.9 * 1.25 * 0.1225) / mass
    plane = 0.9 * 0.5 * 0.1**3 / 12 * WATER
    taken = WATER * (0.4 * 0.08**3 / 12 + 0.9 * 0.5 * 0.1**3 / 12)
    close(boat.stiffness(0.0, 0.0)[0], buoyancy - gravity + (plane - taken) / mass, 1e-9)
    # Under water and neutral the trapped water cancels: it is as if the space were not there.
    full, without = Boat(record), Boat(dict(record, spaces=[]))
    for boat in (full, without):
        boat.weight -= boat.residual()
    close(full.residual(), without.residual(), 1e-12)
    lever = lambda b: b.lever(0.2, 0.1) * b.mass()
    close(np.abs(lever(full) - lever(without)).max(), 0.0, 1e-12)
    # Afloat with the level inside that of the water outside it cancels too, at any heel.
    record = boat_of("check", 0.052, casing(1.0, 1.0), [stray(20.0, -0.04)])
    for fill in (0.8, 0.3):
        boat, without = Boat(record), Boat(dict(record, spaces=[]))
        for k in boat.tanks:
            boat.liquids[k][3] = without.liquids[k][3] = fill * without.liquids[k][0].volume
        heel, trim = at_rest(without, 0.0, 0.0)
        up = up_of(heel, trim)
        for k in boat.spaces:
            boat.liquids[k][3] = boat.liquids[k][0].below(up, without.height(up))[0]
        close(boat.height(up), without.height(up), 1e-9)
        close(at_rest(boat, heel, trim)[0], heel, 1e-8)
        got, expected = boat.stiffness(heel, trim)[0], without.stiffness(heel, trim)[0]
        close(got * boat.mass(), expected * without.mass(), 1e-7)


def plain(value):
    if isinstance(value, dict):
        return {k: plain(v) for k, v in value.items()}
    if isinstance(value, (list, tuple)):
        return [plain(v) for v in value]
    if isinstance(value, float):
        return float(f"{value:.12g}") if abs(value) > 1e-13 else 0.0
    return value


LEVER = 1e-8  # metres: see the README


def main(folder):
    check_the_method()
    for name, note, record in cases():
        rows = way_up(record, BLOW)
        stiff = min(min(r["gm_t"], r["gm_l"]) for r in rows)
        angle = max(1e-5, LEVER / stiff / DEGREE)
        out = dict(
            kind="way_up",
            note=note,
            boat=record,
            water_density=WATER,
            blow=BLOW,
            expected=dict(rows=rows),
            tolerance=dict(
                phi_deg=angle, theta_deg=angle, h=1e-7, gm=1e-6, volume=1e-9, kg=1e-6, residual_g=1e-3
            ),
        )
        text = json.dumps(plain(out), indent=1)
        (Path(folder) / f"{name}.json").write_text(text + "\n")
        least = min(rows, key=lambda r: r["gm_t_upright"])
        print(
            f"{name}: least upright GM {1e3 * least['gm_t_upright']:.2f} mm at fill "
            f"{least['fill']:.2f}, most heel {max(abs(r['phi_deg']) for r in rows):.2f}, most trim "
            f"{max(abs(r['theta_deg']) for r in rows):.2f} deg, most water above "
            f"{max(r['above_kg'] for r in rows):.3f} kg, GM at rest at least {1e3 * stiff:.2f} mm"
        )
    names = ("numpy", "scipy", "trimesh", "manifold3d")
    print("Python", sys.version.split()[0], *(f"{n} {version(n)}" for n in names))


if __name__ == "__main__":
    main(*sys.argv[1:])
