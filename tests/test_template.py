"""Templates: page = art size, every zone where the sizing has it, guides on layers of their own, read back by libraries
that did not write them (pdfplumber, pikepdf, the standard library's XML parser)."""

import io
import re
import xml.etree.ElementTree as ET

import pdfplumber
import pikepdf
import pytest
from PIL import Image, ImageChops, ImageStat
from zoo import sized

from artgen.drawing.marks import Text
from artgen.drawing.pdf import write_pdf
from artgen.drawing.pieces import text_corners
from artgen.drawing.png import render_pdf
from artgen.drawing.svg import write_svg
from artgen.sizing.outline import bounds
from artgen.sizing.panel import Panel, SizedStructure, placed
from artgen.sizing.ways import turn_of
from artgen.template import MAX_PAGE, default_scale, page_up, sheet_of, template, ways
from artgen.words import words

SAY = words()
MM = 25.4 / 72  # 1 inch = 25.4 mm (1959 agreement) = 72 units (ISO 32000-1 8.3.2.3)

CASES = {
    "box": 'kind = "box"\nwidth = "1000 mm"\ndepth = "800 mm"\nheight = "2600 mm"\nlit = "inside"',
    "bays": 'kind = "wall"\nheight = "2300 mm"\nbays = ["1000 mm", "700 mm"]',
    "wide": 'kind = "wall"\nwidth = "5600 mm"\nheight = "2500 mm"\nfabric = "brushed-knit"',
    "cube": 'kind = "hung-cube"\nedge = "1500 mm"',
    "small": 'kind = "box"\nwidth = "220 mm"\ndepth = "220 mm"\nheight = "300 mm"',
}


def panels(case: str) -> list[tuple[SizedStructure, Panel]]:
    sizing = sized(f'[[structure]]\nname = "test"\n{CASES[case]}\n')
    return [(s, p) for s in sizing.structures for p in s.panels]


@pytest.mark.parametrize("case", CASES)
@pytest.mark.parametrize("scale", [1, 10])
def test_page_boxes_are_the_art_and_cut_sizes(case: str, scale: int) -> None:
    # expected: frame − 2·6 (setback) + 2·(15 seat + 4 turn-in) = cut, + 2·25 bleed = art (docs/sums.md)
    for structure, panel in panels(case):
        w, h = (b - a for a, b in zip(bounds(panel.frame)[:2], bounds(panel.frame)[2:], strict=True))
        art = ((w - 12 + 38 + 50) / scale, (h - 12 + 38 + 50) / scale)
        if max(art) > MAX_PAGE:
            continue
        pdf = write_pdf([template(panel, structure, SAY, scale)], title="t")
        with pdfplumber.open(io.BytesIO(pdf)) as document:
            page = document.pages[0]
            assert float(page.width) * MM == pytest.approx(art[0], abs=0.01)
            assert float(page.height) * MM == pytest.approx(art[1], abs=0.01)
            x0, y0, x1, y1 = (float(v) * MM for v in page.trimbox)
        assert x1 - x0 == pytest.approx((w - 12 + 38) / scale, abs=0.01)
        assert y1 - y0 == pytest.approx((h - 12 + 38) / scale, abs=0.01)
        assert (x0, y0) == pytest.approx((25 / scale, 25 / scale), abs=0.01)


ZONES = {"guide-cut": "cut", "guide-fold": "visible", "guide-safe": "safe"}


@pytest.mark.parametrize("case", CASES)
def test_zones_stand_in_the_svg_to_a_hundredth(case: str) -> None:
    for structure, panel in panels(case):
        drawing = template(panel, structure, SAY, 4)
        root = ET.fromstring(write_svg(drawing))
        groups = {g.get("id"): g for g in root if g.tag.endswith("}g")}
        assert next(iter(groups)) == "art", "the empty art layer lies under the guides"
        for layer, zone in ZONES.items():
            wanted = getattr(panel, zone)
            if wanted is None:
                continue
            path = next(e for e in groups[layer] if e.tag.endswith(("}path", "}polygon", "}rect")))
            numbers = [float(v) for v in re.findall(r"-?\d+\.?\d*", path.get("d") or path.get("points") or "")]
            got = list(zip(numbers[0::2], numbers[1::2], strict=True))
            for x, y in wanted:
                flipped = (x / 4, drawing.height - y / 4)  # SVG's y runs down
                assert min(max(abs(flipped[0] - a), abs(flipped[1] - b)) for a, b in got) < 0.01


@pytest.mark.parametrize("case", CASES)
def test_fold_line_and_seams_stand_in_the_pdf_to_a_twentieth(case: str) -> None:
    for structure, panel in panels(case):
        scale = default_scale([panel])
        pdf = write_pdf([template(panel, structure, SAY, scale)], title="t")
        with pdfplumber.open(io.BytesIO(pdf)) as document:
            page = document.pages[0]
            points = [
                (x * MM, float(page.height) * MM - y * MM)
                for shape in (*page.curves, *page.lines)
                for x, y in shape["pts"]
            ]
            points += [(x * MM, y * MM) for r in page.rects for x in (r["x0"], r["x1"]) for y in (r["y0"], r["y1"])]
        wanted = [(x / scale, y / scale) for x, y in panel.visible]
        for seam in panel.seams:
            assert seam.axis == "x"
            wanted += [(seam.at / scale, 0.0), (seam.at / scale, bounds(panel.art)[3] / scale)]
        for x, y in wanted:
            assert min(max(abs(x - a), abs(y - b)) for a, b in points) < 0.05


def test_layers_are_named_locked_and_carry_their_steps() -> None:
    structure, panel = panels("wide")[0]
    pdf = write_pdf([template(panel, structure, SAY, 3)], title="t")
    with pikepdf.open(io.BytesIO(pdf)) as document:
        properties = document.Root.OCProperties
        names = [str(group.Name) for group in properties.OCGs]
        assert names[0] == SAY("template.layer.art")
        guides = [group for group in properties.OCGs if str(group.Name).startswith("Guide")]
        assert len(guides) == len(names) - 1
        locked = {group.objgen for group in properties.D.Locked}
        assert {group.objgen for group in guides} == locked
        assert all(group.Usage.Print.PrintState == "/OFF" for group in guides)
        # groups and types of ISO 19593-1 as the public PDF object model lists them
        steps = {
            str(group.Name): (
                str(group.GTS_Metadata.GTS_ProcStepsGroup),
                str(group.GTS_Metadata.get("/GTS_ProcStepsType")),
            )
            for group in guides
            if "/GTS_Metadata" in group
        }
        assert steps[SAY("template.layer.cut")] == ("/Structural", "/Cutting")
        assert steps[SAY("template.layer.art-edge")] == ("/Structural", "/Bleed")


@pytest.mark.parametrize("case", CASES)
def test_no_text_leaves_the_page_and_no_two_texts_meet(case: str) -> None:
    from shapely import Polygon

    for structure, panel in panels(case):
        for way in ways(panel):
            drawing = template(panel, structure, SAY, 1, way)
            page = Polygon([(0, 0), (drawing.width, 0), (drawing.width, drawing.height), (0, drawing.height)])
            texts = [m for layer in drawing.layers for m in layer.marks if isinstance(m, Text)]
            texts = [t for t in texts if t.string != str(panel.number)]  # the faint number lies behind on purpose
            boxes = [(t.string, Polygon(text_corners(t))) for t in texts]
            for i, (string, box) in enumerate(boxes):
                assert page.buffer(1e-6).contains(box), string
                for other, second in boxes[i + 1 :]:
                    assert box.intersection(second).area < 1e-9, (panel.number, string, other)


def test_reading_way_lays_upright_up_the_page() -> None:
    for _, panel in panels("cube"):
        assert page_up(panel, sheet_of(panel, 1, "sewn")) == pytest.approx(45.0)  # −45° from sewn y, which is 90°
        assert page_up(panel, sheet_of(panel, 1, "reading")) == pytest.approx(90.0)
        # a square of 1576 on its tip: 1576 · √2 across
        assert sheet_of(panel, 1, "reading").width == pytest.approx(1576 * 2**0.5, abs=1e-6)
        tips = placed(turn_of(panel, "reading"), panel.visible)
        assert bounds(tips)[3] - bounds(tips)[1] == pytest.approx(1488 * 2**0.5, abs=1e-6)


def test_text_of_a_template_is_searchable_and_says_size_number_and_neighbours() -> None:
    structure, panel = panels("box")[1]
    pdf = write_pdf([template(panel, structure, SAY, 2)], title="t")
    with pdfplumber.open(io.BytesIO(pdf)) as document:
        text = document.pages[0].extract_text()
    for wanted in ("Panel 2", "876 × 2676 mm", "788 × 2588 mm", "100 mm at full size", "this way up", "pull tab"):
        assert wanted in text


@pytest.mark.parametrize("case", CASES)
def test_an_svg_template_stays_under_400_kb(case: str) -> None:
    for structure, panel in panels(case):
        assert len(write_svg(template(panel, structure, SAY, default_scale([panel])))) < 400_000


@pytest.mark.parametrize("case", ["box", "wide", "cube"])
def test_the_svg_and_the_pdf_of_a_panel_look_alike(case: str) -> None:
    """cairosvg draws the one, pdfium the other; the same page moved by 1 % of its width differs far more."""
    try:
        import cairosvg
    except OSError as error:
        pytest.skip(f"cairosvg needs the system library libcairo: {error}")
    structure, panel = panels(case)[0]
    drawing = template(panel, structure, SAY, default_scale([panel]))
    wide = 1200
    drawn = [
        cairosvg.svg2png(bytestring=write_svg(drawing), output_width=wide, background_color="white"),
        render_pdf(write_pdf([drawing], title="t"), width=wide),
    ]
    high = round(wide * drawing.height / drawing.width)
    svg, pdf = (Image.open(io.BytesIO(png)).convert("L").resize((wide, high)) for png in drawn)

    def apart(a: Image.Image, b: Image.Image) -> float:
        return ImageStat.Stat(ImageChops.difference(a, b)).mean[0]

    assert ImageStat.Stat(pdf).mean[0] < 254  # not a blank page
    assert apart(svg, pdf) < 0.35 * apart(svg, ImageChops.offset(pdf, wide // 100, wide // 100))
