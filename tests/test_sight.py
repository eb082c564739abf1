"""What one part of a structure hides of another: closed forms, and shadows cast from the eye by shapely."""

from math import hypot

import pytest
import zoo
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely.geometry import Polygon
from shapely.ops import unary_union

from artgen.order import PanelSettings
from artgen.sizing import SizedStructure
from artgen.structure.shape import Face, Shape, Vertex

EYE, AWAY = 1600.0, 3000.0  # the order's defaults
WITHIN = 0.05  # of 64 points of a face: a few hundredths
Corners = tuple[tuple[float, float], ...]


def upright(corners: Corners, y: float) -> tuple[Vertex, ...]:
    return tuple((x, y, z) for x, z in corners)


def rectangle(x0: float, x1: float, z0: float, z1: float) -> Corners:
    return (x0, z0), (x1, z0), (x1, z1), (x0, z1)


def two_deep(front: Corners, back: Corners, apart: float, **keys: object) -> SizedStructure:
    """Panel 1 stands ``apart`` before panel 2; both look to the front."""
    faces = (Face("f1", upright(front, 0.0)), Face("f2", upright(back, apart)))
    return zoo.size_bare(Shape(faces, numbering="along"), **keys)


@pytest.mark.parametrize("name", [name for name in zoo.all_sized() if "run" not in name and "notch" not in name])
def test_nothing_hides_parts_of_a_convex_structure(name: str) -> None:
    assert {panel.sight.hidden for panel in zoo.all_sized()[name].panels} == {0.0}


@pytest.mark.parametrize(("reach", "share"), [(500.0, 0.5), (400.0, 0.3), (700.0, 0.9), (760.0, 1.0), (240.0, 0.0)])
def test_half_way_to_the_eye_all_is_twice_as_large(reach: float, share: float) -> None:
    """Panel 2 is 1000 wide, 1500 behind: seen from 3000 before its middle, a panel in front from far left up to x = reach
    covers it up to 500 + 2 (reach − 500)."""
    sized = two_deep(rectangle(-3000, reach, 0, 4000), rectangle(0, 1000, 600, 2600), AWAY / 2)
    hidden = sized.panels[1].sight
    assert hidden.hidden == pytest.approx(share, abs=WITHIN)
    assert hidden.share == 1.0  # its middle is at eye height
    assert hidden.seen == pytest.approx(1.0 - hidden.hidden, abs=1e-9)
    assert sized.panels[0].sight.hidden == 0.0
    assert sized.by_sight[0].number == (2 if share == 0 else 1)


def test_an_open_bay_hides_nothing() -> None:
    front, back = rectangle(-3000, 500, 0, 4000), rectangle(0, 1000, 600, 2600)
    sized = two_deep(front, back, AWAY / 2, panel=(PanelSettings(1, open=True),))
    assert [panel.sight.hidden for panel in sized.panels] == [0.0]


def test_what_stands_beyond_the_reader_hides_nothing() -> None:
    front, back = rectangle(-3000, 3000, 0, 4000), rectangle(0, 1000, 600, 2600)
    assert two_deep(front, back, AWAY - 50.0).panels[1].sight.hidden == 1.0
    assert two_deep(front, back, AWAY + 50.0).panels[1].sight.hidden == 0.0


def test_a_bare_back_hides_too() -> None:
    """A run of three lengths, a U, dressed outside: nothing is hidden. Turned the other way it is dressed inside, and 3 m before
    the left side the right one's back stands between."""
    u = '\n[[structure]]\nname = "u"\nkind = "run"\nheight = "2400 mm"\nlengths = ["2 m", "2.5 m", "2 m"]\nangles = [{0}, {0}]\n'
    assert {panel.sight.hidden for panel in zoo.sized(u.format(90)).panels} == {0.0}
    inside = zoo.sized(u.format(-90)).panels
    # the sides look at one another, 2.5 m apart: the other's back stands before the eye and covers most of them
    assert inside[0].sight.hidden > 0.8 and inside[2].sight.hidden > 0.8
    assert inside[0].sight.hidden == pytest.approx(inside[2].sight.hidden, abs=2 * WITHIN)


@st.composite
def outlines(draw: st.DrawFn) -> Corners:
    """Stars about a middle: simple, and seldom convex."""
    from math import cos, pi, sin

    count = draw(st.integers(4, 9))
    x, z = draw(st.floats(-500, 1500)), draw(st.floats(800, 2400))
    rays = draw(st.lists(st.floats(150, 900), min_size=count, max_size=count))
    return tuple((x + r * cos(2 * pi * i / count), z + r * sin(2 * pi * i / count)) for i, r in enumerate(rays))


@given(outlines(), outlines(), st.floats(200, 2800))
def test_hidden_is_what_shapely_cuts_out(front: Corners, back: Corners, apart: float) -> None:
    """The front outline, cast from the eye onto the plane of the back one, covers the share of its area that is hidden."""
    try:
        seen = two_deep(front, back, apart).panels[1].sight
    except AssertionError:  # a spike too thin for its setbacks
        assume(False)
    x = sum(x for x, _ in back) / len(back)
    grow = AWAY / (AWAY - apart)
    cast = Polygon([(x + (a - x) * grow, EYE + (z - EYE) * grow) for a, z in front])
    whole = Polygon(back)
    share = unary_union([cast]).intersection(whole).area / whole.area
    # 64 points spread over the bounding box, so fewer lie on the face: the finer the border, the coarser the share
    count = 64 * whole.area / Polygon(rectangle(*_span(back))).area
    assert seen.hidden == pytest.approx(share, abs=1.6 / count**0.5)
    height = sum(z for _, z in back) / len(back)
    assert seen.share == pytest.approx(AWAY / hypot(AWAY, EYE - height), abs=1e-5)


def _span(corners: Corners) -> tuple[float, float, float, float]:
    xs, zs = zip(*corners, strict=True)
    return min(xs), max(xs), min(zs), max(zs)
