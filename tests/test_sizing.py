"""Panels: the worked example, frames of reference, offsets, drops, cloth direction, overrides.

Expected values are sums of the givens s, t, w, h, b, e, c (docs/sums.md), written out beside each check, closed forms
of plane geometry, or shapely's own offset.
"""

from math import cos, hypot, radians, sin, sqrt, tan

import numpy as np
import pytest
import zoo
from attrs import evolve
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon
from zoo import BOX, C_ACROSS, C_ALONG, E_ACROSS, E_ALONG, ROLL, A, B, G, H, S, T, W, near, normal

from artgen import profiles
from artgen.order import BayRow, EdgeSettings, PanelSettings, Settings
from artgen.sizing import Drop, Panel, SizedStructure, size_order, size_shape
from artgen.sizing.drops import Cut, balanced, count, split
from artgen.sizing.outline import area, bounds, size
from artgen.sizing.panel import Seam
from artgen.sizing.sums import Made, SizeFault, edge_sums, printed, strip_length, zones
from artgen.structure.bays import split as split_bays
from artgen.structure.kinds import KINDS
from artgen.structure.shape import Face, Shape
from artgen.typed import Give, TableError

SIZED = zoo.all_sized()
CUBES = ("hung cube", "hung cube, lower front")
PANELS = [(name, panel.number) for name, made in SIZED.items() for panel in made.panels]


def of(name: str, number: int) -> Panel:
    return next(panel for panel in SIZED[name].panels if panel.number == number)


def in_space(panel: Panel, point: tuple[float, float]) -> np.ndarray:
    origin, x, y = (np.asarray(v) for v in panel.to_space)
    return np.asarray(origin + x * point[0] + y * point[1])


def faults(body: str) -> list[tuple[str, str]]:
    with pytest.raises(TableError) as caught:
        size_order(zoo.order(body), KINDS)
    return list(caught.value.faults)


# --- the worked example


def visible(frame: float) -> float:
    return frame - S - S


def cut_size(frame: float) -> float:
    return visible(frame) + (T + H) + (T + H)


def art_size(frame: float) -> float:
    return cut_size(frame) + 2 * B


def sewn(frame: float, e: float) -> float:
    return (visible(frame) + (T - W) + (T - W)) / (1 + e) + W + W


def printed_cut(frame: float, e: float, c: float) -> float:
    return (sewn(frame, e) + H + H) / (1 + c)


def factor(frame: float, e: float, c: float) -> float:
    return printed_cut(frame, e, c) / cut_size(frame)


ACROSS, ALONG = (E_ACROSS, C_ACROSS), (E_ALONG, C_ALONG)


@pytest.mark.parametrize(
    ("number", "wide", "high"),
    [(1, 1000, 3300), (2, 800, 3300), (3, 1000, 3300), (4, 800, 3300), (5, 1000, 800), (6, 1000, 800)],
)
def test_worked_example_table(number: int, wide: float, high: float) -> None:
    panel = of("box", number)
    assert not panel.turned
    assert near(size(panel.frame), (wide, high))
    assert near(size(panel.visible), (visible(wide), visible(high)))
    assert near(size(panel.finished), (visible(wide) + 2 * T, visible(high) + 2 * T))
    assert near(size(panel.cut), (cut_size(wide), cut_size(high)))
    assert near(size(panel.art), (art_size(wide), art_size(high)))
    assert near(panel.sewn_size, (sewn(wide, E_ACROSS), sewn(high, E_ALONG)))
    assert near(panel.sewn_cut_size, (sewn(wide, E_ACROSS) + 2 * H, sewn(high, E_ALONG) + 2 * H))
    assert near(panel.printed_cut_size, (printed_cut(wide, *ACROSS), printed_cut(high, *ALONG)))
    assert near(panel.factor, (factor(wide, *ACROSS), factor(high, *ALONG)), within=1e-12)
    k = (factor(wide, *ACROSS), factor(high, *ALONG))
    assert near(panel.print_sheet, (k[0] * art_size(wide), k[1] * art_size(high)))
    assert panel.drops[0].sheet == panel.print_sheet and len(panel.drops) == 1


def test_worked_example_strip() -> None:
    front = of("box", 1)
    across, along = visible(1000) / (1 + E_ACROSS) - 2 * G, visible(3300) / (1 + E_ALONG) - 2 * G
    assert {edge.name: pytest.approx(edge.strip, abs=1e-6) for edge in front.edges} == {
        "bottom": across,
        "top": across,
        "left": along,
        "right": along,
    }
    assert front.strip_total == pytest.approx(2 * (across + along), abs=1e-6)


@pytest.mark.parametrize(("behind", "gap"), [("on", 2 * S), ("closed", 0.0)])
def test_worked_example_wrap(behind: str, gap: float) -> None:
    sizing = zoo.sized(BOX + f'[[wrap]]\npanels = [1, 2, 3, 4]\nfile = "a.pdf"\nbehind = "{behind}"\n')
    last = sizing.panel(4).art
    shift = sizing.wraps[0].places[3][4]
    # four visible widths, three reveals of two setbacks (or none), an end allowance and bleed on both sides
    total = 2 * visible(1000) + 2 * visible(800) + 3 * gap + 2 * (T + H + B)
    assert bounds(last)[2] + shift == pytest.approx(total, abs=1e-6)


def test_worked_example_wall_in_two_drops() -> None:
    wall = '[[structure]]\nname = "w"\nkind = "wall"\nwidth = "5600 mm"\nheight = "2400 mm"\nfabric = "brushed-knit"\n'
    panel = zoo.sized(wall).panels[0]
    k = factor(5600, *ACROSS)
    assert not panel.turned
    assert panel.print_sheet[0] == pytest.approx(k * art_size(5600), abs=1e-6)
    # half of the cut and one bleed at print size, and a seam allowance that shrinks to a
    assert [drop.number for drop in panel.drops] == ["1a", "1b"]
    for drop in panel.drops:
        assert drop.sheet[0] == pytest.approx((cut_size(5600) / 2 + B) * k + A / (1 + C_ACROSS), abs=1e-6)
        assert drop.sheet[1] == panel.print_sheet[1]
    assert panel.seams[0].at == pytest.approx(B + cut_size(5600) / 2, abs=1e-6)


@pytest.mark.parametrize("name", CUBES)
def test_worked_example_hung_cube(name: str) -> None:
    made = SIZED[name]
    assert made.overall[2] == pytest.approx(1500 * sqrt(3), abs=1e-6)  # tip to tip
    assert made.standing == pytest.approx(1500 * sqrt(3) + 2500, abs=1e-6)  # above the floor, hung at 2500
    assert max(made.overall[:2]) == pytest.approx(2 * 1500 * sqrt(2 / 3), abs=1e-6)  # hexagon across corners
    assert min(made.overall[:2]) == pytest.approx(1500 * sqrt(2), abs=1e-6)  # and across flats
    for panel in made.panels:
        assert near(size(panel.art), (art_size(1500), art_size(1500)))
        turned = radians(-panel.upright_deg)
        reading = [(x * cos(turned) - y * sin(turned), x * sin(turned) + y * cos(turned)) for x, y in panel.art]
        assert near(size(reading), (art_size(1500) * sqrt(2), art_size(1500) * sqrt(2)))  # a square on its tip


def test_feet_lift_the_structure() -> None:
    tower = zoo.sized(BOX + 'feet = "20 mm"\n').structures[0]
    assert (tower.overall[2], tower.standing, tower.hung) == (3300.0, 3320.0, False)


@pytest.mark.parametrize(
    ("name", "panels"),
    [("box", 6), ("wall", 1), ("two-sided wall", 2), ("three-bay wall", 3), ("tetrahedron", 4), ("L-shaped face", 1)]
    + [(name, 6) for name in CUBES],
)
def test_a_panel_for_each_bay(name: str, panels: int) -> None:
    assert [panel.number for panel in SIZED[name].panels] == list(range(1, panels + 1))


def test_inches_and_millimetres_agree() -> None:
    inch = 25.4  # mm, exactly
    mm = BOX.replace("1000 mm", f"{(39 + 3 / 8) * inch} mm").replace("800 mm", f"{31.5 * inch} mm")
    mm = mm.replace("3300 mm", f"{130 * inch} mm")
    for one, other in zip(SIZED["inch box"].panels, zoo.sized(mm).panels, strict=True):
        assert near(one.art, other.art, within=1e-9)
        assert near(one.sewn_size, other.sewn_size, within=1e-9)
        assert near(one.print_sheet, other.print_sheet, within=1e-9)
        assert one.strip_total == pytest.approx(other.strip_total, abs=1e-9)
    assert near(size(of("inch box", 1).frame), ((39 + 3 / 8) * inch, (10 * 12 + 10) * inch))


# --- the two frames


@pytest.mark.parametrize(("name", "number"), PANELS)
def test_sewn_frame_is_right_handed_and_leads_back_to_space(name: str, number: int) -> None:
    panel = of(name, number)
    _, x, y = (np.asarray(v) for v in panel.to_space)
    assert np.cross(x, y) == pytest.approx(normal(panel.bay.outline), abs=1e-12)  # seen from outside
    assert float(x @ y) == pytest.approx(0.0, abs=1e-12)
    for flat, vertex in zip(panel.frame, panel.bay.outline, strict=True):
        assert float(np.abs(in_space(panel, flat) - np.asarray(vertex)).max()) < 1e-9
    assert near(bounds(panel.art)[:2], (0.0, 0.0), within=1e-12)  # origin: lower left of the art size
    for zone in (panel.frame, panel.visible, panel.finished, panel.cut, panel.art):
        assert area(zone) > 0  # anticlockwise


@pytest.mark.parametrize(("name", "number"), PANELS)
def test_upright_is_where_the_rule_says(name: str, number: int) -> None:
    panel = of(name, number)
    n = normal(panel.bay.outline)
    level = abs(n[2]) > cos(radians(1.0))
    up = np.array([0.0, 1.0, 0.0]) if level else np.array([0.0, 0.0, 1.0])
    expected = up - (up @ n) * n
    expected /= np.linalg.norm(expected)
    _, x, y = (np.asarray(v) for v in panel.to_space)
    turn = radians(panel.upright_deg)  # anticlockwise from sewn y
    assert y * cos(turn) - x * sin(turn) == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize(("name", "number"), PANELS)
def test_the_turn_is_the_smallest_that_lays_an_edge_level(name: str, number: int) -> None:
    panel = of(name, number)
    following = [*panel.frame[1:], panel.frame[0]]
    sewn_angles = [
        np.degrees(np.arctan2(b[1] - a[1], b[0] - a[0])) for a, b in zip(panel.frame, following, strict=True)
    ]
    assert min(abs((angle + 90) % 180 - 90) for angle in sewn_angles) < 1e-9  # one is level
    upright_angles = [(angle - panel.upright_deg + 90) % 180 - 90 for angle in sewn_angles]
    assert abs(panel.upright_deg) <= min(abs(angle) for angle in upright_angles) + 1e-6
    assert -180 < panel.upright_deg <= 180
    assert str(panel.upright_deg) != "-0.0"


@pytest.mark.parametrize(("name", "number"), PANELS)
def test_upright_deg_of_the_zoo(name: str, number: int) -> None:
    # an edge of every wall, box and tetrahedron face is level; a hung cube's faces stand on a tip: tie, anticlockwise
    assert of(name, number).upright_deg == (-45.0 if name in CUBES else 0.0)


def test_ties_go_anticlockwise() -> None:
    half = 1000.0 / sqrt(2)
    diamond = zoo.standing((0, 0), (half, half), (0, 2 * half), (-half, half))
    assert zoo.size_bare(diamond).panels[0].upright_deg == -45.0
    # one upright edge, the others climb and fall at 30°
    sideways = zoo.standing((0, 0), (0, 2000.0), (-1000.0 * sqrt(3), 1000.0))
    made = zoo.size_bare(sideways).panels[0]
    assert made.upright_deg == pytest.approx(-30.0, abs=1e-9)
    assert size(made.frame)[1] == pytest.approx(1000.0 * sqrt(3), abs=1e-6)  # height of an equilateral triangle


@given(st.floats(-1e-7, 1e-7))
def test_dust_does_not_turn_a_tie(dust: float) -> None:
    a, b = radians(45.0 + dust), radians(135.0 - dust)
    p, q = (1000 * cos(a), 1000 * sin(a)), (1000 * cos(b), 1000 * sin(b))
    rhombus = zoo.standing((0, 0), p, (p[0] + q[0], p[1] + q[1]), q)
    assert zoo.size_bare(rhombus).panels[0].upright_deg == pytest.approx(-45.0, abs=1e-6)


def test_level_faces_use_plus_y() -> None:
    for number, name in ((5, "top"), (6, "bottom")):
        panel = of("box", number)
        assert panel.bay.face.name == name
        assert near(panel.to_space[2], (0.0, 1.0, 0.0), within=1e-12)


def test_names_of_edges() -> None:
    assert [edge.name for edge in of("box", 1).edges] == ["bottom", "right", "top", "left"]
    # two edges of an L face right, two face up: those have numbers only
    assert [edge.name for edge in of("L-shaped face", 1).edges] == ["bottom", "2", "3", "4", "5", "left"]
    assert [edge.name for edge in of("tetrahedron", 1).edges] == ["bottom", "2", "3"]


def sizes(panel: Panel) -> tuple[object, ...]:
    zones_of = (panel.frame, panel.visible, panel.finished, panel.cut, panel.art)
    return (
        panel.upright_deg,
        *(size(zone) for zone in zones_of),
        panel.sewn_size,
        panel.printed_cut_size,
        panel.print_sheet,
        panel.strip_total,
    )


@settings(max_examples=30)
@given(
    st.floats(-180, 180),
    st.floats(-20_000, 20_000),
    st.floats(-20_000, 20_000),
    st.floats(0, 5_000),
    st.sampled_from(["hung cube", "tetrahedron", "box", "L-shaped face"]),
)
def test_moving_and_turning_about_z_change_no_size(turn: float, dx: float, dy: float, dz: float, name: str) -> None:
    c, s = cos(radians(turn)), sin(radians(turn))
    # level faces keep to structure +y, so turning the structure turns their art: they are left out
    bays = [bay for bay in SIZED[name].bays if abs(normal(bay.outline)[2]) < 0.99]
    still = Shape(tuple(bay.face for bay in bays), numbering="along")
    moved = Shape(
        tuple(
            Face(face.name, tuple((c * x - s * y + dx, s * x + c * y + dy, z + dz) for x, y, z in face.vertices))
            for face in still.faces
        ),
        numbering="along",
    )
    for one, other in zip(zoo.size_bare(still).panels, zoo.size_bare(moved).panels, strict=True):
        assert near(sizes(other), sizes(one))


# --- offsets of other outlines than rectangles


def l_outline(q: float) -> list[tuple[float, float]]:
    """The L of the zoo with every edge moved out by ``q``, from its own lower left."""
    wide, high, foot, stem = zoo.L_WIDE + q, zoo.L_HIGH + q, zoo.L_FOOT + q, zoo.L_STEM + q
    return [(-q, -q), (wide, -q), (wide, foot), (stem, foot), (stem, high), (-q, high)]


@pytest.mark.parametrize(
    ("zone", "out"),
    [("frame", 0.0), ("visible", -S), ("finished", -S + T), ("cut", -S + T + H), ("art", -S + T + H + B)],
)
def test_l_shaped_face(zone: str, out: float) -> None:
    panel = of("L-shaped face", 1)
    origin = -S + T + H + B  # the art size's lower left lies this far out from the frame's
    expected = [(x + origin, y + origin) for x, y in l_outline(out)]
    assert near(getattr(panel, zone), expected)
    # shapely moves the same edges
    other = Polygon(l_outline(0)).buffer(out, join_style="mitre")
    assert area(getattr(panel, zone)) == pytest.approx(other.area, rel=1e-12)


def test_l_shaped_face_safe_and_sewn() -> None:
    panel = of("L-shaped face", 1)
    safe = profiles.load(profiles.Fabric, "display-knit").safe
    assert panel.safe is not None
    assert area(panel.safe) == pytest.approx(Polygon(l_outline(0)).buffer(-S - safe, join_style="mitre").area)
    # the bounding box of an L is sized as a rectangle is
    assert near(panel.sewn_size, (sewn(zoo.L_WIDE, E_ACROSS), sewn(zoo.L_HIGH, E_ALONG)))
    edge = next(edge for edge in panel.edges if edge.name == "4")  # up the inside of the L
    assert edge.strip == pytest.approx((zoo.L_HIGH - zoo.L_FOOT) / (1 + E_ALONG) - 2 * G, abs=1e-6)
    assert edge.end[1] - edge.start[1] == pytest.approx(zoo.L_HIGH - zoo.L_FOOT, abs=1e-6)


@pytest.mark.parametrize("number", [1, 2, 3, 4])
@pytest.mark.parametrize(
    ("zone", "out"),
    [("frame", 0.0), ("visible", -S), ("finished", -S + T), ("cut", -S + T + H), ("art", -S + T + H + B)],
)
def test_tetrahedron_offsets(number: int, zone: str, out: float) -> None:
    # an equilateral triangle whose edges move out by q has sides longer by 2q / tan 30° = 2√3 q, height by 3q
    side = zoo.TETRAHEDRON_EDGE + 2 * sqrt(3) * out
    outline = getattr(of("tetrahedron", number), zone)
    following = [*outline[1:], outline[0]]
    lengths = [hypot(b[0] - a[0], b[1] - a[1]) for a, b in zip(outline, following, strict=True)]
    assert lengths == pytest.approx([side] * 3, abs=1e-6)
    assert near(size(outline), (side, side * sqrt(3) / 2))


def test_tetrahedron_sewn() -> None:
    panel = of("tetrahedron", 1)
    grown = zoo.TETRAHEDRON_EDGE + 2 * sqrt(3) * (-S + T - W)  # side once outset by the cloth that stretches
    base, height = grown / (1 + E_ACROSS), grown * sqrt(3) / 2 / (1 + E_ALONG)  # isosceles now
    half_foot = np.arctan2(height, base / 2) / 2
    half_tip = np.arctan2(base / 2, height)

    def outset(w: float) -> tuple[float, float]:
        return base + 2 * w / tan(half_foot), height + w + w / sin(half_tip)

    assert near(panel.sewn_size, outset(W))
    assert near(panel.sewn_cut_size, outset(W + H))
    width, tall = outset(W + H)
    assert near(panel.printed_cut_size, (width / (1 + C_ACROSS), tall / (1 + C_ALONG)))
    # strip: fold lines from the visible triangle, relaxed per axis
    v = zoo.TETRAHEDRON_EDGE - 2 * sqrt(3) * S
    sloped = hypot(v / 2 / (1 + E_ACROSS), v * sqrt(3) / 2 / (1 + E_ALONG)) - 2 * G
    strips = [edge.strip for edge in panel.edges]
    assert strips == pytest.approx([v / (1 + E_ACROSS) - 2 * G, sloped, sloped], abs=1e-6)


def needle(degrees: float, base: float) -> Shape:
    return zoo.standing((0, 0), (base, 0), (base / 2, base / 2 / tan(radians(degrees / 2))))


@pytest.mark.parametrize(("zone", "out"), [("finished", T), ("cut", T + H), ("art", T + H + B)])
def test_a_needle_is_cut_square(zone: str, out: float) -> None:
    panel = zoo.size_bare(needle(10.0, 600.0)).panels[0]
    half = radians(5.0)
    tip = max(panel.visible, key=lambda p: p[1])
    # inwards there is no mitre: the visible tip lies s / sin 5° below the metal's
    assert max(y for _, y in panel.frame) - tip[1] == pytest.approx(S / sin(half), abs=1e-6)
    # outwards the mitre would reach q / sin 5° = 11.5 q; past 3 q it is cut square to it
    outline = getattr(panel, zone)
    top = max(y for _, y in outline)
    assert top == pytest.approx(tip[1] + 3 * out, abs=1e-6)
    across = sorted(x for x, y in outline if abs(y - top) < 1e-6)
    assert len(outline) == 4 and len(across) == 2
    assert across[1] - across[0] == pytest.approx(2 * (out / sin(half) - 3 * out) * tan(half), abs=1e-6)


@pytest.mark.parametrize(("degrees", "points"), [(38.0, 4), (40.0, 3)])
def test_where_the_square_cut_begins(degrees: float, points: int) -> None:
    # q / sin(θ/2) = 3q at θ = 2 asin(1/3) = 38.94°
    assert len(zoo.size_bare(needle(degrees, 600.0)).panels[0].cut) == points


def test_edges_stay_with_their_numbers_past_a_square_cut() -> None:
    panel = zoo.size_bare(needle(10.0, 600.0)).panels[0]
    assert [edge.name for edge in panel.edges] == ["bottom", "2", "3"]
    for edge in panel.edges:
        assert all(any(near(end, point) for point in panel.cut) for end in (edge.start, edge.end))
    assert panel.edges[1].end != panel.edges[2].start  # the square cut belongs to no edge


def test_faces_that_leave_nothing() -> None:
    found = faults(zoo.WALL.replace("3000 mm", "12 mm"))
    assert found[0][0] == "structure 1, panel 1" and "leaves nothing to see" in found[0][1]
    sliver = zoo.WALL.replace("3000 mm", "80 mm")  # visible 80 − 2s, less than twice the safe inset
    assert zoo.sized(sliver).panels[0].safe is None


# --- settings of one edge or panel


ONE_EDGE = "[[structure.edge]]\npanel = "
GIVEN = {"setback": S, "seat_depth": T, "turn_in": H, "bleed": B, "safe": 40.0}


@pytest.mark.parametrize("edge", ["left", "right", "top", "bottom"])
@pytest.mark.parametrize("key", ["setback", "seat_depth", "turn_in", "bleed", "safe"])
def test_an_override_moves_just_its_edge(edge: str, key: str) -> None:
    setting = f'[[structure.edge]]\npanel = 1\nedge = "{edge}"\n{key} = "{GIVEN[key] + 9} mm"\n'
    panel = zoo.sized(BOX + setting).panel(1)
    each = {name: dict(GIVEN) for name in ("left", "right", "top", "bottom")}
    each[edge][key] += 9

    def reach(zone: str, name: str) -> float:
        own = each[name]
        inwards = {
            "visible": own["setback"],
            "finished": own["setback"] - own["seat_depth"],
            "cut": own["setback"] - own["seat_depth"] - own["turn_in"],
            "art": own["setback"] - own["seat_depth"] - own["turn_in"] - own["bleed"],
            "safe": own["setback"] + own["safe"],
        }
        return inwards[zone]

    left, bottom = bounds(panel.frame)[:2]
    for zone in ("visible", "finished", "cut", "art", "safe"):
        x0, y0, x1, y1 = bounds(getattr(panel, zone))
        assert near(
            (x0 - left, y0 - bottom, x1 - left, y1 - bottom),
            (reach(zone, "left"), reach(zone, "bottom"), 1000 - reach(zone, "right"), 3300 - reach(zone, "top")),
        )
    found = next(found for found in panel.edges if found.name == edge)
    assert getattr(found, key) == GIVEN[key] + 9
    # two unequal edges on the sewing table: each brings its own seat, strip and turn-in
    v = 1000 - each["left"]["setback"] - each["right"]["setback"]
    soft = each["left"]["seat_depth"] - W + each["right"]["seat_depth"] - W
    wide = (v + soft) / (1 + E_ACROSS) + 2 * W
    assert panel.sewn_size[0] == pytest.approx(wide, abs=1e-6)
    turn_ins = each["left"]["turn_in"] + each["right"]["turn_in"]
    assert panel.printed_cut_size[0] == pytest.approx((wide + turn_ins) / (1 + C_ACROSS), abs=1e-6)
    others = zoo.sized(BOX + setting).panels[1:]
    assert all(near(sizes(other), sizes(of("box", other.number))) for other in others)


def test_an_edge_by_its_number() -> None:
    by_name, by_number = (
        zoo.sized(BOX + f'[[structure.edge]]\npanel = 2\nedge = {edge}\nsetback = "9 mm"\n') for edge in ('"right"', 2)
    )
    assert by_name.panels == by_number.panels


def test_two_settings_of_one_edge_add_up() -> None:
    body = BOX
    for setting in ('setback = "9 mm"', 'bleed = "40 mm"'):
        body += f'[[structure.edge]]\npanel = 1\nedge = "left"\n{setting}\n'
    left = next(edge for edge in zoo.sized(body).panel(1).edges if edge.name == "left")
    assert (left.setback, left.bleed, left.seat_depth) == (9.0, 40.0, T)


def test_two_settings_that_contradict_each_other() -> None:
    twice = "".join(f'{ONE_EDGE}1\nedge = {edge}\nsetback = "{mm} mm"\n' for edge, mm in (('"left"', 9), (4, 8)))
    assert [path for path, _ in faults(BOX + twice)] == ["structure 1, edge 2, setback"]
    tables = "[[structure.panel]]\npanel = 1\nblank = true\n[[structure.panel]]\npanel = 1\nturn = true\n"
    assert [path for path, _ in faults(BOX + tables)] == ["structure 1, panel 2, panel"]


def test_a_reveal_of_the_frame_itself(monkeypatch: pytest.MonkeyPatch) -> None:
    load = profiles.load

    def with_cover(family: type, name: str) -> object:
        found = load(family, name)
        return evolve(found, reveal=30.0) if family is profiles.Frame else found

    monkeypatch.setattr(profiles, "load", with_cover)
    sizing = size_order(zoo.order(BOX + '[[wrap]]\npanels = [1, 2]\nfile = "a.pdf"\n'), KINDS)
    assert {edge.reveal for panel in sizing.panels for edge in panel.edges} == {30.0}
    # two visible widths, the reveal between them, an end allowance and bleed on both sides
    last = bounds(sizing.panel(2).art)[2] + sizing.wraps[0].places[1][4]
    assert last == pytest.approx(visible(1000) + 30 + visible(800) + 2 * (T + H + B), abs=1e-6)


def test_a_reveal_is_the_two_setbacks_that_meet() -> None:
    sizing = zoo.sized(BOX + '[[structure.edge]]\npanel = 1\nedge = "right"\nsetback = "10 mm"\n')
    right = sizing.panel(1).edges[1]
    assert [met.panel for met in right.met] == [2]
    assert right.reveal == 10.0 + S
    assert sizing.panel(2).edges[3].reveal == 10.0 + S  # the same bare metal from the other side
    assert sizing.panel(1).edges[3].reveal == S + S
    free = zoo.sized(zoo.WALL).panel(1)
    assert all(edge.reveal is None and edge.met == () for edge in free.edges)


def test_order_settings_come_before_profiles() -> None:
    panel = zoo.sized(BOX + 'bleed = "10 mm"\nsafe = "55 mm"\nseam_clearance = "1 mm"\n').panel(1)
    assert near(size(panel.art), (cut_size(1000) + 2 * 10, cut_size(3300) + 2 * 10))
    assert panel.safe is not None
    assert near(size(panel.safe), (visible(1000) - 2 * 55, visible(3300) - 2 * 55))
    assert panel.seam_clearance == 1.0


def test_an_open_panel_is_not_there_but_keeps_its_number() -> None:
    made = zoo.sized(BOX + "[[structure.panel]]\npanel = 2\nopen = true\n").structures[0]
    assert [panel.number for panel in made.panels] == [1, 3, 4, 5, 6]
    assert made.numbers == (1, 2, 3, 4, 5, 6)
    assert all(met.panel != 2 for panel in made.panels for edge in panel.edges for met in edge.met)
    assert made.panels[0].edges[1].reveal is None


def test_a_blank_panel_is_sized_like_any_other() -> None:
    sizing = zoo.sized(BOX + "[[structure.panel]]\npanel = 2\nblank = true\n")
    assert [panel.blank for panel in sizing.panels] == [False, True, False, False, False, False]
    assert near(sizes(sizing.panel(2)), sizes(of("box", 2)))


def test_a_panel_of_another_fabric() -> None:
    sizing = zoo.sized(BOX + '[[structure.panel]]\npanel = 2\nfabric = "brushed-knit"\n')
    assert [panel.fabric.name for panel in sizing.panels].count("brushed-knit") == 1
    assert sizing.panel(2).fabric.name == "brushed-knit"


@pytest.mark.parametrize(
    ("body", "path", "says"),
    [
        (BOX + ONE_EDGE + "7\nedge = 1\n", "structure 1, edge 1, panel", "1 to 6"),
        (BOX + ONE_EDGE + "1\nedge = 5\n", "structure 1, edge 1, edge", "no edge 5"),
        (BOX + "[[structure.panel]]\npanel = 7\n", "structure 1, panel 1, panel", "1 to 6"),
        (BOX + "last_panel = 7\n", "structure 1, last_panel", "no panel 7"),
        (BOX + 'bays = ["400 mm", "500 mm"]\n', "structure 1, bays, front", "add up to 900 mm"),
        (BOX + ONE_EDGE + '1\nedge = 1\nseat_depth = "13 mm"\n', "structure 1, panel 1", "strip is 14 mm wide"),
        (BOX + '[[art]]\npanel = 7\nfile = "a"\n', "art 1, panels", "no panel 7"),
        (BOX + "[[structure.panel]]\npanel = 2\nopen = true\n[[art]]\npanel = 2\nfile = 'a'\n", "art 1, panels", "no"),
        (
            BOX + "[[structure.panel]]\npanel = 2\nblank = true\n[[art]]\npanel = 2\nfile = 'a'\n",
            "art 1, panels",
            "blank",
        ),
        (BOX + "[[art]]\npanel = 1\nfile = 'a'\n[[art]]\npanel = 1\nfile = 'b'\n", "art 2, panels", "from art 1"),
        (
            BOX + "[[art]]\npanel = 1\nfile = 'a'\n[[wrap]]\npanels = [1, 2]\nfile = 'b'\n",
            "art 1, panels",
            "from wrap 1",
        ),
    ],
)
def test_faults_that_only_the_geometry_shows(body: str, path: str, says: str) -> None:
    found = faults(body)
    assert [where for where, _ in found] == [path]
    assert says in found[0][1]


def test_faults_of_several_panels_at_once() -> None:
    body = (
        BOX + "".join(f'{ONE_EDGE}{n}\nedge = 1\nseat_depth = "13 mm"\n' for n in (1, 3)) + ONE_EDGE + "9\nedge = 1\n"
    )
    assert {where for where, _ in faults(body)} == {
        "structure 1, panel 1",
        "structure 1, panel 3",
        "structure 1, edge 3, panel",
    }


def test_strip_as_wide_as_its_seat_will_do() -> None:
    panel = zoo.sized(BOX + f'{ONE_EDGE}1\nedge = 1\nseat_depth = "{W} mm"\n').panel(1)
    assert panel.edges[0].seat_depth == W


def test_shadows_of_lit_structures() -> None:
    assert all(panel.shadows == () for panel in SIZED["box"].panels)
    frame = profiles.load(profiles.Frame, "standard")
    tall = zoo.sized(BOX.replace("3300", "4400") + 'lit = "inside"\n').structures[0]
    origin = -S + T + H + B  # of the frame in the sewn frame
    for panel in tall.panels:
        if panel.bay.face.name in ("top", "bottom"):
            assert panel.shadows == ()
            continue
        lamp, brace = panel.shadows
        assert (lamp.kind, brace.kind) == ("lamp bar", "brace")
        top = 4400 - frame.setback + origin
        assert near(bounds(lamp.outline)[1::2], (top - frame.lamp_bar_width, top))
        middle = 4400 / 2 + origin
        assert near(bounds(brace.outline)[1::2], (middle - frame.brace_width / 2, middle + frame.brace_width / 2))
        assert bounds(lamp.outline)[0::2] == bounds(panel.visible)[0::2]
    low = zoo.sized(BOX + 'lit = "inside"\n').panel(1)  # 3300 is not above the height from which frames are braced
    assert [shadow.kind for shadow in low.shadows] == ["lamp bar"]


# --- drops and seams


@st.composite
def cuts(draw: st.DrawFn) -> Cut:
    width = draw(st.floats(500, 3500))
    return Cut(
        axis=draw(st.sampled_from(["x", "y"])),
        low=draw(st.floats(0, 50)),
        total=draw(st.floats(100, 25_000)),
        bleeds=(draw(st.floats(0, 60)), draw(st.floats(0, 60))),
        factor=draw(st.floats(0.9, 1.1)),
        allowance=draw(st.floats(0, 30)),
        width=width,
        applied=1.0,
    )


def split_even(cut: Cut, number: int, sheet: tuple[float, float]) -> tuple[tuple[Drop, ...], tuple[Seam, ...]]:
    """Balanced drops of a rectangular panel with as much bleed above and below as nothing."""
    a, b = cut.low - cut.bleeds[0], cut.low + cut.total + cut.bleeds[1]
    art = ((a, 0.0), (b, 0.0), (b, 50.0), (a, 50.0))
    outline = art if cut.axis == "x" else tuple((y, x) for x, y in reversed(art))
    return split(cut, number, sheet, outline, balanced(cut))


def fewest(cut: Cut, length: float, first: float, last: float) -> int:
    """Fewest printed pieces of a stretch, by filling one after the other as full as the roll takes: ``first``, ``last`` =
    what is printed beyond its two ends (bleed at print size, or a seam allowance)."""
    pieces, before = 1, first
    while before + length * cut.factor + last > cut.width + 1e-9:
        length -= (cut.width - before - cut.allowance) / cut.factor
        before = cut.allowance
        pieces += 1
    return pieces


def printed_beyond(cut: Cut) -> tuple[float, float]:
    return cut.bleeds[0] * cut.factor, cut.bleeds[1] * cut.factor


# outer drops 970, inner ones 940: a third of 2870 is more than an inner drop can be
INNER_FULL = Cut("x", 0.0, 2870.0, (0.0, 0.0), 1.0, 30.0, 1000.0, 1.0)


@example(INNER_FULL)
@given(cuts())
def test_drops_tile_the_cut_and_fit_the_roll(cut: Cut) -> None:
    sheet = (111.0, 222.0)
    drops, seams = split_even(cut, 7, sheet)
    assert len(drops) == fewest(cut, cut.total, *printed_beyond(cut)) == count(cut)
    assert drops[0].start == pytest.approx(cut.low, abs=1e-9)
    assert drops[-1].end == pytest.approx(cut.low + cut.total, abs=1e-9)
    assert len(seams) == len(drops) - 1
    across = 0 if cut.axis == "x" else 1
    for one, other, seam in zip(drops, drops[1:], seams, strict=False):
        assert one.end == other.start == seam.at
        assert seam.axis == one.axis == cut.axis
    for i, drop in enumerate(drops):
        assert drop.end > drop.start
        if len(drops) == 1:
            assert drop.sheet == sheet
            continue
        first, last = printed_beyond(cut)
        ends = (first if i == 0 else cut.allowance) + (last if i == len(drops) - 1 else cut.allowance)
        printed = (drop.end - drop.start) * cut.factor + ends
        # nothing of the factor is applied here, so that the sheet is what the RIP makes that large
        assert drop.sheet[across] * cut.factor == pytest.approx(printed, abs=1e-6)
        assert printed <= cut.width + 1e-6
        assert drop.sheet[1 - across] == sheet[1 - across]


@example(INNER_FULL)
@given(cuts())
def test_seam_ranges_are_as_far_as_a_seam_can_go(cut: Cut) -> None:
    drops, seams = split_even(cut, 1, (0.0, 0.0))
    first, last = printed_beyond(cut)
    for i, seam in enumerate(seams, start=1):
        assert seam.low - 1e-9 <= seam.at <= seam.high + 1e-9
        assert cut.low <= seam.low and seam.high <= cut.low + cut.total
        left, right = seam.high - cut.low, cut.low + cut.total - seam.low
        assert fewest(cut, left - 1e-6, first, cut.allowance) <= i
        assert fewest(cut, right - 1e-6, cut.allowance, last) <= len(drops) - i
        if seam.high < cut.low + cut.total - 1e-6:
            assert fewest(cut, left + 1e-3, first, cut.allowance) > i  # a hair further does not print
        if seam.low > cut.low + 1e-6:
            assert fewest(cut, right + 1e-3, cut.allowance, last) > len(drops) - i


@given(cuts())
def test_drops_share_the_cut_equally_where_the_roll_lets_them(cut: Cut) -> None:
    drops, _ = split_even(cut, 1, (0.0, 0.0))
    equal = cut.total / len(drops)
    assume(len(drops) > 1 and equal <= min(cut.inner, cut.outer(0), cut.outer(1)))
    assert [drop.end - drop.start for drop in drops] == pytest.approx([equal] * len(drops), abs=1e-6)


def test_exactly_the_roll_is_one_drop() -> None:
    cut = Cut("x", 25.0, 1000.0, (25.0, 25.0), 1.0, 10.0, 1050.0, 1.0)
    assert count(cut) == 1  # 1000 and two bleeds of 25
    assert count(evolve(cut, total=1000.001)) == 2


def test_drops_have_letters() -> None:
    cut = Cut("x", 0.0, 28_000.0, (0.0, 0.0), 1.0, 0.0, 1000.0, 1.0)
    numbers = [drop.number for drop in split_even(cut, 4, (0.0, 0.0))[0]]
    assert numbers[:2] == ["4a", "4b"] and numbers[25:] == ["4z", "4aa", "4ab"]


def test_a_roll_too_narrow_for_its_own_allowances() -> None:
    with pytest.raises(SizeFault, match="too narrow"):
        count(Cut("x", 0.0, 1000.0, (5.0, 5.0), 1.0, 30.0, 50.0, 1.0))


# --- cloth direction


def wall(width: int, height: int, more: str = "") -> str:
    return f'[[structure]]\nname = "w"\nkind = "wall"\nwidth = "{width} mm"\nheight = "{height} mm"\n{more}'


def test_turned_where_that_gives_fewer_drops() -> None:
    panel = zoo.sized(wall(5600, 2000)).panels[0]
    assert panel.turned and len(panel.drops) == 1
    # a turned panel's width lies along the roll, its height across: e and c change places
    assert near(panel.sewn_size, (sewn(5600, E_ALONG), sewn(2000, E_ACROSS)))
    assert near(panel.factor, (factor(5600, *ALONG), factor(2000, *ACROSS)), within=1e-12)
    across = visible(5600) / (1 + E_ALONG) - 2 * G
    assert panel.edges[0].strip == pytest.approx(across, abs=1e-6)
    assert size(panel.cut) == (cut_size(5600), cut_size(2000))  # as installed it is the same


@pytest.mark.parametrize(("width", "height"), [(1000, 3300), (5600, 5600), (3000, 3000), (2000, 5600)])
def test_standing_where_turning_gains_nothing(width: int, height: int) -> None:
    assert not zoo.sized(wall(width, height)).panels[0].turned


def test_a_fabric_with_a_nap_is_not_turned() -> None:
    panel = zoo.sized(wall(5600, 2000, 'fabric = "brushed-knit"\n')).panels[0]
    assert not panel.turned and len(panel.drops) == 2


def drops_of(made: SizedStructure) -> int:
    return sum(len(panel.drops) for panel in made.panels)


def test_one_direction_for_all_panels_of_a_fabric() -> None:
    flat = BOX.replace("1000 mm", "3300 mm").replace("800 mm", "1000 mm")
    # per panel, 3300 needs two drops and 1000 one. All six: standing 2+1+2+1+2+2 = turned 2+2+2+2+1+1, so they stand,
    # though top and bottom alone would gain
    six = zoo.sized(flat).structures[0]
    assert drops_of(six) == 10 and not any(panel.turned for panel in six.panels)
    # without the right side: standing 2+2+1+2+2 = 9, turned 2+2+2+1+1 = 8
    five = zoo.sized(flat + 'omit = ["right"]\n').structures[0]
    assert drops_of(five) == 8 and all(panel.turned for panel in five.panels)
    # top and bottom of another fabric are counted by themselves: they may not turn, and the sides then stand
    naps = "".join(f'[[structure.panel]]\npanel = {n}\nfabric = "brushed-knit"\n' for n in (5, 6))
    mixed = zoo.sized(flat + naps).structures[0]
    assert not any(panel.turned for panel in mixed.panels) and drops_of(mixed) == 10
    # each structure chooses for itself
    both = zoo.sized(flat + wall(5600, 2000)).structures
    assert [made.panels[0].turned for made in both] == [False, True]


def test_a_panel_is_turned_by_hand() -> None:
    sizing = zoo.sized(BOX + "[[structure.panel]]\npanel = 1\nturn = true\n")
    assert [panel.turned for panel in sizing.panels] == [True] + [False] * 5
    assert near(sizing.panel(1).sewn_size, (sewn(1000, E_ALONG), sewn(3300, E_ACROSS)))
    assert [drop.axis for drop in sizing.panel(1).drops] == ["y", "y"]  # 3300 lies across the roll now
    stays = zoo.sized(wall(5600, 2000, "[[structure.panel]]\npanel = 1\nturn = false\n")).panel(1)
    assert not stays.turned and len(stays.drops) == 2


@settings(max_examples=25)
@given(st.integers(200, 14_000), st.integers(200, 14_000))
def test_whole_walls_print(width: int, height: int) -> None:
    panel = zoo.sized(wall(width, height)).panels[0]
    across = 1 if panel.turned else 0
    assert all(drop.sheet[across] <= ROLL + 1e-6 for drop in panel.drops)
    low, high = bounds(panel.cut)[across], bounds(panel.cut)[across + 2]
    assert near((panel.drops[0].start, panel.drops[-1].end), (low, high))
    assert all(one.end == other.start for one, other in zip(panel.drops, panel.drops[1:], strict=False))
    # never more drops than either way of the cloth needs: k × art size, less the roll's width
    ways = [factor(width, *ACROSS) * art_size(width), factor(height, *ACROSS) * art_size(height)]
    assert (len(panel.drops) == 1) == (min(ways) <= ROLL)


# --- properties


sensible = st.floats(0, 60)


@given(
    st.floats(300, 6000),
    st.floats(300, 6000),
    st.lists(
        st.tuples(sensible, st.floats(W, 80), sensible, st.floats(0.1, 60)),
        min_size=4,
        max_size=4,
    ),
)
def test_each_size_holds_the_one_before(
    width: float, height: float, own: list[tuple[float, float, float, float]]
) -> None:
    overrides = tuple(
        EdgeSettings(1, i, setback=s, seat_depth=t, turn_in=h, bleed=b) for i, (s, t, h, b) in enumerate(own, start=1)
    )
    shape = zoo.standing((0, 0), (width, 0), (width, height), (0, height))
    panel = zoo.size_bare(shape, edge=overrides).panels[0]
    for i, j, low, high in ((0, 2, 3, 1), (1, 3, 0, 2)):  # axis and the numbers of its edges, from 0
        shown, finished, cut, art = (
            bounds(zone)[j] - bounds(zone)[i] for zone in (panel.visible, panel.finished, panel.cut, panel.art)
        )
        assert 0 < shown < finished <= cut < art
        frame = (width, height)[i]
        sums = [own[low][k] + own[high][k] for k in range(4)]
        v = frame - sums[0]
        assert near((shown, finished, cut, art), (v, v + sums[1], v + sums[1] + sums[2], v + sum(sums[1:])))
    assert panel.safe is None or Polygon(panel.visible).buffer(1e-6).contains(Polygon(panel.safe))


@given(
    st.floats(0.0, 0.1),
    st.floats(0.0, 0.1),
    st.floats(-0.1, 0.1),
    st.floats(-0.1, 0.1),
    st.booleans(),
    st.sampled_from(PANELS),
)
def test_stretch_and_change_of_any_fabric(
    ea: float, el: float, ca: float, cl: float, turned: bool, which: tuple[str, int]
) -> None:
    fabric = evolve(
        profiles.load(profiles.Fabric, "display-knit"),
        stretch_across=Give(ea),
        stretch_along=Give(el),
        change_across=Give(ca),
        change_along=Give(cl),
    )
    made = Made(
        profiles.load(profiles.Frame, "standard"),
        profiles.load(profiles.Strip, "flat-14"),
        fabric,
        profiles.load(profiles.Roll, "wide-3200"),
        Settings(),
    )
    outline = of(*which).bay.flat
    edges = edge_sums(outline, made, {})
    found = zones(outline, edges)
    sums = printed(found, edges, made, turned)
    axes = ((el, cl), (ea, ca)) if turned else ((ea, ca), (el, cl))
    for i, (e, c) in enumerate(axes):
        assert sums.printed_cut[i] == pytest.approx(sums.sewn_cut[i] / (1 + c), abs=1e-6)
        assert sums.factor[i] == pytest.approx(sums.printed_cut[i] / size(found.cut)[i], abs=1e-9)
        assert sums.sheet[i] == pytest.approx(sums.factor[i] * size(found.art)[i], abs=1e-6)
        if len(of(*which).visible) != 3:
            v = size(found.visible)[i]
            assert sums.sewn[i] == pytest.approx((v + 2 * (T - W)) / (1 + e) + 2 * W, abs=1e-6)
    # a strip along sewn x relaxes by that axis alone
    e = axes[0][0]
    if which[0] != "tetrahedron":  # a rectangle's or an L's
        length = strip_length("1", (3.0, 7.0), (1003.0, 7.0), sums.relax, G)
        assert length == pytest.approx(1000 / (1 + e) - 2 * G, abs=1e-9)


def test_a_bare_shape_with_faults() -> None:
    made, found = size_shape(zoo.L_FACE, zoo.bare_structure(panel=(PanelSettings(2),)), first=1, index=0)
    assert made is None and found == [("panel 1, panel", "this structure has no panel 2: its panels are 1 to 1")]


def test_numbers_begin_where_they_are_told_to() -> None:
    made, found = size_shape(zoo.BARE["tetrahedron"], zoo.bare_structure(), first=12, index=3)
    assert made is not None and not found
    assert made.numbers == (12, 13, 14, 15) and made.index == 3
    assert {met.panel for edge in made.panels[0].edges for met in edge.met} == {13, 14, 15}


def test_bays_of_a_bare_shape() -> None:
    shape = zoo.standing((0, 0), (2000, 0), (2000, 1000), (0, 1000))
    rows = {"f1": (BayRow((800.0, 1200.0)),)}
    assert len(split_bays(shape, rows)) == 2
    panels = zoo.size_bare(shape, bays=rows).panels
    assert [size(panel.cut)[0] for panel in panels] == pytest.approx([cut_size(800), cut_size(1200)], abs=1e-9)
