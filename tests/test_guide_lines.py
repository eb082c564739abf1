"""Guides in a picture: lines painted in NumPy along the fold lines, the safe area and the cut, at places known to the painter."""

from math import hypot

import numpy as np
import pytest
import zoo
from art_made import target_of

from artgen.art.facts import PageFacts
from artgen.placing import Claim, Laid, lay
from artgen.survey import Preview
from artgen.survey.guides import guide_lines

_, TARGET = target_of(zoo.BOX, 5)
(PANEL,) = TARGET.panels
W, H = 1076, 876
BLUE, ORANGE, RED, BLACK = (0, 114, 178), (230, 159, 0), (190, 30, 30), (0, 0, 0)  # the first two: Okabe and Ito


def laid() -> Laid:
    return lay(Claim(TARGET, "a.png", 1), PageFacts(W, H, {"media": (0.0, 0.0, W, H)}, 0.0))


def ground(kind: str) -> np.ndarray:
    rng = np.random.default_rng(2)
    picture = np.zeros((H, W, 4), np.uint8)
    picture[..., 3] = 255
    picture[..., :3] = (120, 140, 90) if kind == "plain" else rng.integers(0, 200, (H, W, 1))
    return picture


def line(
    picture: np.ndarray, outline, edge: int, colour, wide: float, off: float = 0.0, halo: float = 0.5, dash: int = 0
) -> None:
    """A line along an edge, ``off`` mm outside it, with white ``halo`` mm beyond it on each side; ``dash`` mm on and off."""
    (x0, y0), (x1, y1) = outline[edge], outline[(edge + 1) % len(outline)]
    length = hypot(x1 - x0, y1 - y0)
    x, y = np.meshgrid(np.arange(W) + 0.5, H - np.arange(H) - 0.5)
    past = ((x - x0) * (y1 - y0) - (y - y0) * (x1 - x0)) / length - off
    along = ((x - x0) * (x1 - x0) + (y - y0) * (y1 - y0)) / length
    within = (along >= 0) & (along <= length)
    picture[within & (np.abs(past) <= wide / 2 + halo), :3] = 255
    on = (along // dash % 2 == 0) if dash else True
    picture[within & on & (np.abs(past) <= wide / 2), :3] = colour


@pytest.mark.parametrize("kind", ["plain", "busy"])
@pytest.mark.parametrize(("edges", "seen"), [((0, 1, 2, 3), True), ((0, 1, 2), True), ((0, 2), False), ((), False)])
def test_fold_lines_in_their_ink_on_most_edges(edges: tuple[int, ...], seen: bool, kind: str) -> None:
    picture = ground(kind)
    for edge in edges:
        line(picture, PANEL.visible, edge, BLUE, 2.0)
    assert ("fold" in guide_lines(laid(), PANEL, Preview(picture, 1.0)).seen) is seen


@pytest.mark.parametrize(("off", "seen"), [(0.0, True), (1.0, True), (-1.0, True), (8.0, False), (-8.0, False)])
def test_lines_elsewhere_are_no_guides(off: float, seen: bool) -> None:
    """A page that fits may lie 1 mm off."""
    picture = ground("plain")
    for edge in range(4):
        line(picture, PANEL.visible, edge, BLUE, 2.0, off)
    assert bool(guide_lines(laid(), PANEL, Preview(picture, 1.0)).seen) is seen


@pytest.mark.parametrize(("colour", "seen"), [(BLUE, True), ((10, 105, 190), True), (RED, False), (BLACK, False)])
def test_the_fold_line_has_its_own_colour(colour: tuple[int, int, int], seen: bool) -> None:
    picture = ground("plain")
    for edge in range(4):
        line(picture, PANEL.visible, edge, colour, 2.0, halo=0.0)
    assert bool(guide_lines(laid(), PANEL, Preview(picture, 1.0)).seen) is seen


def test_dots_round_the_safe_area() -> None:
    picture = ground("busy")
    assert PANEL.safe is not None
    for edge in range(4):
        line(picture, PANEL.safe, edge, ORANGE, 2.0, dash=2)
    assert guide_lines(laid(), PANEL, Preview(picture, 1.0)).seen == ("safe",)


def test_black_and_white_lines_count_only_together() -> None:
    cut = ground("plain")
    for edge in range(4):
        line(cut, PANEL.cut, edge, BLACK, 1.2, halo=0.0)
    assert guide_lines(laid(), PANEL, Preview(cut.copy(), 1.0)).seen == ()
    for edge in range(4):
        line(cut, PANEL.visible, edge, (255, 255, 255), 2.0)
    assert set(guide_lines(laid(), PANEL, Preview(cut, 1.0)).seen) == {"cut", "fold"}


def test_a_field_that_ends_at_the_fold_line_is_no_line() -> None:
    picture = ground("plain")
    picture[44:-44, 44:-44, :3] = BLUE
    assert guide_lines(laid(), PANEL, Preview(picture, 1.0)).seen == ()
