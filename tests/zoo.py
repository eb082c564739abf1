"""Standard shapes for the tests, the worked example's givens, and short ways from either to sized panels."""

import tomllib
from functools import cache
from itertools import permutations, product
from math import sqrt
from pathlib import Path
from typing import Any

import numpy as np
from scipy.spatial import ConvexHull

from artgen.order import Order, Settings, Structure, from_tables
from artgen.sizing import SizedStructure, Sizing, size_order, size_shape
from artgen.structure import shape as shapes
from artgen.structure.kinds import KINDS
from artgen.structure.shape import Face, Shape

# Givens of the worked example (docs/sums.md): s setback, t seat depth, w strip width, h turn-in, b bleed, g strip gap,
# a seam allowance, all mm; e stretch and c change in heat, across and along the roll. The default profiles carry them.
S, T, W, H, B, G, A = 6.0, 15.0, 14.0, 4.0, 25.0, 3.0, 10.0
E_ACROSS, E_ALONG = 0.008, 0.004
C_ACROSS, C_ALONG = -0.012, -0.009
ROLL = 3150.0

BOX = """
[[structure]]
name = "tower"
kind = "box"
width = "1000 mm"
depth = "800 mm"
height = "3300 mm"
"""
INCH_BOX = """
[[structure]]
name = "tower"
kind = "box"
width = "39 3/8 in"
depth = "2' 7 1/2\\""
height = "10 ft 10 in"
"""
WALL = """
[[structure]]
name = "wall"
kind = "wall"
width = "3000 mm"
height = "2400 mm"
"""
TWO_SIDED_WALL = WALL + "faces = 2\n"
THREE_BAY_WALL = """
[[structure]]
name = "wall"
kind = "wall"
height = "2400 mm"
bays = ["900 mm", "1200 mm", "700 mm"]
"""
HUNG_CUBE = """
[[structure]]
name = "cube"
kind = "hung-cube"
edge = "1500 mm"
"""
COLUMN = """
[[structure]]
name = "column"
kind = "column"
count = 5
width = "900 mm"
height = "2400 mm"
"""
L_COLUMN = """
[[structure]]
name = "column"
kind = "column"
widths = ["2000 mm", "800 mm", "1100 mm", "700 mm", "900 mm", "1500 mm"]
angles = [90, 90, 270, 90, 90, 90]
height = "2400 mm"
"""
RUN = """
[[structure]]
name = "run"
kind = "run"
lengths = ["2000 mm", "1200 mm", "900 mm"]
angles = [90, -45]
height = "2400 mm"
"""
TWO_SIDED_RUN = RUN + 'faces = 2\nmeasured_on = "middle"\n'
POSTED_RUN = RUN + 'corners = "posted"\npost = "120 mm"\nmeasured_on = "back"\n'
WEDGE_WIDE, WEDGE_DEEP, WEDGE_HIGH = 2000.0, 1000.0, 2400.0
WEDGE = """
[[structure]]
name = "wedge"
kind = "custom"
vertices = [
    ["0 mm", "0 mm", "0 mm"], ["2000 mm", "0 mm", "0 mm"], ["2000 mm", "1000 mm", "0 mm"], ["0 mm", "1000 mm", "0 mm"],
    ["0 mm", "1000 mm", "2400 mm"], ["2000 mm", "1000 mm", "2400 mm"],
]
faces = [[1, 2, 6, 5], [2, 3, 6], [3, 4, 5, 6], [4, 1, 5], [4, 3, 2, 1]]
"""
# three stacked cubes with the front of the uppermost split, and that of the middle one's right side
TOWER = """
[[structure]]
name = "stack"
kind = "box"
width = "1000 mm"
depth = "1000 mm"
bays.front = [["400 mm", "600 mm"], ["1000 mm"], ["1000 mm"]]
bays.right = [{height = "1000 mm"}, {height = "1000 mm", widths = ["700 mm", "300 mm"]}, {height = "1000 mm"}]
bays.back = [["1000 mm"], ["1000 mm"], ["1000 mm"]]
"""
LOWER_CUBE = HUNG_CUBE + 'front = "lower"\n'
ORDERS = {
    "box": BOX,
    "inch box": INCH_BOX,
    "wall": WALL,
    "two-sided wall": TWO_SIDED_WALL,
    "three-bay wall": THREE_BAY_WALL,
    "hung cube": HUNG_CUBE,
    "hung cube, lower front": LOWER_CUBE,
    "column": COLUMN,
    "column with a notch": L_COLUMN,
    "run": RUN,
    "two-sided run": TWO_SIDED_RUN,
    "posted run": POSTED_RUN,
    "wedge": WEDGE,
    "stacked bays": TOWER,
}


def tetrahedron(edge: float) -> Shape:
    """A regular tetrahedron on its base, one edge of the base to the front."""
    up, out = edge * sqrt(2 / 3), edge * sqrt(3) / 2
    a, b, c = (0.0, 0.0, 0.0), (edge, 0.0, 0.0), (edge / 2, out, 0.0)
    tip = (edge / 2, out / 3, up)
    faces = {"front": (a, b, tip), "right": (b, c, tip), "left": (c, a, tip), "base": (c, b, a)}
    return Shape(tuple(Face(name, vertices) for name, vertices in faces.items()))


def standing(*points: tuple[float, float]) -> Shape:
    """One bare upright face that looks to the front; points are (x, z), anticlockwise."""
    return Shape((Face("f1", tuple((x, 0.0, z) for x, z in points)),), numbering="along")


L_WIDE, L_HIGH, L_FOOT, L_STEM = 2000.0, 1800.0, 700.0, 600.0  # outer width and height; height of foot, width of stem
L_FACE = standing((0, 0), (L_WIDE, 0), (L_WIDE, L_FOOT), (L_STEM, L_FOOT), (L_STEM, L_HIGH), (0, L_HIGH))
TETRAHEDRON_EDGE = 1800.0
BARE = {"tetrahedron": tetrahedron(TETRAHEDRON_EDGE), "L-shaped face": L_FACE}


def order(body: str) -> Order:
    """The order with ``body`` under a valid head."""
    tables = tomllib.loads('schema = 1\nname = "Test piece"\n' + body)
    return from_tables(tables, KINDS, folder=Path("order"), where="order.toml")


@cache
def sized(body: str) -> Sizing:
    return size_order(order(body), KINDS)


def bare_structure(**keys: Any) -> Structure:
    return Structure(name="bare", kind="custom", keys=None, settings=Settings(), **keys)


def size_bare(shape: Shape, **keys: Any) -> SizedStructure:
    """A shape without a kind, sized with the default profiles; asserts that nothing is wrong with it."""
    made, faults = size_shape(shape, bare_structure(**keys), first=1, index=0)
    assert made is not None, faults
    return made


@cache
def all_sized() -> dict[str, SizedStructure]:
    """Every shape of the zoo, sized."""
    found = {name: sized(body).structures[0] for name, body in ORDERS.items()}
    return found | {name: size_bare(shape) for name, shape in BARE.items()}


def near(value: Any, expected: Any, within: float = 1e-6) -> bool:
    """Whether numbers, pairs or outlines agree within so many mm (or degrees)."""
    if isinstance(expected, int | float):
        return abs(value - expected) <= within
    return len(value) == len(expected) and all(near(v, x, within) for v, x in zip(value, expected, strict=True))


def hull_faces(points: np.ndarray) -> list[list[int]]:
    """Faces of the points' convex hull, vertices anticlockwise seen from outside; triangles of one plane made one face."""
    hull = ConvexHull(points)
    planes: dict[tuple[float, ...], set[int]] = {}
    for simplex, plane in zip(hull.simplices, hull.equations, strict=True):
        near = next((p for p in planes if np.abs(np.array(p) - plane).max() < 1e-6), tuple(plane))
        planes.setdefault(near, set()).update(simplex.tolist())
    found = []
    for plane, members in planes.items():
        n = np.array(plane[:3])
        at = sorted(members)
        middle = points[at].mean(axis=0)
        u = points[at[0]] - middle
        v = np.cross(n, u)
        found.append(sorted(at, key=lambda i: float(np.arctan2((points[i] - middle) @ v, (points[i] - middle) @ u))))
    return found


def truncated_octahedron() -> tuple[np.ndarray, list[list[int]]]:
    """All orders and signs of (0, 1, 2) × 500 mm."""
    corners = {
        tuple(s * v for s, v in zip(signs, order, strict=True))
        for order in permutations((0, 1, 2))
        for signs in product((1, -1), repeat=3)
    }
    points = np.array(sorted(corners), dtype=float) * 500
    return points, hull_faces(points)


def hull_shape(points: np.ndarray) -> Shape:
    """The convex hull of points as a bare shape."""
    faces = hull_faces(points)
    return Shape(
        tuple(
            Face(f"f{i + 1}", tuple(tuple(map(float, points[v])) for v in face))  # type: ignore[misc]
            for i, face in enumerate(faces)
        )
    )


def normal(vertices: Any) -> Any:
    """Unit outward normal as an array."""
    return np.array(shapes.normal(vertices))
