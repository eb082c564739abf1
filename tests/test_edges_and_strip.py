"""Each edge's own numbers, strips and how they are sewn, cloth that gives by mm, the RIP's share, old panels, shadows.

Expected values are sums of the givens (docs/sums.md) written out beside each check, closed forms, or shapely's offset.
"""

from itertools import pairwise
from math import cos, hypot, radians, sin, sqrt

import pytest
import zoo
from attrs import evolve
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString, Point, Polygon
from zoo import BOX, C_ACROSS, C_ALONG, E_ACROSS, E_ALONG, A, B, G, H, S, T, W, near

from artgen import profiles
from artgen.cli.size import as_table
from artgen.order import EdgeSettings, PanelSettings
from artgen.profiles import Strip
from artgen.sizing import Panel, size_order, size_shape
from artgen.sizing.corners import corner_cuts
from artgen.sizing.outline import TooSmall, bounds, edges, offset, offset_edges, size
from artgen.structure.kinds import KINDS
from artgen.structure.shape import Shape
from artgen.template import template
from artgen.typed import Give, TableError
from artgen.words import words

SAFE = 40.0  # of the default fabric profile


def faults(body: str) -> list[tuple[str, str]]:
    with pytest.raises(TableError) as caught:
        size_order(zoo.order(body), KINDS)
    return list(caught.value.faults)


def bare_fault(shape: Shape, **keys: object) -> str:
    made, found = size_shape(shape, zoo.bare_structure(**keys), first=1, index=0)
    assert made is None and len(found) == 1
    return found[0][1]


def wall(width: float, height: float, more: str = "") -> str:
    return f'[[structure]]\nname = "w"\nkind = "wall"\nwidth = "{width} mm"\nheight = "{height} mm"\n{more}'


# --- one edge, one panel


def test_edges_of_a_hung_cube_whose_own_edge_is_a_length() -> None:
    one = '[[structure.edges]]\npanel = 4\nedge = "left"\nsetback = "9 mm"\nbleed = "40 mm"\n'
    cube = zoo.sized(zoo.HUNG_CUBE + one)
    v = 1500 - 9 - S  # one setback is 9
    assert near(size(cube.panel(4).visible), (v, 1500 - 2 * S))
    assert near(size(cube.panel(4).art), (v + 2 * (T + H) + 40 + B, 1500 - 2 * S + 2 * (T + H) + 2 * B))
    assert near(size(cube.panel(3).visible), (1500 - 2 * S, 1500 - 2 * S))


def test_both_spellings_mean_the_same_and_add_up() -> None:
    table = 'panel = 1\nedge = "left"\n'
    one = zoo.sized(BOX + f'[[structure.edge]]\n{table}setback = "9 mm"\n')
    other = zoo.sized(BOX + f'[[structure.edges]]\n{table}setback = "9 mm"\n')
    assert one.panels == other.panels
    both = zoo.sized(
        BOX + f'[[structure.edge]]\n{table}setback = "9 mm"\n[[structure.edges]]\n{table}bleed = "40 mm"\n'
    )
    left = both.panel(1).edges[3]
    assert (left.setback, left.bleed) == (9.0, 40.0)
    against = BOX + f'[[structure.edge]]\n{table}setback = "9 mm"\n[[structure.edges]]\n{table}setback = "8 mm"\n'
    assert [path for path, _ in faults(against)] == ["structure 1, edges 1, setback"]
    assert [path for path, _ in faults(BOX + '[[structure.edges]]\npanel = 9\nedge = "left"\n')] == [
        "structure 1, edges 1, panel"
    ]


@pytest.mark.parametrize(
    ("left", "right", "width", "lacks"), [(S, S, 12.0, "0.0"), (60.0, 50.0, 100.0, "10.0"), (0.0, 30.5, 30.0, "0.5")]
)
def test_a_face_too_small_for_its_setbacks_says_by_how_much(
    left: float, right: float, width: float, lacks: str
) -> None:
    given_edges = (EdgeSettings(1, "left", setback=left), EdgeSettings(1, "right", setback=right))
    shape = zoo.standing((0, 0), (width, 0), (width, 2000), (0, 2000))
    what = bare_fault(shape, edge=given_edges)
    # what the two setbacks take, less the width
    assert f"the setbacks beside it take {left + right:.1f} mm, {lacks} mm too much" in what


def dumbbell(neck: float) -> Shape:
    """Two squares of 1000 joined by a neck 400 long and ``neck`` high."""
    low, high = 500 - neck / 2, 500 + neck / 2
    return zoo.standing(
        (0, 0), (1000, 0), (1000, low), (1400, low), (1400, 0), (2400, 0), (2400, 1000), (1400, 1000), (1400, high),
        (1000, high), (1000, 1000), (0, 1000),
    )  # fmt: skip


def test_a_neck_too_narrow_for_its_setbacks() -> None:
    # 10 high, two setbacks of 6: only 5/6 of each fits, 1 mm less a side
    what = bare_fault(dumbbell(10.0))
    assert "where it is narrowest" in what and "83.3 %" in what and "1.0 mm less a side" in what
    assert zoo.size_bare(dumbbell(200.0), bays={}).panels[0].visible


def slotted(slot: float) -> Shape:
    """A face of 2000 × 1000 with an open slot ``slot`` wide and 500 deep in its top."""
    a, b = 1000 - slot / 2, 1000 + slot / 2
    return zoo.standing((0, 0), (2000, 0), (2000, 1000), (b, 1000), (b, 500), (a, 500), (a, 1000), (0, 1000))


def test_cloth_in_its_own_way_says_by_how_much() -> None:
    reach = -S + T + H + B  # of the art size beyond the metal, from either side of the slot
    slot = 2 * reach - 16.0
    assert "at its art size it overlaps by 16.0 mm" in bare_fault(slotted(slot))
    assert zoo.size_bare(slotted(2 * reach + 1.0)).panels[0].art
    tight = tuple(EdgeSettings(1, n, bleed=B - 9.0) for n in (4, 6))
    assert zoo.size_bare(slotted(slot), edge=tight).panels[0].art  # two bleeds of 9 less: 18 mm more room


def test_a_short_edge_does_not_cost_the_safe_area() -> None:
    shape = zoo.standing((0, 0), (1000, 0), (1000, 980), (980, 1000), (0, 1000))  # one corner cut off by 20
    panel = zoo.size_bare(shape).panels[0]
    assert panel.safe is not None and panel.safe_lacks == 0.0
    visible = Polygon(panel.visible)
    assert Polygon(panel.safe).symmetric_difference(visible.buffer(-SAFE, join_style="mitre")).area < 1e-3


def test_safe_area_of_a_neck_is_its_larger_side() -> None:
    shape = dumbbell(80.0)  # visible neck 68, less than two safe insets of 40
    panel = zoo.size_bare(shape).panels[0]
    assert panel.safe is not None
    safe, visible = Polygon(panel.safe), LineString([*panel.visible, panel.visible[0]])
    assert safe.distance(visible) == pytest.approx(SAFE, abs=0.1)
    # one of the two squares, 1000 − 2·6 less two insets of 40, and the neck's mouth
    assert size(panel.safe)[1] == pytest.approx(1000 - 2 * S - 2 * SAFE, abs=1e-6)


def test_no_safe_area_says_by_how_much() -> None:
    panel = zoo.sized(wall(80, 2000)).panels[0]
    assert panel.safe is None
    assert panel.safe_lacks == pytest.approx(2 * SAFE - (80 - 2 * S), abs=1e-9)


@st.composite
def convex_faces(draw: st.DrawFn) -> Shape:
    """Some corners of a regular polygon of 400 to 3000 mm radius, stretched; its edges are 300 mm and longer."""
    count = draw(st.integers(3, 8))
    turns = [radians(360 * i / count + draw(st.floats(-5, 5))) for i in range(count)]
    radius, wide = draw(st.floats(600, 3000)), draw(st.floats(0.7, 1.4))
    return zoo.standing(*((wide * radius * cos(turn), radius * sin(turn)) for turn in turns))


@given(convex_faces(), st.lists(st.tuples(*[st.floats(0, 40)] * 4), min_size=8, max_size=8))
def test_each_zone_of_any_convex_face_holds_the_one_before(
    shape: Shape, own: list[tuple[float, float, float, float]]
) -> None:
    count = len(shape.faces[0].vertices)
    edges = tuple(
        EdgeSettings(1, i, setback=s, seat_depth=W + t, turn_in=h, bleed=0.1 + b)
        for i, (s, t, h, b) in enumerate(own[:count], start=1)
    )
    panel = zoo.size_bare(shape, edge=edges).panels[0]
    zones = [Polygon(zone) for zone in (panel.visible, panel.finished, panel.cut, panel.art)]
    areas = [zone.area for zone in zones]
    assert areas[0] < areas[1] <= areas[2] + 1e-6 < areas[3]
    assert all(b.buffer(1e-6).covers(a) for a, b in pairwise(zones))
    # each fold line lies its own setback inside the metal
    frame = [*panel.frame, panel.frame[0]]
    for i, edge in enumerate(panel.edges):
        metal = LineString(frame[i : i + 2])
        fold = LineString([panel.visible[i], panel.visible[(i + 1) % count]])
        assert metal.distance(fold) == pytest.approx(edge.setback, abs=1e-6)


# --- strip


@pytest.mark.parametrize(
    ("strip", "lies", "turned_in"),
    # w and h as docs/sums.md has them: the width, or the thickness of one that stands; thickness + width when folded round
    [("flat-14", 14.0, 4.0), ("folded-12", 12.0, 3.0 + 12.0), ("edge-10", 3.0, 0.0)],
)
def test_the_sewing_method_sets_strip_width_and_turn_in(strip: str, lies: float, turned_in: float) -> None:
    panel = zoo.sized(BOX + f'strip = "{strip}"\n').panel(1)
    assert (panel.strip.lies, panel.strip.turned_in) == (lies, turned_in)
    v = 1000 - 2 * S
    assert size(panel.cut)[0] == pytest.approx(v + 2 * (T + turned_in), abs=1e-9)
    sewn = (v + 2 * (T - lies)) / (1 + E_ACROSS) + 2 * lies
    assert panel.sewn_size[0] == pytest.approx(sewn, abs=1e-9)
    assert panel.printed_cut_size[0] == pytest.approx((sewn + 2 * turned_in) / (1 + C_ACROSS), abs=1e-9)
    gap = panel.strip.gap
    across, along = v / (1 + E_ACROSS) - 2 * gap, (3300 - 2 * S) / (1 + E_ALONG) - 2 * gap
    assert panel.strip_total == pytest.approx(2 * (across + along), abs=1e-9)


def test_a_turn_in_of_the_profile_itself_comes_before_the_method() -> None:
    folded = profiles.load(Strip, "folded-12")
    assert evolve(folded, turn_in=6.0).turned_in == 6.0
    assert evolve(folded, turn_in=0.0).turned_in == 0.0


def test_a_strip_wider_than_its_seat_says_by_how_much() -> None:
    seat = profiles.load(profiles.Frame, "slim").seat_depth
    found = faults(BOX + 'frame = "slim"\n')
    assert [path for path, _ in found] == [f"structure 1, panel {n}" for n in range(1, 7)]
    assert all(f"{W - seat:g} mm too little" in what for _, what in found)
    assert zoo.sized(BOX + 'frame = "slim"\nstrip = "edge-10"\n').panels  # one that stands goes in


def test_an_edge_too_short_for_its_strip() -> None:
    found = faults(wall(17, 2000))  # shows 5 mm, relaxed 5 / 1.008, between two gaps of 3
    assert [path for path, _ in found] == ["structure 1, panel 1"]
    assert f"{2 * G - 5 / (1 + E_ACROSS):.1f} mm too little" in found[0][1]


# --- panel corners


def corners_of(panel: Panel, corner: str) -> tuple[tuple[tuple[float, float], ...], ...]:
    return corner_cuts(evolve(panel, strip=evolve(panel.strip, corner=corner)))


def test_corners_of_a_rectangle() -> None:
    panel = zoo.sized(BOX + '[[structure.edge]]\npanel = 1\nedge = "left"\nturn_in = "10 mm"\n').panel(1)
    assert corners_of(panel, "folded") == ()
    x0, y0, x1, y1 = bounds(panel.visible)
    a, left = T + H, T + 10.0  # allowances
    # beyond both fold lines; the cut outline's corners are (x0 − left, y0 − a) and so on
    notch = [
        ((x0 - left, y0), (x0, y0), (x0, y0 - a)),
        ((x1, y0 - a), (x1, y0), (x1 + a, y0)),
        ((x1 + a, y1), (x1, y1), (x1, y1 + a)),
        ((x0, y1 + a), (x0, y1), (x0 - left, y1)),
    ]
    assert near(corners_of(panel, "square-notch"), notch)
    assert near(corners_of(panel, "cut-45"), [(line[0], line[2]) for line in notch])
    slopes = [abs(b[1] - a[1]) / abs(b[0] - a[0]) for a, b in corners_of(zoo.sized(BOX).panel(1), "cut-45")]
    assert slopes == pytest.approx([1.0] * 4)  # 45° where both allowances are the same


@given(convex_faces())
def test_corner_cuts_run_from_cut_edge_to_cut_edge(shape: Shape) -> None:
    panel = zoo.size_bare(shape).panels[0]
    ring = LineString([*panel.cut, panel.cut[0]])
    for line in corners_of(panel, "cut-45"):
        assert all(ring.distance(Point(end)) < 1e-6 for end in line)
        # what is cut off is hidden: it lies beyond the fold lines
        assert LineString(line).distance(Polygon(panel.visible)) > 0


def test_corners_that_hardly_turn_or_point_inwards_have_none() -> None:
    panel = zoo.size_bare(zoo.L_FACE).panels[0]
    assert len(corners_of(panel, "square-notch")) == 5  # six corners, one points inwards
    chamfered = zoo.standing((0, 0), (1000, 0), (1100, 20), (1100, 1000), (0, 1000))  # a turn of 11° and one of 79°
    assert len(corners_of(zoo.size_bare(chamfered).panels[0], "cut-45")) == 4


def test_corner_cuts_are_on_the_template() -> None:
    made = zoo.sized(BOX + 'strip = "folded-12"\n').structures[0]
    drawing = template(made.panels[0], made, words(), scale=10)
    cut = next(layer for layer in drawing.layers if layer.id == "guide-cut")
    lines = [mark.subpaths[0] for mark in cut.marks if not mark.closed]  # type: ignore[union-attr]
    expected = [[(x / 10, y / 10) for x, y in line] for line in corner_cuts(made.panels[0])]
    assert near(lines, expected) and len(lines) == 4
    flat = zoo.sized(BOX).structures[0]
    cut = next(layer for layer in template(flat.panels[0], flat, words()).layers if layer.id == "guide-cut")
    assert len(cut.marks) == 1


# --- cloth that gives by so many mm; the RIP's share


def test_stretch_and_change_in_mm() -> None:
    fabric = profiles.load(profiles.Fabric, "light-knit")
    # the shipped one: 10 and 6 mm of stretch, 2 and 1.5 % of shrink
    assert (fabric.stretch_across, fabric.stretch_along) == (Give(mm=10.0), Give(mm=6.0))
    panel = zoo.sized(BOX + 'fabric = "light-knit"\n').panel(1)
    wide, high = 1000 - 2 * S, 3300 - 2 * S
    sewn = (wide + 2 * (T - W) - 10 + 2 * W, high + 2 * (T - W) - 6 + 2 * W)
    assert near(panel.sewn_size, sewn)
    assert near(panel.printed_cut_size, ((sewn[0] + 2 * H) / 0.98, (sewn[1] + 2 * H) / 0.985))
    # along an edge the fold line relaxes by the same share as all that stretches
    soft = wide + 2 * (T - W)
    assert panel.edges[0].strip == pytest.approx(wide * (soft - 10) / soft - 2 * G, abs=1e-9)


def test_change_in_mm(monkeypatch: pytest.MonkeyPatch) -> None:
    load = profiles.load

    def by_mm(family: type, name: str) -> object:
        found = load(family, name)
        return evolve(found, change_across=Give(mm=-12.0)) if family is profiles.Fabric else found

    monkeypatch.setattr(profiles, "load", by_mm)
    panel = size_order(zoo.order(wall(5600, 5600, 'fabric = "brushed-knit"\n')), KINDS).panels[0]
    sewn_cut = (5600 - 2 * S + 2 * (T - W)) / (1 + E_ACROSS) + 2 * W + 2 * H
    assert panel.printed_cut_size[0] == pytest.approx(sewn_cut + 12.0, abs=1e-9)  # it shrinks by 12
    # a seam allowance shrinks as all of the panel does
    k, shrink = (sewn_cut + 12.0) / size(panel.cut)[0], (sewn_cut + 12.0) / sewn_cut
    assert panel.drops[0].sheet[0] == pytest.approx((size(panel.cut)[0] / 2 + B) * k + A * shrink, abs=1e-9)


def test_cloth_that_gives_more_than_there_is() -> None:
    shape = zoo.standing((0, 0), (22, 0), (22, 500), (0, 500))
    made, found = size_shape(
        shape, zoo.bare_structure(panel=(PanelSettings(1, fabric="light-knit"),)), first=1, index=0
    )  # shows 10, of which 2 more stretch: 12 less 10 is 2, too little for strip
    assert made is None and "leaves no strip" in found[0][1]
    thin = zoo.standing((0, 0), (19, 0), (19, 19), (0, 19))  # 7 + 2 less 10, however it lies
    made, found = size_shape(thin, zoo.bare_structure(panel=(PanelSettings(1, fabric="light-knit"),)), 1, 0)
    assert made is None and "less than its cloth is stretched by" in found[0][1]


def test_where_the_rip_compensates_nothing_is_applied_here() -> None:
    body = wall(5600, 2400, 'fabric = "brushed-knit"\n')
    ours, rip = zoo.sized(body).panels[0], zoo.sized(body + 'compensate = "rip"\n').panels[0]
    assert near(rip.print_sheet, size(rip.art), within=1e-12)
    assert rip.factor == ours.factor and rip.printed_cut_size == ours.printed_cut_size
    for one, other in zip(ours.drops, rip.drops, strict=True):
        assert (one.start, one.end) == (other.start, other.end)
        assert near((other.sheet[0] * rip.factor[0], other.sheet[1] * rip.factor[1]), one.sheet)


# --- old panels


def test_a_panel_after_an_old_one() -> None:
    old = (1004.0, 3310.0)
    sizing = zoo.sized(BOX + f'[[structure.panel]]\npanel = 1\nsewn_size = ["{old[0]} mm", "{old[1]} mm"]\n')
    panel = sizing.panel(1)
    assert near(panel.sewn_size, old, within=1e-9)
    # the sums backwards: what stretches is sewn less the strips
    seen = [(s - 2 * W) * (1 + e) - 2 * (T - W) for s, e in zip(old, (E_ACROSS, E_ALONG), strict=True)]
    assert near(size(panel.visible), seen, within=1e-9)
    assert near(size(panel.frame), [v + 2 * S for v in seen], within=1e-9)
    assert near(size(panel.art), [v + 2 * (T + H + B) for v in seen], within=1e-9)
    printed = [(s + 2 * H) / (1 + c) for s, c in zip(old, (C_ACROSS, C_ALONG), strict=True)]
    assert near(panel.printed_cut_size, printed, within=1e-9)
    assert near(sizing.panel(2).sewn_size, zoo.sized(BOX).panel(2).sewn_size)


@pytest.mark.parametrize("name", ["tetrahedron", "L-shaped face", "hung cube"])
def test_an_old_panel_of_any_shape(name: str) -> None:
    if name in zoo.BARE:
        plain = zoo.size_bare(zoo.BARE[name]).panels[0]
        same, other = (
            zoo.size_bare(zoo.BARE[name], panel=(PanelSettings(1, sewn_size=tuple(v * f for v in plain.sewn_size)),))
            for f in (1.0, 1.01)
        )
        panels = (same.panels[0], other.panels[0])
    else:
        plain = zoo.sized(zoo.HUNG_CUBE).panels[0]
        w, h = plain.sewn_size
        panels = tuple(
            zoo.sized(
                zoo.HUNG_CUBE + f'[[structure.panel]]\npanel = 1\nsewn_size = ["{w * f:.12f} mm", "{h * f:.12f} mm"]\n'
            ).panel(1)
            for f in (1.0, 1.01)
        )
    assert near(panels[0].art, plain.art, within=1e-6)  # measured as reckoned: nothing changes
    assert near(panels[1].sewn_size, [v * 1.01 for v in plain.sewn_size])


def test_a_turned_old_panel() -> None:
    body = wall(5600, 2000, '[[structure.panel]]\npanel = 1\nsewn_size = ["5570 mm", "1990 mm"]\n')
    assert not zoo.sized(body).panels[0].turned  # it keeps standing unless it is told to
    turned = zoo.sized(body + "turn = true\n").panels[0]
    assert turned.turned and near(turned.sewn_size, (5570.0, 1990.0), within=1e-9)
    assert size(turned.visible)[0] == pytest.approx((5570 - 2 * W) * (1 + E_ALONG) - 2 * (T - W), abs=1e-9)


def test_a_measure_that_is_no_panel_of_this_frame() -> None:
    swapped = faults(BOX + '[[structure.panel]]\npanel = 1\nsewn_size = ["3305 mm", "1010 mm"]\n')
    assert swapped[0][0] == "structure 1, panel 1" and "width, then height" in swapped[0][1]
    with pytest.raises(TableError, match="sewn_size: expected two lengths"):
        zoo.order(BOX + '[[structure.panel]]\npanel = 1\nsewn_size = ["3305 mm"]\n')


# --- shadows


def test_joints_of_uprights_throw_shadows() -> None:
    body = BOX.replace("3300", "5600") + 'frame = "light-box"\nlit = "inside"\n'
    frame = profiles.load(profiles.Frame, "light-box")
    panel = zoo.sized(body).panel(1)
    kinds = [shadow.kind for shadow in panel.shadows]
    assert kinds == ["lamp bar", "brace", "joint", "joint"]  # pieces of 2500 meet at 2500 and 5000
    foot = bounds(panel.frame)[1]
    for shadow, at in zip(panel.shadows[2:], (2500.0, 5000.0), strict=True):
        low, high = bounds(shadow.outline)[1::2]
        assert near((low - foot, high - foot), (at - frame.joint_width / 2, at + frame.joint_width / 2))


def test_shadows_of_faces_that_hang_on_a_tip_or_have_two_towers() -> None:
    half = 1000.0 / sqrt(2)
    diamond = zoo.standing((0, 0), (half, half), (0, 2 * half), (-half, half))
    panel = zoo.size_bare(diamond, lit="inside").panels[0]
    (lamp,) = panel.shadows
    # a triangle under the tip: the bar reaches lamp_bar_width + setback below it, the fold lines s √2 below the metal's tip
    frame = panel.frame_profile
    depth = frame.lamp_bar_width + frame.setback - S * sqrt(2)
    assert Polygon(lamp.outline).area == pytest.approx(depth**2, abs=1e-6)
    assert min(hypot(x - a, y - b) for x, y in lamp.outline for a, b in panel.visible) < 1e-6
    towers = zoo.size_bare(slotted(400.0), lit="inside").panels[0]
    assert [shadow.kind for shadow in towers.shadows] == ["lamp bar", "lamp bar"]


def test_shadows_of_a_leaning_face_lie_along_its_slope() -> None:
    """A wedge 1000 deep and 2400 high: the sloping face is 2600 long (10 : 24 : 26), leans by atan(10/24) = 22.6°, and has its
    lamp bar under its own top edge; a frame of 2600 mm is braced if frames higher than 2500 mm are."""

    def known(family: type, name: str) -> object:
        found = load(family, name)
        return evolve(found, brace_above=2500.0) if family is profiles.Frame else found

    load = profiles.load
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(profiles, "load", known)
        wedge = size_order(zoo.order(zoo.WEDGE + 'lit = "inside"\n'), KINDS).structures[0]
    slope = next(panel for panel in wedge.panels if 1.0 < panel.sight.tilt < 80.0)
    frame = slope.frame_profile
    foot, top = bounds(slope.frame)[1::2]
    assert top - foot == pytest.approx(2600.0, abs=1e-6)
    lamp, brace = slope.shadows
    assert (lamp.kind, brace.kind) == ("lamp bar", "brace")
    assert near(bounds(lamp.outline)[1::2], (top - frame.setback - frame.lamp_bar_width, top - frame.setback))
    middle, half = foot + 1300.0, frame.brace_width / 2
    assert near(bounds(brace.outline)[1::2], (middle - half, middle + half))
    assert [len(panel.shadows) for panel in wedge.panels if panel is not slope and panel.stands] == [1] * 3


def test_no_shadows_are_made_up_where_frame_data_say_nothing() -> None:
    """Faces of a hung cube lean by 35.3°, lids lie level: what hardware is behind them is not known, and that is said."""
    body = zoo.HUNG_CUBE + 'lit = "inside"\n' + BOX + 'lit = "inside"\n' + BOX
    order = zoo.order(body)
    cube, box, unlit = (sized := size_order(order, KINDS)).structures
    assert all(panel.shadows == () for panel in cube.panels)
    told = [line for line in as_table(order, sized).splitlines() if "hardware" in line]
    assert [line.split(":")[0] for line in told] == ["panels 1, 2, 3, 4, 5, 6", "panels 11, 12"]
    assert [panel.number for panel in box.panels if panel.shadows] == [7, 8, 9, 10]
    assert all(panel.shadows == () for panel in unlit.panels)


# --- the two ways of moving a rectangle's edges


@given(st.lists(st.floats(-20, 60), min_size=4, max_size=4), st.floats(45, 3000), st.floats(45, 3000))
def test_a_rectangle_moves_as_any_polygon_does(distances: list[float], wide: float, high: float) -> None:
    corners = ((0.0, 0.0), (wide, 0.0), (wide, high), (0.0, high))
    # begun at another corner, it takes the way of all polygons
    by_any = offset((*corners[1:], corners[0]), [*distances[1:], distances[0]])
    assert near((by_any[3], *by_any[:3]), offset(corners, distances), within=1e-9)
    assert near(
        [end for edge in offset_edges(corners, distances)[1] for end in edge],
        [end for pair in edges(offset(corners, distances)) for end in pair],
    )


def test_both_ways_say_by_how_much_a_rectangle_is_too_small() -> None:
    corners = ((0.0, 0.0), (100.0, 0.0), (100.0, 70.0), (0.0, 70.0))
    lacks = []
    for first in (0, 1):
        with pytest.raises(TooSmall) as caught:
            offset((*corners[first:], *corners[:first]), [-40.0] * 4)
        lacks.append((caught.value.lacks, (caught.value.edge + first) % 2))
    assert lacks == [(10.0, 1)] * 2  # 70 less two of 40, along an upright edge
