"""Faces to numbered bays: the order of the numbers, the split into bays, and who meets whom along which line.

Takes a shape and rows of bays; gives `Bay`s in number order, each with its metal's outline in space, and the
neighbours of each of its edges.
"""

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from math import atan2, degrees

import numpy as np
from attrs import evolve, frozen

from ..parts import BayRow
from ..typed import Faults
from .shape import Face, Shape, Vec, Vertex, normal, sewn_axes

_TOUCH = 1e-3  # mm: metal edges closer than this meet
_TIE = 1e-6  # degrees
_SAME_LINE = 0.05  # mm: lines whose keys differ by more are different ones; wide enough for what `_TOUCH` lets pass


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
    """The part of a face that one panel dresses. ``outline`` = outer edge of its metal, anticlockwise from outside.

    ``row``, ``column`` count from 1, from the top left of the face as it is sewn; ``rows`` = how many the face has,
    ``columns`` = how many this row has.
    """

    face: Face
    row: int
    column: int
    outline: tuple[Vertex, ...]
    neighbours: tuple[tuple[Neighbour, ...], ...] = ()
    rows: int = 1
    columns: int = 1


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


def split(shape: Shape, bays: Mapping[str, Sequence[BayRow]]) -> list[Bay]:
    """Bays in number order with their neighbours. ``bays`` = rows, top row first, by face name.

    Raises `Faults`, each with its face's name, where a face is no rectangle or its bays don't add up to it.
    """
    found: list[Bay] = []
    faults: list[tuple[str, str]] = []
    for face in numbered(shape):
        rows = bays.get(face.name)
        try:
            found += [Bay(face, 1, 1, face.vertices)] if not rows else _rows(face, rows)
        except ValueError as error:
            faults.append((face.name, str(error)))
    if faults:
        raise Faults(faults)
    return _with_neighbours(found)


def _rows(face: Face, rows: Sequence[BayRow]) -> list[Bay]:
    x, y, _ = sewn_axes(face.vertices)
    points = np.asarray(face.vertices)
    u, v = points @ x, points @ y
    x0, x1, y0, y1 = u.min(), u.max(), v.min(), v.max()
    off_edge = np.minimum(abs(u - x0), abs(u - x1)) + np.minimum(abs(v - y0), abs(v - y1))
    off_plane = np.abs((points - points[0]) @ normal(face.vertices))
    if len(points) != 4 or max(off_edge.max(), off_plane.max()) > _TOUCH:
        raise ValueError("this face is no rectangle, so it can't be split into bays")
    wide, high = float(x1 - x0), float(y1 - y0)
    origin = points[int(np.argmin(u + v))]
    made, top = [], high
    for number, (row, height) in enumerate(zip(rows, _heights(rows, high), strict=True), start=1):
        widths = row.widths or (wide,)
        if abs(sum(widths) - wide) > _TOUCH:
            which = f"of row {number} " if len(rows) > 1 else ""
            raise ValueError(f"the bays {which}add up to {sum(widths):g} mm, the face is {wide:g} mm wide")
        left, bottom = 0.0, top - height
        for column, width in enumerate(widths, start=1):
            corners = ((left, bottom), (left + width, bottom), (left + width, top), (left, top))
            outline = tuple(_vertex(origin + a * x + b * y) for a, b in corners)
            made.append(Bay(face, number, column, outline, rows=len(rows), columns=len(widths)))
            left += width
        top = bottom
    return made


def _heights(rows: Sequence[BayRow], high: float) -> list[float]:
    """Rows without a height share what the others leave, equally."""
    given = sum(row.height for row in rows if row.height is not None)
    open_rows = sum(row.height is None for row in rows)
    if open_rows and high - given <= _TOUCH:
        raise ValueError(
            f"the rows with a height take up {given:g} mm, the face is {high:g} mm high: no room for the rest"
        )
    if not open_rows and abs(given - high) > _TOUCH:
        raise ValueError(f"the rows add up to {given:g} mm, the face is {high:g} mm high")
    share = (high - given) / open_rows if open_rows else 0.0
    return [share if row.height is None else float(row.height) for row in rows]


def _vertex(point: Vec) -> Vertex:
    return float(point[0]), float(point[1]), float(point[2])


def _with_neighbours(bays: list[Bay]) -> list[Bay]:
    """Each bay with who meets each of its edges: another edge that runs the opposite way along the same line, and overlaps.

    Only edges on about the same line are compared, so the work grows with the number of edges, not with its square.
    """
    points = [np.asarray(bay.outline) for bay in bays]
    a = np.concatenate(points)
    b = np.concatenate([np.roll(outline, -1, axis=0) for outline in points])
    owner = [(index, edge) for index, bay in enumerate(bays) for edge in range(len(bay.outline))]
    length = np.linalg.norm(b - a, axis=1)
    way = (b - a) / length[:, None]
    met: dict[tuple[int, int], list[Neighbour]] = {}
    for i, j in _candidates(a, b, way):
        (bay, edge), (other, other_edge) = owner[i], owner[j]
        first, last = float((b[j] - a[i]) @ way[i]), float((a[j] - a[i]) @ way[i])
        low, high = max(first, 0.0), min(last, float(length[i]))
        off_line = max(_off(a[j] - a[i], way[i]), _off(b[j] - a[i], way[i]))
        if off_line < _TOUCH and high - low > _TOUCH and other != bay:
            joint = bays[other].face.name == bays[bay].face.name
            met.setdefault((bay, edge), []).append(Neighbour(other, other_edge, low, high, joint))
    return [
        evolve(
            bay,
            neighbours=tuple(
                tuple(sorted(met.get((index, edge), []), key=lambda n: (n.start, n.bay)))
                for edge in range(len(bay.outline))
            ),
        )
        for index, bay in enumerate(bays)
    ]


# Directions that no frame is built along, so that different lines get different keys
_G, _H, _K = (np.array(v) for v in ((0.5773, 0.2113, 0.7887), (0.3217, 0.8931, 0.3141), (0.9127, 0.1731, 0.3703)))


def _candidates(a: Vec, b: Vec, way: Vec) -> Iterator[tuple[int, int]]:
    """Pairs (i, j) of edges that run opposite ways on about the same line and overlap, both ways round."""
    foot = a - np.einsum("ij,ij->i", a, way)[:, None] * way  # the point of the line nearest to the origin
    key = foot @ _G + 1000.0 * (way @ _H) * (way @ _K)  # the same for both senses of a line
    # each edge's reach along its own line, the line's sense being the same for both ways of running along it
    forwards = way @ _G > 0
    along = np.where(forwards[:, None], way, -way)
    p, q = np.einsum("ij,ij->i", a, along), np.einsum("ij,ij->i", b, along)
    low, high = np.minimum(p, q), np.maximum(p, q)
    order = np.argsort(key, kind="stable")
    bounds = [0, *(np.nonzero(np.diff(key[order]) > _SAME_LINE)[0] + 1).tolist(), len(order)]
    for start, end in pairwise(bounds):
        group = order[start:end]
        if len(group) < 2:
            continue
        group = group[np.argsort(low[group], kind="stable")]
        reach = np.searchsorted(low[group], high[group] - _TOUCH)
        for n, last in enumerate(reach.tolist()):
            for m in range(n + 1, last):
                i, j = int(group[n]), int(group[m])
                if forwards[i] != forwards[j]:
                    yield i, j
                    yield j, i


def _off(point: Vec, way: Vec) -> float:
    return float(np.linalg.norm(point - (point @ way) * way))
