"""Faces to numbered bays: the order of the numbers, the split into bays, and who meets whom along which line.

Takes a shape and rows of bays; gives `Bay`s in number order, each with its metal's outline in space, and the
neighbours of each of its edges.
"""

from collections.abc import Iterator, Mapping, Sequence
from math import atan2, degrees, sqrt
from operator import itemgetter

from attrs import frozen

from ..order import BayRow
from ..typed import Faults
from .shape import Face, Plane, Shape, Vertex, dot, normal, plane

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
    """The part of a face that one panel dresses. ``outline`` = outer edge of its metal, anticlockwise from outside; ``flat`` =
    the same along the axes of ``plane``, the face's, without float dust.

    ``row``, ``column`` count from 1, from the top left of the face as it is sewn; ``rows`` = how many the face has,
    ``columns`` = how many this row has.
    """

    face: Face
    plane: Plane
    row: int
    column: int
    outline: tuple[Vertex, ...]
    flat: tuple[tuple[float, float], ...]
    rows: int = 1
    columns: int = 1
    neighbours: tuple[tuple[Neighbour, ...], ...] = ()

    def meeting(self, neighbours: tuple[tuple[Neighbour, ...], ...]) -> "Bay":
        b = self
        return Bay(b.face, b.plane, b.row, b.column, b.outline, b.flat, b.rows, b.columns, neighbours)


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
            found += _rows(face, rows) if rows else [_whole(face)]
        except ValueError as error:
            faults.append((face.name, str(error)))
    if faults:
        raise Faults(faults)
    return _with_neighbours(found)


def _whole(face: Face) -> Bay:
    """The one bay of a face that is not split."""
    lies = plane(face.vertices)
    # dust is rounded off: points of a level or upright edge share their coordinate exactly
    flat = tuple((round(dot(p, lies.x), 9), round(dot(p, lies.y), 9)) for p in face.vertices)
    return Bay(face, lies, 1, 1, face.vertices, flat)


def _rows(face: Face, rows: Sequence[BayRow]) -> list[Bay]:
    whole = _whole(face)
    us, vs = zip(*whole.flat, strict=True)
    x0, x1, y0, y1 = min(us), max(us), min(vs), max(vs)
    off_edge = max(min(u - x0, x1 - u) + min(v - y0, y1 - v) for u, v in whole.flat)
    off_plane = max(abs(dot(p, whole.plane.normal) - dot(face.vertices[0], whole.plane.normal)) for p in face.vertices)
    if len(us) != 4 or max(off_edge, off_plane) > _TOUCH:
        raise ValueError("this face is no rectangle, so it can't be split into bays")
    wide = x1 - x0
    made, top = [], y1
    for number, (row, height) in enumerate(zip(rows, _heights(rows, y1 - y0), strict=True), start=1):
        widths = row.widths or (wide,)
        if abs(sum(widths) - wide) > _TOUCH:
            which = f"of row {number} " if len(rows) > 1 else ""
            raise ValueError(f"the bays {which}add up to {sum(widths):g} mm, the face is {wide:g} mm wide")
        left, bottom = x0, round(top - height, 9)
        for column, width in enumerate(widths, start=1):
            right = round(left + width, 9)
            flat = ((left, bottom), (right, bottom), (right, top), (left, top))
            outline = tuple(whole.plane.point(u, v) for u, v in flat)
            made.append(Bay(face, whole.plane, number, column, outline, flat, len(rows), len(widths)))
            left = right
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


# Directions that no frame is built along, so that different lines get different keys
_G, _H, _K = (0.5773, 0.2113, 0.7887), (0.3217, 0.8931, 0.3141), (0.9127, 0.1731, 0.3703)
# key of the edge's line, its reach along that, whether it runs forwards, bay, edge, first and last vertex, unit way, length
_Edge = tuple[float, float, float, bool, int, int, Vertex, Vertex, Vertex, float]


def _with_neighbours(bays: list[Bay]) -> list[Bay]:
    """Each bay with who meets each of its edges: another edge that runs the opposite way along the same line, and overlaps.

    Only edges on about the same line are compared, so the work grows with the number of edges, not with its square.
    """
    met: list[list[list[Neighbour]]] = [[[] for _ in bay.outline] for bay in bays]
    for one, other in _candidates([edge for index, bay in enumerate(bays) for edge in _edges(index, bay)]):
        for here, there in ((one, other), (other, one)):
            *_, bay, edge, a, _, way, length = here
            *_, other_bay, other_edge, c, d, _, _ = there
            first, last = _along(a, d, way), _along(a, c, way)
            low, high = max(first[0], 0.0), min(last[0], length)
            if max(first[1], last[1]) < _TOUCH and high - low > _TOUCH and other_bay != bay:
                joint = bays[other_bay].face.name == bays[bay].face.name
                met[bay][edge].append(Neighbour(other_bay, other_edge, low, high, joint))
    for of_bay in met:
        for found in of_bay:
            if len(found) > 1:
                found.sort(key=lambda n: (n.start, n.bay))
    return [bay.meeting(tuple(map(tuple, of_bay))) for bay, of_bay in zip(bays, met, strict=True)]


def _edges(index: int, bay: Bay) -> Iterator[_Edge]:
    (gx, gy, gz), (hx, hy, hz), (kx, ky, kz) = _G, _H, _K
    outline = bay.outline
    for edge, (a, b) in enumerate(zip(outline, (*outline[1:], outline[0]), strict=True)):
        (ax, ay, az), (bx, by, bz) = a, b
        x, y, z = bx - ax, by - ay, bz - az
        length = sqrt(x * x + y * y + z * z)
        x, y, z = x / length, y / length, z / length
        start = ax * x + ay * y + az * z
        sense = x * gx + y * gy + z * gz
        # the line's point nearest to the origin, and its direction, by a number that is the same for both senses
        key = (ax * gx + ay * gy + az * gz) - start * sense
        key += 1000.0 * (x * hx + y * hy + z * hz) * (x * kx + y * ky + z * kz)
        low, high = (start, start + length) if sense > 0 else (-start - length, -start)
        yield key, low, high, sense > 0, index, edge, a, b, (x, y, z), length


def _candidates(edges: list[_Edge]) -> Iterator[tuple[_Edge, _Edge]]:
    """Pairs of edges that run opposite ways on about the same line and overlap."""
    edges.sort()
    start = 0
    while start < len(edges):
        end, last = start + 1, edges[start][0]
        while end < len(edges) and edges[end][0] - last <= _SAME_LINE:
            last = edges[end][0]
            end += 1
        if end - start > 1:
            group = sorted(edges[start:end], key=itemgetter(1))
            for n, one in enumerate(group, start=1):
                reach = one[2] - _TOUCH
                while n < len(group) and group[n][1] < reach:
                    if group[n][3] != one[3]:
                        yield one, group[n]
                    n += 1
        start = end


def _along(a: Vertex, point: Vertex, way: Vertex) -> tuple[float, float]:
    """How far ``point`` stands from ``a`` along a line's unit ``way``, and how far off the line."""
    x, y, z = point[0] - a[0], point[1] - a[1], point[2] - a[2]
    along = x * way[0] + y * way[1] + z * way[2]
    x, y, z = x - along * way[0], y - along * way[1], z - along * way[2]
    return along, sqrt(x * x + y * y + z * z)
