"""Net: all faces of a structure unfolded into one plane, none on another.

Takes numbered bays; gives where each lies, and along which edges they hang together. The bays of a face stay together.
"""

from collections.abc import Iterator, Sequence
from heapq import heappop, heappush
from math import cos, pi, sin, sqrt
from typing import Literal

import numpy as np
from attrs import field, frozen
from shapely.geometry import Polygon

from .bays import Bay
from .vec import Vec

Flat = tuple[float, float]
_OVERLAP = 1e-3  # mm²: less is float dust of edges that touch
_DUST = 1e-8  # mm
_MOST_TRIES = 60  # cut trees that are tried for one connected set of faces …
_MOST_STEPS = 30_000  # … and faces that are laid for it in all
_APART = 0.05  # of the net's larger side: gap between parts that don't hang together


@frozen
class Joined:
    """Two bays that meet in the net along ``start``–``end``, mm in its plane, anticlockwise round ``bay``."""

    bay: int
    other: int
    start: Flat
    end: Flat


@frozen
class Net:
    """``outlines`` = each bay's metal in the plane, seen from outside, mm, in the bays' order, lower left of all at the
    origin; ``parts`` = the bays that hang together; ``whole``: every set of faces that touch one another is one part."""

    outlines: tuple[tuple[Flat, ...], ...]
    joined: tuple[Joined, ...]
    parts: tuple[tuple[int, ...], ...]
    whole: bool


@frozen
class _Hinge:
    """An edge where face ``other`` meets this one: ``p`` to ``q`` in space, anticlockwise round this one."""

    other: int
    p: Vec = field(eq=False)
    q: Vec = field(eq=False)
    upright: bool
    length: float


@frozen
class _Side:
    """A face to be laid: ``flat`` = its outline in its own axes, ``origin``, ``axes`` = what takes space there."""

    vertices: Vec = field(eq=False)
    axes: Vec = field(eq=False)
    flat: Vec = field(eq=False)
    hinges: tuple[_Hinge, ...]


_Place = tuple[Vec, Vec]  # 2 × 2 turn, then shift: a face's own axes → the plane
_Way = Literal["upright first", "longest first", "breadth", "steepest"]


def net(bays: Sequence[Bay]) -> Net:
    """The net of a structure; faces that don't touch, and those that no tried cut tree lays free of others, lie apart."""
    number = {name: i for i, name in enumerate(dict.fromkeys(bay.face.name for bay in bays))}
    face_of = [number[bay.face.name] for bay in bays]
    sides = _sides(bays, face_of)
    parts: list[dict[int, _Place]] = []
    whole = True
    for group in _groups(sides):
        laid = _lay(sides, group)
        parts += laid
        whole = whole and len(laid) == 1
    places, part_of = _set_apart(sides, parts)
    outlines = [
        _in_plane(np.asarray(bay.outline), sides[face], places[face]) for bay, face in zip(bays, face_of, strict=True)
    ]
    low = np.min([outline.min(axis=0) for outline in outlines], axis=0)
    points = _Points()
    outlines = [points.snapped(outline - low) for outline in outlines]
    by_part: dict[int, list[int]] = {}
    for index, face in enumerate(face_of):
        by_part.setdefault(part_of[face], []).append(index)
    return Net(
        tuple(tuple((float(x), float(y)) for x, y in outline) for outline in outlines),
        tuple(_joined(bays, outlines)),
        tuple(tuple(part) for part in by_part.values()),
        whole,
    )


def _sides(bays: Sequence[Bay], face_of: list[int]) -> list[_Side]:
    bay_of = dict(zip(face_of, bays, strict=True))
    hinges: dict[int, dict[int, _Hinge]] = {face: {} for face in bay_of}
    for bay, face in zip(bays, face_of, strict=True):
        for edge, neighbours in enumerate(bay.neighbours):
            a, b = (np.asarray(bay.outline[(edge + i) % len(bay.outline)]) for i in (0, 1))
            way = (b - a) / np.linalg.norm(b - a)
            for met in neighbours:
                other, length = face_of[met.bay], met.end - met.start
                found = hinges[face].get(other)
                # of the stretches of one edge, split by bays, the longest will do: all lie on one line
                if not met.joint and (found is None or found.length < length - 1e-9):
                    p, q = a + way * met.start, a + way * met.end
                    hinges[face][other] = _Hinge(other, p, q, bool(abs(way[2]) > 0.7), length)
    made = []
    for face, bay in sorted(bay_of.items()):
        vertices, axes = np.asarray(bay.face.vertices), np.array([bay.plane.x, bay.plane.y])
        made.append(_Side(vertices, axes, (vertices - vertices[0]) @ axes.T, tuple(hinges[face].values())))
    return made


def _groups(sides: list[_Side]) -> list[list[int]]:
    """Faces that hang together by edges, each set in number order."""
    left, found = set(range(len(sides))), []
    while left:
        reached, todo = set[int](), [min(left)]
        while todo:
            at = todo.pop()
            if at not in reached:
                reached.add(at)
                todo += [hinge.other for hinge in sides[at].hinges]
        left -= reached
        found.append(sorted(reached))
    return found


def _lay(sides: list[_Side], group: list[int]) -> list[dict[int, _Place]]:
    """Places of a connected set of faces, in as few parts as the tried cut trees give."""
    best: list[dict[int, _Place]] = []
    steps = 0
    for way, root, cut in _trees(sides, group):
        laid = _grown(sides, group, way, root, cut)
        if not best or len(laid) < len(best):
            best = laid
        steps += len(group)
        if len(best) == 1 or steps > _MOST_STEPS:
            break
    return best


def _trees(sides: list[_Side], group: list[int]) -> Iterator[tuple[_Way, int, Vec]]:
    """Ways to grow a tree of faces: what a person would cut first, then others, then cuts along many directions.

    "steepest": each vertex of a convex shape is cut along the edge that climbs most in one direction, which unfolds
    nearly every convex shape (W. Schlickenrieder, Nets of polyhedra, 1997).
    """
    up = np.array([0.0, 0.0, 1.0])
    ways: tuple[_Way, ...] = ("upright first", "breadth", "longest first")
    for way in ways:
        yield way, group[0], up
    count = _MOST_TRIES // 2
    for i in range(count):  # directions spread over the sphere on a spiral, a golden angle apart
        climb, turn = 1 - (2 * i + 1) / count, i * pi * (3 - sqrt(5))
        level = sqrt(1 - climb * climb)
        yield "steepest", group[0], np.array([level * cos(turn), level * sin(turn), climb])
    for i in range(count):
        yield ways[i % 3], group[i * 7 % len(group)], up


def _grown(sides: list[_Side], group: list[int], way: _Way, root: int, cut: Vec) -> list[dict[int, _Place]]:
    """Faces laid one by one beside those that lie already; one that fits nowhere begins a part of its own."""
    barred = _steepest(sides, group, cut) if way == "steepest" else set()
    left = dict.fromkeys(group)
    parts = []
    start, laid = root, 0
    while left:
        part: dict[int, _Place] = {}
        shapes = _Laid()
        todo: list[tuple[tuple[float, float, float], int, int, _Hinge | None]] = [((0.0, 0.0, 0.0), 0, start, None)]
        while todo:
            _, _, here, hinge = heappop(todo)
            face = here if hinge is None else hinge.other
            if face not in left or (min(here, face), max(here, face)) in barred:
                continue
            place = (np.eye(2), np.zeros(2)) if hinge is None else _beside(sides[here], part[here], hinge, sides[face])
            outline = sides[face].flat @ place[0].T + place[1]
            if not shapes.free(outline):
                continue
            part[face] = place
            del left[face]
            shapes.add(outline)
            for n, after in enumerate(sides[face].hinges):
                laid += 1
                heappush(todo, (_rank(after, way, laid - n), laid, face, after))
        parts.append(part)
        start = next(iter(left), -1)
    return parts


def _rank(hinge: _Hinge, way: _Way, age: int) -> tuple[float, float, float]:
    """The least goes first."""
    if way == "upright first":
        # sides in a row by their numbers, each beside the one before; lids on the first that has an edge for them
        return float(not hinge.upright), hinge.other, -age if hinge.upright else age
    if way == "longest first":
        return -round(hinge.length, 6), age, 0.0
    return age, -round(hinge.length, 6), 0.0


def _steepest(sides: list[_Side], group: list[int], direction: Vec) -> set[tuple[int, int]]:
    """Pairs of faces that are cut apart: from each vertex but the highest, the edge that climbs most."""
    best: dict[tuple[float, ...], tuple[float, tuple[int, int]]] = {}
    for index in group:
        for hinge in sides[index].hinges:
            pair = (min(index, hinge.other), max(index, hinge.other))
            for a, b in ((hinge.p, hinge.q), (hinge.q, hinge.p)):
                climb = float((b - a) @ direction) / hinge.length
                key = tuple(np.round(a, 3).tolist())
                if climb > best.get(key, (0.0, pair))[0]:
                    best[key] = (climb, pair)
    return {pair for _, pair in best.values()}


def _beside(here: _Side, place: _Place, hinge: _Hinge, there: _Side) -> _Place:
    """``there`` turned about the hinge into the plane: both see it from outside, so it comes to lie on the far side."""
    p, q = ((point - here.vertices[0]) @ here.axes.T @ place[0].T + place[1] for point in (hinge.p, hinge.q))
    own_p, own_q = ((point - there.vertices[0]) @ there.axes.T for point in (hinge.p, hinge.q))
    u, v = (q - p) / np.linalg.norm(q - p), (own_q - own_p) / np.linalg.norm(own_q - own_p)
    c, s = float(u @ v), float(v[0] * u[1] - v[1] * u[0])
    turn = np.array([[c, -s], [s, c]]) / np.hypot(c, s)
    return turn, (p + q) / 2 - turn @ (own_p + own_q) / 2


class _Points:
    """Points that are one but for float dust made one: GEOS can take outlines for overlapping whose edges nearly agree."""

    def __init__(self) -> None:
        self.cells: dict[tuple[int, int], Vec] = {}

    def snapped(self, outline: Vec) -> Vec:
        return np.array([self._snapped(point) for point in outline])

    def _snapped(self, point: Vec) -> Vec:
        x, y = (int(v) for v in np.floor(point / _DUST))
        for i in (x, x - 1, x + 1):
            for j in (y, y - 1, y + 1):
                if (i, j) in self.cells:
                    return self.cells[i, j]
        self.cells[x, y] = point
        return point


class _Laid:
    """Outlines in the plane, and whether another one lies free of them."""

    def __init__(self) -> None:
        self.shapes: list[Polygon] = []
        self.boxes = np.zeros((0, 4))
        self.points = _Points()

    def add(self, outline: Vec) -> None:
        outline = self.points.snapped(outline)
        self.shapes.append(Polygon(outline))
        self.boxes = np.vstack([self.boxes, self._box(outline)])

    def free(self, outline: Vec) -> bool:
        outline = self.points.snapped(outline)
        x0, y0, x1, y1 = self._box(outline)
        b = self.boxes
        near = np.nonzero((b[:, 0] < x1) & (b[:, 2] > x0) & (b[:, 1] < y1) & (b[:, 3] > y0))[0]
        shape = Polygon(outline)
        return all(self.shapes[i].intersection(shape).area <= _OVERLAP for i in near)

    @staticmethod
    def _box(outline: Vec) -> Vec:
        return np.concatenate([outline.min(axis=0), outline.max(axis=0)])


def _set_apart(sides: list[_Side], parts: list[dict[int, _Place]]) -> tuple[dict[int, _Place], dict[int, int]]:
    """All parts side by side, left to right, feet level."""
    boxes = []
    for part in parts:
        points = np.concatenate([sides[index].flat @ turn.T + shift for index, (turn, shift) in part.items()])
        boxes.append((points.min(axis=0), points.max(axis=0)))
    gap = _APART * max(float((high - low).max()) for low, high in boxes)
    places: dict[int, _Place] = {}
    part_of: dict[int, int] = {}
    x = 0.0
    for at, (part, (low, high)) in enumerate(zip(parts, boxes, strict=True)):
        move = np.array([x, 0.0]) - low
        for index, (turn, shift) in part.items():
            places[index], part_of[index] = (turn, shift + move), at
        x += float(high[0] - low[0]) + gap
    return places, part_of


def _in_plane(outline: Vec, side: _Side, place: _Place) -> Vec:
    flat: Vec = (outline - side.vertices[0]) @ side.axes.T @ place[0].T + place[1]
    return flat


def _joined(bays: Sequence[Bay], outlines: list[Vec]) -> Iterator[Joined]:
    """Neighbours that are neighbours in the net too, each pair once."""
    for index, bay in enumerate(bays):
        for edge, neighbours in enumerate(bay.neighbours):
            for met in neighbours:
                if met.bay < index:
                    continue
                back = next(n for n in bays[met.bay].neighbours[met.edge] if n.bay == index and n.edge == edge)
                here = _stretch(outlines[index], edge, met.start, met.end)
                there = _stretch(outlines[met.bay], met.edge, back.end, back.start)
                if max(np.abs(a - b).max() for a, b in zip(here, there, strict=True)) < 1e-6:
                    (x0, y0), (x1, y1) = here
                    yield Joined(index, met.bay, (float(x0), float(y0)), (float(x1), float(y1)))


def _stretch(outline: Vec, edge: int, start: float, end: float) -> tuple[Vec, Vec]:
    a, b = outline[edge], outline[(edge + 1) % len(outline)]
    way = (b - a) / np.linalg.norm(b - a)
    return a + way * start, a + way * end
