"""Inks, line kinds and drawing pieces, against plane geometry and the standards' rules."""

import math

import pytest
from shapely import LineString, Point, Polygon

from artgen.drawing import inks, pieces
from artgen.drawing.fonts import text_width
from artgen.drawing.marks import Path, Stroke, Text

THIN = Stroke(inks.BLACK, 0.18)
CONCAVE = [(0.0, 0.0), (40.0, 0.0), (40.0, 30.0), (25.0, 30.0), (25.0, 10.0), (0.0, 10.0)]


def parts(marks: tuple[object, ...]) -> tuple[list[Path], list[Path], Text]:
    """Lines, arrowheads and the value of a dimension."""
    paths = [mark for mark in marks if isinstance(mark, Path)]
    (text,) = [mark for mark in marks if isinstance(mark, Text)]
    return [path for path in paths if path.fill is None], [path for path in paths if path.fill], text


def test_circle_is_round() -> None:
    path = pieces.circle((3, 4), 10, THIN)
    assert all(math.dist(point, (3, 4)) == pytest.approx(10) for point in path.subpaths[0])
    # a regular polygon of n sides has n/2 r² sin(2π/n) of area
    area = Polygon(path.subpaths[0]).area
    assert area == pytest.approx(64 / 2 * 100 * math.sin(2 * math.pi / 64))


def test_arrowhead_is_narrow_and_points_at_its_tip() -> None:
    (head,) = pieces.arrowhead((10, 5), 90, 3, inks.BLACK).subpaths
    tip, left, right = (Point(point) for point in head)
    assert (tip.x, tip.y) == (10, 5)
    assert (left.y, right.y) == pytest.approx((2, 2))
    angle = math.degrees(2 * math.atan(left.distance(right) / 2 / 3))
    assert 15 <= angle <= 30  # narrow heads, ISO 129-1


def test_arrow_ends_at_its_tip() -> None:
    shaft, head = pieces.arrow((0, 0), (30, 40), THIN, 4)
    assert isinstance(shaft, Path)
    assert isinstance(head, Path)
    assert head.subpaths[0][0] == (30, 40)
    end = shaft.subpaths[0][1]
    assert Polygon(head.subpaths[0]).buffer(1e-9).covers(Point(end))
    assert LineString([(0, 0), (30, 40)]).distance(Point(end)) < 1e-9


def test_dimension_with_room_stands_above_its_line_between_heads() -> None:
    lines, heads, text = parts(pieces.dimension_line((10, 20), (60, 20), 8, "988", size=2.5))
    assert [head.subpaths[0][0] for head in heads] == [(10, 28), (60, 28)]
    extension, other, dimension = lines
    assert {point[0] for point in extension.subpaths[0]} == {10}
    assert {point[0] for point in other.subpaths[0]} == {60}
    assert extension.subpaths[0][0][1] > 20  # off the outline
    assert extension.subpaths[0][1][1] == pytest.approx(28 + 8 * 0.18)  # past the dimension line
    assert {point[1] for point in dimension.subpaths[0]} == {28}
    assert (text.at[0], text.angle, text.anchor) == (35, 0, "middle")
    assert 28 < text.at[1] < 28 + 2.5
    # heads point outwards, so they lie inside
    assert all(10 <= x <= 60 for head in heads for x, _ in head.subpaths[0])


@pytest.mark.parametrize("turn", range(0, 360, 15))
def test_values_read_from_the_bottom_or_the_right(turn: int) -> None:
    end = (50 * math.cos(math.radians(turn)), 50 * math.sin(math.radians(turn)))
    _, heads, text = parts(pieces.dimension_line((0, 0), end, 10, "1234"))
    assert -90 < text.angle <= 90
    assert math.sin(math.radians(text.angle - turn)) == pytest.approx(0, abs=1e-9)
    # 10 mm to the left of the way from the first to the second point, whichever way the text reads
    left = (-10 * math.sin(math.radians(turn)), 10 * math.cos(math.radians(turn)))
    tips = sorted(head.subpaths[0][0] for head in heads)
    expected = sorted([left, (end[0] + left[0], end[1] + left[1])])
    assert [value for tip in tips for value in tip] == pytest.approx([v for tip in expected for v in tip])
    # above the line as one reads it: on the side of the text's own up
    up = (-math.sin(math.radians(text.angle)), math.cos(math.radians(text.angle)))
    height = (text.at[0] - tips[0][0]) * up[0] + (text.at[1] - tips[0][1]) * up[1]
    assert 0 < height < 2.5


def test_short_dimension_puts_heads_outside_pointing_in() -> None:
    _, heads, text = parts(pieces.dimension_line((0, 0), (5, 0), 6, "15", size=2.5))
    assert all(x <= 0 or x >= 5 for head in heads for x, _ in head.subpaths[0])
    assert sorted(head.subpaths[0][0][0] for head in heads) == [0, 5]
    assert text.at[0] == 2.5


def test_value_too_wide_stands_beyond_the_end_on_its_own_line() -> None:
    lines, heads, text = parts(pieces.dimension_line((0, 0), (3, 0), 6, "3288", size=2.5))
    after_heads = max(x for head in heads for x, _ in head.subpaths[0])
    assert text.anchor == "start"
    assert text.at[0] > after_heads
    under = max(point[0] for subpath in lines[-1].subpaths for point in subpath)
    assert under == pytest.approx(text.at[0] + text_width("3288", 2.5))


def test_dimension_of_nothing_is_an_error() -> None:
    with pytest.raises(ValueError, match="two different points"):
        pieces.dimension_line((1, 1), (1, 1), 5, "0")


@pytest.mark.parametrize("angle", [0.0, 45.0, -45.0, 90.0])
def test_hatch_fills_a_concave_area_with_a_hole_and_nothing_else(angle: float) -> None:
    hole = [(28.0, 14.0), (36.0, 14.0), (36.0, 26.0), (28.0, 26.0)]
    area = Polygon(CONCAVE, [hole])
    path = pieces.hatch([CONCAVE, hole], 0.5, angle, THIN)
    lines = [LineString(points) for points in path.subpaths]
    assert not path.closed
    assert all(area.buffer(1e-6).covers(line) for line in lines)
    # lines 0.5 mm apart: their length times the spacing is the area, to within the edges' share
    assert sum(line.length for line in lines) * 0.5 == pytest.approx(area.area, rel=0.02)
    for line in lines:
        (x0, y0), (x1, y1) = line.coords
        assert math.sin(math.atan2(y1 - y0, x1 - x0) - math.radians(angle)) == pytest.approx(0, abs=1e-6)


def test_neighbouring_hatches_share_their_lines() -> None:
    left = pieces.hatch([[(0, 0), (10, 0), (10, 9), (0, 9)]], 2, 0, THIN)
    right = pieces.hatch([[(10, 0), (20, 0), (20, 9), (10, 9)]], 2, 0, THIN)
    assert {y for line in left.subpaths for _, y in line} >= {y for line in right.subpaths for _, y in line} != set()


def test_hatch_of_an_empty_area_is_empty() -> None:
    assert pieces.hatch([[(0, 0), (10, 0), (5, 0)]], 2, 45, THIN).subpaths == ()


def test_text_box_turns_with_its_text() -> None:
    upright = Polygon(pieces.text_corners(Text("Peat", (10, 10), 4, inks.BLACK, "end")))
    turned = Polygon(pieces.text_corners(Text("Peat", (10, 10), 4, inks.BLACK, "end", 90)))
    width = text_width("Peat", 4)
    assert upright.bounds == pytest.approx((10 - width, 10 - 0.22 * 4, 10, 10 + 0.75 * 4))
    assert turned.bounds == pytest.approx((10 - 0.75 * 4, 10 - width, 10 + 0.22 * 4, 10))


def test_columns_fill_a_rectangle() -> None:
    first, second, third = pieces.Rect(0, 0, 100, 10).columns(3, gap=5)
    assert (first.x0, third.x1) == (0, pytest.approx(100))
    assert second.x0 - first.x1 == pytest.approx(5)
    assert first.width == pytest.approx((100 - 2 * 5) / 3)


LINES: tuple[inks.Guide, ...] = ("art edge", "cut", "fold", "safe", "seam", "neighbour")


def test_line_kinds_are_multiples_of_their_width() -> None:
    for guide in LINES:
        thin, thick = inks.guide_stroke(guide, 0.18), inks.guide_stroke(guide, 1.8)
        assert thick.width == pytest.approx(10 * thin.width)
        assert thick.dash == pytest.approx([10 * part for part in thin.dash])
    assert inks.guide_stroke("fold", 0.25).width == 2 * inks.guide_stroke("cut", 0.25).width  # ISO 128-2


@pytest.mark.parametrize("side", [100, 150, 297, 420, 1000, 2500, 5000])
def test_base_widths_are_steps_of_root_two(side: float) -> None:
    width = inks.base_line_width(side)
    assert width >= 0.13
    steps = math.log(width / 0.5, math.sqrt(2))  # 0.5 mm is a width of ISO 128-2
    assert steps == pytest.approx(round(steps), abs=0.15)  # the standard rounds its widths: 0.13, 0.18, 0.35
    if side > 300:
        assert side / 1800 / 2**0.25 <= width * 1.02
        assert width <= side / 1800 * 2**0.25 * 1.02
