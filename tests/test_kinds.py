"""Columns, runs and custom shapes against hand tables and closed forms.

Expected values are sums written out beside each check; ratios of regular polygons and dihedral angles are closed forms;
trimesh and scipy's ConvexHull are outside witnesses of areas, volumes and angles.
"""

from itertools import pairwise
from math import acos, atan2, cos, degrees, hypot, pi, radians, sin, sqrt, tan
from pathlib import Path

import numpy as np
import pytest
import trimesh
import zoo
from hypothesis import given
from hypothesis import strategies as st
from scipy.spatial import ConvexHull
from zoo import normal

from artgen.sizing.outline import size
from artgen.structure.bays import numbered
from artgen.structure.kinds import KINDS
from artgen.structure.shape import Face, Shape, extents
from artgen.typed import TableError


def shape_of(body: str) -> Shape:
    structure = zoo.order(body).structures[0]
    return KINDS[structure.kind].faces(structure.keys, 100.0, structure.bays)


def faults(body: str) -> dict[str, str]:
    with pytest.raises(TableError) as caught:
        zoo.order(body)
    return dict(caught.value.faults)


def column(widths: list[str], angles: list[float]) -> str:
    listed = ", ".join(f'"{width}"' for width in widths)
    return f'[[structure]]\nname = "c"\nkind = "column"\nheight = "2 m"\nwidths = [{listed}]\nangles = {angles}\n'


def run(lengths: list[float], angles: list[float], more: str = "") -> str:
    listed = ", ".join(f'"{length} mm"' for length in lengths)
    return f'[[structure]]\nname = "r"\nkind = "run"\nheight = "2 m"\nlengths = [{listed}]\nangles = {angles}\n{more}'


def foot(face: Face) -> tuple[np.ndarray, np.ndarray]:
    """Left and right end of an upright face at the floor, seen from its outside."""
    return np.asarray(face.vertices[0][:2]), np.asarray(face.vertices[1][:2])


def width(face: Face) -> float:
    a, b = foot(face)
    return float(np.linalg.norm(b - a))


# --- columns


@pytest.mark.parametrize("sides", range(3, 13))
def test_equal_columns_are_regular_prisms(sides: int) -> None:
    shape = shape_of(f'[[structure]]\nname = "c"\nkind = "column"\nheight = "2 m"\ncount = {sides}\nwidth = "700 mm"\n')
    plan = np.array([foot(face)[0] for face in shape.faces])
    # regular n-gon of side s: radius s / (2 sin(π/n)), apothem s / (2 tan(π/n)), area n s² / (4 tan(π/n))
    middle = plan.mean(axis=0)
    assert np.linalg.norm(plan - middle, axis=1) == pytest.approx([700 / (2 * sin(pi / sides))] * sides, abs=1e-9)
    assert ConvexHull(plan).volume == pytest.approx(sides * 700**2 / (4 * tan(pi / sides)), rel=1e-12)
    for face in shape.faces:
        a, b = foot(face)
        assert np.linalg.norm((a + b) / 2 - middle) == pytest.approx(700 / (2 * tan(pi / sides)), abs=1e-9)
        assert width(face) == pytest.approx(700.0, abs=1e-9)
    assert normal(shape.faces[0].vertices) == pytest.approx([0, -1, 0], abs=1e-12)  # the first looks to the front
    assert [face.name for face in numbered(shape)] == [f"f{i + 1}" for i in range(sides)]


@pytest.mark.parametrize(
    ("sides", "interior", "radius", "apothem"),
    # n-gon prisms: interior angle, R/s, apothem/s; textbook values to five places
    [(3, 60, 0.57735, 0.28868), (5, 108, 0.85065, 0.68819), (6, 120, 1.0, 0.86603), (8, 135, 1.30656, 1.20711)],
)
def test_tables_of_regular_polygons(sides: int, interior: float, radius: float, apothem: float) -> None:
    shape = shape_of(column(["1000 mm"] * sides, [interior] * sides))
    plan = np.array([foot(face)[0] for face in shape.faces])
    middle = plan.mean(axis=0)
    assert np.linalg.norm(plan[0] - middle) / 1000 == pytest.approx(radius, abs=5e-6)
    assert np.linalg.norm((plan[0] + plan[1]) / 2 - middle) / 1000 == pytest.approx(apothem, abs=5e-6)


def test_a_triangle_of_three_four_five() -> None:
    # sides 3, 4, 5 m: right angle between the first two; the next is opposite the 3: asin(3/5) = 36.87°, then 53.13°
    shape = shape_of(column(["3 m", "4 m", "5 m"], [90, 36.9, 53.1]))  # as people write angles
    points = [foot(face)[0] for face in shape.faces]
    assert zoo.near(points[0].tolist(), (0.0, 0.0), 1e-9)
    assert zoo.near(points[1].tolist(), (3000.0, 0.0), 1e-9)
    assert zoo.near(points[2].tolist(), (3000.0, 4000.0), 1e-6)
    assert [width(face) for face in shape.faces] == pytest.approx([3000, 4000, 5000], abs=1e-9)


def test_widths_hold_where_angles_are_rounded() -> None:
    # interior angles of a regular heptagon, 128.571…°, written to a whole degree add up to 903 instead of 900
    shape = shape_of(column(["800 mm"] * 7, [129] * 7))
    assert [width(face) for face in shape.faces] == pytest.approx([800] * 7, abs=1e-9)
    ends = [foot(face) for face in shape.faces]
    for (_, b), (a, _) in pairwise([*ends, ends[0]]):
        assert np.abs(b - a).max() < 1e-9


def test_a_column_may_turn_inwards() -> None:
    faces = shape_of(zoo.L_COLUMN).faces
    # walking round: 2000 to the right, 800 away, 1100 to the left, 700 away (the notch), 900 to the left, 1500 back
    plan = [(0, 0), (2000, 0), (2000, 800), (900, 800), (900, 1500), (0, 1500)]
    assert all(zoo.near(foot(face)[0].tolist(), point, 1e-9) for face, point in zip(faces, plan, strict=True))
    # numbers follow the walk, though the third and fifth look the same way
    assert [p.bay.face.name for p in zoo.sized(zoo.L_COLUMN).panels] == ["f1", "f2", "f3", "f4", "f5", "f6"]


@pytest.mark.parametrize(
    ("body", "path", "says"),
    [
        (column(["1 m", "1 m", "1 m", "1.2 m"], [90] * 4), "angles", "200 mm from where the first begins"),
        (column(["1 m"] * 4, [90, 90, 90, 85]), "angles", "355° instead of 360°"),
        (column(["1 m"] * 4, [90, 90, 90]), "angles", "as many angles as widths (4), got 3"),
        (column(["1 m"] * 2, [90, 90]), "widths", "3 to 12"),
        (column(["1 m"] * 13, [152.3] * 13), "widths", "3 to 12"),
        (column(["1 m"] * 4, [90, 90, 0, 180]), "angles 3", "over 0"),
        (column(["1 m"] * 4, [90, 90, 360, 90]), "angles 3", "under 360"),
        (column(["1 m"] * 4, [90, 90, float("nan"), 90]), "angles 3", "number"),
        (column(["0 mm", "1 m", "1 m"], [60] * 3), "widths 1", "over 0"),
        (column(["-1 m", "1 m", "1 m"], [60] * 3), "widths 1", "over 0"),
        (column(["1000000000 mm", "1 m", "1 m"], [60] * 3), "widths 1", "at most 1 km"),
        (column(["1 m"] * 3, [60] * 3) + "count = 3\n", "widths", "either"),
    ],
)
def test_columns_that_can_not_be(body: str, path: str, says: str) -> None:
    found = faults(body)
    assert list(found) == [f"structure 1, {path}"]
    assert says in found[f"structure 1, {path}"]


def test_sides_that_run_through_one_another() -> None:
    # a box of 4 × 2 whose notch from above, 3 deep, runs out through its foot
    points = np.array([(0, 0), (4, 0), (4, 2), (3, 2), (3, -1), (2, -1), (2, 2), (0, 2)])
    widths = [f"{int(abs(step).sum())} m" for step in np.roll(points, -1, axis=0) - points]
    # angles inside after each side: 270 at (3, −1) and (2, −1), where the notch turns back
    found = faults(column(widths, [90, 90, 90, 270, 270, 90, 90, 90]))
    assert found == {"structure 1, angles": "the sides run through one another"}


def test_a_bare_column_lacks_its_keys() -> None:
    found = faults('[[structure]]\nname = "c"\nkind = "column"\nheight = "2 m"\n')
    assert set(found) == {"structure 1, count", "structure 1, width"}
    assert set(faults(zoo.COLUMN.replace("count = 5", "count = 2"))) == {"structure 1, count"}


# --- runs


def test_an_l_on_the_mitre_measured_at_the_front() -> None:
    # turn left by 90°: the front is outside; the back of each length is one depth shorter at the corner
    shape = shape_of(run([2000, 1200], [90], "faces = 2\n"))
    assert [face.name for face in shape.faces] == ["f1", "f2", "f3", "f4"]
    assert [width(face) for face in shape.faces] == pytest.approx([2000, 1200, 1100, 1900], abs=1e-9)
    assert extents(shape) == pytest.approx((2000, 1200, 2000), abs=1e-9)
    assert normal(shape.faces[1].vertices) == pytest.approx(
        [1, 0, 0], abs=1e-12
    )  # the second length looks to the right


@pytest.mark.parametrize("turn", [-120.0, -90.0, -45.0, 0.0, 30.0, 90.0, 135.0])
@pytest.mark.parametrize(("line", "part"), [("front", 0.0), ("middle", 0.5), ("back", 1.0)])
def test_lengths_lie_on_the_line_that_is_said(turn: float, line: str, part: float) -> None:
    d = 80.0
    shape = shape_of(run([2000, 1500], [turn], f'faces = 2\ndepth = "80 mm"\nmeasured_on = "{line}"\n'))
    fronts, backs = shape.faces[:2], shape.faces[:1:-1]
    for front, back, length in zip(fronts, backs, (2000, 1500), strict=True):
        # the line a share of the depth behind the front is as long as said
        assert (1 - part) * width(front) + part * width(back) == pytest.approx(length, abs=1e-9)
        # a line x behind the front is x tan(turn / 2) shorter at a corner to the left
        assert width(front) - width(back) == pytest.approx(d * tan(radians(turn) / 2), abs=1e-9)
        assert float(normal(front.vertices) @ normal(back.vertices)) == pytest.approx(-1.0, abs=1e-12)
    one, two = (normal(face.vertices) for face in fronts)
    turned = degrees(atan2(one[0] * two[1] - one[1] * two[0], one[0] * two[0] + one[1] * two[1]))
    assert turned == pytest.approx(turn, abs=1e-9)


@pytest.mark.parametrize("turn", [-90.0, 0.0, 60.0, 90.0])
@pytest.mark.parametrize(("line", "part"), [("front", 0.0), ("middle", 0.5), ("back", 1.0)])
def test_posts_stand_between_square_ends(turn: float, line: str, part: float) -> None:
    d, post = 80.0, 150.0
    more = f'faces = 2\ndepth = "80 mm"\nmeasured_on = "{line}"\ncorners = "posted"\npost = "150 mm"\n'
    shape = shape_of(run([2000, 1500], [turn], more))
    fronts, backs = shape.faces[:2], shape.faces[:1:-1]
    # corner to corner of the said line, less what lies between that and the middle line, less half a post
    short = (0.5 - part) * d * tan(radians(turn) / 2) + post / 2
    for front, back, length in zip(fronts, backs, (2000, 1500), strict=True):
        assert width(front) == pytest.approx(length - short, abs=1e-9)
        assert width(back) == pytest.approx(width(front), abs=1e-9)  # square ends
    # both frames' middle lines end half a post from the post's axis
    ends = [(np.asarray(foot(fronts[0])[1]) + foot(backs[0])[0]) / 2, (foot(fronts[1])[0] + foot(backs[1])[1]) / 2]
    apart = float(np.linalg.norm(ends[1] - ends[0]))
    assert apart == pytest.approx(post * cos(radians(turn) / 2), abs=1e-9)  # chord over two legs of half a post


def test_a_run_of_one_length_is_a_wall() -> None:
    panels = zoo.sized(run([3000], [])).panels
    wall = zoo.sized(zoo.WALL.replace("2400 mm", "2 m")).panels
    assert [(size(p.visible), p.print_sheet) for p in panels] == [(size(p.visible), p.print_sheet) for p in wall]


def test_numbers_run_along_then_back() -> None:
    panels = zoo.sized(zoo.TWO_SIDED_RUN).panels
    assert [p.bay.face.name for p in panels] == ["f1", "f2", "f3", "f4", "f5", "f6"]
    # left to right seen from behind: the fourth is the back of the third length
    assert normal(panels[3].bay.outline) == pytest.approx(-normal(panels[2].bay.outline), abs=1e-12)
    meets = [{met.panel for edge in p.edges for met in edge.met} for p in panels]
    assert meets == [{2}, {1, 3}, {2}, {5}, {4, 6}, {5}]


@pytest.mark.parametrize(
    ("body", "path", "says"),
    [
        (run([1000, 1000], []), "angles", "one fewer than lengths (1), one at each post, got 0"),
        (run([], []), "lengths", "1 to 50"),
        (run([1000] * 51, [0] * 50), "lengths", "1 to 50"),
        (run([1000, 1000], [170]), "angles 1", "at most 150"),
        (run([1000, 1000], [float("nan")]), "angles 1", "number"),
        (run([1000, 0], [0]), "lengths 2", "over 0"),
        (run([1000, 1000, 1000, 1000, 1000], [90, 90, 90, 90]), "angles", "stand in one another"),
        (run([2000, 50, 2000], [90, 90]), "lengths 2", "its corners use up 50 mm"),
        (run([1000, 1000], [90], 'post = "60 mm"\n'), "post", "posted"),
        # 90°: the inner corners of frames 100 deep touch behind a post of 100
        (run([1000, 1000], [90], 'corners = "posted"\npost = "90 mm"\n'), "post", "must be 100 mm deep"),
        (
            run([1000, 1000], [-60], 'corners = "posted"\npost = "57 mm"\n'),
            "post",
            "must be 57.7 mm deep",
        ),  # 100 tan 30°
        (run([1000, 1000], [90], 'measured_on = "outside"\n'), "measured_on", "'front', 'middle', 'back'"),
        (run([1000, 1000], [90], 'faces = 2\nbays.f1 = ["1 m"]\n'), "bays", "bays.f4"),
    ],
)
def test_runs_that_can_not_be(body: str, path: str, says: str) -> None:
    found = faults(body)
    assert f"structure 1, {path}" in found
    assert says in found[f"structure 1, {path}"]


def test_posts_that_just_fit() -> None:
    assert len(shape_of(run([1000, 1000], [90], 'corners = "posted"\npost = "100 mm"\n')).faces) == 2
    # 100 mm of frame round a turn of 60° need 100 tan 30° = 57.735 mm
    assert (
        len(shape_of(run([1000, 1000], [-60], f'corners = "posted"\npost = "{100 * tan(pi / 6)!r} mm"\n')).faces) == 2
    )


# --- custom shapes


def solid(name: str) -> tuple[np.ndarray, list[list[int]]]:
    """Vertices and faces of a regular solid, by its convex hull."""
    g = (1 + sqrt(5)) / 2
    corners = {
        "tetrahedron": [(1, 1, 1), (1, -1, -1), (-1, 1, -1), (-1, -1, 1)],
        "cube": [(x, y, z) for x in (-1, 1) for y in (-1, 1) for z in (-1, 1)],
        "octahedron": [(1, 0, 0), (-1, 0, 0), (0, 1, 0), (0, -1, 0), (0, 0, 1), (0, 0, -1)],
        "dodecahedron": [
            *[(x, y, z) for x in (-1, 1) for y in (-1, 1) for z in (-1, 1)],
            *[p for a in (-1 / g, 1 / g) for b in (-g, g) for p in ((0, a, b), (a, b, 0), (b, 0, a))],
        ],
        "icosahedron": [p for a in (-1, 1) for b in (-g, g) for p in ((0, a, b), (a, b, 0), (b, 0, a))],
    }[name]
    points = np.array(corners, dtype=float) * 700
    return points, zoo.hull_faces(points)


def custom(points: np.ndarray, faces: list[list[int]], more: str = "") -> str:
    vertices = [[f"{v!r} mm" for v in point] for point in points.tolist()]
    numbers = [[v + 1 for v in face] for face in faces]
    return f'[[structure]]\nname = "s"\nkind = "custom"\nvertices = {vertices}\nfaces = {numbers}\n{more}'


@pytest.mark.parametrize(
    ("name", "count", "dihedral"),
    [  # the regular solids, dihedral angles in closed form
        ("tetrahedron", 4, acos(1 / 3)),
        ("cube", 6, pi / 2),
        ("octahedron", 8, acos(-1 / 3)),
        ("dodecahedron", 12, acos(-1 / sqrt(5))),
        ("icosahedron", 20, acos(-sqrt(5) / 3)),
    ],
)
def test_regular_solids(name: str, count: int, dihedral: float) -> None:
    points, faces = solid(name)
    made = zoo.sized(custom(points, faces)).structures[0]
    assert len(made.panels) == count
    for panel in made.panels:
        for edge in panel.edges:
            (met,) = edge.met
            between = normal(panel.bay.outline) @ normal(made.panels[met.panel - 1].bay.outline)
            assert pi - acos(between) == pytest.approx(dihedral, abs=1e-9)
    mesh = trimesh.convex.convex_hull(points)
    metal = sum(abs(_area(panel.frame)) for panel in made.panels)
    assert metal == pytest.approx(mesh.area, rel=1e-9)


def _area(outline: tuple[tuple[float, float], ...]) -> float:
    x, y = np.array(outline).T
    return float(x @ np.roll(y, -1) - y @ np.roll(x, -1)) / 2


def test_dihedral_angles_against_trimesh() -> None:
    points, faces = zoo.truncated_octahedron()
    made = zoo.sized(custom(points, faces)).structures[0]
    ours = sorted(
        degrees(pi - acos(normal(p.bay.outline) @ normal(made.panels[m.panel - 1].bay.outline)))
        for p in made.panels
        for edge in p.edges
        for m in edge.met
    )
    mesh = trimesh.convex.convex_hull(points)
    theirs = np.degrees(pi - mesh.face_adjacency_angles)
    theirs = sorted(np.repeat(theirs[theirs < 180 - 1e-6], 2).tolist())  # without the edges inside flat faces
    assert ours == pytest.approx(theirs, abs=1e-6)
    # 109° 28' between hexagons, 125° 16' between a hexagon and a square: acos(−1/3), acos(−1/√3)
    assert {round(angle, 4) for angle in ours} == {
        round(degrees(acos(-1 / 3)), 4),
        round(degrees(acos(-1 / sqrt(3))), 4),
    }


def test_a_wedge_by_hand() -> None:
    made = zoo.sized(zoo.WEDGE).structures[0]
    assert made.overall == pytest.approx((2000, 1000, 2400))
    slope = hypot(zoo.WEDGE_DEEP, zoo.WEDGE_HIGH)
    assert [size(p.frame) for p in made.panels] == [
        pytest.approx(pair, abs=1e-6)
        for pair in ((2000, slope), (1000, 2400), (2000, 2400), (1000, 2400), (2000, 1000))
    ]
    # the front leans back by atan(1000 / 2400)
    assert made.panels[0].sight.tilt == pytest.approx(degrees(atan2(1000, 2400)), abs=1e-6)
    assert made.panels[4].sight.seen == 0.0  # its underside


def test_a_square_taper() -> None:
    """1000 to 600 over 2500: slant 2507.987, lean 4.573921°, dihedral 90.364364°, face 2,006,390 mm² (closed forms)."""
    a, b, h = 500.0, 300.0, 2500.0
    points = np.array([(x * s, y * s, z) for s, z in ((a, 0), (b, h)) for x, y in ((-1, -1), (1, -1), (1, 1), (-1, 1))])
    made = zoo.sized(custom(points, zoo.hull_faces(points))).structures[0]
    sides = [p for p in made.panels if abs(p.sight.tilt) < 45]
    for panel in sides:
        assert size(panel.frame)[1] == pytest.approx(hypot(h, a - b), abs=1e-6)
        assert size(panel.frame)[1] == pytest.approx(2507.987, abs=5e-4)
        assert panel.sight.tilt == pytest.approx(degrees(atan2(a - b, h)), abs=1e-6)
        assert panel.sight.tilt == pytest.approx(4.573921, abs=5e-7)
        assert _area(panel.frame) == pytest.approx((2 * a + 2 * b) / 2 * hypot(h, a - b), rel=1e-9)
        assert _area(panel.frame) == pytest.approx(2_006_390, abs=0.6)
    one, two = (normal(p.bay.outline) for p in sides[:2])
    assert degrees(pi - acos(one @ two)) == pytest.approx(90.364364, abs=5e-7)


# --- turning and moving; inches


def _spun(shape: Shape, turn: float, move: tuple[float, float]) -> Shape:
    c, s = cos(radians(turn)), sin(radians(turn))

    def spin(v: tuple[float, float, float]) -> tuple[float, float, float]:
        return c * v[0] - s * v[1] + move[0], s * v[0] + c * v[1] + move[1], v[2]

    faces = tuple(Face(f.name, tuple(spin(v) for v in f.vertices)) for f in shape.faces)
    return Shape(faces, shape.numbering, tuple(tuple(spin(v) for v in side) for side in shape.bare))


TURNABLE = ("box", "hung cube", "column", "column with a notch", "two-sided run", "posted run", "wedge", "tetrahedron")


@given(st.sampled_from(TURNABLE), st.floats(-180, 180), st.floats(-1e4, 1e4), st.floats(-1e4, 1e4), st.floats(0, 1e4))
def test_turning_or_moving_a_structure_changes_no_size(name: str, turn: float, x: float, y: float, lift: float) -> None:
    shape = zoo.BARE[name] if name in zoo.BARE else shape_of(zoo.ORDERS[name])
    still = {p.bay.face.name: p for p in zoo.size_bare(shape).panels}
    moved = {p.bay.face.name: p for p in zoo.size_bare(_spun(shape, turn, (x, y)), feet=lift).panels}
    assert still.keys() == moved.keys()
    for face, panel in still.items():
        other = moved[face]
        if abs(panel.sight.tilt) > 89:  # a level face's upright is the structure's +y, so it turns in its frame
            assert abs(_area(other.frame)) == pytest.approx(abs(_area(panel.frame)), rel=1e-9)
            assert abs(_area(other.cut)) == pytest.approx(abs(_area(panel.cut)), rel=1e-9)
            continue
        for zone in ("frame", "visible", "finished", "cut", "art"):
            assert size(getattr(other, zone)) == pytest.approx(size(getattr(panel, zone)), abs=1e-6)
        assert other.print_sheet == pytest.approx(panel.print_sheet, abs=1e-6)
        assert other.strip_total == pytest.approx(panel.strip_total, abs=1e-6)
        assert other.upright_deg == pytest.approx(panel.upright_deg, abs=1e-6)


@given(st.lists(st.integers(10, 2000), min_size=1, max_size=5), st.integers(100, 1600))
def test_inches_and_millimetres_agree(sixteenths: list[int], high: int) -> None:
    lengths = [16 * 20 + n for n in sixteenths]  # over 20 in
    inches = [f"{n // 16} {n % 16}/16 in" for n in lengths]
    mm = [f"{n * 25.4 / 16:.4f} mm" for n in lengths]  # 25.4/16 = 1.5875 ends in 4 places
    angles = [30.0] * (len(lengths) - 1)
    bodies = [
        f'[[structure]]\nname = "r"\nkind = "run"\nheight = "{h}"\nlengths = {[*listed]}\nangles = {angles}\n'
        for listed, h in ((inches, f"{high} in"), (mm, f"{high * 25.4:.1f} mm"))
    ]
    one, two = (zoo.sized(body).panels for body in bodies)
    for a, b in zip(one, two, strict=True):
        for zone in ("frame", "visible", "finished", "cut", "art"):
            assert zoo.near(getattr(a, zone), getattr(b, zone), 1e-9)
        assert zoo.near(a.print_sheet, b.print_sheet, 1e-9)


# --- nothing asks which kind it was


@pytest.mark.parametrize("name", zoo.ORDERS)
def test_every_kind_of_the_zoo_gives_panels(name: str) -> None:
    made = zoo.sized(zoo.ORDERS[name]).structures[0]
    assert made.panels
    for panel in made.panels:
        v, f, c, a = (size(getattr(panel, zone)) for zone in ("visible", "finished", "cut", "art"))
        for i in (0, 1):
            assert v[i] < f[i] <= c[i] < a[i]


def test_a_kind_s_name_is_asked_nowhere_downstream() -> None:
    package = Path(zoo.__file__).resolve().parents[1] / "artgen"
    for folder in ("sizing", "template", "checks", "survey", "proof", "drawing"):
        for path in (package / folder).rglob("*.py"):
            text = path.read_text(encoding="utf-8")
            assert not any(f'"{kind}"' in text for kind in KINDS), path
