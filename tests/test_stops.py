"""Where paint stops along a straight line: pictures painted in NumPy by half planes, the stop known by the painter."""

from math import hypot

import numpy as np
import pytest
import zoo
from art_made import bare_target, target_of

from artgen.sizing import Panel
from artgen.survey import Preview
from artgen.survey.stops import Stop, stops

GREEN, WHITE = (40, 90, 40), (255, 255, 255)
NEEDED = zoo.T + zoo.H + zoo.B  # 44
PANELS = {
    "box": target_of(zoo.BOX, 5)[1].panels[0],
    "hung cube": target_of(zoo.HUNG_CUBE, 4)[1].panels[0],
    "tetrahedron": bare_target(zoo.BARE["tetrahedron"])[1].panels[0],
}


def places(panel: Panel, step: float) -> tuple[np.ndarray, np.ndarray]:
    w, h = max(x for x, _ in panel.art), max(y for _, y in panel.art)
    columns, rows = round(w / step), round(h / step)
    x = (np.arange(columns) + 0.5) * step
    y = ((rows - 1 - np.arange(rows)) + 0.5) * step
    return np.broadcast_to(x, (rows, columns)), np.broadcast_to(y[:, None], (rows, columns))


def past(panel: Panel, edge: int, x: np.ndarray, y: np.ndarray) -> np.ndarray:
    (x0, y0), (x1, y1) = panel.visible[edge], panel.visible[(edge + 1) % len(panel.visible)]
    return ((x - x0) * (y1 - y0) - (y - y0) * (x1 - x0)) / hypot(x1 - x0, y1 - y0)


def painted(
    panel: Panel,
    limits: dict[int, float],
    colour: tuple[int, int, int] = GREEN,
    frame: tuple[int, int, int, int] = (*WHITE, 255),
    wave: float = 0.0,
    step: float = 1.0,
) -> Preview:
    """A ground that ends so many mm past each edge's fold line, in ``frame``; ``wave`` = mm by which the end swings."""
    x, y = places(panel, step)
    picture = np.zeros((*x.shape, 4), np.uint8)
    picture[...] = (*colour, 255)
    for edge, limit in limits.items():
        picture[past(panel, edge, x, y) > limit + wave * np.sin((x + y) / 40)] = frame
    return Preview(picture, step)


def all_edges(panel: Panel, limit: float) -> dict[int, float]:
    return dict.fromkeys(range(len(panel.edges)), limit)


@pytest.mark.parametrize("frame", [(*WHITE, 255), (0, 0, 0, 0)])
@pytest.mark.parametrize("limit", [-10.0, -6.0, 0.0, 4.0, 6.0, 15.0, 19.0, 30.0])
@pytest.mark.parametrize("name", PANELS)
def test_a_stop_is_found_and_measured_on_every_edge(name: str, limit: float, frame: tuple[int, int, int, int]) -> None:
    panel = PANELS[name]
    found = stops(panel, painted(panel, all_edges(panel, limit), frame=frame))
    assert [stop.edge for stop in found] == list(range(len(panel.edges)))
    assert [stop.at for stop in found] == pytest.approx([limit] * len(found), abs=1.0)
    assert {stop.white for stop in found} == {frame[3] == 255}


@pytest.mark.parametrize(("limit", "edges"), [(NEEDED - 6, 1), (NEEDED - 1.5, 0), (-10.0, 1), (-16.0, 0)])
def test_the_ends_of_the_range(limit: float, edges: int) -> None:
    """3 mm before the page edge are the edge; from 12 mm inside the fold line on, a white frame is meant to be seen."""
    panel = PANELS["box"]
    assert len(stops(panel, painted(panel, {1: limit}))) == edges


@pytest.mark.parametrize("colour", [WHITE, (252, 250, 254)])
def test_a_white_ground_stops_nowhere(colour: tuple[int, int, int]) -> None:
    panel = PANELS["box"]
    assert stops(panel, painted(panel, all_edges(panel, 5.0), colour)) == ()
    assert stops(panel, painted(panel, all_edges(panel, 5.0), colour, frame=(0, 0, 0, 0))) == ()


@pytest.mark.parametrize(("colour", "edges"), [((244, 238, 228), 4), ((250, 248, 244), 0)])
def test_a_pale_ground_stops_a_nearly_white_one_fades(colour: tuple[int, int, int], edges: int) -> None:
    panel = PANELS["box"]
    assert len(stops(panel, painted(panel, all_edges(panel, 5.0), colour))) == edges


@pytest.mark.parametrize(("wave", "edges"), [(0.4, 4), (8.0, 0)])
def test_paint_with_an_end_of_its_own_shape_is_no_stop(wave: float, edges: int) -> None:
    panel = PANELS["box"]
    assert len(stops(panel, painted(panel, all_edges(panel, 10.0), wave=wave))) == edges


def test_paint_all_over_stops_nowhere() -> None:
    for panel in PANELS.values():
        assert stops(panel, painted(panel, {})) == ()


@pytest.mark.parametrize(("wide", "edges"), [(10.0, 0), (350.0, 4)])
def test_a_keyline_is_no_ground(wide: float, edges: int) -> None:
    """On white: a line just inside the fold line, and a frame so wide that it is a ground all along."""
    panel = PANELS["box"]
    x, y = places(panel, 1.0)
    inside = -np.max([past(panel, edge, x, y) for edge in range(4)], axis=0)
    picture = np.full((*x.shape, 4), 255, np.uint8)
    picture[(inside > 2) & (inside < 2 + wide), :3] = GREEN
    assert len(stops(panel, Preview(picture, 1.0))) == edges


def test_stripes_of_paint_and_white_stop_nowhere() -> None:
    """Stripes along the foot, the last one white from 10 mm past the fold line on."""
    panel = PANELS["box"]
    _, y = places(panel, 1.0)
    picture = np.full((*y.shape, 4), 255, np.uint8)
    picture[((y - 34) // 60) % 2 == 0, :3] = GREEN
    assert stops(panel, Preview(picture, 1.0)) == ()


def test_the_share_of_the_edge_that_has_paint_is_told() -> None:
    """The left 40 % of the foot is painted to 3 mm past the fold line, the rest of the panel is white."""
    panel = PANELS["box"]
    x, y = places(panel, 1.0)
    picture = np.full((*x.shape, 4), 255, np.uint8)
    picture[(x < 44 + 0.4 * 988) & (past(panel, 0, x, y) < 3), :3] = GREEN
    found = {stop.edge: stop for stop in stops(panel, Preview(picture, 1.0))}
    assert isinstance(found[0], Stop)
    assert found[0].share == pytest.approx(0.4, abs=0.02)
