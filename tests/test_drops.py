"""Drops and seams beyond the balanced rectangle: brute force, given places, eye height, polygons, either axis.

Expected values: a search over all whole-millimetre cuts, the sums of docs/sums.md written out, shapely's clipping.
"""

from functools import cache
from itertools import pairwise
from math import inf, sqrt

import pytest
import zoo
from attrs import evolve
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon, box
from zoo import C_ACROSS, ROLL, A, B, near

from artgen.order import PanelSettings
from artgen.sizing import Panel, size_order
from artgen.sizing.drops import Cut, balanced, count
from artgen.sizing.drops import given as given_seams
from artgen.sizing.outline import bounds, size
from artgen.sizing.sums import SizeFault
from artgen.structure.kinds import KINDS
from artgen.typed import TableError


def wall(width: float, height: float, more: str = "") -> str:
    return f'[[structure]]\nname = "w"\nkind = "wall"\nwidth = "{width} mm"\nheight = "{height} mm"\n{more}'


def fault(body: str) -> tuple[str, str]:
    with pytest.raises(TableError) as caught:
        size_order(zoo.order(body), KINDS)
    (found,) = caught.value.faults
    return found


# --- the fewest


@st.composite
def whole_cuts(draw: st.DrawFn) -> Cut:
    """Cuts in whole millimetres, k = 1, so that every cut worth making is at a whole millimetre."""
    allowance = draw(st.integers(0, 4))
    return Cut(
        axis="x",
        low=0.0,
        total=float(draw(st.integers(20, 150))),
        bleeds=(float(draw(st.integers(0, 6))), float(draw(st.integers(0, 6)))),
        factor=1.0,
        allowance=float(allowance),
        width=float(draw(st.integers(2 * allowance + 7, 60))),
        applied=1.0,
    )


def by_search(cut: Cut) -> float:
    """Fewest pieces over all ways of cutting at whole millimetres; infinite if there is none."""
    total, first, last = int(cut.total), *(int(bleed) for bleed in cut.bleeds)
    allowance = int(cut.allowance)

    @cache
    def fewest(start: int) -> float:
        best = inf
        for end in range(start + 1, total + 1):
            beyond = (first if start == 0 else allowance) + (last if end == total else allowance)
            if end - start + beyond <= cut.width:
                best = min(best, 1 if end == total else 1 + fewest(end))
        return best

    return fewest(0)


@settings(max_examples=150)
@given(whole_cuts())
def test_no_way_of_cutting_needs_fewer_drops(cut: Cut) -> None:
    assert count(cut) == by_search(cut)


def test_drops_without_end_are_refused_at_once() -> None:
    tiny = Cut("x", 0.0, 1_000_000.0, (0.0, 0.0), 1.0, 10.0, 20.001, 1.0)  # inner drops of a thousandth of a millimetre
    with pytest.raises(SizeFault, match="at most 1000"):
        count(tiny)


# --- balanced


def shares(cut: Cut, places: list[float]) -> list[float]:
    return [b - a for a, b in pairwise([0.0, *places, cut.total])]


def test_what_one_drop_can_not_take_the_others_share() -> None:
    # outer drops up to 970 and 470 (a bleed of 500 on the right), inner ones 940: 470 + 3 × 843.33
    cut = Cut("x", 0.0, 3000.0, (0.0, 500.0), 1.0, 30.0, 1000.0, 1.0)
    assert shares(cut, balanced(cut)) == pytest.approx([2530 / 3] * 3 + [470.0])


# --- given places


def test_seams_where_the_order_wants_them() -> None:
    body = wall(5600, 2400, '[[structure.panel]]\npanel = 1\nseams = ["2600 mm", "4000 mm"]\n')
    panel = zoo.sized(body).panels[0]
    assert [seam.at for seam in panel.seams] == [2600.0, 4000.0]  # along the full-size page
    left, right = bounds(panel.cut)[0::2]
    assert [(d.start, d.end) for d in panel.drops] == [(left, 2600.0), (2600.0, 4000.0), (4000.0, right)]
    k, a = panel.factor[0], A / (1 + C_ACROSS)
    expected = [(2600 - left + B) * k + a, 1400 * k + 2 * a, (right - 4000 + B) * k + a]
    assert [drop.sheet[0] for drop in panel.drops] == pytest.approx(expected, abs=1e-9)
    # this fabric may turn and one drop would do, but the order has seams: the panel stands
    assert not panel.turned and zoo.sized(wall(5600, 2400)).panels[0].turned


def test_seams_along_the_other_axis() -> None:
    body = wall(2000, 5600, '[[structure.panel]]\npanel = 1\nturn = true\nseams = ["3000 mm"]\n')
    panel = zoo.sized(body).panels[0]
    assert [(seam.axis, seam.at) for seam in panel.seams] == [("y", 3000.0)]
    assert [drop.number for drop in panel.drops] == ["1a", "1b"]  # from below


@pytest.mark.parametrize(
    ("places", "says"),
    [
        ('"1000 mm"', "drop 2 is"),
        ('"4000 mm"', "drop 1 is"),
        ('"4000 mm", "2000 mm"', "rising order"),
        ('"2000 mm", "2000 mm"', "rising order"),
        ('"10 mm", "2900 mm"', "rising order"),  # on the bleed
        ('"5660 mm"', "rising order"),
    ],
)
def test_places_that_can_not_be(places: str, says: str) -> None:
    path, what = fault(wall(5600, 2400, f"[[structure.panel]]\npanel = 1\nseams = [{places}]\n"))
    assert path == "structure 1, panel 1" and says in what


def test_a_place_that_the_roll_can_not_print_says_by_how_much_and_what_would_do() -> None:
    base = zoo.sized(wall(5600, 2400, 'fabric = "brushed-knit"\n')).panels[0]
    (seam,) = base.seams
    _, what = fault(wall(5600, 2400, '[[structure.panel]]\npanel = 1\nseams = ["1000 mm"]\n'))
    k, a = base.factor[0], A / (1 + C_ACROSS)
    over = bounds(base.cut)[2] - 1000 - ((ROLL - a) / k - B)
    assert f"drop 2 is {over:.1f} mm wider than the roll prints" in what
    assert f"with 1 of them they may stand at {seam.low:.1f} to {seam.high:.1f} mm" in what
    _, what = fault(wall(12_000, 2400, '[[structure.panel]]\npanel = 1\nseams = ["6000 mm"]\n'))
    assert "give more of them" in what


@given(st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_every_place_in_its_range_prints(first: float, second: float) -> None:
    cut = Cut("x", 25.0, 7000.0, (25.0, 25.0), 1.004, 10.1, 3150.0, 1.004)
    assert count(cut) == 3
    low, high = cut.span(1, 3)
    one = low + first * (high - low)
    # the second as far as the first lets it
    most = min(cut.span(2, 3)[1], one + cut.inner)
    least = max(cut.span(2, 3)[0], one)
    two = least + second * (most - least)
    if one + 1e-6 < two:
        found = given_seams(cut, [25.0 + one, 25.0 + two])
        assert found == pytest.approx([one, two])


# --- eye height


def heights(panel: Panel, lift: float) -> list[float]:
    origin, _, y = panel.to_space
    return [origin[2] + seam.at * y[2] + lift for seam in panel.seams]


@pytest.mark.parametrize("feet", [0, 400, 1200])
def test_level_seams_of_lit_panels_keep_off_eye_height(feet: int) -> None:
    turned = f'feet = "{feet} mm"\n[[structure.panel]]\npanel = 1\nturn = true\n'
    dark = zoo.sized(wall(2000, 3300, turned)).panels[0]
    lit = zoo.sized(wall(2000, 3300, f'lit = "inside"\n{turned}')).panels[0]
    assert len(lit.drops) == len(dark.drops) == 2
    (before,), (after,) = heights(dark, feet), heights(lit, feet)
    # half of the cut: 3300 / 2 above the metal's foot
    assert before == pytest.approx(1650 + feet)
    eye = 1600.0  # the default
    if abs(before - eye) < 150:
        assert abs(after - eye) == pytest.approx(150.0)  # just out of the way, on the nearer side
        assert (after > eye) == (before > eye)
    else:
        assert after == before
    across = size(lit.cut)[1]
    assert sum(drop.end - drop.start for drop in lit.drops) == pytest.approx(across)
    assert all(drop.sheet[1] <= ROLL + 1e-6 for drop in lit.drops)


def test_an_upright_seam_passes_eye_height_wherever_it_is() -> None:
    dark, lit = (zoo.sized(wall(5600, 5600, more)).panels[0] for more in ("", 'lit = "inside"\n'))
    assert [seam.at for seam in dark.seams] == [seam.at for seam in lit.seams]


def test_a_seam_that_can_not_get_off_eye_height_stays_balanced() -> None:
    cut = Cut("y", 0.0, 2000.0, (0.0, 0.0), 1.0, 0.0, 1010.0, 1.0)  # two drops of at most 1010: 990 to 1010
    assert balanced(cut, (900.0, 1100.0)) == [1000.0]
    assert balanced(cut, (900.0, 1005.0)) == [1005.0]
    assert balanced(evolve(cut, width=2000.0), (0.0, 2000.0)) == []


@given(st.floats(0, 9000), st.floats(1, 600))
def test_off_the_band_or_balanced_and_always_printable(middle: float, half: float) -> None:
    cut = Cut("y", 0.0, 9000.0, (25.0, 25.0), 1.0, 10.0, 3150.0, 1.0)
    band = (middle - half, middle + half)
    places = balanced(cut, band)
    even = balanced(cut)
    assert len(places) == len(even)
    inside = [place for place in places if band[0] + 1e-6 < place < band[1] - 1e-6]
    assert not inside or places == even
    for index, share in enumerate(shares(cut, places)):
        assert 0 < share <= cut.most(index, len(places) + 1) + 1e-6


# --- polygons


@pytest.mark.parametrize("shape", ["triangle", "L", "tilted square"])
@pytest.mark.parametrize("turn", [False, True])
def test_drops_of_polygons_are_their_own_part_of_the_sheet(shape: str, turn: bool) -> None:
    half = 4500 / sqrt(2)
    faces = {
        "triangle": zoo.standing((0, 0), (7000, 0), (3500, 6000)),
        "L": zoo.standing((0, 0), (7000, 0), (7000, 3500), (3000, 3500), (3000, 6500), (0, 6500)),
        "tilted square": zoo.standing((0, 0), (half, half), (0, 2 * half), (-half, half)),
    }
    panel = zoo.size_bare(faces[shape], panel=(PanelSettings(1, turn=turn),)).panels[0]
    axis = 1 if turn else 0
    art, k = Polygon(panel.art), panel.factor
    assert len(panel.drops) > 1
    assert near((panel.drops[0].start, panel.drops[-1].end), bounds(panel.cut)[axis::2])
    beyond = panel.fabric.seam_allowance * panel.printed_cut_size[axis] / panel.sewn_cut_size[axis] / k[axis]
    for i, drop in enumerate(panel.drops):
        low = drop.start - beyond if i else bounds(panel.art)[axis]
        high = drop.end + beyond if i < len(panel.drops) - 1 else bounds(panel.art)[axis + 2]
        slab = box(-9e3, low, 9e4, high) if turn else box(low, -9e3, high, 9e4)
        x0, y0, x1, y1 = art.intersection(slab).bounds
        assert near(drop.sheet, ((x1 - x0) * k[0], (y1 - y0) * k[1]), within=1e-5)
        assert near(drop.reach, (x0, x1) if turn else (y0, y1), within=1e-6)
        assert drop.sheet[axis] <= ROLL + 1e-6
    assert all(one.end == other.start for one, other in pairwise(panel.drops))


# --- cloth direction


def test_panels_that_the_order_turns_do_not_sway_the_others() -> None:
    # 5600 × 2000 takes two drops standing and one turned; 2000 × 5600 the other way round
    both = '[[structure]]\nname = "b"\nkind = "wall"\nheight = "5600 mm"\nbays = ["5600 mm", "2000 mm"]\n'
    # standing 2 + 1, turned 2 + 2: they stand. With the second by hand, only the first counts: 2 either way, it stands
    assert [p.turned for p in zoo.sized(both).panels] == [False, False]
    one = both + "[[structure.panel]]\npanel = 2\nturn = true\n"
    assert [p.turned for p in zoo.sized(one).panels] == [False, True]
    low = both.replace("5600 mm", "2000 mm", 1)
    # standing 2 + 1, turned 1 + 1: they turn; by hand the second stays, the first still turns
    assert [p.turned for p in zoo.sized(low).panels] == [True, True]
    assert [p.turned for p in zoo.sized(low + "[[structure.panel]]\npanel = 2\nturn = false\n").panels] == [True, False]
