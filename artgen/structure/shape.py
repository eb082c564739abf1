"""Faces in space: the only thing that a kind of structure makes.

Millimetres, right-handed, z up, metal from z = 0, front looks to −y. A face is a simple flat polygon whose vertices
run anticlockwise seen from outside. Sums here are of plain floats: of three numbers they are several times faster than
arrays, every panel asks for them, and a size table of walls and boxes needs no numpy.
"""

from math import atan2, cos, degrees, radians, sin, sqrt
from typing import Literal

from attrs import frozen

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


@frozen
class Plane:
    """A face's plane with its sewn axes: unit vectors in space ``x``, ``y`` and ``normal`` (outwards), ``origin`` = the
    plane's point nearest to the structure's own origin, ``upright_deg`` = degrees anticlockwise from ``y`` to upright."""

    origin: Vertex
    x: Vertex
    y: Vertex
    normal: Vertex
    upright_deg: float

    def point(self, u: float, v: float) -> Vertex:
        """In space, what lies at (u, v) along the axes."""
        (ox, oy, oz), (ax, ay, az), (bx, by, bz) = self.origin, self.x, self.y
        return ox + u * ax + v * bx, oy + u * ay + v * by, oz + u * az + v * bz

    def place(self, point: Vertex) -> tuple[float, float]:
        """(u, v) along the axes of a point in space."""
        return dot(point, self.x), dot(point, self.y)

    def before(self, point: Vertex) -> float:
        """mm from the plane to a point in space, outwards."""
        (x, y, z), (ox, oy, oz), (nx, ny, nz) = point, self.origin, self.normal
        return (x - ox) * nx + (y - oy) * ny + (z - oz) * nz


def dot(a: Vertex, b: Vertex) -> float:
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def normal(vertices: tuple[Vertex, ...]) -> Vertex:
    """Unit outward normal, by Newell's sum (good for concave outlines too)."""
    x0, y0, z0 = vertices[0]
    nx = ny = nz = 0.0
    for (ax, ay, az), (bx, by, bz) in zip(vertices, (*vertices[1:], vertices[0]), strict=True):
        ax, ay, az, bx, by, bz = ax - x0, ay - y0, az - z0, bx - x0, by - y0, bz - z0
        nx, ny, nz = nx + ay * bz - az * by, ny + az * bx - ax * bz, nz + ax * by - ay * bx
    length = sqrt(nx * nx + ny * ny + nz * nz)
    if length == 0:
        raise ValueError("a face without area has no normal")
    return nx / length, ny / length, nz / length


def upright_axes(n: Vertex) -> tuple[Vertex, Vertex]:
    """(x, y) unit vectors of the upright frame of a face with outward normal ``n``.

    y is world-up laid onto the face; where the face is level, structure +y. x = y × n, so that the frame is
    right-handed seen from outside.
    """
    nx, ny, nz = n
    ux, uy, uz = (0.0, 1.0, 0.0) if abs(nz) >= LEVEL else (0.0, 0.0, 1.0)
    off = ux * nx + uy * ny + uz * nz
    x, y, z = ux - off * nx, uy - off * ny, uz - off * nz
    length = sqrt(x * x + y * y + z * z)
    x, y, z = x / length, y / length, z / length
    return (y * nz - z * ny, z * nx - x * nz, x * ny - y * nx), (x, y, z)


def plane(vertices: tuple[Vertex, ...]) -> Plane:
    """The plane of a face. Its sewn axes are the upright ones turned by the smallest angle that lays an edge level (a tie:
    anticlockwise)."""
    n = normal(vertices)
    (xx, xy, xz), (yx, yy, yz) = upright_axes(n)
    turns = []
    for (ax, ay, az), (bx, by, bz) in zip(vertices, (*vertices[1:], vertices[0]), strict=True):
        a, b, c = bx - ax, by - ay, bz - az
        turn = degrees(atan2(a * yx + b * yy + c * yz, a * xx + b * xy + c * xz)) % 180.0  # a line has no sense
        turns.append(turn - 180.0 if turn > 90.0 + _TIE else turn)
    least = min(map(abs, turns))
    turn = max(t for t in turns if abs(t) <= least + _TIE)
    turn = 0.0 if abs(turn) <= _TIE else turn
    c, s = cos(radians(turn)), sin(radians(turn))
    far = dot(n, vertices[0])
    return Plane(
        (n[0] * far, n[1] * far, n[2] * far),
        (c * xx + s * yx, c * xy + s * yy, c * xz + s * yz),
        (c * yx - s * xx, c * yy - s * xy, c * yz - s * xz),
        n,
        round(-turn, 9) + 0.0,
    )


def extents(shape: Shape) -> Vertex:
    """Size of the metal along x, y, z."""
    points = [point for outline in (*(face.vertices for face in shape.faces), *shape.bare) for point in outline]
    x, y, z = ([point[axis] for point in points] for axis in range(3))
    return max(x) - min(x), max(y) - min(y), max(z) - min(z)
