"""Faces to numbered bays: the order of the numbers, the split into bays, and who meets whom along which line.

Takes a shape and the bay widths; gives `Bay`s in number order, each with its metal's outline in space, and the
neighbours of each of its edges.
"""

from collections.abc import Mapping, Sequence
from math import atan2, degrees

import numpy as np
from attrs import frozen

from .shape import Face, Shape, Vertex, normal, upright_axes

_TOUCH = 1e-3  # mm: metal edges closer than this meet
_TIE = 1e-6  # degrees


@frozen
class Neighbour:
    """Another bay along an edge: ``bay`` = its index, ``edge`` = index of its edge, ``start``–``end`` = mm from this edge's
    first vertex; ``joint`` True between two bays of one face, False at a corner."""

    bay: int
    edge: int
    start: float
    end: float
    joint: bool


@frozen
class Bay:
    """The part of a face that one panel dresses. ``outline`` = outer edge of its metal, anticlockwise from outside."""

    face: Face
    row: int
    column: int
    outline: tuple[Vertex, ...]
    neighbours: tuple[tuple[Neighbour, ...], ...] = ()


def numbered(faces: Shape) -> list[Face]:
    """Faces in the order of their panels' numbers.

    Chains keep their own order. Closed shapes: upright faces (normal within 30° of horizontal) anticlockwise from
    above, from the normal nearest −y; then upward faces, then downward ones, each group likewise.
    """
    if faces.numbering == "along":
        return list(faces.faces)
    groups: tuple[list[tuple[float, Face]], ...] = ([], [], [])
    for face in faces.faces:
        n = normal(face.vertices)
        level = abs(n[0]) < 1e-12 and abs(n[1]) < 1e-12
        turn = 0.0 if level else (degrees(atan2(n[1], n[0])) + 90.0) % 360.0  # 0 = looks to −y
        turn = 0.0 if turn > 360.0 - _TIE else turn
        which = 0 if abs(n[2]) <= 0.5 + 1e-12 else 1 if n[2] > 0 else 2  # sin 30° = 0.5
        groups[which].append((turn, face))
    ordered: list[Face] = []
    for group in groups:
        if not group:
            continue
        nearest = min(min(turn, 360.0 - turn) for turn, _ in group)
        # of two equally near, the first anticlockwise of −y
        start = min(turn for turn, _ in group if min(turn, 360.0 - turn) <= nearest + _TIE)
        ordered += [face for _, face in sorted(group, key=lambda item: _round_turn(item[0] - start))]
    return ordered


def _round_turn(turn: float) -> float:
    turn %= 360.0
    return 0.0 if turn > 360.0 - _TIE else round(turn, 6)


def split(shape: Shape, bays: Mapping[str, Sequence[float]]) -> list[Bay]:
    """Bays in number order with their neighbours. ``bays`` = widths, left to right, by face name.

    Raises `ValueError` if bays are asked for a face that is no rectangle standing on an edge, or don't add up to it.
    """
    found: list[Bay] = []
    for face in numbered(shape):
        widths = bays.get(face.name)
        found += [Bay(face, 1, 1, face.vertices)] if not widths else _columns(face, widths)
    return _with_neighbours(found)


def _columns(face: Face, widths: Sequence[float]) -> list[Bay]:
    x, y = upright_axes(normal(face.vertices))
    points = np.asarray(face.vertices)
    u, v = points @ x, points @ y
    x0, x1, y0, y1 = u.min(), u.max(), v.min(), v.max()
    on_edge = np.minimum(abs(u - x0), abs(u - x1)) + np.minimum(abs(v - y0), abs(v - y1))
    if len(points) != 4 or on_edge.max() > _TOUCH:
        raise ValueError(f"the face '{face.name}' is no upright rectangle, so it can't be split into bays")
    if abs(sum(widths) - (x1 - x0)) > _TOUCH:
        raise ValueError(f"the bays of '{face.name}' add up to {sum(widths):g} mm, the face is {x1 - x0:g} mm wide")
    origin = points[int(np.argmin(u + v))]
    made, left = [], 0.0
    for column, width in enumerate(widths, start=1):
        corners = ((left, 0.0), (left + width, 0.0), (left + width, y1 - y0), (left, y1 - y0))
        outline = tuple(_vertex(origin + a * x + b * y) for a, b in corners)
        made.append(Bay(face, 1, column, outline))
        left += width
    return made


def _vertex(point: np.ndarray) -> Vertex:
    return float(point[0]), float(point[1]), float(point[2])


def _with_neighbours(bays: list[Bay]) -> list[Bay]:
    starts, ends, owner = [], [], []
    for index, made in enumerate(bays):
        for edge, (p, q) in enumerate(zip(made.outline, made.outline[1:] + made.outline[:1], strict=True)):
            starts.append(p)
            ends.append(q)
            owner.append((index, edge))
    a, b = np.asarray(starts), np.asarray(ends)
    length = np.linalg.norm(b - a, axis=1)
    way = (b - a) / length[:, None]
    met: dict[tuple[int, int], list[Neighbour]] = {}
    for i, (bay, edge) in enumerate(owner):
        # another edge meets this one if it runs the opposite way along the same line and they overlap
        from_start, to_end = a - a[i], b - a[i]
        off_line = np.maximum(_off(from_start, way[i]), _off(to_end, way[i]))
        first, last = to_end @ way[i], from_start @ way[i]
        low, high = np.maximum(first, 0.0), np.minimum(last, length[i])
        for j in np.nonzero((off_line < _TOUCH) & (way @ way[i] < 0) & (high - low > _TOUCH))[0]:
            other, other_edge = owner[int(j)]
            if other != bay:
                joint = bays[other].face.name == bays[bay].face.name
                met.setdefault((bay, edge), []).append(
                    Neighbour(other, other_edge, float(low[j]), float(high[j]), joint)
                )
    return [
        Bay(
            bay.face,
            bay.row,
            bay.column,
            bay.outline,
            tuple(tuple(sorted(met.get((index, edge), []), key=lambda n: n.start)) for edge in range(len(bay.outline))),
        )
        for index, bay in enumerate(bays)
    ]


def _off(points: np.ndarray, way: np.ndarray) -> np.ndarray:
    return np.asarray(np.linalg.norm(points - np.outer(points @ way, way), axis=1))
