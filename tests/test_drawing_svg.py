"""SVGs of drawings, read back with the standard library's parser, and drawn by another renderer."""

import base64
import io
import math
import re
from xml.etree import ElementTree

import pytest
from PIL import Image, ImageChops, ImageStat
from test_drawing_pdf import guides, quarters

from artgen.drawing import inks
from artgen.drawing.fonts import UNITS_PER_EM, text_width
from artgen.drawing.marks import Drawing, Layer, Path, Picture, Stroke, Text
from artgen.drawing.pdf import write_pdf
from artgen.drawing.png import render_pdf
from artgen.drawing.svg import write_svg

NS = {"svg": "http://www.w3.org/2000/svg"}
HREF = "{http://www.w3.org/1999/xlink}href"


def page(*marks: object, width: float = 200.0, height: float = 100.0) -> Drawing:
    return Drawing(width, height, (Layer("only", "Only", marks),), "Page")  # type: ignore[arg-type]


def parsed(drawing: Drawing) -> ElementTree.Element:
    return ElementTree.fromstring(write_svg(drawing))


def numbers(text: str) -> list[float]:
    return [float(number) for number in re.findall(r"-?\d*\.?\d+(?:e-?\d+)?", text)]


@pytest.mark.parametrize("x", [0.123, 999.999, 5000.0])
def test_lines_stand_where_they_were_put(x: float) -> None:
    mark = Path((((x, 1.5), (x, 2399.123)),), Stroke(inks.BLACK, 0.5), closed=False)
    root = parsed(page(mark, width=5100, height=2400))
    assert (root.get("width"), root.get("height"), root.get("viewBox")) == ("5100mm", "2400mm", "0 0 5100 2400")
    path = root.find(".//svg:g/svg:path", NS)
    assert path is not None
    # y runs down in SVG
    assert numbers(path.get("d", "")) == pytest.approx([x, 2400 - 1.5, x, 2400 - 2399.123], abs=0.001)
    assert path.get("stroke-width") == "0.5"


def test_layers_are_groups_with_id_and_title_even_empty_ones() -> None:
    groups = parsed(guides()).findall("svg:g", NS)
    assert [group.get("id") for group in groups] == ["art", "cut", "fold", "notes"]
    assert [group.findtext("svg:title", None, NS) for group in groups] == [
        "Your art here",
        "Cut",
        "Fold – line",
        "Notes",
    ]
    assert len(groups[0]) == 1  # its title alone


def test_nothing_is_fetched_and_no_font_is_needed() -> None:
    picture = Picture(8, 8, quarters(8), (60, 0, 0, 40, 20, 10))
    svg = write_svg(page(Text("Words", (5, 5), 4, inks.BLACK), picture)).decode()
    assert "<text" not in svg
    references = re.findall(r'(?:href|src)="([^"]*)"', svg) + re.findall(r"url\(([^)]*)\)", svg)
    assert references
    assert all(reference.startswith(("data:image/png;base64,", "#")) for reference in references)


@pytest.mark.parametrize(("anchor", "share"), [("start", 0.0), ("middle", 0.5), ("end", 1.0)])
@pytest.mark.parametrize("angle", [0.0, 90.0, -45.0])
def test_text_is_outlines_under_one_matrix(anchor: str, share: float, angle: float) -> None:
    mark = Text("Høj × 3°", (120, 40), 8, inks.BLACK, anchor, angle)  # type: ignore[arg-type]
    (path,) = parsed(page(mark)).findall(".//svg:g/svg:path", NS)
    assert path.get("aria-label") == "Høj × 3°"
    a, b, c, d, e, f = numbers(path.get("transform", ""))
    turn, scale = math.radians(angle), 8 / UNITS_PER_EM
    # a font unit along the baseline and one up from it, in the page's y-down frame
    assert (a, b) == pytest.approx((scale * math.cos(turn), -scale * math.sin(turn)), abs=1e-8)
    assert (c, d) == pytest.approx((-scale * math.sin(turn), -scale * math.cos(turn)), abs=1e-8)
    back = share * text_width("Høj × 3°", 8)
    assert (e, f) == pytest.approx((120 - back * math.cos(turn), 100 - 40 + back * math.sin(turn)), abs=0.001)


def test_glyphs_stand_one_advance_apart() -> None:
    def first_points(string: str) -> list[float]:
        (path,) = parsed(page(Text(string, (0, 0), 8, inks.BLACK))).findall(".//svg:g/svg:path", NS)
        return [numbers(part)[0] for part in path.get("d", "").split("M")[1:]]

    one, three = first_points("l"), first_points("l l")
    step = (text_width("l", 8) + text_width(" ", 8)) / 8 * UNITS_PER_EM
    assert three == pytest.approx([one[0], one[0] + step])


def test_a_picture_keeps_its_pixels() -> None:
    root = parsed(page(Picture(8, 8, quarters(8), (60, 0, 0, 40, 20, 10), alt="Four colours")))
    image = root.find(".//svg:image", NS)
    assert image is not None
    assert image.findtext("svg:title", None, NS) == "Four colours"
    data = base64.b64decode(image.get(HREF, "").removeprefix("data:image/png;base64,"))
    assert Image.open(io.BytesIO(data)).tobytes() == quarters(8)


def test_strings_that_xml_cannot_hold_are_written_readably() -> None:
    (path,) = parsed(page(Text("a\x00<b>&\ud800", (5, 5), 4, inks.BLACK))).findall(".//svg:g/svg:path", NS)
    assert path.get("aria-label") == "a\ufffd<b>&\ufffd"


def test_an_ordinary_template_is_a_small_file() -> None:
    """Under 400 kB with 300 lines and 60 lines of text of 30 characters."""
    stroke = inks.guide_stroke("seam", 0.5)
    lines = [Path((((i, 10.123), (i, 90.456)),), stroke, closed=False) for i in range(300)]
    words = [Text("Fold line: 988 × 3288 mm (1:5)", (5, i), 3, inks.GUIDE_NOTES) for i in range(60)]
    assert len(write_svg(page(*lines, *words, width=300))) < 400_000


def test_another_renderer_draws_the_same_page() -> None:
    """Our SVG through cairosvg against our PDF through pdfium: two writers, two renderers, one drawing."""
    try:
        import cairosvg
    except OSError as missing:  # what its import raises where the system has no libcairo
        pytest.skip(f"cairosvg can't load libcairo: {missing}")
    square = (((30, 30), (80, 30), (80, 70), (30, 70)), ((40, 40), (60, 40), (60, 60), (40, 60)))
    turned = (40 * math.cos(0.3), 40 * math.sin(0.3), -30 * math.sin(0.3), 30 * math.cos(0.3), 130, 20)
    drawing = page(
        Path((((0, 0), (200, 0), (200, 100), (0, 100)),), fill=inks.WHITE),
        Path(square, Stroke(inks.BLACK, 1.5, (6, 2), "round"), inks.SKY_BLUE),
        Picture(64, 64, quarters(64), turned, clip=(((120, 10), (165, 10), (165, 60), (120, 60)),)),
        Text("Under 30° – høj", (100, 60), 9, inks.BLACK, "middle", 30.0, bold=True, halo=1, halo_ink=inks.ORANGE),
        Text("Right (end)", (195, 90), 7, inks.VERMILLION, "end"),
        Text("Up", (15, 20), 12, inks.BLUE, "start", 90.0),
    )
    svg = Image.open(io.BytesIO(cairosvg.svg2png(bytestring=write_svg(drawing), output_width=1000))).convert("RGB")
    pdf = Image.open(io.BytesIO(render_pdf(write_pdf([drawing], title="Same"), width=1000)))
    assert svg.size == pdf.size == (1000, 500)
    difference = ImageStat.Stat(ImageChops.difference(svg, pdf)).mean
    assert max(difference) < 0.7  # of 255: edges differ by about 0.4; the turned text 0.5 mm away gives 1.4
    for image in (svg, pdf):
        assert min(ImageStat.Stat(image).stddev) > 30
