"""Faces in space: the only thing that a kind of structure makes.

Millimetres, right-handed, z up, metal from z = 0, front looks to −y. A face is a simple flat polygon whose vertices
run anticlockwise seen from outside.
"""

from math import atan2, cos, degrees, radians, sin, sqrt
from typing import Literal

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

Vec = NDArray[np.float64]
Vertex = tuple[float, float, float]
_TIE = 1e-6  # degrees: angles closer than this are a tie
LEVEL = cos(radians(1.0))  # a face is level if its normal stands within 1° of vertical


@frozen
class Face:
    """One flat side. ``name``: "front", "right" …, or "f1" … where the side has no name of its own."""

    name: str
    vertices: tuple[Vertex, ...]


@frozen
class Shape:
    """All faces of a structure. ``numbering``: "around" for closed shapes, "along" for chains (the faces' own order).

    ``bare`` = outer sides of the metal that no panel ever dresses (the back of a wall of one side), vertices as a face's.
    """

    faces: tuple[Face, ...]
    numbering: Literal["around", "along"] = "around"
    bare: tuple[tuple[Vertex, ...], ...] = ()


def normal(vertices: tuple[Vertex, ...]) -> Vec:
    """Unit outward normal, by Newell's sum (good for concave outlines too)."""
    x0, y0, z0 = vertices[0]
    nx = ny = nz = 0.0
    # plain sums: of four vertices they are several times faster than arrays, and every panel asks
    for (ax, ay, az), (bx, by, bz) in zip(vertices, (*vertices[1:], vertices[0]), strict=True):
        ax, ay, az, bx, by, bz = ax - x0, ay - y0, az - z0, bx - x0, by - y0, bz - z0
        nx, ny, nz = nx + ay * bz - az * by, ny + az * bx - ax * bz, nz + ax * by - ay * bx
    length = sqrt(nx * nx + ny * ny + nz * nz)
    if length == 0:
        raise ValueError("a face without area has no normal")
    return np.array([nx / length, ny / length, nz / length])


def upright_axes(n: Vec) -> tuple[Vec, Vec]:
    """(x, y) unit vectors of the upright frame of a face with outward normal ``n``.

    y is world-up laid onto the face; where the face is level, structure +y. x = y × n, so that the frame is
    right-handed seen from outside.
    """
    nx, ny, nz = float(n[0]), float(n[1]), float(n[2])
    ux, uy, uz = (0.0, 1.0, 0.0) if abs(nz) >= LEVEL else (0.0, 0.0, 1.0)
    # plain sums here and below: of three numbers they are several times faster than arrays, and every panel asks
    off = ux * nx + uy * ny + uz * nz
    x, y, z = ux - off * nx, uy - off * ny, uz - off * nz
    length = sqrt(x * x + y * y + z * z)
    x, y, z = x / length, y / length, z / length
    return np.array([y * nz - z * ny, z * nx - x * nz, x * ny - y * nx]), np.array([x, y, z])


def sewn_axes(vertices: tuple[Vertex, ...]) -> tuple[Vec, Vec, float]:
    """(x, y) unit vectors of the sewn frame of a face, and degrees anticlockwise from sewn y to upright.

    The sewn frame is the upright frame turned by the smallest angle that lays an edge level (a tie: anticlockwise).
    """
    x, y = upright_axes(normal(vertices))
    (xx, xy, xz), (yx, yy, yz) = x.tolist(), y.tolist()
    turns = []
    for (ax, ay, az), (bx, by, bz) in zip(vertices, (*vertices[1:], vertices[0]), strict=True):
        a, b, c = bx - ax, by - ay, bz - az
        dx, dy = a * xx + b * xy + c * xz, a * yx + b * yy + c * yz
        turn = degrees(atan2(dy, dx)) % 180.0  # a line has no sense: its angle counts modulo 180°
        turns.append(turn - 180.0 if turn > 90.0 + _TIE else turn)
    least = min(abs(turn) for turn in turns)
    turn = max(t for t in turns if abs(t) <= least + _TIE)
    turn = 0.0 if abs(turn) <= _TIE else turn
    c, s = cos(radians(turn)), sin(radians(turn))
    return c * x + s * y, c * y - s * x, round(-turn, 9) + 0.0


def extents(shape: Shape) -> tuple[float, float, float]:
    """Size of the metal along x, y, z."""
    outlines = [face.vertices for face in shape.faces] + list(shape.bare)
    points = np.concatenate([np.asarray(outline, dtype=float) for outline in outlines])
    size = points.max(axis=0) - points.min(axis=0)
    return float(size[0]), float(size[1]), float(size[2])
