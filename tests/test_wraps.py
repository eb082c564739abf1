"""Wraps: chains of neighbours unfolded into one plane. Expected places come from the panels' own metal in space: what
meets there must meet in the plane, and fold lines stand a reveal apart (running on) or touch (closed up)."""

import itertools

import numpy as np
import pytest
import zoo
from zoo import normal

from artgen.order import Wrap as Asked
from artgen.sizing import Panel, Wrap
from artgen.sizing.panel import after, apply, inverse, placed
from artgen.sizing.wraps import lay
from artgen.typed import TableError

SIZED = zoo.all_sized()
MEETING = (
    "box",
    "inch box",
    "hung cube",
    "hung cube, lower front",
    "three-bay wall",
    "tetrahedron",
    "column",
    "column with a notch",
    "run",
    "two-sided run",
    "wedge",
    "stacked bays",
)


def panels_of(name: str) -> dict[int, Panel]:
    return {panel.number: panel for panel in SIZED[name].panels}


def neighbours(panel: Panel) -> set[int]:
    return {met.panel for edge in panel.edges for met in edge.met}


def chains(name: str, length: int) -> list[tuple[int, ...]]:
    panels = panels_of(name)
    return [
        chain
        for chain in itertools.permutations(panels, length)
        if all(b in neighbours(panels[a]) for a, b in itertools.pairwise(chain))
    ]


def unfold(name: str, chain: tuple[int, ...], behind: str) -> Wrap:
    wrap, faults = lay(Asked(chain, "a.pdf", behind=behind), panels_of(name))  # type: ignore[arg-type]
    assert wrap is not None, faults
    return wrap


def segment(outline: tuple[tuple[float, float], ...], index: int) -> tuple[np.ndarray, np.ndarray]:
    return np.asarray(outline[index]), np.asarray(outline[(index + 1) % len(outline)])


@pytest.mark.parametrize("name", MEETING)
@pytest.mark.parametrize("behind", ["on", "closed"])
@pytest.mark.parametrize("length", [2, 3, 4])
def test_every_chain_unfolds(name: str, behind: str, length: int) -> None:
    panels = panels_of(name)
    found = chains(name, length)
    assert found or length > 3  # only chains of four may be more than a side of a run has
    for chain in found:
        wrap = unfold(name, chain, behind)
        assert wrap.panels == chain and len(wrap.places) == length
        for (here, there), (place, next_place) in zip(
            itertools.pairwise(chain), itertools.pairwise(wrap.places), strict=True
        ):
            check_meeting(panels[here], panels[there], place, next_place, behind)


def check_meeting(here: Panel, there: Panel, place: tuple, next_place: tuple, behind: str) -> None:  # type: ignore[type-arg]
    index, met = next((i, met) for i, edge in enumerate(here.edges) for met in edge.met if met.panel == there.number)
    p0, p1 = segment(placed(place, here.visible), index)
    q0, q1 = segment(placed(next_place, there.visible), met.edge)
    way = (p1 - p0) / np.linalg.norm(p1 - p0)
    out = np.array([way[1], -way[0]])  # to the right of an anticlockwise edge
    gap = here.edges[index].setback + there.edges[met.edge].setback if behind == "on" else 0.0
    assert [float((q - p0) @ out) for q in (q0, q1)] == pytest.approx([gap, gap], abs=1e-6)
    assert float((q1 - q0) @ way) < 0  # the neighbour lies on the far side, its edge runs back
    # where their metal meets in space it stands at one place along the fold line: both ends of the stretch
    back = next(n for n in there.edges[met.edge].met if n.panel == here.number and n.edge == index)
    metal, other = segment(placed(place, here.frame), index), segment(placed(next_place, there.frame), met.edge)
    spans = segment(here.bay.outline, index), segment(there.bay.outline, met.edge)  # type: ignore[arg-type]
    for mine, theirs in ((met.start, back.end), (met.end, back.start)):
        assert np.abs(along(spans[0], mine) - along(spans[1], theirs)).max() < 1e-6
        assert float((along(metal, mine) - along(other, theirs)) @ way) == pytest.approx(0.0, abs=1e-6)


def along(ends: tuple[np.ndarray, np.ndarray], mm: float) -> np.ndarray:
    way = ends[1] - ends[0]
    return np.asarray(ends[0] + way / np.linalg.norm(way) * mm)


@pytest.mark.parametrize("name", MEETING)
@pytest.mark.parametrize("behind", ["on", "closed"])
def test_unfolding_turns_and_moves_only(name: str, behind: str) -> None:
    panels = panels_of(name)
    for chain in chains(name, 3):
        wrap = unfold(name, chain, behind)
        assert wrap.places[0][:4] == (1.0, 0.0, 0.0, 1.0)  # the first panel stands as it is sewn
        for a, b, c, d, _, _ in wrap.places:
            assert (a, b) == pytest.approx((d, -c), abs=1e-12)
            assert a * a + b * b == pytest.approx(1.0, abs=1e-11)  # places are rounded to 1e-12
        corners = [p for n, place in zip(chain, wrap.places, strict=True) for p in placed(place, panels[n].art)]
        assert min(x for x, _ in corners) == pytest.approx(0.0, abs=1e-8)  # origin: lower left of the wrap's art size
        assert min(y for _, y in corners) == pytest.approx(0.0, abs=1e-8)


@pytest.mark.parametrize("name", ["box", "hung cube", "tetrahedron"])
def test_metal_touches_in_the_plane_where_it_runs_on(name: str) -> None:
    """Unfolding keeps distances: with reveals of two setbacks, shared vertices of metal fall together."""
    panels = panels_of(name)
    for here, there in chains(name, 2):
        wrap = unfold(name, (here, there), "on")
        first = dict(zip(panels[here].bay.outline, placed(wrap.places[0], panels[here].frame), strict=True))
        second = dict(zip(panels[there].bay.outline, placed(wrap.places[1], panels[there].frame), strict=True))
        shared = [
            (first[p], second[q]) for p in first for q in second if np.linalg.norm(np.asarray(p) - np.asarray(q)) < 1e-6
        ]
        assert len(shared) == 2
        assert all(zoo.near(a, b) for a, b in shared)


def test_a_wrap_over_the_top_of_a_box() -> None:
    wrap = unfold("box", (1, 5, 3), "on")
    panels = panels_of("box")
    # front, top, back: the back hangs head down behind the top, so it is turned by 180°
    assert zoo.near(wrap.places[2][:4], (-1.0, 0.0, 0.0, -1.0), within=1e-12)
    high = max(y for n, place in zip(wrap.panels, wrap.places, strict=True) for _, y in placed(place, panels[n].art))
    visible = 2 * (3300 - 2 * zoo.S) + (800 - 2 * zoo.S)
    assert high == pytest.approx(visible + 2 * 2 * zoo.S + 2 * (zoo.T + zoo.H + zoo.B), abs=1e-6)


def test_joints_of_a_wall_count_as_corners_do() -> None:
    wrap = unfold("three-bay wall", (1, 2, 3), "on")
    last = placed(wrap.places[2], panels_of("three-bay wall")[3].art)
    # on a flat wall the metal is one plane: the wrap is as wide as a single panel of 900 + 1200 + 700
    whole = 900 + 1200 + 700 - 2 * zoo.S + 2 * (zoo.T + zoo.H + zoo.B)
    assert max(x for x, _ in last) == pytest.approx(whole, abs=1e-6)


def test_unequal_setbacks_move_the_reveal() -> None:
    body = zoo.BOX + '[[structure.edge]]\npanel = 1\nedge = "right"\nsetback = "20 mm"\n'
    sizing = zoo.sized(body + '[[wrap]]\npanels = [1, 2]\nfile = "a.pdf"\n')
    fold = placed(sizing.wraps[0].places[0], sizing.panel(1).visible)[1]
    other = placed(sizing.wraps[0].places[1], sizing.panel(2).visible)[0]
    assert other[0] - fold[0] == pytest.approx(20 + zoo.S, abs=1e-6)
    assert other[1] == pytest.approx(fold[1], abs=1e-6)


def test_a_stepped_neighbour_keeps_its_height() -> None:
    """Two bays above one another's middle: the front's second bay and the right side still meet at their feet."""
    sizing = zoo.sized(zoo.BOX + 'bays = ["300 mm", "700 mm"]\n[[wrap]]\npanels = [6, 2]\nfile = "a.pdf"\n')
    top, bay = sizing.panel(6), sizing.panel(2)
    assert (top.bay.face.name, bay.bay.column) == ("top", 2)
    wrap = sizing.wraps[0]
    frame, other = placed(wrap.places[0], top.frame), placed(wrap.places[1], bay.frame)
    # below the top, from 300 mm of its width to the end
    assert max(x for x, _ in frame) == pytest.approx(max(x for x, _ in other), abs=1e-6)
    assert min(x for x, _ in other) - min(x for x, _ in frame) == pytest.approx(300.0, abs=1e-6)
    assert min(y for _, y in frame) == pytest.approx(max(y for _, y in other), abs=1e-6)


def test_hung_cube_neighbours_are_at_right_angles() -> None:
    panels = panels_of("hung cube")
    for a, b in chains("hung cube", 2):
        assert float(normal(panels[a].bay.outline) @ normal(panels[b].bay.outline)) == pytest.approx(0.0, abs=1e-12)
    assert len(chains("hung cube", 2)) == 12 * 2  # twelve corners, both ways


@pytest.mark.parametrize(
    ("wrap", "says"),
    [
        ("panels = [1, 3]", "panel 1 does not meet panel 3"),
        ("panels = [1, 2, 4]", "panel 2 does not meet panel 4"),
        ("panels = [1, 9]", "there is no panel 9"),
    ],
)
def test_what_is_no_chain(wrap: str, says: str) -> None:
    with pytest.raises(TableError) as caught:
        zoo.sized(zoo.BOX + f'[[wrap]]\n{wrap}\nfile = "a.pdf"\n')
    assert [path for path, _ in caught.value.faults] == ["wrap 1, panels"]
    assert says in caught.value.faults[0][1]


@pytest.mark.parametrize(("key", "says"), [("blank", "is blank"), ("open", "there is no panel 2")])
def test_blank_and_open_panels_take_no_wrap(key: str, says: str) -> None:
    body = zoo.BOX + f"[[structure.panel]]\npanel = 2\n{key} = true\n"
    with pytest.raises(TableError) as caught:
        zoo.sized(body + '[[wrap]]\npanels = [1, 2]\nfile = "a.pdf"\n')
    assert says in caught.value.faults[0][1]


def test_a_panel_in_two_wraps() -> None:
    body = zoo.BOX + '[[wrap]]\npanels = [1, 2]\nfile = "a.pdf"\n[[wrap]]\npanels = [2, 3]\nfile = "b.pdf"\n'
    with pytest.raises(TableError) as caught:
        zoo.sized(body)
    assert caught.value.faults == (("wrap 2, panels", "panel 2 has its art from wrap 1 already"),)


def test_matrices() -> None:
    turn = (0.0, 1.0, -1.0, 0.0, 5.0, 7.0)  # 90° anticlockwise, then moved
    assert apply(turn, (1.0, 0.0)) == (5.0, 8.0)
    assert zoo.near(apply(inverse(turn), (5.0, 8.0)), (1.0, 0.0), within=1e-12)
    moved = (1.0, 0.0, 0.0, 1.0, 10.0, 0.0)
    assert apply(after(moved, turn), (1.0, 0.0)) == (15.0, 8.0)  # the turn first, then the move
    assert apply(after(turn, moved), (1.0, 0.0)) == (5.0, 18.0)
