"""Nets: flat, never on one another (shapely), as large as their faces, and they fold back to the shape.

Folding back goes along the net's own joined edges: each face is turned about its edge by the dihedral angle of the two
faces in space (Rodrigues' formula), starting from one face that is laid on its place; nothing of the unfolding is used.
"""

from math import acos, sqrt

import numpy as np
import pytest
import zoo
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon
from zoo import normal

from artgen.structure.bays import Bay, split
from artgen.structure.kinds import KINDS
from artgen.structure.net import Net, net
from artgen.structure.shape import Face, Shape


def bays_of(name: str) -> list[Bay]:
    if name in zoo.BARE:
        return split(zoo.BARE[name], {})
    structure = zoo.order(zoo.ORDERS[name]).structures[0]
    shape = KINDS[structure.kind].faces(structure.keys, 100.0, structure.bays)
    return split(shape, structure.bays)


def pyramid(sides: int, radius: float, high: float) -> Shape:
    ring = [(radius * np.cos(2 * np.pi * i / sides), radius * np.sin(2 * np.pi * i / sides), 0.0) for i in range(sides)]
    return zoo.hull_shape(np.array([*ring, (0.0, 0.0, high)]))


CONVEX = {
    "truncated octahedron": zoo.hull_shape(zoo.truncated_octahedron()[0]),
    "pyramid": pyramid(4, 1000, 1500),
    "needle": pyramid(7, 300, 4000),
    "flat pyramid": pyramid(12, 2000, 150),
    "octahedron": zoo.hull_shape(np.vstack([np.eye(3), -np.eye(3)]) * 900),
}


def check(bays: list[Bay], flat: Net) -> None:
    shapes = [Polygon(outline) for outline in flat.outlines]
    for bay, shape in zip(bays, shapes, strict=True):
        assert shape.is_valid
        # area of a flat polygon in space: half the length of Newell's sum
        p = np.asarray(bay.outline)
        newell = np.cross(p - p[0], np.roll(p - p[0], -1, axis=0)).sum(axis=0)
        assert shape.area == pytest.approx(np.linalg.norm(newell) / 2, rel=1e-9)
        assert shape.exterior.is_ccw  # seen from outside
    for i, one in enumerate(shapes):
        for other in shapes[:i]:
            assert one.intersection(other).area < 1e-3
    assert min(x for outline in flat.outlines for x, _ in outline) == pytest.approx(0.0, abs=1e-9)
    assert min(y for outline in flat.outlines for _, y in outline) == pytest.approx(0.0, abs=1e-9)
    assert sorted(i for part in flat.parts for i in part) == list(range(len(bays)))
    for part in flat.parts:
        folds_back(bays, flat, part)


def folds_back(bays: list[Bay], flat: Net, part: tuple[int, ...]) -> None:
    """Every vertex of a part comes back to its place within 1e-6 mm."""
    first = part[0]
    placed = {first: rigid(flat.outlines[first], bays[first])}
    todo = [first]
    while todo:
        here = todo.pop()
        for join in flat.joined:
            if here not in (join.bay, join.other):
                continue
            there = join.other if join.bay == here else join.bay
            if there in placed:
                continue
            turn, move = placed[here]
            # the net still flat, lying on this face; then turned about the joined edge until its normal is right
            p, q = (turn @ np.array([*end, 0.0]) + move for end in (join.start, join.end))
            axis = (q - p) / np.linalg.norm(q - p)
            a, b = normal(bays[here].outline), normal(bays[there].outline)
            angle = np.arctan2(float(np.cross(a, b) @ axis), float(a @ b))
            k = np.array([[0, -axis[2], axis[1]], [axis[2], 0, -axis[0]], [-axis[1], axis[0], 0]])
            spin = np.eye(3) + np.sin(angle) * k + (1 - np.cos(angle)) * k @ k
            placed[there] = (spin @ turn, spin @ (move - p) + p)
            todo.append(there)
    assert set(placed) == set(part), "a part hangs together by its joined edges"
    for index, (turn, move) in placed.items():
        flat3 = np.array([(x, y, 0.0) for x, y in flat.outlines[index]])
        assert np.abs(flat3 @ turn.T + move - np.asarray(bays[index].outline)).max() < 1e-6


def rigid(outline: tuple[tuple[float, float], ...], bay: Bay) -> tuple[np.ndarray, np.ndarray]:
    """Turn and shift that lay the flat outline on the bay: by its longest edge and the normal."""
    p, q = np.array(outline), np.asarray(bay.outline)
    i = int(np.argmax(np.linalg.norm(np.roll(p, -1, axis=0) - p, axis=1)))
    j = (i + 1) % len(p)
    u, v = np.array([*(p[j] - p[i]), 0.0]), q[j] - q[i]
    u, v = u / np.linalg.norm(u), v / np.linalg.norm(v)
    n = normal(bay.outline)
    from_ = np.stack([u, np.cross([0, 0, 1.0], u), [0, 0, 1.0]])
    to = np.stack([v, np.cross(n, v), n])
    turn = to.T @ from_
    return turn, q[i] - turn @ np.array([*p[i], 0.0])


@pytest.mark.parametrize("name", [*zoo.ORDERS, *zoo.BARE])
def test_nets_of_the_zoo(name: str) -> None:
    bays = bays_of(name)
    flat = net(bays)
    assert flat.whole
    check(bays, flat)


@pytest.mark.parametrize("name", CONVEX)
def test_nets_of_convex_shapes(name: str) -> None:
    bays = split(CONVEX[name], {})
    flat = net(bays)
    assert flat.whole and len(flat.parts) == 1
    assert len(flat.joined) == len(bays) - 1  # a tree of joined edges: each face but the first hangs on one
    check(bays, flat)


@settings(max_examples=25, deadline=None)
@given(st.integers(5, 40), st.integers(0, 10_000), st.sampled_from([1.0, 0.2, 6.0]))
def test_nets_of_any_convex_hull(count: int, seed: int, stretched: float) -> None:
    points = np.random.default_rng(seed).normal(size=(count, 3)) * (900.0, 900.0, 900.0 * stretched)
    bays = split(zoo.hull_shape(points), {})
    flat = net(bays)
    check(bays, flat)
    assert flat.whole


def test_a_shape_with_many_faces() -> None:
    points = np.random.default_rng(7).normal(size=(250, 3))
    bays = split(zoo.hull_shape(points / np.linalg.norm(points, axis=1)[:, None] * 1500), {})
    assert len(bays) > 450
    flat = net(bays)
    assert flat.whole and len(flat.joined) == len(bays) - 1


def test_the_four_sides_of_a_box_stand_in_a_row() -> None:
    bays = bays_of("box")
    flat = net(bays)
    # feet level, left to right: 1000, 800, 1000, 800 wide; the top over the first, the underside under it
    lefts = [min(x for x, _ in flat.outlines[i]) for i in range(4)]
    assert lefts == pytest.approx([0, 1000, 1800, 2800], abs=1e-9)
    foot = [min(y for _, y in flat.outlines[i]) for i in range(4)]
    assert foot == pytest.approx([800.0] * 4, abs=1e-9)  # the underside is 800 deep
    assert {(j.bay, j.other) for j in flat.joined} == {(0, 1), (1, 2), (2, 3), (0, 4), (0, 5)}


def test_bays_stay_together_and_both_numbers_stand_at_joints() -> None:
    bays = bays_of("stacked bays")
    flat = net(bays)
    joined = {(j.bay, j.other) for j in flat.joined}
    for index, bay in enumerate(bays):
        for neighbours in bay.neighbours:
            for met in neighbours:
                if met.joint:
                    assert (min(index, met.bay), max(index, met.bay)) in joined


def test_sides_that_touch_nowhere_lie_apart() -> None:
    flat = net(bays_of("two-sided wall"))
    assert flat.whole and flat.parts == ((0,), (1,)) and flat.joined == ()
    right = max(x for x, _ in flat.outlines[0])
    assert min(x for x, _ in flat.outlines[1]) > right


def test_where_no_plane_takes_the_faces_they_are_laid_apart_and_the_net_says_so() -> None:
    """A saw-toothed ring of 18 triangles about one point has over 540° round it: cut once, it lies on itself all the same."""
    ring = [
        ((float(np.cos(turn)), float(np.sin(turn))), 500.0 * (-1) ** i)
        for i, turn in enumerate(np.arange(18) * np.pi / 9)
    ]
    tip = (0.0, 0.0, 0.0)
    points = [(1000 * x, 1000 * y, z) for (x, y), z in ring]
    faces = [Face(f"f{i + 1}", (tip, points[i], points[(i + 1) % 18])) for i in range(18)]
    around = sum(
        acos(np.dot(p, q) / np.linalg.norm(p) / np.linalg.norm(q))
        for p, q in zip(points, [*points[1:], points[0]], strict=True)
    )
    assert around > 2 * np.pi * 1.5
    bays = split(Shape(tuple(faces), numbering="along"), {})
    flat = net(bays)
    assert not flat.whole and len(flat.parts) > 1
    check(bays, flat)


def test_the_net_of_a_hung_cube_is_one_of_the_cube_s_eleven() -> None:
    bays = bays_of("hung cube")
    flat = net(bays)
    assert len(flat.joined) == 5
    area = sum(Polygon(outline).area for outline in flat.outlines)
    assert area == pytest.approx(6 * 1500.0**2, rel=1e-12)
    assert sqrt(area / 6) == pytest.approx(1500.0)


def test_same_net_each_time() -> None:
    bays = split(CONVEX["truncated octahedron"], {})
    assert net(bays) == net(bays)
