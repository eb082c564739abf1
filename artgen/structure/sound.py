"""Whether vertices and faces make a sound shape: every fault of it, each with its face.

Takes points in mm and faces as indices of points; gives (where, what) pairs, none if faces are flat, don't cross
themselves or one another, meet along whole edges, two at an edge, and run anticlockwise seen from outside.
"""

from collections import defaultdict
from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from shapely.geometry import Polygon

from ..units import mm_text
from .shape import Vertex
from .vec import Vec

FLAT = 0.1  # mm, ours: a vertex farther off its face's plane makes the face crooked
WELD = 0.01  # mm, ours: vertices closer than this are one
_SHORTEST = 1.0  # mm, ours: no frame has a shorter edge
_DEEP = 0.05  # mm: faces that run less far into one another touch
_MOST_TOLD = 40

Faces = Sequence[tuple[int, ...]]
Found = list[tuple[str, str]]


def welded(given: Sequence[Vertex], faces: Faces) -> tuple[Vec, list[tuple[int, ...]]]:
    """Vertices that stand in one place made one: the first of them. Points that no face names are dropped."""
    points = np.asarray(given, dtype=float)
    used = sorted({index for face in faces for index in face})
    first: dict[int, int] = {}
    kept: list[int] = []
    cells: dict[tuple[int, int, int], list[int]] = defaultdict(list)
    for index in used:
        point = points[index]
        x, y, z = (int(v) for v in np.floor(point / WELD))
        near = (
            at
            for i in (x - 1, x, x + 1)
            for j in (y - 1, y, y + 1)
            for k in (z - 1, z, z + 1)
            for at in cells.get((i, j, k), ())
        )
        same = next((at for at in near if float(np.linalg.norm(points[kept[at]] - point)) <= WELD), None)
        if same is None:
            same = len(kept)
            cells[x, y, z].append(same)
            kept.append(index)
        first[index] = same
    return points[kept], [tuple(first[index] for index in face) for face in faces]


def faults(points: Vec, faces: Faces, closed: bool) -> Found:
    """Every fault, the first 40 where there are more. ``closed``: an edge with one face alone is a hole."""
    found = [fault for index, face in enumerate(faces) for fault in _of_face(index, points, face)]
    if not found:  # edges and crossings of faces that are none themselves would only confuse
        edges = _edges(faces)
        found += _at_edges(points, edges)
        found += _partly(points, edges)
        found += _holes(points, edges) if closed else []
        found += _crossings(points, faces)
        if not found and closed:
            found += _inside_out(points, faces)
    return [*found[:_MOST_TOLD], ("", "and more faults")] if len(found) > _MOST_TOLD else found


def _plane(corners: Vec) -> tuple[Vec, Vec]:
    """Middle and normal (length = twice the area) of a face, by Newell's sum."""
    middle = corners.mean(axis=0)
    off = corners - middle
    return middle, np.cross(off, np.roll(off, -1, axis=0)).sum(axis=0)


def _axes(normal: Vec) -> Vec:
    """2 × 3: unit vectors in the plane, so that anticlockwise about the normal is anticlockwise in it."""
    helper = np.eye(3)[int(np.argmin(np.abs(normal)))]
    x = np.cross(helper, normal)
    x = x / np.linalg.norm(x)
    return np.stack([x, np.cross(normal, x)])


def _of_face(index: int, points: Vec, face: tuple[int, ...]) -> Found:
    where, corners = f"f{index + 1}", points[list(face)]
    if len(set(face)) != len(face):
        again = next(v for i, v in enumerate(face) if v in face[:i])
        return [(where, f"goes through one vertex twice, at {_place(points[again])}")]
    sides = np.linalg.norm(np.roll(corners, -1, axis=0) - corners, axis=1)
    middle, newell = _plane(corners)
    doubled = float(np.linalg.norm(newell))
    if doubled <= WELD * float(sides.max()):
        # the two halves of a figure of eight cancel out, though its vertices lie on no one line
        spread = np.linalg.svd(corners - middle, compute_uv=False)[1]
        return [(where, "crosses itself" if spread > WELD else "has no area")]
    if sides.min() < _SHORTEST:
        which = int(np.argmin(sides))
        return [(where, f"edge {which + 1} is only {sides[which]:.2f} mm long")]
    normal = newell / doubled
    off = np.abs((corners - middle) @ normal)
    if off.max() > FLAT:
        worst = int(np.argmax(off))
        return [
            (where, f"is not flat: its vertex at {_place(corners[worst])} stands {off[worst]:.1f} mm off its plane")
        ]
    if not Polygon((corners - middle) @ _axes(normal).T).is_valid:
        return [(where, "crosses itself")]
    return []


_Edge = tuple[int, int]
_Owners = dict[_Edge, list[tuple[int, int, bool]]]  # vertex pair, the lower first: (face, its edge, runs that way)


def _edges(faces: Faces) -> _Owners:
    found: _Owners = defaultdict(list)
    for index, face in enumerate(faces):
        for edge, (a, b) in enumerate(zip(face, face[1:] + face[:1], strict=True)):
            found[min(a, b), max(a, b)].append((index, edge, a < b))
    return found


def _at_edges(points: Vec, edges: _Owners) -> Found:
    found = []
    for (a, b), owners in edges.items():
        names = ", ".join(f"f{face + 1}" for face, _, _ in owners)
        if len(owners) > 2:
            found.append((names, f"{len(owners)} faces at one edge, {_stretch(points, a, b)}: at most two can meet"))
        elif len(owners) == 2 and owners[0][2] == owners[1][2]:
            what = "run the same way along their edge, so one of them is turned inside out"
            found.append((names, f"{what}: {_stretch(points, a, b)}"))
    return found


def _partly(points: Vec, edges: _Owners) -> Found:
    """Edges of one face alone that lie along others without matching them end to end."""
    alone = [(pair, owners[0][0]) for pair, owners in edges.items() if len(owners) == 1]
    if len(alone) < 2:
        return []
    a, b = (points[[pair[i] for pair, _ in alone]] for i in (0, 1))
    length = np.linalg.norm(b - a, axis=1)
    way = (b - a) / length[:, None]
    found = []
    for i, (pair, face) in enumerate(alone):
        from_start, to_end = a - a[i], b - a[i]
        s, t = from_start @ way[i], to_end @ way[i]
        off = [np.linalg.norm(v - np.outer(u, way[i]), axis=1) for v, u in ((from_start, s), (to_end, t))]
        shared = np.minimum(np.maximum(s, t), length[i]) - np.maximum(np.minimum(s, t), 0.0)
        for j in np.nonzero((np.maximum(*off) < _DEEP) & (shared > _DEEP))[0]:
            if j > i:
                names = f"f{face + 1}, f{alone[int(j)][1] + 1}"
                found.append(
                    (names, f"their edges lie along one another but don't match end to end: {_stretch(points, *pair)}")
                )
    return found


def _holes(points: Vec, edges: _Owners) -> Found:
    """Rings of edges with one face alone."""
    following: dict[int, list[int]] = defaultdict(list)
    for (a, b), owners in edges.items():
        if len(owners) == 1:
            start, end = (b, a) if owners[0][2] else (a, b)  # the missing face runs the other way
            following[start].append(end)
    found = []
    while following:
        start = at = min(following)
        ring = []
        while at in following:
            ring.append(at)
            after = following[at].pop(0)
            if not following[at]:
                del following[at]
            at = after
            if at == start:
                break
        shown = "; ".join(_place(points[v]) for v in ring[:4]) + (" …" if len(ring) > 4 else "")
        found.append(("", f"a hole of {len(ring)} edges without a second face, at {shown}"))
    return found


def _crossings(points: Vec, faces: Faces) -> Found:
    """Pairs of faces that run into one another: an edge of one pierces the other, or they lie in one plane and overlap."""
    edges = np.array([(a, b) for face in faces for a, b in zip(face, face[1:] + face[:1], strict=True)])
    owner = np.array([index for index, face in enumerate(faces) for _ in face])
    p, q = points[edges[:, 0]], points[edges[:, 1]]
    crossing: set[tuple[int, int]] = set()
    planes = [_plane(points[list(face)]) for face in faces]
    for index in range(len(faces)):
        if len(crossing) > _MOST_TOLD:  # enough to tell
            break
        crossing.update(
            (min(index, other), max(index, other)) for other in _into(index, points, faces, planes, p, q, owner)
        )
    return [(f"f{a + 1}, f{b + 1}", "run through one another") for a, b in sorted(crossing)]


def _into(
    index: int, points: Vec, faces: Faces, planes: list[tuple[Vec, Vec]], p: Vec, q: Vec, owner: Vec
) -> Iterator[int]:
    """Faces whose edges pierce face ``index``, or that lie on it."""
    middle, newell = planes[index]
    normal = newell / np.linalg.norm(newell)
    axes = _axes(normal)
    outline = Polygon((points[list(faces[index])] - middle) @ axes.T)
    inside = outline.buffer(-_DEEP, join_style="mitre")
    above, below = (p - middle) @ normal, (q - middle) @ normal
    pierces = np.nonzero((np.minimum(above, below) < -_DEEP) & (np.maximum(above, below) > _DEEP) & (owner != index))[0]
    if len(pierces):
        share = above[pierces] / (above[pierces] - below[pierces])
        at = (p[pierces] + share[:, None] * (q[pierces] - p[pierces]) - middle) @ axes.T
        yield from owner[pierces[shapely.contains_xy(inside, at[:, 0], at[:, 1])]].tolist()
    level = np.maximum(np.abs(above), np.abs(below)) <= FLAT
    candidates = sorted(set(owner[level].tolist()) - {index})
    for other in candidates:
        corners = points[list(faces[other])] - middle
        if other > index and np.abs(corners @ normal).max() <= FLAT:
            common = inside.intersection(Polygon(corners @ axes.T))
            if common.area > _DEEP * _SHORTEST:
                yield other


def _inside_out(points: Vec, faces: Faces) -> Found:
    """Separate bodies whose faces all run clockwise seen from outside: their volume comes out below 0."""
    body = list(range(len(points)))

    def root(v: int) -> int:
        while body[v] != v:
            body[v] = body[body[v]]
            v = body[v]
        return v

    for face in faces:
        for v in face[1:]:
            body[root(v)] = root(face[0])
    volume: dict[int, float] = defaultdict(float)
    for face in faces:
        corners = points[list(face)] - points[root(face[0])]
        middle, newell = _plane(corners)
        volume[root(face[0])] += float(middle @ newell) / 6
    return [
        (
            "",
            f"the body at {_place(points[at])} is inside out: turn its faces, vertices run anticlockwise seen from outside",
        )
        for at, inside in sorted(volume.items())
        if inside < 0
    ]


def _place(point: Vec) -> str:
    return "(" + ", ".join(mm_text(float(v)) for v in point) + ")"


def _stretch(points: Vec, a: int, b: int) -> str:
    return f"from {_place(points[a])} to {_place(points[b])}"
