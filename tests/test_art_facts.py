"""Sizes, boxes and tags per format, against sums by hand. Tasks run in process here; the child's walls are tested elsewhere."""

import base64
import builtins
import io
import math
import struct
from decimal import Decimal
from pathlib import Path
from xml.etree import ElementTree

import bad_art
import numpy as np
import pikepdf
import pytest
import pyvips
from PIL import Image
from reportlab.pdfgen.canvas import Canvas

from artgen.art import answers, formats, pdf, raster, svg
from artgen.art.facts import FileFacts, FileFault, PageFacts
from artgen.art.faults import ArtFault
from artgen.art.tasks import read_task
from artgen.units import MM_PER_PT


def facts_of(file: Path) -> FileFacts:
    found = answers.checked(read_task(file, {}, file.parent))
    assert isinstance(found, FileFacts), found
    return found


def page_of(file: Path) -> PageFacts:
    (page,) = facts_of(file).pages
    return page


def save_pdf(file: Path, **entries: object) -> Path:
    with pikepdf.new() as document:
        document.add_blank_page(page_size=(100, 100))
        for key, value in entries.items():
            document.pages[0].obj["/" + key] = value
        document.save(file)
    return file


# PDF


def test_pdf_boxes_in_mm_with_user_unit(tmp_path: Path) -> None:
    """6 m: 1700.787 units of 10 points; boxes are counted from the media box's lower left."""
    d = Decimal
    file = save_pdf(
        tmp_path / "wall.pdf",
        MediaBox=[d("-10.5"), d("20.25"), d("1690.287"), d("720.25")],
        TrimBox=[d("0.5"), 30, 1680, 710],
        BleedBox=[-5, 25, 1685, 715],
        UserUnit=10,
    )
    page = page_of(file)
    mm = 10 * MM_PER_PT
    assert page.width == pytest.approx((1690.287 + 10.5) * mm)
    assert page.height == pytest.approx((720.25 - 20.25) * mm)
    assert page.boxes["trim"] == pytest.approx((11 * mm, 9.75 * mm, 1690.5 * mm, 689.75 * mm))
    assert page.boxes["bleed"] == pytest.approx((5.5 * mm, 4.75 * mm, 1695.5 * mm, 694.75 * mm))
    assert set(page.boxes) == {"media", "trim", "bleed"}
    assert page.sized
    assert page.pixels is None
    # the trim box states whole units: half of one, times UserUnit
    assert page.rounding == pytest.approx(0.5 * mm)


@pytest.mark.parametrize(
    ("box", "half_unit"),
    [
        (["0", "0", "595.276", "841.890"], 0.0005),
        (["0", "0", "595.28", "841.9"], 0.05),
        (["0", "0", "595", "842"], 0.5),
        (["0.0000", "0.0000", "595.2756", "841.8898"], 0.00005),
    ],
)
def test_pdf_rounding_is_half_the_last_decimal(tmp_path: Path, box: list[str], half_unit: float) -> None:
    data = bad_art.clean_pdf().replace(b"[ 0 0 400 300 ]", f"[ {' '.join(box)} ]".encode())
    file = tmp_path / "page.pdf"
    file.write_bytes(data)
    assert page_of(file).rounding == pytest.approx(half_unit * MM_PER_PT)


@pytest.mark.parametrize(("rotate", "crop"), [(90, (20, 40, 60, 90)), (-90, (30, 10, 70, 60))])
def test_pdf_rotate_turns_the_boxes(tmp_path: Path, rotate: int, crop: tuple[float, ...]) -> None:
    """Crop box 50 × 40 at (10, 20) of a page 100 × 80 … shown 80 × 100: worked out on squared paper."""
    file = save_pdf(tmp_path / "page.pdf", MediaBox=[0, 0, 100, 80], CropBox=[10, 20, 60, 60], Rotate=rotate)
    page = page_of(file)
    assert (page.width, page.height) == pytest.approx((80 * MM_PER_PT, 100 * MM_PER_PT))
    turned = (20, 40, 60, 90) if rotate == 90 else (20, 10, 60, 60)
    assert page.boxes["crop"] == pytest.approx(tuple(value * MM_PER_PT for value in turned))


def test_pdf_boxes_are_inherited_and_put_in_order(tmp_path: Path) -> None:
    file = save_pdf(tmp_path / "page.pdf")
    with pikepdf.open(file, allow_overwriting_input=True) as document:
        del document.pages[0].obj["/MediaBox"]
        document.Root.Pages.MediaBox = [400, 300, 0, 0]
        document.Root.Pages.Rotate = 90
        document.save(file)
    page = page_of(file)
    assert (page.width, page.height) == pytest.approx((300 * MM_PER_PT, 400 * MM_PER_PT))


def test_pdf_without_a_media_box_says_so(tmp_path: Path) -> None:
    facts = facts_of(save_pdf(tmp_path / "page.pdf", MediaBox=[0, 0, 0, 0], TrimBox=[1, 2, 3]))
    assert (facts.pages[0].width, facts.pages[0].height) == pytest.approx((612 * MM_PER_PT, 792 * MM_PER_PT))
    assert any("no usable media box" in line for line in facts.repaired)
    assert any("trim box is no rectangle" in line for line in facts.repaired)


def test_pdf_past_a_kilometre_is_refused(tmp_path: Path) -> None:
    found = read_task(save_pdf(tmp_path / "page.pdf", UserUnit=100_000), {}, tmp_path)
    assert found["fault"]["kind"] == "over-limit"


def test_pdf_with_many_pages_names_the_rest(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pdf, "MAX_PAGES", 3)
    canvas = Canvas(str(tmp_path / "book.pdf"), pagesize=(100, 100))
    for _ in range(5):
        canvas.showPage()
    canvas.save()
    pages = facts_of(tmp_path / "book.pdf").pages
    assert len(pages) == 3
    assert pages[-1].not_seen == ("pages 4 to 5 were not read (limit 3 pages a file)",)
    assert pages[0].not_seen == ()


# rasters


@pytest.mark.parametrize(
    ("tags", "mm"),
    [
        ({282: 254.0, 283: 127.0, 296: 2}, (100 / 10, 60 / 5)),
        ({282: 100.0, 283: 100.0, 296: 3}, (100 / 10, 60 / 10)),  # per centimetre
        ({282: 254.0, 283: 254.0, 296: 1}, None),
        ({}, None),
    ],
)
@pytest.mark.parametrize("big", [False, True])
def test_tiff_resolution(tmp_path: Path, tags: dict[int, float], mm: tuple[float, float] | None, big: bool) -> None:
    file = tmp_path / "a.tif"
    Image.new("RGB", (100, 60)).save(file, tiffinfo=tags, big_tiff=big)
    assert_size(page_of(file), mm)


def test_tiff_without_a_unit_counts_by_the_inch(tmp_path: Path) -> None:
    """TIFF 6.0, ResolutionUnit: the default is 2, inch."""
    file = tmp_path / "a.tif"
    Image.new("RGB", (100, 60)).save(file, tiffinfo={282: 254.0, 283: 254.0})
    assert_size(page_of(file), (10, 6))


def assert_size(page: PageFacts, mm: tuple[float, float] | None, shown: tuple[int, int] = (100, 60)) -> None:
    assert page.pixels == shown
    assert page.sized is (mm is not None)
    expected = mm or shown
    assert (page.width, page.height) == pytest.approx(expected)
    assert page.boxes == {"media": (0, 0, page.width, page.height)}
    # half a pixel, on the coarser axis
    assert page.rounding == pytest.approx(max(expected[0] / shown[0], expected[1] / shown[1]) / 2)


def jpeg(segments: bytes) -> bytes:
    """A JPEG of 100 × 60 pixels with ``segments`` in place of Pillow's JFIF header."""
    data = io.BytesIO()
    Image.new("RGB", (100, 60)).save(data, "JPEG")
    plain = data.getvalue()
    assert plain[2:4] == b"\xff\xe0"
    length = struct.unpack(">H", plain[4:6])[0]
    return plain[:2] + segments + plain[4 + length :]


def jfif(unit: int, x: int, y: int) -> bytes:
    return b"\xff\xe0" + struct.pack(">H5sHBHHBB", 16, b"JFIF\0", 0x102, unit, x, y, 0, 0)


def exif(per_inch: int, orientation: int = 1) -> bytes:
    tags = Image.Exif()
    tags[282], tags[283], tags[296], tags[274] = float(per_inch), float(per_inch), 2, orientation
    body = tags.tobytes()
    return b"\xff\xe1" + struct.pack(">H", len(body) + 2) + body


def resource(per_inch: int) -> bytes:
    fixed = per_inch << 16
    block = b"8BIM\x03\xed\0\0" + struct.pack(">IIHHIHH", 16, fixed, 1, 1, fixed, 1, 1)
    body = b"Photoshop 3.0\0" + block
    return b"\xff\xed" + struct.pack(">H", len(body) + 2) + body


@pytest.mark.parametrize(
    ("segments", "mm"),
    [
        (jfif(1, 254, 127), (10, 12)),
        (jfif(2, 100, 100), (10, 6)),
        (jfif(0, 1, 1), None),
        (jfif(0, 72, 72), None),
        (b"", None),
        (exif(254), (10, 6)),
        (jfif(0, 1, 1) + exif(254), (10, 6)),
        (jfif(1, 127, 127) + exif(254), (20, 12)),
        (resource(254), (10, 6)),
    ],
)
def test_jpeg_resolution(tmp_path: Path, segments: bytes, mm: tuple[float, float] | None) -> None:
    file = tmp_path / "a.jpg"
    file.write_bytes(jpeg(segments))
    assert_size(page_of(file), mm)


def test_jpeg_orientation_swaps_the_size(tmp_path: Path) -> None:
    file = tmp_path / "a.jpg"
    file.write_bytes(jpeg(jfif(1, 254, 127) + exif(72, orientation=6)))
    # stored 100 × 60 pixels of 0.1 × 0.2 mm, shown 60 × 100
    assert_size(page_of(file), (60 * 0.2, 100 * 0.1), (60, 100))


@pytest.mark.parametrize(
    ("chunk", "mm"),
    [
        (bad_art.png_chunk(b"pHYs", struct.pack(">IIB", 10_000, 5_000, 1)), (10, 12)),
        (bad_art.png_chunk(b"pHYs", struct.pack(">IIB", 2, 1, 0)), None),
        (bad_art.png_chunk(b"pHYs", struct.pack(">IIB", 1, 1, 1)), (100_000, 60_000)),
        (b"", None),
    ],
)
def test_png_resolution(tmp_path: Path, chunk: bytes, mm: tuple[float, float] | None) -> None:
    file = tmp_path / "a.png"
    file.write_bytes(bad_art.png(100, 60, bytes(100), chunks=chunk))
    assert_size(page_of(file), mm)


@pytest.mark.parametrize("lossless", [True, False])
def test_webp_resolution_stands_in_its_exif(tmp_path: Path, lossless: bool) -> None:
    picture = Image.new("RGB", (100, 60), (200, 10, 10))
    picture.save(tmp_path / "plain.webp", lossless=lossless)
    assert_size(page_of(tmp_path / "plain.webp"), None)
    tags = Image.Exif()
    tags[282], tags[283], tags[296] = 254.0, 254.0, 2
    picture.save(tmp_path / "sized.webp", lossless=lossless, exif=tags)
    assert_size(page_of(tmp_path / "sized.webp"), (10, 6))


@pytest.mark.parametrize("kind", ["16 bit", "planar", "five channels", "tiled", "grey", "bilevel", "palette"])
def test_tiff_kinds(tmp_path: Path, kind: str) -> None:
    file = tmp_path / "a.tif"
    noise = np.arange(100 * 60 * 5, dtype=np.uint8).reshape(60, 100, 5)
    if kind == "palette":
        Image.new("P", (100, 60)).save(file)
    elif kind == "bilevel":
        Image.new("1", (100, 60)).save(file, compression="group4")
    else:
        bands = {"five channels": 5, "grey": 1}.get(kind, 3)
        image = pyvips.Image.new_from_array(np.ascontiguousarray(noise[..., :bands]))
        if kind == "16 bit":
            image = (image.cast("ushort") * 257).cast("ushort").copy(interpretation="rgb16")
        image.tiffsave(str(file), tile=kind == "tiled")
    assert page_of(file).pixels == (100, 60)


def test_the_largest_raster_that_must_pass(tmp_path: Path) -> None:
    """14,400 × 24,150 = 347.76 megapixels passes; the header alone decides, so one strip of zeros will do."""
    file = tmp_path / "wall.png"
    file.write_bytes(bad_art.png(14_400, 24_150, bytes(14_400)))
    assert page_of(file).pixels == (14_400, 24_150)
    assert raster.MAX_PIXELS > 14_400 * 24_150


# SVG


@pytest.mark.parametrize(
    ("size", "mm", "rounding"),
    [
        ('width="1000mm" height="250.5mm"', (1000, 250.5), 0.5),
        ('width="10.25cm" height="4.00cm"', (102.5, 40), 0.05),
        ('width="40in" height="8.5in"', (1016, 215.9), 12.7),
        ('width="72pt" height="6pc"', (25.4, 25.4), 25.4 / 12),
        ('width="960" height="96px"', (254, 25.4), 25.4 / 192),  # CSS: 96 px to the inch
        ('width="800Q" height="400q"', (200, 100), 0.125),
    ],
)
def test_svg_size(tmp_path: Path, size: str, mm: tuple[float, float], rounding: float) -> None:
    file = tmp_path / "a.svg"
    file.write_text(f'<svg xmlns="http://www.w3.org/2000/svg" {size}><rect width="1" height="1"/></svg>')
    page = svg.scan(file).page
    assert page.sized
    assert (page.width, page.height) == pytest.approx(mm)
    # half the last stated decimal of the coarser length: 72pt → 0.5 pt, 6pc → half a pica (1/12 inch)
    assert page.rounding == pytest.approx(rounding)


@pytest.mark.parametrize("size", ["", 'width="100%" height="100%"', 'width="50%"', 'width="12em" height="9em"'])
def test_svg_with_proportions_alone(tmp_path: Path, size: str) -> None:
    file = tmp_path / "a.svg"
    file.write_text(f'<svg xmlns="http://www.w3.org/2000/svg" {size} viewBox="5 5 300 200"/>')
    page = svg.scan(file).page
    assert not page.sized
    assert (page.width, page.height) == (300, 200)


def scan_fault(tmp_path: Path, text: str) -> FileFault:
    (tmp_path / "a.svg").write_text(text)
    with pytest.raises(ArtFault) as caught:
        svg.scan(tmp_path / "a.svg")
    return caught.value.fault


def test_svg_faults(tmp_path: Path) -> None:
    ns = 'xmlns="http://www.w3.org/2000/svg"'
    assert scan_fault(tmp_path, f"<svg {ns}/>").kind == "unsupported"
    assert scan_fault(tmp_path, f'<svg {ns} viewBox="0 0 9 9"><rect>').kind == "damaged"
    assert scan_fault(tmp_path, "<html><svg/></html>").kind == "unsupported"
    assert scan_fault(tmp_path, f'<svg {ns} viewBox="0 0 9 9">{"<g>" * 300}{"</g>" * 300}</svg>').kind == "over-limit"
    assert scan_fault(tmp_path, f'<svg {ns} width="9999999cm" height="1cm"/>').kind == "over-limit"


def test_svg_with_more_elements_than_the_limit(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(svg, "MAX_ELEMENTS", 10)
    text = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9">{"<g/>" * 10}</svg>'
    assert scan_fault(tmp_path, text).kind == "over-limit"


def test_svg_with_the_short_entities_of_drawing_programs(tmp_path: Path) -> None:
    (tmp_path / "a.svg").write_text(
        '<!DOCTYPE svg [<!ENTITY ns_svg "http://www.w3.org/2000/svg">]>'
        '<svg xmlns="&ns_svg;" viewBox="0 0 9 9"><rect width="9" height="9"/></svg>'
    )
    assert svg.scan(tmp_path / "a.svg").blocked == ()


def test_svg_references_in_styles(tmp_path: Path) -> None:
    ours = base64.b64encode(bad_art.png(2, 2, bytes(2))).decode()
    (tmp_path / "a.svg").write_text(
        '<?xml-stylesheet href="look.css"?><svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9">'
        "<style>@import 'one.css'; @font-face { src: url( \"two.woff\" ) } rect { fill: url(#ours) }</style>"
        f'<rect style="fill: url(three.svg#x)" clip-path="url(#clip)"/><image href="data:image/png;base64,{ours}"/>'
        '<image href="four.png"/></svg>'
    )
    found = svg.scan(tmp_path / "a.svg")
    assert set(found.blocked) == {"look.css", "one.css", "two.woff", "three.svg#x", "four.png"}
    left = ElementTree.tostring(found.root).decode()
    assert ours in left
    assert "#ours" in left
    assert not any(reference in left for reference in found.blocked)


@pytest.mark.parametrize(
    ("style", "expected"),
    [
        ('font-family="Source Sans Pro"', ()),
        ("font-family=\"'Fancy Serif', Source Sans Pro\"", ("Fancy Serif",)),
        ("style=\"font: italic 12px/1.2 'Big Slab', serif\"", ("Big Slab",)),
        ('style="font-family: Mono; font-size: 9px"', ("Mono",)),
    ],
)
def test_svg_stand_in_fonts(tmp_path: Path, style: str, expected: tuple[str, ...]) -> None:
    text = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><text {style}>Peat</text></svg>'
    (tmp_path / "a.svg").write_text(text)
    assert svg.scan(tmp_path / "a.svg").stand_in_fonts == expected
    (tmp_path / "a.svg").write_text(text.replace("text", "g"))  # no text: nothing stands in
    assert svg.scan(tmp_path / "a.svg").stand_in_fonts == ()


def test_svg_without_the_cairo_library_says_what_to_install(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """cairosvg raises OSError, not ImportError, where libcairo is missing."""
    plain_import = builtins.__import__

    def without_cairo(name: str, *rest: object, **named: object) -> object:
        if name == "cairosvg":
            raise OSError("no library called cairo was found")
        return plain_import(name, *rest, **named)

    monkeypatch.setenv("FONTCONFIG_FILE", "")  # put back afterwards
    monkeypatch.setattr(builtins, "__import__", without_cairo)
    (tmp_path / "a.svg").write_text('<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"/>')
    found = answers.checked(read_task(tmp_path / "a.svg", {}, tmp_path))
    assert isinstance(found, FileFault)
    assert (found.kind, found.format) == ("needs-cairo", "svg")
    assert "apt install libcairo2" in found.detail


# content and answers


@pytest.mark.parametrize(
    ("head", "format"),
    [
        (b"%PDF-1.7\n", "pdf"),
        (b"\0\0junk\r\n%PDF-1.4", "pdf"),
        (b"\xef\xbb\xbf<?xml version='1.0'?><!-- <html> --><svg xmlns='x'>", "svg"),
        ('<?xml version="1.0" encoding="utf-16"?><svg:svg>'.encode("utf-16"), "svg"),
        (b"MM\0+\0\x08\0\0", "tiff"),
    ],
)
def test_formats_by_content(head: bytes, format: str) -> None:
    assert formats.recognise(head) == format


@pytest.mark.parametrize(
    ("head", "said"),
    [
        (b"%!PS-Adobe-3.0 EPSF-3.0", "PostScript"),
        (b"<html><body><svg>", "web page"),
        (b"GIF89a", "GIF"),
        (b"\0\0\0\x18ftypheic", "HEIC"),
        (b"panel one, please print", "plain text"),
        (bytes(range(256)), "not known"),
    ],
)
def test_other_formats_are_named(head: bytes, said: str) -> None:
    with pytest.raises(ArtFault) as caught:
        formats.recognise(head)
    assert caught.value.fault.kind == "unsupported"
    assert said in caught.value.fault.detail
    assert "PDF, SVG, TIFF" in caught.value.fault.detail


NUMBERS = [0, 0, 10**9, 0, 10**9, 10**9, 0, 10**9, 10**9, 10**9, 0]  # quad of 1 × 1 mm, size, capital, angle
WORDS = {"texts": ["a"], "look": [0], "looks": [["Sans", True, "000000", 0, ""]], "unseen": [0]}
HULL = [0, 0, 10**9, 0, 0, 10**9]  # half of it
WORDS |= {"numbers": NUMBERS, "hulled": [0], "vertices": [3], "hulls": HULL}
GOOD = {"width": 10.0, "height": 5.0, "boxes": {"media": [0.0, 0.0, 10.0, 5.0]}, "rounding": 0.1, "words": WORDS}


@pytest.mark.parametrize(
    "page",
    [
        {**GOOD, "width": math.nan},
        {**GOOD, "width": math.inf},
        {**GOOD, "width": "10"},
        {**GOOD, "width": 0.0},
        {**GOOD, "width": 1e300},
        {**GOOD, "boxes": {}},
        {**GOOD, "boxes": {"media": [0.0, 0.0, 10.0]}},
        {**GOOD, "boxes": {"media": [9.0, 0.0, 1.0, 5.0]}},
        {**GOOD, "sized": "yes"},
        {**GOOD, "pixels": [-4, 4]},
        {**GOOD, "words": [WORDS]},
        {**GOOD, "words": {**WORDS, "more": 1}},
        {**GOOD, "words": {**WORDS, "texts": [7]}},
        {**GOOD, "words": {**WORDS, "texts": ["a" * 1000]}},
        {**GOOD, "words": {**WORDS, "texts": ["a", "b"]}},
        {**GOOD, "words": {**WORDS, "look": [1]}},
        {**GOOD, "words": {**WORDS, "look": [-1]}},
        {**GOOD, "words": {**WORDS, "look": [True]}},
        {**GOOD, "words": {**WORDS, "looks": [["Sans", True, "000000", 9, ""]]}},
        {**GOOD, "words": {**WORDS, "looks": [["Sans", 1, "000000", 0, ""]]}},
        {**GOOD, "words": {**WORDS, "looks": 7}},
        {**GOOD, "words": {**WORDS, "unseen": [7]}},
        {**GOOD, "words": {**WORDS, "numbers": NUMBERS[:-1]}},
        {**GOOD, "words": {**WORDS, "numbers": [*NUMBERS[:-1], 999 * 10**9]}},
        {**GOOD, "words": {**WORDS, "numbers": [10**18, *NUMBERS[1:]]}},
        {**GOOD, "words": {**WORDS, "numbers": [10**40, *NUMBERS[1:]]}},
        {**GOOD, "words": {**WORDS, "numbers": [math.nan, *NUMBERS[1:]]}},
        {**GOOD, "words": {**WORDS, "numbers": [*NUMBERS[:8], -1, *NUMBERS[9:]]}},
        {**GOOD, "words": {**WORDS, "hulled": [1]}},
        {**GOOD, "words": {**WORDS, "hulled": [0, 0], "vertices": [3, 3], "hulls": HULL * 2}},
        {**GOOD, "words": {**WORDS, "hulled": 0}},
        {**GOOD, "words": {**WORDS, "vertices": [2], "hulls": HULL[:4]}},
        {**GOOD, "words": {**WORDS, "vertices": [999], "hulls": HULL * 333}},
        {**GOOD, "words": {**WORDS, "vertices": [4]}},
        {**GOOD, "words": {**WORDS, "hulls": [*HULL[:-1], 10**18]}},
        {**GOOD, "words": {**WORDS, "hulls": [*HULL[:-1], 0.5]}},
        {**GOOD, "unknown": 1},
    ],
)
def test_impossible_answers_are_faults(page: dict[str, object]) -> None:
    good = {"facts": {"format": "pdf", "pages": [GOOD]}}
    assert isinstance(answers.checked(good), FileFacts)
    found = answers.checked({"facts": {"format": "pdf", "pages": [page]}})
    assert isinstance(found, FileFault)
    assert found.kind == "damaged"


def test_control_characters_do_not_come_through() -> None:
    words = {**WORDS, "texts": ["pe\x1b[31mat"]}
    found = answers.checked({"facts": {"format": "pdf", "pages": [{**GOOD, "words": words}]}})
    assert isinstance(found, FileFacts)
    assert found.pages[0].words[0].text == "pe [31mat"
