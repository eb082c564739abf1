"""Convex hulls of many sets at once, against shapely's; and what the rules make of tilted words, against the fonts' outlines."""

from pathlib import Path

import numpy as np
import pypdfium2 as pdfium
import pytest
import zoo
from art_made import Ink, Lettering, observed, pdf, target_of
from attrs import evolve
from hypothesis import given
from hypothesis import strategies as st
from reportlab.pdfgen.canvas import Canvas
from shapely import MultiPoint, Point, Polygon
from test_art_words import EVERYWHERE, IDENTITY, drawn
from test_checks import where_text

from artgen.art import read
from artgen.art.answers import checked
from artgen.art.facts import FileFacts, FileFault
from artgen.art.hulls import MAX_VERTICES, hulls_of
from artgen.art.word_table import packed, unpacked
from artgen.art.words import MAX_HULLS, page_words
from artgen.checks import LaidSeen, Observations
from artgen.placing import Claim, Claims, lay
from artgen.survey import placed_words

TOLERANCE = 0.01
SHAPES = st.lists(
    st.tuples(st.integers(1, 60), st.integers(0, 2**31), st.sampled_from(["cloud", "circle", "grid", "line"])),
    min_size=1,
    max_size=8,
)


def points_of(count: int, seed: int, shape: str) -> np.ndarray:
    random = np.random.default_rng(seed)
    if shape == "circle":
        turn = random.random(count) * 2 * np.pi
        return np.stack([np.cos(turn), np.sin(turn)], 1)
    if shape == "grid":
        return random.integers(0, 4, (count, 2)).astype(float)
    if shape == "line":
        return np.outer(random.random(count), [1.0, 0.5])
    return random.normal(size=(count, 2))


@given(shapes=SHAPES)
def test_hulls_against_shapely(shapes: list[tuple[int, int, str]]) -> None:
    sets = [points_of(*shape) for shape in shapes]
    starts = np.cumsum([0, *map(len, sets[:-1])])
    found = hulls_of(np.vstack(sets), starts, np.full(len(sets), TOLERANCE))
    assert len(found) == len(sets)
    for hull, points in zip(found, sets, strict=True):
        wanted = MultiPoint(points).convex_hull
        assert {tuple(vertex) for vertex in hull.tolist()} <= {tuple(point) for point in points.tolist()}
        assert len(hull) <= MAX_VERTICES
        got = MultiPoint(hull).convex_hull
        assert max(got.distance(Point(point)) for point in points) <= TOLERANCE * 1.001
        if wanted.geom_type == "Polygon" and len(hull) > 2:
            polygon = Polygon(hull)
            assert polygon.exterior.is_ccw
            assert polygon.area == pytest.approx(got.area)  # in order, none inside


# what the rules make of them

EDGE = 44.0  # from the edge of the art size to the fold line


def corner_over_the_edge(past: float, empty: float) -> Ink:
    """A word turned by 45°: the upper left corner of its quad ends ``past`` the left fold line of a wall, its ink ``empty``
    less."""
    x = EDGE - past
    quad = ((x + 100, 900.0), (x + 400, 1200.0), (x + 300, 1300.0), (x, 1000.0))
    return Ink(quad, hull=(*quad[:3], (x + empty, 1000 + empty), (x + empty, 1000 - empty)))


def test_an_empty_corner_over_a_line_is_no_error() -> None:
    sizing, target = target_of(zoo.WALL, 1)
    for past, empty, rules in (
        (9, 8.4, [("text-in-tuck", 0.6)]),
        (9, 8.6, [("text-outside-safe", 40.4)]),
        (9, 0.0, [("text-in-tuck", 9.0)]),
    ):
        found = where_text(observed(sizing, target, [corner_over_the_edge(past, empty)]))
        assert [(one.rule, one.evidence["depth_mm"]) for one in found] == [
            (rule, pytest.approx(depth, abs=0.011)) for rule, depth in rules
        ]
        assert found[0].evidence["quad_mm"][3] == pytest.approx([EDGE - past, 1000.0], abs=0.01)  # shown as before
        # and the way out is the ink's: 40 mm inside the fold line, in whole mm
        assert found[0].evidence["move_mm"] == [np.ceil(past - empty + 40), 0]


def seen_on_a_wall(word: Lettering, folder: Path) -> Observations:
    sizing, target = target_of(zoo.WALL, 1)
    wide, high = (max(point[axis] for point in target.panels[0].art) for axis in (0, 1))
    at = Lettering(word.text, word.x / 10, word.y / 10, word.size / 10, word.angle)
    file = pdf(folder / "panel-1.pdf", (wide / 10, high / 10), [at])
    facts = read(file)
    assert isinstance(facts, FileFacts), facts
    claim = Claim(target, "panel-1.pdf", 1)
    laid = lay(claim, facts.pages[0])
    seen = LaidSeen(laid, placed_words(laid))
    return Observations(sizing, Claims((claim,)), {"panel-1.pdf": facts}, (seen,))


@pytest.mark.parametrize("angle", [-70, -45, -20, 8, 30, 45, 60])
@pytest.mark.parametrize("text", ["Moor", "AVALON", "flow", "Aly"])
def test_tilted_words_are_over_a_line_where_their_ink_is(tmp_path: Path, text: str, angle: float) -> None:
    """Words of 200 mm at 1:10 whose ink goes 0.2 mm, then 1.2 mm past the left fold line."""
    word = Lettering(text, 800, 1000, 200, angle)
    left = min(x for x, _ in word.outline)
    for past, rule in ((0.2, "text-outside-safe"), (1.2, "text-in-tuck")):
        observations = seen_on_a_wall(evolve(word, x=word.x + EDGE - past - left), tmp_path)
        (finding,) = where_text(observations)
        assert finding.rule == rule, (finding.evidence["depth_mm"], past)
        # of 200 mm the hull may lack 0.2 %
        assert finding.evidence["depth_mm"] == pytest.approx(past + (40 if past < 0.5 else 0), abs=0.4)


def test_words_past_the_limit_have_their_quad_for_a_hull() -> None:
    """The largest of the page come first."""

    def draw(canvas: Canvas) -> None:
        canvas.rotate(20)
        for y, size in ((100, 20), (200, 60), (400, 30)):
            canvas.setFont("Sans", size)
            canvas.drawString(300, y, f"Alder{size}")

    document = pdfium.PdfDocument(drawn(draw))
    page = document[0]
    table = packed(page_words(page.raw, IDENTITY, EVERYWHERE, hulls=1)[0])
    page.close()
    document.close()
    words = {word.text: word for word in unpacked(table, lambda value, _: value)}
    assert words["Alder20"].hull == words["Alder20"].quad
    assert words["Alder30"].hull == words["Alder30"].quad
    large = words["Alder60"]
    assert len(large.hull) > 4
    assert Polygon(large.hull).area < 0.97 * Polygon(large.quad).area
    assert Polygon(large.quad).buffer(1e-6).contains(Polygon(large.hull))


def test_a_file_with_too_many_hulls_is_not_believed() -> None:
    page = {"width": 10.0, "height": 5.0, "boxes": {"media": [0.0, 0.0, 10.0, 5.0]}, "rounding": 0.1}
    count = MAX_HULLS // 2 + 1
    one = 10**9
    words = {
        "texts": ["a"] * count,
        "look": [0] * count,
        "looks": [["Sans", True, "000000", 0, ""]],
        "unseen": [0] * count,
        "numbers": [0, 0, one, 0, one, one, 0, one, one, one, 0] * count,
        "hulled": list(range(count)),
        "vertices": [3] * count,
        "hulls": [0, 0, one, 0, 0, one] * count,
    }
    facts = {"format": "pdf", "pages": [{**page, "words": words}]}
    assert isinstance(checked({"facts": facts}), FileFacts)
    assert isinstance(checked({"facts": {**facts, "pages": facts["pages"] * 2}}), FileFault)
