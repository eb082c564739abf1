"""Bays side by side and stacked: places, numbers, neighbours across rows; keep-outs and openings in panels.

Expected places are sums of the widths and heights that each test writes; neighbours are compared with a plain search over
all pairs of edges.
"""

import gc
import time

import numpy as np
import pytest
import zoo
from hypothesis import given, settings
from hypothesis import strategies as st

from artgen.drawing.marks import Text
from artgen.order import BayRow
from artgen.sizing.outline import bounds, size
from artgen.structure import bays as bays_module
from artgen.structure.bays import Bay, split
from artgen.structure.shape import Face, Shape
from artgen.template import sheet_of, template
from artgen.typed import TableError
from artgen.words import words

WALL = '[[structure]]\nname = "w"\nkind = "wall"\n'
GRID = WALL + 'bays = [{height = "500 mm", widths = ["400 mm", "600 mm"]}, {height = "700 mm", widths = ["1000 mm"]}]\n'


def faults(body: str) -> dict[str, str]:
    with pytest.raises(TableError) as caught:
        zoo.sized(body)
    return dict(caught.value.faults)


def place(bay: Bay) -> tuple[float, float, float, float]:
    """Left, foot, right, top of a bay of an upright face that looks to the front."""
    x, _, z = np.asarray(bay.outline).T
    return float(x.min()), float(z.min()), float(x.max()), float(z.max())


def test_rows_stand_on_one_another_the_top_row_first() -> None:
    made = zoo.sized(GRID).structures[0]
    assert made.overall == pytest.approx((1000, 100, 500 + 700))  # a face's size is the sum of its bays
    assert [(n, b.row, b.column) for n, b in zip(made.numbers, made.bays, strict=True)] == [
        (1, 1, 1),
        (2, 1, 2),
        (3, 2, 1),
    ]
    places = [place(bay) for bay in made.bays]
    assert zoo.near(places, [(0, 700, 400, 1200), (400, 700, 1000, 1200), (0, 0, 1000, 700)])
    # each has metal of its own: 6 mm of setback at every edge, so 12 between any two
    assert [size(p.visible) for p in made.panels] == [pytest.approx(v) for v in ((388, 488), (588, 488), (988, 688))]
    for panel in made.panels:
        for edge in panel.edges:
            assert edge.reveal == (2 * zoo.S if edge.met else None)
            assert all(met.joint and met.reveal == 2 * zoo.S for met in edge.met)


def test_a_joint_meets_every_bay_across_it() -> None:
    made = zoo.sized(GRID).structures[0]
    top = next(edge for edge in made.panels[2].edges if edge.name == "top")
    # seen from outside the lower bay's top edge runs right to left: 600 along the second, then 400 along the first
    assert [(met.panel, met.start, met.end) for met in top.met] == [(2, 0.0, 600.0), (1, 600.0, 1000.0)]


def test_a_t_joint_has_a_reveal_for_each_side() -> None:
    body = GRID + '[[structure.edge]]\npanel = 2\nedge = "bottom"\nsetback = "20 mm"\n'
    made = zoo.sized(body).structures[0]
    top = next(edge for edge in made.panels[2].edges if edge.name == "top")
    assert [(met.panel, met.reveal) for met in top.met] == [(2, 20 + zoo.S), (1, 2 * zoo.S)]


def test_rows_share_what_is_left_of_the_height() -> None:
    body = zoo.BOX + 'bays.right = [["800 mm"], {height = "1300 mm"}, ["300 mm", "500 mm"]]\n'  # box of 3300
    bays = [bay for bay in zoo.sized(body).structures[0].bays if bay.face.name == "right"]
    heights = [max(z for *_, z in bay.outline) - min(z for *_, z in bay.outline) for bay in bays]
    assert heights == pytest.approx([1000, 1300, 1000, 1000])


def test_a_box_takes_its_size_from_its_bays() -> None:
    assert zoo.sized(zoo.TOWER.replace("[1000", "[")).structures[0].overall == pytest.approx((1000, 1000, 3000))


@pytest.mark.parametrize(
    ("bays", "path", "says"),
    [
        (
            'bays = [["400 mm", "500 mm"], ["1 m"]]',
            "bays, front",
            "of row 1 add up to 900 mm, the face is 1000 mm wide",
        ),
        ('bays = [{height = "3 m"}, {height = "1 m"}]', "bays, front", "add up to 4000 mm, the face is 3300 mm high"),
        ('bays = [{height = "3.3 m"}, ["1 m"]]', "bays, front", "no room for the rest"),
        ('bays.rihgt = [["800 mm"]]', "bays", "did you mean 'right'"),
        ('bays.front = ["0 mm", "1 m"]', "bays, front 1", "over 0"),
        ('bays.front = [["1 m"], {height = "-1 m"}]', "bays, front, row 2, height", "over 0"),
        ('bays.front = [["10 mm", "990 mm"]]', "panel 1", "leaves nothing to see"),
    ],
)
def test_bays_that_can_not_be(bays: str, path: str, says: str) -> None:
    found = faults(zoo.BOX + bays + "\n")
    assert says in found[f"structure 1, {path}"]


def test_wrong_bays_of_two_faces_are_two_faults() -> None:
    found = faults(zoo.BOX + 'bays.front = ["1 m", "1 m"]\nbays.right = ["1 m"]\n')
    assert set(found) == {"structure 1, bays, front", "structure 1, bays, right"}


def test_a_leaning_square_splits_as_it_is_sewn() -> None:
    """A hung cube's faces stand on a tip: rows and columns run along its edges, in the sewn frame."""
    made = zoo.sized(zoo.HUNG_CUBE + 'bays.f1 = [["600 mm", "900 mm"], ["1500 mm"]]\n').structures[0]
    frames = [size(p.frame) for p in made.panels[:3]]
    assert zoo.near(frames, [(600, 750), (900, 750), (1500, 750)])
    assert {p.upright_deg for p in made.panels} == {-45.0}
    # the whole is still the cube's face: what the corners of the three enclose has area 1500²
    whole = made.panels[3]
    assert sum(w * h for w, h in frames) == pytest.approx(size(whole.frame)[0] * size(whole.frame)[1])


def test_a_triangle_has_no_bays() -> None:
    found = faults(zoo.WEDGE + 'bays.f2 = ["500 mm", "500 mm"]\n')
    assert found == {"structure 1, bays, f2": "this face is no rectangle, so it can't be split into bays"}


# --- neighbours against a plain search


def plainly(bays: list[Bay]) -> set[tuple[int, int, int, int, float, float]]:
    found = set()
    edges = [
        (i, e, np.asarray(bay.outline[e]), np.asarray(bay.outline[(e + 1) % len(bay.outline)]))
        for i, bay in enumerate(bays)
        for e in range(len(bay.outline))
    ]
    for i, e, a, b in edges:
        length = np.linalg.norm(b - a)
        way = (b - a) / length
        for j, f, p, q in edges:
            off = max(np.linalg.norm(np.cross(v - a, way)) for v in (p, q))
            if i != j and off < 1e-3 and (q - p) @ way < 0:
                low, high = max(float((q - a) @ way), 0.0), min(float((p - a) @ way), float(length))
                if high - low > 1e-3:
                    found.add((i, e, j, f, round(low, 3), round(high, 3)))
    return found


@pytest.mark.parametrize("name", [*zoo.ORDERS, *zoo.BARE])
def test_neighbours_are_those_of_a_plain_search(name: str) -> None:
    made = zoo.all_sized()[name]
    found = {
        (i, e, met.bay, met.edge, round(met.start, 3), round(met.end, 3))
        for i, bay in enumerate(made.bays)
        for e, neighbours in enumerate(bay.neighbours)
        for met in neighbours
    }
    assert found == plainly(list(made.bays))


@settings(max_examples=20)
@given(st.lists(st.lists(st.integers(1, 9), min_size=1, max_size=4), min_size=1, max_size=4))
def test_neighbours_of_any_rows(parts: list[list[int]]) -> None:
    high, wide = 1000.0 * len(parts), 3000.0
    rows = [BayRow(tuple(wide * p / sum(row) for p in row)) for row in parts]  # type: ignore[arg-type]
    face = Face("f1", ((0, 0, 0), (wide, 0, 0), (wide, 0, high), (0, 0, high)))
    bays = split(Shape((face,)), {"f1": rows})
    found = {
        (i, e, met.bay, met.edge, round(met.start, 3), round(met.end, 3))
        for i, bay in enumerate(bays)
        for e, neighbours in enumerate(bay.neighbours)
        for met in neighbours
    }
    assert found == plainly(bays)


def test_lines_that_share_a_key_hide_no_neighbours() -> None:
    """A wall placed so that the key of an upright joint of it is that of the level joint of another."""

    def key(point: np.ndarray, way: np.ndarray) -> float:
        return float(
            (point - (point @ way) * way) @ bays_module._G + 1000 * (way @ bays_module._H) * (way @ bays_module._K)
        )

    level = key(np.array([0.0, 0.0, 400.0]), np.array([1.0, 0.0, 0.0]))
    upright = key(np.array([300.0, 5000.0, 0.0]), np.array([0.0, 0.0, 1.0]))
    x = (level - upright) / bays_module._G[0]
    one = Face("f1", ((0, 0, 0), (900, 0, 0), (900, 0, 800), (0, 0, 800)))
    two = Face("f2", ((x, 5000, 0), (x + 600, 5000, 0), (x + 600, 5000, 800), (x, 5000, 800)))
    assert key(np.array([x + 300, 5000.0, 0.0]), np.array([0.0, 0.0, 1.0])) == pytest.approx(level, abs=1e-6)
    shape = Shape((one, two), numbering="along")
    bays = split(shape, {"f1": [BayRow(), BayRow()], "f2": [BayRow((300.0, 300.0))]})  # type: ignore[arg-type]
    found = [[met.bay for neighbours in bay.neighbours for met in neighbours] for bay in bays]
    assert found == [[1], [0], [3], [2]]


def test_the_work_grows_with_the_bays() -> None:
    """Ten times the bays take about ten times as long, not a hundred times."""

    def took(across: int, down: int) -> float:
        face = Face("f1", ((0, 0, 0), (100.0 * across, 0, 0), (100.0 * across, 0, 100.0 * down), (0, 0, 100.0 * down)))
        rows = [BayRow((100.0,) * across) for _ in range(down)]  # type: ignore[arg-type]
        best = 1e9
        gc.disable()  # what it walks is all that the tests have made so far
        for _ in range(3):
            start = time.process_time()
            bays = split(Shape((face,)), {"f1": rows})
            best = min(best, time.process_time() - start)
        gc.enable()
        assert len(bays) == across * down
        return best

    assert took(60, 50) < 25 * took(20, 15)


# --- blank, open, of another fabric


def test_blank_open_and_another_fabric() -> None:
    body = zoo.TOWER + (
        '[[structure.panel]]\npanel = 1\nblank = true\nfabric = "brushed-knit"\n[[structure.panel]]\npanel = 3\nopen = true\n'
    )
    made = zoo.sized(body).structures[0]
    assert made.numbers[:4] == (1, 2, 3, 4) and [p.number for p in made.panels[:3]] == [1, 2, 4]
    assert (made.panels[0].blank, made.panels[0].fabric.name) == (True, "brushed-knit")
    assert made.panels[1].fabric.name == "display-knit"
    # nobody meets the open bay
    assert not any(met.panel == 3 for p in made.panels for edge in p.edges for met in edge.met)


# --- keep-outs


def kept(table: str, body: str = zoo.WALL) -> str:
    return body + f"[[structure.panel]]\npanel = 1\nkeep_out = [{table}]\n"


def test_keep_outs_lie_from_the_lower_left_of_what_shows() -> None:
    screen = '{at = ["100 mm", "200 mm"], size = ["300 mm", "150 mm"], name = "screen"}'
    cable = '{at = ["50 mm", "60 mm"], diameter = "40 mm", hole = true}'
    panel = zoo.sized(kept(f"{screen}, {cable}")).panels[0]
    x0, y0, _, _ = bounds(panel.visible)
    assert (x0, y0) == pytest.approx((44, 44))  # allowance 19 and bleed 25
    one, two = panel.keep_outs
    assert (one.name, one.hole, two.name, two.hole) == ("screen", False, "", True)
    assert zoo.near(one.outline, ((144, 244), (444, 244), (444, 394), (144, 394)))
    assert zoo.near(bounds(two.outline), (44 + 50 - 20, 44 + 60 - 20, 44 + 50 + 20, 44 + 60 + 20))
    radii = [np.hypot(x - 94, y - 104) for x, y in two.outline]
    assert radii == pytest.approx([20.0] * len(radii))


def test_keep_outs_change_no_size() -> None:
    plain = zoo.sized(zoo.WALL).panels[0]
    panel = zoo.sized(kept('{at = ["1 m", "1 m"], diameter = "500 mm", hole = true}')).panels[0]
    assert (panel.cut, panel.art, panel.print_sheet, panel.drops) == (
        plain.cut,
        plain.art,
        plain.print_sheet,
        plain.drops,
    )


@pytest.mark.parametrize(
    ("table", "path", "says"),
    [
        ('{at = ["5 m", "0 mm"], diameter = "10 mm"}', "keep_out 1", "beyond what shows"),
        ('{at = ["0 mm", "500 mm"], diameter = "100 mm", hole = true}', "keep_out 1", "must lie inside what shows"),
        ('{at = ["0 mm"], diameter = "10 mm"}', "keep_out 1, at", "two lengths"),
        ('{at = ["0 mm", "0 mm"]}', "keep_out 1, size", "either"),
        ('{at = ["0 mm", "0 mm"], diameter = "1 m", size = ["1 m", "1 m"]}', "keep_out 1, size", "either"),
        ('{at = ["0 mm", "0 mm"], size = ["1 m"]}', "keep_out 1, size", "width, height"),
        ('{at = ["0 mm", "0 mm"], size = ["1 m", "0 mm"]}', "keep_out 1, size 2", "over 0"),
        ('{at = ["0 mm", nan], diameter = "1 m"}', "keep_out 1, at 2", "length"),
        ('{diameter = "1 m"}', "keep_out 1, at", "missing"),
        ('{at = ["0 mm", "0 mm"], diameter = "1 m", nane = "x"}', "keep_out 1, nane", "did you mean 'name'"),
    ],
)
def test_keep_outs_that_can_not_be(table: str, path: str, says: str) -> None:
    found = faults(kept(table))
    assert says in found[f"structure 1, panel 1, {path}"]


def test_a_keep_out_may_run_past_the_edge() -> None:
    panel = zoo.sized(kept('{at = ["-1 m", "-1 m"], size = ["2 m", "3 m"], name = "counter"}')).panels[0]
    assert len(panel.keep_outs) == 1


def test_the_template_shows_keep_outs_hatched_with_their_names() -> None:
    say = words("en")
    body = kept('{at = ["1 m", "900 mm"], size = ["900 mm", "500 mm"], name = "screen"}')
    made = zoo.sized(body).structures[0]
    panel = made.panels[0]
    drawing = template(panel, made, say, 10)
    layer = next(layer for layer in drawing.layers if layer.id == "guide-keep-out")
    assert not layer.prints and layer.locked
    sheet = sheet_of(panel, 10)
    ring = sheet.outline(panel.keep_outs[0].outline)
    assert any(ring in mark.subpaths for mark in layer.marks)  # type: ignore[union-attr]
    strings = [mark.string for layer in drawing.layers for mark in layer.marks if isinstance(mark, Text)]
    assert "keep out: screen" in strings
    # no other note stands on it
    x0, y0, x1, y1 = bounds(ring)
    notes = next(layer for layer in drawing.layers if layer.id == "guide-notes")
    on_it = [m.string for m in notes.marks if isinstance(m, Text) and x0 < m.at[0] < x1 and y0 < m.at[1] < y1]
    assert on_it == ["keep out: screen"]
