"""Areas of black ink alone, drawn by reportlab in CMYK; areas are sums on paper. `black-plain` goes by them."""

from math import pi
from pathlib import Path

import pytest
from art_made import PT
from reportlab.lib.colors import CMYKColor, CMYKColorSep
from reportlab.pdfgen.canvas import Canvas
from test_marks_rules import ART, of, run, told, wall

from artgen.art import read
from artgen.art.facts import FileFacts, Filled

K = CMYKColor(0, 0, 0, 1)


def page(file: Path, draw, scale: float = 1.0) -> tuple[Filled, ...]:
    file.parent.mkdir(exist_ok=True)
    canvas = Canvas(str(file), pagesize=(ART[0] / scale * PT, ART[1] / scale * PT), invariant=1)
    canvas.scale(PT / scale, PT / scale)
    draw(canvas)
    canvas.save()
    facts = read(file)
    assert isinstance(facts, FileFacts)
    return facts.pages[0].ink.black


@pytest.mark.parametrize(
    ("colour", "black"),
    [
        ((0, 0, 0, 1), True),
        ((0, 0, 0, 0.95), True),
        ((0.02, 0.02, 0.02, 1), True),
        ((0, 0, 0, 0.94), False),
        ((0.03, 0, 0, 1), False),
        ((0.6, 0.4, 0.4, 1), False),
    ],
)
def test_black_alone_and_other_blacks(colour: tuple[float, ...], black: bool, tmp_path: Path) -> None:
    def draw(canvas: Canvas) -> None:
        canvas.setFillColor(CMYKColor(*colour))
        canvas.rect(100, 100, 300, 200, stroke=0, fill=1)

    found = page(tmp_path / "a.pdf", draw)
    assert [fill.area for fill in found] == ([pytest.approx(60_000, rel=1e-4)] if black else [])
    if black:
        assert found[0].where == pytest.approx((100, 100, 400, 300), abs=0.01)


def test_the_spot_ink_black_is_black_alone(tmp_path: Path) -> None:
    def draw(canvas: Canvas) -> None:
        canvas.setFillColor(CMYKColorSep(0, 0, 0, 1, spotName="Black"))
        canvas.rect(0, 0, 100, 50, stroke=0, fill=1)
        canvas.setFillColor(CMYKColorSep(0, 0, 0, 1, spotName="Soot"))
        canvas.rect(0, 100, 100, 50, stroke=0, fill=1)

    assert [fill.area for fill in page(tmp_path / "a.pdf", draw)] == [pytest.approx(5_000, rel=1e-4)]


def test_clips_holes_and_overprint(tmp_path: Path) -> None:
    """A rectangle of 400 × 100 clipped to 100 × 100; a frame of 100 × 100 with a hole of 80 × 80, even-odd; one that overprints;
    one that shines through; a disc of radius 50, its curves taken as a square of 2 r² = 5000."""

    def draw(canvas: Canvas) -> None:
        canvas.setFillColor(K)
        canvas.saveState()
        clip = canvas.beginPath()
        clip.rect(0, 0, 100, 100)
        canvas.clipPath(clip, stroke=0)
        canvas.rect(0, 0, 400, 100, stroke=0, fill=1)
        canvas.restoreState()
        frame = canvas.beginPath()
        frame.rect(200, 200, 100, 100)
        frame.rect(210, 210, 80, 80)
        canvas.drawPath(frame, stroke=0, fill=1, fillMode=0)
        canvas.circle(500, 400, 50, stroke=0, fill=1)
        canvas.saveState()
        canvas.setFillOverprint(True)
        canvas.rect(0, 300, 300, 200, stroke=0, fill=1)
        canvas.restoreState()
        canvas.saveState()
        canvas.setFillAlpha(0.5)
        canvas.rect(0, 300, 300, 200, stroke=0, fill=1)
        canvas.restoreState()

    areas = sorted(fill.area for fill in page(tmp_path / "a.pdf", draw))
    assert areas[:2] == pytest.approx([100 * 100 - 80 * 80, 2 * 50 * 50], rel=1e-3)
    assert areas[2:] == pytest.approx([100 * 100], rel=1e-3)
    assert areas[1] <= pi * 50 * 50


@pytest.mark.parametrize(("side", "found"), [(223.0, False), (224.0, True)])
@pytest.mark.parametrize("scale", [1.0, 10.0])
def test_the_least_area_from_both_sides(side: float, found: bool, scale: float, tmp_path: Path) -> None:
    """500 cm² are a square of 223.6 mm."""

    def draw(canvas: Canvas) -> None:
        canvas.setFillColor(CMYKColor(0.1, 0, 0.2, 0))
        canvas.rect(0, 0, *ART, stroke=0, fill=1)
        canvas.setFillColor(K)
        canvas.rect(150, 150, side, side, stroke=0, fill=1)

    page(tmp_path / "art" / "panel-1.pdf", draw, scale)
    findings = of(run(tmp_path, wall(1)), "black-plain")
    assert bool(findings) is found
    if found:
        assert findings[1].severity == "note"
        assert "502 cm² of panel 1" in told(findings[1])  # 224² / 100 = 501.76
        assert findings[1].where == pytest.approx((150, 150, 224, 224), abs=0.1)
