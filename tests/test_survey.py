"""Observations: words to full size, the picture of a panel, and how far paint goes. Pictures are painted in NumPy by half
planes (reach known by the painter), or come from reportlab PDFs with fields at known places."""

from math import hypot, sqrt
from pathlib import Path

import art_made
import numpy as np
import pytest
import zoo
from art_made import Lettering, bare_target, target_of

from artgen.art import read
from artgen.art.facts import FileFacts, FileFault, PageFacts, Word
from artgen.placing import Claim, Laid, Target, lay
from artgen.sizing import Panel
from artgen.sizing.panel import apply
from artgen.survey import Preview, edge_bands, placed_words, preview

GREEN = (40, 90, 40)
PANELS = {
    "box": target_of(zoo.BOX, 1)[1].panels[0],
    "hung cube": target_of(zoo.HUNG_CUBE, 4)[1].panels[0],
    "tetrahedron": bare_target(zoo.BARE["tetrahedron"])[1].panels[0],
    "L-shaped face": bare_target(zoo.L_FACE)[1].panels[0],
}
NEEDED = zoo.T + zoo.H + zoo.B  # 44


def painted(
    panel: Panel, reach: dict[int, float], colour: tuple[int, int, int] = GREEN, step: float = 2.0, gap: float = 0.0
) -> Preview:
    """A picture painted all over, but that each edge of ``reach`` ends so far past its fold line, over the whole of that side;
    ``gap`` = an unpainted share of the fold line's length, from its start."""
    w, h = max(x for x, _ in panel.art), max(y for _, y in panel.art)
    columns, rows = round(w / step), round(h / step)
    x = (np.arange(columns) + 0.5) * step
    y = ((rows - 1 - np.arange(rows)) + 0.5)[:, None] * step
    alpha = np.full((rows, columns), 255, np.uint8)
    for edge, limit in reach.items():
        (x0, y0), (x1, y1) = panel.visible[edge], panel.visible[(edge + 1) % len(panel.visible)]
        length = hypot(x1 - x0, y1 - y0)
        past = ((x - x0) * (y1 - y0) - (y - y0) * (x1 - x0)) / length
        along = ((x - x0) * (x1 - x0) + (y - y0) * (y1 - y0)) / length**2
        beside = (along > gap) & (along < 1) & (past < NEEDED + 1)
        alpha[(past > limit) & beside] = 0
    picture = np.zeros((rows, columns, 4), np.uint8)
    picture[..., :3], picture[..., 3] = colour, alpha
    return Preview(picture, step)


# how far paint goes


@pytest.mark.parametrize("limit", [0.0, 3.0, 12.0, 19.0, 30.0, 40.0])
@pytest.mark.parametrize("name", PANELS)
def test_paint_that_ends_early_is_measured(name: str, limit: float) -> None:
    panel = PANELS[name]
    for edge in range(len(panel.edges)):
        bands = edge_bands(panel, painted(panel, {edge: limit}))
        assert [band.edge for band in bands] == list(range(len(panel.edges)))
        assert [band.needed for band in bands] == [NEEDED] * len(bands)
        assert bands[edge].reach == pytest.approx(limit, abs=2.5)  # pixels of 2 mm, read in steps of 1
        assert [band.reach for band in bands if band.edge != edge] == [NEEDED] * (len(bands) - 1)


@pytest.mark.parametrize("name", PANELS)
def test_paint_all_over_reaches_the_page_edge(name: str) -> None:
    panel = PANELS[name]
    assert {band.reach for band in edge_bands(panel, painted(panel, {}))} == {NEEDED}


@pytest.mark.parametrize("colour", [(255, 255, 255), (252, 251, 254)])
def test_white_ground_needs_no_bleed(colour: tuple[int, int, int]) -> None:
    panel = PANELS["box"]
    bands = edge_bands(panel, painted(panel, {0: 5.0, 1: 5.0}, colour))
    assert [band.reach for band in bands] == [None] * 4


def test_a_pale_ground_is_no_white_one() -> None:
    panel = PANELS["box"]
    assert edge_bands(panel, painted(panel, {0: 5.0}, (245, 240, 230)))[0].reach == pytest.approx(5, abs=2.5)


def test_nothing_painted_at_all() -> None:
    panel = PANELS["box"]
    bands = edge_bands(panel, painted(panel, dict.fromkeys(range(4), -50.0)))
    assert [band.reach for band in bands] == [None] * 4


@pytest.mark.parametrize(("whole", "reach"), [(0.9, NEEDED), (0.5, 10.0)])
def test_one_leaf_that_ends_is_no_line(whole: float, reach: float) -> None:
    """A tenth of an edge's paint ends early: a picture's own shape. Half of it does: a line."""
    panel = PANELS["box"]
    band = edge_bands(panel, painted(panel, {1: 10.0}, gap=whole))[1]
    assert band.reach == pytest.approx(reach, abs=2.5)


# words


def test_words_at_full_size() -> None:
    """1:10, turned by 90°: (x, y) of the page comes to (1076 − 10 y, 10 x)."""
    quad = ((10.0, 20.0), (30.0, 20.0), (30.0, 25.0), (10.0, 25.0))
    facts = PageFacts(337.6, 107.6, {"media": (0, 0, 337.6, 107.6)}, 0.0, words=(Word("peat", quad, 6.0, 4.5, 0.0),))
    (word,) = placed_words(lay(Claim(target_of(zoo.BOX, 1)[1], "a.pdf", 1), facts))
    assert zoo.near(word.quad, ((876, 100), (876, 300), (826, 300), (826, 100)))
    assert (word.text, word.capital) == ("peat", pytest.approx(45))
    assert word.angle == pytest.approx(90)


# pictures, through files


def laid_file(file: Path, target: Target) -> Laid:
    facts = read(file)
    assert isinstance(facts, FileFacts), facts
    return lay(Claim(target, file.name, 1), facts.pages[0])


def seen_box(picture: Preview) -> tuple[float, float, float, float]:
    """x0, y0, x1, y1 of what is painted, mm of the panel's sewn frame."""
    rows, columns = np.nonzero(picture.rgba[..., 3] > 127)
    high = picture.rgba.shape[0]
    step = picture.step
    low, top = (high - 1 - rows.max()) * step, (high - rows.min()) * step
    return columns.min() * step, low, (columns.max() + 1) * step, top


def test_a_field_at_one_to_ten_stands_where_it_should(tmp_path: Path) -> None:
    file = art_made.pdf(tmp_path / "a.pdf", (107.6, 337.6), ground=(20, 100, 30, 50), rgb=True)
    _, target = target_of(zoo.BOX, 1)
    picture = preview(file, laid_file(file, target), target.panels[0])
    assert isinstance(picture, Preview)
    assert seen_box(picture) == pytest.approx((200, 1000, 500, 1500), abs=1.01)
    inside, outside = picture.at(np.array([350.0, 150.0]), np.array([1250.0, 1250.0]))
    assert inside[:3].tolist() == pytest.approx([51, 102, 51], abs=2)  # 0.2, 0.4, 0.2 of 255
    assert outside[3] == 0
    assert picture.at(np.array([-5.0, 2000.0]), np.array([10.0, 10.0]))[:, 3].tolist() == [0, 0]


def test_a_page_on_its_side(tmp_path: Path) -> None:
    file = art_made.pdf(tmp_path / "a.pdf", (337.6, 107.6), ground=(100, 20, 50, 30))
    _, target = target_of(zoo.BOX, 1)
    picture = preview(file, laid_file(file, target), target.panels[0])
    assert isinstance(picture, Preview)
    assert seen_box(picture) == pytest.approx((1076 - 500, 1000, 1076 - 200, 1500), abs=1.01)


def test_a_reading_way_page(tmp_path: Path) -> None:
    """A field about the page's top vertex comes to the sewn square's upper right."""
    side = 157.6 * sqrt(2)
    file = art_made.pdf(tmp_path / "a.pdf", (side, side), ground=(0, side - 40, side, 40))
    _, target = target_of(zoo.HUNG_CUBE, 4)
    laid = laid_file(file, target)
    assert laid.way == "reading"
    picture = preview(file, laid, target.panels[0])
    assert isinstance(picture, Preview)
    # the top 400 mm of the diamond: x + y > 2 × 1576 − 400 √2
    edge = 2 * 1576 - 400 * sqrt(2)
    x = np.array([1500.0, edge - 1500 + 30, edge - 1500 - 30, 100.0])
    y = np.array([1500.0, 1500.0, 1500.0, 100.0])
    assert (picture.at(x, y)[:, 3] > 127).tolist() == [True, True, False, False]


def test_the_second_panel_of_a_wrap(tmp_path: Path) -> None:
    """The right side's sewn frame begins 44 + 988 + 12 − 44 = 1000 mm along the wrap."""
    _, target = target_of(zoo.BOX, wrap='[[wrap]]\npanels = [1, 2]\nfile = "a.pdf"\n')
    width = (44 + 988 + 12 + 788 + 44) / 10
    file = art_made.pdf(tmp_path / "a.pdf", (width, 337.6), ground=(120, 50, 40, 60))
    laid = laid_file(file, target)
    assert laid.fits == "art"
    picture = preview(file, laid, target.panels[1])
    assert isinstance(picture, Preview)
    assert seen_box(picture) == pytest.approx((200, 500, 600, 1100), abs=1.01)


def test_words_of_a_file_at_full_size(tmp_path: Path) -> None:
    """Ink by fontTools; the page at 1:10 on the panel's cut: 25 mm in from the art size."""
    word = Lettering("forest", 20, 200, 12, 30)
    file = art_made.pdf(tmp_path / "a.pdf", (102.6, 332.6), [word])
    _, target = target_of(zoo.BOX, 1)
    laid = laid_file(file, target)
    assert laid.fits == "cut"
    (found,) = placed_words(laid)
    expected = [(25 + 10 * x, 25 + 10 * y) for x, y in word.quad]
    assert zoo.near(found.quad, expected, within=0.1)
    assert zoo.near(apply(laid.matrix, (0, 0)), (25, 25), within=0.01)


def test_a_file_that_can_not_be_drawn_is_a_fault(tmp_path: Path) -> None:
    file = art_made.pdf(tmp_path / "a.pdf", (107.6, 337.6))
    _, target = target_of(zoo.BOX, 1)
    laid = laid_file(file, target)
    file.write_bytes(file.read_bytes()[:200])
    assert isinstance(preview(file, laid, target.panels[0]), FileFault)
