"""Faces in space: the only thing that a kind of structure makes.

Millimetres, right-handed, z up, metal from z = 0, front looks to −y. A face is a simple flat polygon whose vertices
run anticlockwise seen from outside.
"""

from typing import Literal

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

Vec = NDArray[np.float64]
Vertex = tuple[float, float, float]
LEVEL = np.cos(np.radians(1.0))  # a face is level if its normal stands within 1° of vertical


@frozen
class Face:
    """One flat side. ``name``: "front", "right" …, or "f1" … where the side has no name of its own."""

    name: str
    vertices: tuple[Vertex, ...]


@frozen
class Shape:
    """All faces of a structure. ``numbering``: "around" for closed shapes, "along" for chains (the faces' own order).

    ``depth`` = how far the metal goes back behind faces that alone don't show it (a wall dressed on one side).
    """

    faces: tuple[Face, ...]
    numbering: Literal["around", "along"] = "around"
    depth: float = 0.0


def normal(vertices: tuple[Vertex, ...]) -> Vec:
    """Unit outward normal, by Newell's sum (good for concave outlines too)."""
    points = np.asarray(vertices, dtype=float)
    following = np.roll(points, -1, axis=0)
    total = np.cross(points, following).sum(axis=0)
    length = float(np.linalg.norm(total))
    if length == 0:
        raise ValueError("a face without area has no normal")
    return np.asarray(total / length)


def upright_axes(n: Vec) -> tuple[Vec, Vec]:
    """(x, y) unit vectors of the upright frame of a face with outward normal ``n``.

    y is world-up laid onto the face; where the face is level, structure +y. x = y × n, so that the frame is
    right-handed seen from outside.
    """
    up = np.array([0.0, 1.0, 0.0]) if abs(n[2]) >= LEVEL else np.array([0.0, 0.0, 1.0])
    y = up - (up @ n) * n
    y = y / np.linalg.norm(y)
    return np.cross(y, n), y


def extents(shape: Shape) -> tuple[float, float, float]:
    """Size of the metal along x, y, z."""
    points = np.concatenate([np.asarray(face.vertices, dtype=float) for face in shape.faces])
    size = points.max(axis=0) - points.min(axis=0)
    return float(size[0]), max(float(size[1]), shape.depth), float(size[2])
