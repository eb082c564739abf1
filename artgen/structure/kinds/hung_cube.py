"""`hung-cube`: a cube hung by one tip, its space diagonal plumb: three upper faces, three lower ones."""

from itertools import product
from math import cos, radians, sin, sqrt
from typing import Literal

from attrs import frozen

from ...typed import Size
from ..shape import Face, Shape, Vertex
from .kind import BayRows, Flag, Form, Kind


@frozen
class HungCubeKeys:
    """``edge`` = frame size of an edge; ``front`` = which faces have one looking straight at the front."""

    edge: Size
    front: Literal["upper", "lower"] = "upper"


def faces(keys: HungCubeKeys, depth: float, bays: BayRows) -> Shape:
    # Outward normals of the upper faces; they are at right angles to one another, and each climbs asin(1/√3).
    # In plan they stand 120° apart; the lower faces look the opposite ways.
    first = -90.0 if keys.front == "upper" else 90.0
    normals = [
        (cos(radians(first + turn)) * sqrt(2 / 3), sin(radians(first + turn)) * sqrt(2 / 3), 1 / sqrt(3))
        for turn in (0.0, 120.0, 240.0)
    ]

    at: dict[tuple[int, ...], Vertex] = {}
    for along in product((0, 1), repeat=3):  # so many edges from the lowest tip along each normal
        x, y, z = (keys.edge * sum(i * n[axis] for i, n in zip(along, normals, strict=True)) for axis in range(3))
        at[along] = (x, y, z)
    made: list[Face] = []
    for first_number, corners in (
        (1, ((1, 0, 0), (1, 1, 0), (1, 1, 1), (1, 0, 1))),  # anticlockwise about the first normal
        (4, ((0, 0, 0), (0, 0, 1), (0, 1, 1), (0, 1, 0))),
    ):
        for k in range(3):
            made.append(Face(f"f{first_number + k}", tuple(at[c[-k:] + c[:-k]] for c in corners)))
    return Shape(tuple(made))


KIND = Kind(
    name="hung-cube",
    title="cube hung by a tip",
    keys=HungCubeKeys,
    faces=faces,
    forms=(
        Form(
            flags=(Flag("edge", "outer length of an edge", "1500 mm"),),
            lines="""\
edge = {edge}       # outer length of an edge of the metal
front = "upper"        # which faces have one looking straight at the front: "upper" or "lower"
hang_height = "2500 mm" # floor to the lowest tip
""",
        ),
    ),
    hung=True,
)
