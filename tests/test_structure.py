"""Faces in space: their places, numbers, bays, neighbours, and how they are seen.

Expected values are closed forms of the cube, the tetrahedron and the prism (written out beside each check), or come
from scipy.spatial.ConvexHull.
"""

from collections.abc import Sequence
from itertools import pairwise
from math import acos, asin, atan, cos, degrees, hypot, pi, radians, sin, sqrt

import numpy as np
import pytest
import zoo
from hypothesis import given
from hypothesis import strategies as st
from scipy.spatial import ConvexHull
from zoo import normal

from artgen.order import BayRow
from artgen.structure.bays import Bay, numbered, split
from artgen.structure.kinds import KINDS
from artgen.structure.shape import Face, Shape, extents, upright_axes
from artgen.structure.sight import sight
from artgen.structure.view import View

EDGE = 1500.0


def shape_of(body: str) -> Shape:
    structure = zoo.order(body).structures[0]
    return KINDS[structure.kind].faces(structure.keys, 100.0, structure.bays)


def row(*widths: float, height: float | None = None) -> BayRow:
    return BayRow(widths, height)  # type: ignore[arg-type]


SHAPES = {name: shape_of(body) for name, body in zoo.ORDERS.items()} | zoo.BARE
CLOSED = ("box", "inch box", "hung cube", "hung cube, lower front", "tetrahedron", "wedge", "stacked bays")
CUBES = ("hung cube", "hung cube, lower front")


def points_of(shape: Shape) -> np.ndarray:
    found = np.concatenate([np.asarray(face.vertices) for face in shape.faces])
    return np.unique(found.round(6), axis=0)


def face_area(face: Face) -> float:
    """By triangles from the first vertex; good for flat convex faces."""
    p = np.asarray(face.vertices)
    return float(sum(np.linalg.norm(np.cross(p[i] - p[0], p[i + 1] - p[0])) for i in range(1, len(p) - 1)) / 2)


# --- faces


@pytest.mark.parametrize("name", CLOSED)
def test_closed_shapes_against_their_convex_hull(name: str) -> None:
    shape = SHAPES[name]
    hull = ConvexHull(points_of(shape))
    assert sum(face_area(face) for face in shape.faces) == pytest.approx(hull.area, rel=1e-9)
    # divergence theorem: the volume is the sum of area × distance of each face's plane from the origin / 3
    volume = sum(face_area(f) * float(normal(f.vertices) @ np.asarray(f.vertices[0])) for f in shape.faces) / 3
    assert volume == pytest.approx(hull.volume, rel=1e-9)
    for face in shape.faces:  # each plane (outward normal and distance) is one of the hull's
        plane = [*normal(face.vertices), -float(normal(face.vertices) @ np.asarray(face.vertices[0]))]
        assert np.abs(hull.equations - plane).max(axis=1).min() < 1e-6


@pytest.mark.parametrize("name", SHAPES)
def test_faces_are_flat_and_stand_on_the_floor(name: str) -> None:
    shape = SHAPES[name]
    for face in shape.faces:
        p = np.asarray(face.vertices)
        assert np.abs((p - p[0]) @ normal(face.vertices)).max() < 1e-9
    assert min(z for face in shape.faces for _, _, z in face.vertices) == pytest.approx(0.0, abs=1e-9)


def test_extents_are_the_frame_size() -> None:
    assert zoo.near(extents(SHAPES["box"]), (1000.0, 800.0, 3300.0))
    # a wall's metal is as deep as the frame profile says, dressed on one side or both
    assert zoo.near(extents(SHAPES["wall"]), (3000.0, 100.0, 2400.0))
    assert zoo.near(extents(SHAPES["two-sided wall"]), (3000.0, 100.0, 2400.0))
    assert zoo.near(extents(SHAPES["three-bay wall"]), (900.0 + 1200.0 + 700.0, 100.0, 2400.0))


@pytest.mark.parametrize("name", CUBES)
def test_hung_cube_closed_forms(name: str) -> None:
    points = points_of(SHAPES[name])
    # eight tips at heights 0, a/√3 (three), 2a/√3 (three), a√3
    heights = sorted([0.0, *[EDGE / sqrt(3)] * 3, *[2 * EDGE / sqrt(3)] * 3, EDGE * sqrt(3)])
    assert zoo.near(sorted(points[:, 2].tolist()), heights)
    for face in SHAPES[name].faces:
        n = normal(face.vertices)
        # face normal to vertical: acos(1/√3) = atan √2 (54.7356°); edges climb asin(1/√3)
        assert degrees(acos(abs(n[2]))) == pytest.approx(degrees(acos(1 / sqrt(3))), abs=1e-9)
        assert degrees(acos(abs(n[2]))) == pytest.approx(degrees(atan(sqrt(2))), abs=1e-9)
        p = np.asarray(face.vertices)
        sides = np.roll(p, -1, axis=0) - p
        assert np.linalg.norm(sides, axis=1) == pytest.approx([EDGE] * 4, abs=1e-9)
        assert degrees(asin(abs(sides[0, 2]) / EDGE)) == pytest.approx(degrees(asin(1 / sqrt(3))), abs=1e-9)
        # a face in plan is a rhombus of area a²/√3
        assert ConvexHull(p[:, :2]).volume == pytest.approx(EDGE**2 / sqrt(3), rel=1e-9)


@pytest.mark.parametrize("name", CUBES)
def test_hung_cube_silhouette_in_plan(name: str) -> None:
    plan = points_of(SHAPES[name])[:, :2]
    hull = ConvexHull(plan)  # in the plane, "volume" is the area and "area" the perimeter
    corners = plan[hull.vertices]
    # a regular hexagon with circumradius a √(2/3), so across corners 2a √(2/3), across flats a √2, area a² √3
    assert len(corners) == 6
    assert np.linalg.norm(corners, axis=1) == pytest.approx([EDGE * sqrt(2 / 3)] * 6, abs=1e-6)
    apart = np.linalg.norm(corners[:, None] - corners[None], axis=2)
    assert apart.max() == pytest.approx(2 * EDGE * sqrt(2 / 3), abs=1e-6)
    assert -2 * hull.equations[:, 2] == pytest.approx([EDGE * sqrt(2)] * 6, abs=1e-6)
    assert hull.volume == pytest.approx(EDGE**2 * sqrt(3), rel=1e-9)


def test_tetrahedron_dihedral_angles() -> None:
    faces = zoo.BARE["tetrahedron"].faces
    between = [normal(a.vertices) @ normal(b.vertices) for a in faces for b in faces if a is not b]
    assert between == pytest.approx([-1 / 3] * 12, abs=1e-12)  # dihedral angle acos(1/3) = 70.5288°


def test_no_normal_without_area() -> None:
    with pytest.raises(ValueError, match="without area"):
        normal(((0, 0, 0), (1, 0, 0), (2, 0, 0)))


# --- numbers


def order_of_faces(body: str) -> list[str]:
    return [face.name for face in numbered(shape_of(body))]


def test_numbers_run_round_a_box_then_top_and_bottom() -> None:
    assert order_of_faces(zoo.BOX) == ["front", "right", "back", "left", "top", "bottom"]


def test_a_face_left_out_leaves_no_gap() -> None:
    assert order_of_faces(zoo.BOX + 'omit = ["right", "bottom"]\n') == ["front", "back", "left", "top"]
    sizing = zoo.sized(zoo.BOX + 'omit = ["right", "bottom"]\n')
    assert [(p.number, p.bay.face.name) for p in sizing.panels] == [(1, "front"), (2, "back"), (3, "left"), (4, "top")]


def test_without_a_front_the_numbers_start_nearest_to_it() -> None:
    # right looks to +90°, left to −90°: equally near, the first anticlockwise begins
    assert order_of_faces(zoo.BOX + 'omit = ["front", "top", "bottom"]\n') == ["right", "back", "left"]


def test_a_two_sided_wall_has_its_second_side_last() -> None:
    assert order_of_faces(zoo.TWO_SIDED_WALL) == ["front", "back"]
    body = zoo.THREE_BAY_WALL + 'faces = 2\nbays = {front = ["900 mm", "1900 mm"], back = ["1 m", "1800 mm"]}\n'
    body = body.replace('bays = ["900 mm", "1200 mm", "700 mm"]\n', "")
    panels = zoo.sized(body).panels
    assert [(p.number, p.bay.face.name, p.bay.column) for p in panels] == [
        (1, "front", 1),
        (2, "front", 2),
        (3, "back", 1),
        (4, "back", 2),
    ]
    # left to right seen from the side that a face looks to: the back's first bay stands at the right end of the front
    assert max(x for x, _, _ in panels[2].bay.outline) == pytest.approx(2800.0)
    assert min(x for x, _, _ in panels[2].bay.outline) == pytest.approx(1800.0)


def bearing(face: Face) -> float:
    """Degrees anticlockwise from the front in which a face looks, seen from above."""
    n = normal(face.vertices)
    return float(np.degrees(np.arctan2(n[0], -n[1]))) % 360.0


@pytest.mark.parametrize(
    ("name", "upper", "lower"),
    [
        ("hung cube", (0, 120, 240), (60, 180, 300)),
        ("hung cube, lower front", (60, 180, 300), (0, 120, 240)),
    ],
)
def test_numbers_of_a_hung_cube(name: str, upper: Sequence[int], lower: Sequence[int]) -> None:
    faces = numbered(SHAPES[name])
    assert [normal(face.vertices)[2] > 0 for face in faces] == [True] * 3 + [False] * 3
    for face, turn in zip(faces, [*upper, *lower], strict=True):
        apart = (bearing(face) - turn + 180.0) % 360.0 - 180.0
        assert apart == pytest.approx(0.0, abs=1e-9)


def prism(sides: int, first: float) -> Shape:
    """Upright faces only, the first one's normal ``first`` degrees anticlockwise from −y."""

    def corner(i: float) -> tuple[float, float]:
        turn = radians(first - 90.0 + 360.0 * (i - 0.5) / sides)
        return 1000 * cos(turn), 1000 * sin(turn)

    faces = []
    for i in range(sides):
        (x0, y0), (x1, y1) = corner(i), corner(i + 1)
        faces.append(Face(f"f{i + 1}", ((x0, y0, 0.0), (x1, y1, 0.0), (x1, y1, 2500.0), (x0, y0, 2500.0))))
    return Shape(tuple(faces))


@given(st.integers(3, 12), st.floats(-179.0, 180.0))
def test_numbers_round_a_prism(sides: int, first: float) -> None:
    turns = [bearing(face) for face in numbered(prism(sides, first))]
    nearest = min(min(turn, 360 - turn) for turn in turns)
    assert min(turns[0], 360 - turns[0]) <= nearest + 2e-6
    steps = [(b - a) % 360.0 for a, b in pairwise(turns)]
    assert steps == pytest.approx([360.0 / sides] * (sides - 1), abs=1e-6)  # one way round, none left out


@pytest.mark.parametrize("sides", [3, 4, 5, 6, 12])
@pytest.mark.parametrize("dust", [-1e-9, 0.0, 1e-9])
def test_two_faces_equally_near_the_front(sides: int, dust: float) -> None:
    half = 180.0 / sides  # a corner stands in front; float dust must not choose the face
    assert bearing(numbered(prism(sides, half + dust))[0]) == pytest.approx(half, abs=1e-6)


def test_steep_faces_are_not_upright() -> None:
    def leaning(lean: float) -> Shape:
        rise, back = cos(radians(lean)) * 1000, sin(radians(lean)) * 1000
        return Shape(
            (
                Face("lean", ((0, 0, 0), (1000, 0, 0), (1000, back, rise), (0, back, rise))),
                Face("back", ((1000, 900, 0), (0, 900, 0), (0, 900, 500), (1000, 900, 500))),
            )
        )

    assert [f.name for f in numbered(leaning(29.9))] == ["lean", "back"]  # within 30° it counts as upright
    assert [f.name for f in numbered(leaning(30.1))] == ["back", "lean"]  # past it, it is an upward face


def test_numbers_run_through_the_order() -> None:
    sizing = zoo.sized(zoo.BOX + "copies = 3\n" + zoo.WALL)
    assert [panel.number for panel in sizing.panels] == [1, 2, 3, 4, 5, 6, 7]  # copies share numbers
    assert sizing.structures[1].numbers == (7,)
    assert sizing.panel(7).bay.face.name == "front"


# --- bays and neighbours


def edge_of(bay: Bay, index: int) -> tuple[np.ndarray, np.ndarray]:
    return np.asarray(bay.outline[index]), np.asarray(bay.outline[(index + 1) % len(bay.outline)])


def bays_of(name: str) -> list[Bay]:
    widths = zoo.order(zoo.ORDERS[name]).structures[0].bays if name in zoo.ORDERS else {}
    return split(SHAPES[name], widths)


@pytest.mark.parametrize("name", SHAPES)
def test_neighbours_meet_along_the_same_stretch(name: str) -> None:
    bays = bays_of(name)
    for index, bay in enumerate(bays):
        for edge, neighbours in enumerate(bay.neighbours):
            start, end = edge_of(bay, edge)
            way = (end - start) / np.linalg.norm(end - start)
            for met in neighbours:
                back = [n for n in bays[met.bay].neighbours[met.edge] if (n.bay, n.edge) == (index, edge)]
                assert len(back) == 1
                assert back[0].joint == met.joint
                other, other_end = edge_of(bays[met.bay], met.edge)
                other_way = (other_end - other) / np.linalg.norm(other_end - other)
                # the other edge runs the opposite way, so its stretch begins where this one's ends
                assert np.abs(start + way * met.start - (other + other_way * back[0].end)).max() < 1e-6
                assert np.abs(start + way * met.end - (other + other_way * back[0].start)).max() < 1e-6


@pytest.mark.parametrize(
    ("name", "meetings"),
    [
        ("box", 12 * 2),  # a cube-like shape has 12 edges, a tetrahedron 6; each is seen from both sides
        ("hung cube", 12 * 2),
        ("tetrahedron", 6 * 2),
        ("wall", 0),
        ("two-sided wall", 0),  # its sides stand a frame's depth apart
        ("three-bay wall", 2 * 2),
        ("L-shaped face", 0),
    ],
)
def test_how_many_meet(name: str, meetings: int) -> None:
    found = [met for bay in bays_of(name) for neighbours in bay.neighbours for met in neighbours]
    assert len(found) == meetings
    assert all(met.joint == (name == "three-bay wall") for met in found)


def test_a_long_edge_meets_several() -> None:
    bays = split(shape_of(zoo.BOX), {"front": (row(300.0, 700.0),)})
    top = next(bay for bay in bays if bay.face.name == "top")
    fronts = [met for neighbours in top.neighbours for met in neighbours if bays[met.bay].face.name == "front"]
    assert [(bays[met.bay].column, met.start, met.end) for met in fronts] == [(1, 0.0, 300.0), (2, 300.0, 1000.0)]
    assert not any(met.joint for met in fronts)


def test_bays_share_out_the_face() -> None:
    bays = bays_of("three-bay wall")
    spans = [(min(x for x, _, _ in bay.outline), max(x for x, _, _ in bay.outline)) for bay in bays]
    assert zoo.near(spans, [(0.0, 900.0), (900.0, 900.0 + 1200.0), (900.0 + 1200.0, 900.0 + 1200.0 + 700.0)])
    assert [(bay.row, bay.column) for bay in bays] == [(1, 1), (1, 2), (1, 3)]


def test_bays_that_can_not_be() -> None:
    with pytest.raises(ValueError, match="add up to 900 mm, the face is 1000 mm wide"):
        split(shape_of(zoo.BOX), {"front": (row(400.0, 500.0),)})
    with pytest.raises(ValueError, match="is no rectangle"):
        split(zoo.L_FACE, {"f1": (row(1000.0, 1000.0),)})


# --- upright, and how things are seen


def test_upright_is_world_up_or_plus_y_on_level_faces() -> None:
    tilted = (0.0, -sin(radians(60)), cos(radians(60)))
    _, y = upright_axes(tilted)
    assert y == pytest.approx([0.0, cos(radians(60)), sin(radians(60))], abs=1e-12)  # straight up the slope
    for up in (1.0, -1.0):
        for lean, along in ((0.9, True), (1.1, False)):  # within 1° of vertical it is level
            n = (-sin(radians(lean)), 0.0, up * cos(radians(lean)))
            _, y = upright_axes(n)
            assert (y[1] > 0.99) == along


def test_sight_of_upright_slanted_and_level_faces() -> None:
    wall = SHAPES["wall"].faces[0].vertices
    seen = sight(wall, normal(wall), lift=100.0, eye_height=1600.0, distance=3000.0)
    middle = 2400.0 / 2 + 100.0
    # cosine of the angle between the way to the eye and the face's normal, which is level
    assert zoo.near((seen.height, seen.tilt), (middle, 0.0))
    assert seen.seen == pytest.approx(3000.0 / hypot(3000.0, 1600.0 - middle), abs=1e-6)
    top = next(face for face in SHAPES["box"].faces if face.name == "top")
    above = sight(top.vertices, normal(top.vertices), lift=0.0, eye_height=1600.0, distance=3000.0)
    assert (above.tilt, above.seen) == (90.0, 0.0)  # 3300 mm up, its outside can't be seen from 1600
    below = numbered(SHAPES["hung cube, lower front"])[3]
    seen = sight(below.vertices, normal(below.vertices), lift=2500.0, eye_height=1600.0, distance=3000.0)
    assert seen.tilt == pytest.approx(-degrees(asin(1 / sqrt(3))), abs=1e-6)
    height = 2500.0 + EDGE * sqrt(3) / 3  # the middle of a lower face: mean of 0, a/√3, a/√3, 2a/√3
    assert seen.height == pytest.approx(height, abs=1e-6)
    out, rise = 3000.0, 1600.0 - height  # angle between the way to the eye and the normal, in the upright plane
    angle = pi / 2 - asin(sqrt(2 / 3)) - np.arctan2(-rise, out)
    assert seen.seen == pytest.approx(cos(angle), abs=1e-6)


def test_what_the_reader_sees_best_comes_first() -> None:
    cube = zoo.sized(zoo.HUNG_CUBE).structures[0]
    assert [p.number for p in cube.by_sight] == [4, 5, 6, 1, 2, 3]  # the lower faces carry the message
    box = zoo.sized(zoo.BOX).structures[0]
    assert [p.number for p in box.by_sight][-2:] == [5, 6]  # a top over eye height and an underside: not seen
    assert [p.sight.seen for p in box.by_sight[-2:]] == [0.0, 0.0]


@pytest.mark.parametrize("name", SHAPES)
@pytest.mark.parametrize(("eye", "away"), [(1600.0, 3000.0), (1100.0, 800.0)])
def test_sight_of_every_face_from_the_line_to_the_eye(name: str, eye: float, away: float) -> None:
    """The share seen is the cosine between a face's normal and the way from its middle to the eye, which stands straight
    in front of it; the height is the mean of its vertices over the floor."""
    for face in SHAPES[name].faces:
        found = sight(face.vertices, normal(face.vertices), lift=200.0, eye_height=eye, distance=away)
        n, middle = normal(face.vertices), np.asarray(face.vertices).mean(axis=0) + np.array([0, 0, 200.0])
        out = np.array([n[0], n[1], 0.0])
        level = np.linalg.norm(out) < 1e-9
        out = np.array([1.0, 0.0, 0.0]) if level else out / np.linalg.norm(out)
        to_eye = np.array([*(middle + out * away)[:2], eye]) - middle
        assert found.height == pytest.approx(middle[2], abs=1e-9)
        assert found.tilt == pytest.approx(degrees(asin(n[2])), abs=1e-5)
        assert found.seen == pytest.approx(max(0.0, float(n @ to_eye / np.linalg.norm(to_eye))), abs=2e-6)


def test_views() -> None:
    box = {face.name: face.vertices for face in SHAPES["box"].faces}
    front, side, above = View(0.0, 0.0), View(90.0, 0.0), View(0.0, 90.0)
    assert zoo.near(front.project((3.0, 5.0, 7.0)), (3.0, 7.0))  # from −y: x to the right, z up
    assert zoo.near(side.project((3.0, 5.0, 7.0)), (5.0, 7.0))  # from +x: y to the right
    assert zoo.near(above.project((3.0, 5.0, 7.0)), (3.0, 5.0))  # a plan
    assert [name for name in box if front.sees(box[name])] == ["front"]
    assert [name for name in box if side.sees(box[name])] == ["right"]
    assert [name for name in box if above.sees(box[name])] == ["top"]
    assert [name for name in box if View(30.0, 20.0).sees(box[name])] == ["front", "right", "top"]
    assert front.depth(box["front"]) > front.depth(box["back"])


@given(st.floats(-180, 180), st.floats(-90, 90))
def test_axes_of_a_view_are_square(azimuth: float, elevation: float) -> None:
    right, up, toward = View(azimuth, elevation).axes()
    assert np.array([right, up, toward]) @ np.array([right, up, toward]).T == pytest.approx(np.eye(3), abs=1e-12)
    assert np.cross(right, up) == pytest.approx(toward, abs=1e-12)
