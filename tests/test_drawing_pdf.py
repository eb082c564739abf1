"""PDFs of drawings, read back with libraries that had no part in writing them."""

import io
import math
import shutil
import subprocess
import sys
from pathlib import Path as FilePath

import pdfplumber
import pikepdf
import pypdfium2
import pytest
from PIL import Image
from pypdfium2 import raw

from artgen.drawing import inks
from artgen.drawing.fonts import CAP_HEIGHT, text_width
from artgen.drawing.marks import Drawing, Layer, Mark, PageBoxes, Path, Picture, ProcessingStep, Stroke, Text
from artgen.drawing.pdf import write_pdf
from artgen.drawing.png import render_pdf
from artgen.drawing.svg import write_svg

PT_TO_MM = 25.4 / 72  # written out here on purpose: the sum under test
STRINGS = ("Smørrebrød 12 × 34 – café 45°", "fi ffi AV To 1/2 ½ ″ → •", "Ω Ж ą ő (brackets) \\ #%")


def drawing(*marks: Mark, width: float = 200.0, height: float = 100.0, title: str = "") -> Drawing:
    return Drawing(width, height, (Layer("only", "Only", marks),), title)


def guides() -> Drawing:
    cut = Path((((30, 30), (170, 30), (170, 70), (30, 70)),), inks.guide_stroke("cut", 0.18))
    fold = Path((((40, 40), (160, 40), (160, 60), (40, 60)),), inks.guide_stroke("fold", 0.18))
    note = Text("Cut here", (40, 20), 4, inks.GUIDE_NOTES)
    plain = Text("Panel 3", (90, 20), 4, inks.BLACK)
    return Drawing(
        200,
        100,
        (
            Layer("art", "Your art here"),
            Layer("cut", "Cut", (cut,), prints=False, locked=True, step=ProcessingStep("Structural", "Cutting")),
            Layer("fold", "Fold – line", (fold,), prints=False, step=ProcessingStep("Structural", "Folding")),
            Layer("notes", "Notes", (note, plain), prints=False, step=ProcessingStep("Legend")),
        ),
        "Panel 3",
        PageBoxes(trim=(30, 30, 170, 70), bleed=(25.5, 25.5, 174.5, 74.5)),
    )


@pytest.mark.parametrize("x", [0.123, 999.999, 2345.678, 5000.0])
def test_lines_stand_where_they_were_put(x: float) -> None:
    stroke = Stroke(inks.BLACK, 0.5)
    pdf = write_pdf(
        [drawing(Path((((x, 1.5), (x, 2399.123)),), stroke, closed=False), width=5100, height=2400)], title="Line"
    )
    with pdfplumber.open(io.BytesIO(pdf)) as document:
        page = document.pages[0]
        (line,) = page.lines
        assert float(page.width) * PT_TO_MM == pytest.approx(5100, abs=0.001)
        assert float(page.height) * PT_TO_MM == pytest.approx(2400, abs=0.001)
        assert line["x0"] * PT_TO_MM == pytest.approx(x, abs=0.001)
        assert line["y0"] * PT_TO_MM == pytest.approx(1.5, abs=0.001)
        assert line["y1"] * PT_TO_MM == pytest.approx(2399.123, abs=0.001)
        assert line["linewidth"] * PT_TO_MM == pytest.approx(0.5, abs=0.001)


def test_text_reads_back_with_two_readers() -> None:
    marks = [Text(string, (10, 90 - 10 * row), 5, inks.BLACK) for row, string in enumerate(STRINGS)]
    marks += [Text(STRINGS[0], (10, 50), 5, inks.BLACK, bold=True, halo=1)]
    pdf = write_pdf([drawing(*marks)], title="Words")
    expected = [*STRINGS, STRINGS[0]]
    with pdfplumber.open(io.BytesIO(pdf)) as document:
        assert document.pages[0].extract_text().split("\n") == expected
    with_pdfium = pypdfium2.PdfDocument(pdf)[0].get_textpage().get_text_range()
    assert with_pdfium.split("\r\n") == expected


def test_characters_without_a_glyph_still_read_back() -> None:
    pdf = write_pdf([drawing(Text("a漢b\U0001f600c", (10, 50), 5, inks.BLACK))], title="Unknown")
    with pdfplumber.open(io.BytesIO(pdf)) as document:
        assert document.pages[0].extract_text() == "a漢b\U0001f600c"


def test_a_format_character_leaves_no_mark() -> None:
    def rendered(string: str) -> bytes:
        text = Text(string, (5, 5), 8, inks.BLACK)
        return render_pdf(write_pdf([drawing(text, width=40, height=20)], title="Cf"), width=400)

    assert rendered("a\u2060b") == rendered("ab") != rendered("a漢b")


@pytest.mark.parametrize(("anchor", "share"), [("start", 0.0), ("middle", 0.5), ("end", 1.0)])
def test_text_hangs_on_its_anchor(anchor: str, share: float) -> None:
    text = Text("Anchor", (100, 50), 8, inks.BLACK, anchor)  # type: ignore[arg-type]
    pdf = write_pdf([drawing(text)], title="Anchor")
    width = text_width("Anchor", 8)
    with pdfplumber.open(io.BytesIO(pdf)) as document:
        chars = document.pages[0].chars
        assert chars[0]["x0"] * PT_TO_MM == pytest.approx(100 - share * width, abs=0.001)
        assert chars[-1]["x1"] * PT_TO_MM == pytest.approx(100 + (1 - share) * width, abs=0.001)
        assert chars[0]["size"] * PT_TO_MM == pytest.approx(8, abs=0.001)


@pytest.mark.parametrize("angle", [30.0, 90.0, -45.0, 180.0])
def test_turned_text_turns_anticlockwise(angle: float) -> None:
    pdf = write_pdf([drawing(Text("H", (100, 50), 8, inks.BLACK, angle=angle))], title="Turned")
    with pdfplumber.open(io.BytesIO(pdf)) as document:
        a, b, c, d, e, f = document.pages[0].chars[0]["matrix"]
    assert (a, b) == pytest.approx((math.cos(math.radians(angle)), math.sin(math.radians(angle))), abs=1e-5)
    assert (c, d) == pytest.approx((-b, a), abs=1e-5)
    assert (e * PT_TO_MM, f * PT_TO_MM) == pytest.approx((100, 50), abs=0.001)


def test_capitals_are_as_high_as_stated() -> None:
    """The dark rows of a rendered H, at 20 pixels a millimetre, against the cap height."""
    png = render_pdf(write_pdf([drawing(Text("H", (2, 2), 10, inks.BLACK), width=10, height=12)], title="H"), width=200)
    image = Image.open(io.BytesIO(png)).convert("L").point(lambda value: 255 if value < 128 else 0)
    _, top, _, bottom = image.getbbox()  # type: ignore[misc]
    assert (bottom - top) / 20 == pytest.approx(CAP_HEIGHT * 10, abs=0.1)
    assert bottom / 20 == pytest.approx(12 - 2, abs=0.06)


def test_boxes_stand_in_the_page() -> None:
    with pikepdf.open(io.BytesIO(write_pdf([guides()], title="Boxes"))) as document:
        page = document.pages[0]
        for box, expected in (
            (page.mediabox, (0, 0, 200, 100)),
            (page.trimbox, (30, 30, 170, 70)),
            (page.obj["/BleedBox"], (25.5, 25.5, 174.5, 74.5)),
        ):
            assert [float(edge) * PT_TO_MM for edge in box] == pytest.approx(expected, abs=0.001)


def test_layers_carry_name_print_state_lock_and_step() -> None:
    with pikepdf.open(io.BytesIO(write_pdf([guides(), guides()], title="Layers"))) as document:
        properties = document.Root.OCProperties
        groups = list(properties.OCGs)
        names = [str(group.Name) for group in groups]
        assert names == ["Your art here", "Cut", "Fold – line", "Notes"]  # once, though both pages have them
        assert [str(group.Name) for group in properties.D.Order] == names[::-1]
        assert [str(group.Name) for group in properties.D.Locked] == ["Cut"]
        silent = [group for group in groups if "/Usage" in group]
        assert [str(group.Usage.Print.PrintState) for group in silent] == ["/OFF"] * 3
        assert [str(group.Name) for group in properties.D.AS[0].OCGs] == names[1:]
        assert str(properties.D.AS[0].Event) == "/Print"
        steps = [group.get("/GTS_Metadata") for group in groups]
        assert steps[0] is None
        assert steps[1] == {"/GTS_ProcStepsGroup": pikepdf.Name.Structural, "/GTS_ProcStepsType": pikepdf.Name.Cutting}
        assert steps[3] == {"/GTS_ProcStepsGroup": pikepdf.Name.Legend}


def test_every_layer_is_marked_in_the_content_even_an_empty_one() -> None:
    with pikepdf.open(io.BytesIO(write_pdf([guides()], title="Layers"))) as document:
        page = document.pages[0]
        opened = [
            str(page.Resources.Properties[operands[1]].Name)
            for operands, operator in pikepdf.parse_content_stream(page)
            if str(operator) == "BDC"
        ]
    assert opened == ["Your art here", "Cut", "Fold – line", "Notes"]


def test_layers_do_not_print_where_the_reader_honours_it() -> None:
    """pdfium's print mode against its view mode: the guides' ink is gone, the page is white."""
    document = pypdfium2.PdfDocument(write_pdf([guides()], title="Print"))
    seen = document[0].render(scale=2).to_pil().convert("L")
    assert seen.getextrema()[0] < 100
    bitmap = pypdfium2.PdfBitmap.new_native(seen.width, seen.height, raw.FPDFBitmap_BGR)
    bitmap.fill_rect((255, 255, 255, 255), 0, 0, seen.width, seen.height)
    raw.FPDF_RenderPageBitmap(bitmap, document[0], 0, 0, seen.width, seen.height, 0, raw.FPDF_PRINTING)
    assert bitmap.to_pil().convert("L").getextrema() == (255, 255)


def test_spot_inks_are_separations_that_overprint() -> None:
    with pikepdf.open(io.BytesIO(write_pdf([guides()], title="Spots"))) as document:
        page = document.pages[0]
        spaces = {str(space[1]): space for space in page.Resources.ColorSpace.values()}
        assert set(spaces) == {"/Guide cut", "/Guide fold", "/Guide notes"}
        space = spaces["/Guide fold"]
        assert (str(space[0]), str(space[2])) == ("/Separation", "/DeviceCMYK")
        assert [float(part) for part in space[3].C1] == pytest.approx(inks.GUIDE_FOLD.cmyk)
        overprint = {bool(state.OP) for state in page.Resources.ExtGState.values()}
        assert overprint == {True, False}
        current, painted = None, {}
        for operands, operator in pikepdf.parse_content_stream(page):
            match str(operator):
                case "gs":
                    current = page.Resources.ExtGState[operands[0]]
                case "CS" | "cs":
                    colour = str(page.Resources.ColorSpace[operands[0]][1])
                case "rg" | "RG":
                    colour = "process"
                case "S" | "Tj":
                    painted[colour] = (bool(current.OP), bool(current.op), int(current.OPM))
        on, off = (True, True, 1), (False, False, 1)
        assert painted == {"/Guide cut": on, "/Guide fold": on, "/Guide notes": on, "process": off}


def test_a_paper_without_spots_has_neither_layers_nor_overprint() -> None:
    with pikepdf.open(io.BytesIO(write_pdf([drawing(Text("x", (5, 5), 4, inks.BLACK))], title="Plain"))) as document:
        assert "/OCProperties" not in document.Root
        assert "/ExtGState" not in document.pages[0].Resources
        assert "/TrimBox" not in document.pages[0]


def test_inks_are_seen_in_their_rgb() -> None:
    square = (((0, 0), (20, 0), (20, 20), (0, 20)),)
    page = drawing(Path(square, fill=inks.VERMILLION), width=20, height=20)
    image = Image.open(io.BytesIO(render_pdf(write_pdf([page], title="Ink"), width=20)))
    assert image.getpixel((10, 10)) == pytest.approx(inks.VERMILLION.rgb, abs=1)


def test_even_odd_fill_leaves_a_hole() -> None:
    outer, inner = ((0, 0), (30, 0), (30, 30), (0, 30)), ((10, 10), (20, 10), (20, 20), (10, 20))
    page = drawing(Path((outer, inner), fill=inks.BLACK), width=30, height=30)
    image = Image.open(io.BytesIO(render_pdf(write_pdf([page], title="Hole"), width=30)))
    assert image.getpixel((5, 5)) == (0, 0, 0)
    assert image.getpixel((15, 15)) == (255, 255, 255)


def quarters(size: int) -> bytes:
    """Upper half red and green, lower half blue and white."""
    half = size // 2
    upper = bytes((255, 0, 0)) * half + bytes((0, 255, 0)) * half
    lower = bytes((0, 0, 255)) * half + bytes((255, 255, 255)) * half
    return upper * half + lower * half


@pytest.mark.parametrize("size", [8, 640])
def test_a_picture_stands_upright_in_its_matrix_and_clip(size: int) -> None:
    clip = (((20, 10), (60, 10), (60, 50), (20, 50)),)
    picture = Picture(size, size, quarters(size), (60, 0, 0, 40, 20, 10), clip=clip)
    page = drawing(picture, width=100, height=60)
    pdf = write_pdf([page, page], title="Picture")
    image = Image.open(io.BytesIO(render_pdf(pdf, width=100)))
    # x 20 to 80, y 10 to 50, cut off at 60; pixel rows count from the top of the 60 mm
    assert image.getpixel((30, 60 - 40)) == pytest.approx((255, 0, 0), abs=8)
    assert image.getpixel((30, 60 - 20)) == pytest.approx((0, 0, 255), abs=8)
    assert image.getpixel((55, 60 - 40)) == pytest.approx((0, 255, 0), abs=8)
    assert image.getpixel((70, 60 - 40)) == (255, 255, 255)
    with pikepdf.open(io.BytesIO(pdf)) as document:
        filters = {str(obj.get("/Filter")) for obj in document.objects if _is_image(obj)}
        # 640² is over 0.3 million pixels; one object serves both pages
        assert filters == ({"/DCTDecode"} if size == 640 else {"/FlateDecode"})
        assert sum(_is_image(obj) for obj in document.objects) == 1


def _is_image(obj: pikepdf.Object) -> bool:
    return isinstance(obj, pikepdf.Stream) and obj.get("/Subtype") == pikepdf.Name.Image


def test_halo_lies_under_its_text() -> None:
    marks = (
        Path((((0, 0), (40, 0), (40, 20), (0, 20)),), fill=inks.BLACK),
        Text("I", (20, 5), 12, inks.VERMILLION, "middle", halo=2, halo_ink=inks.WHITE),
    )
    image = Image.open(io.BytesIO(render_pdf(write_pdf([drawing(*marks, width=40, height=20)], title="H"), width=400)))
    row = [image.getpixel((x, 120)) for x in range(400)]
    white, red = row.count((255, 255, 255)), row.count(inks.VERMILLION.rgb)
    assert red > 4
    # the stroke is 2 mm wide, 1 mm of it outside the letter on each side, at 10 pixels a millimetre
    assert white == pytest.approx(20, abs=3)


def test_document_facts_and_bookmarks() -> None:
    pages = [drawing(title="Panel 1"), drawing(title="Panel 2")]
    with pikepdf.open(io.BytesIO(write_pdf(pages, title="Skov – træer", language="da"))) as document:
        assert str(document.docinfo.Title) == "Skov – træer"
        assert not {"/CreationDate", "/ModDate"} & set(document.docinfo.keys())
        assert str(document.Root.Lang) == "da"
        with document.open_outline() as outline:
            assert [item.title for item in outline.root] == ["Panel 1", "Panel 2"]
        assert document.trailer.ID[0] == document.trailer.ID[1]


def test_no_pages_is_an_error() -> None:
    with pytest.raises(ValueError, match="at least one page"):
        write_pdf([], title="None")


def test_another_reader_finds_no_fault(tmp_path: FilePath) -> None:
    qpdf = shutil.which("qpdf")
    if qpdf is None:
        pytest.skip("qpdf is not installed")
    picture = Picture(8, 8, quarters(8), (60, 0, 0, 40, 20, 10))
    words = drawing(*[Text(string, (5, 20), 4, inks.BLACK, halo=1, bold=True) for string in STRINGS], picture)
    file = tmp_path / "checked.pdf"
    file.write_bytes(write_pdf([guides(), words], title="Checked"))
    checked = subprocess.run([qpdf, "--check", str(file)], capture_output=True, text=True, check=False)
    assert checked.returncode == 0, checked.stdout + checked.stderr


def test_same_drawing_same_bytes_in_another_process_and_folder(tmp_path: FilePath) -> None:
    script = (
        "import sys; sys.path[:0] = [sys.argv[1], sys.argv[2]]\n"
        "from test_drawing_pdf import guides, write_pdf\n"
        "from artgen.drawing.svg import write_svg\n"
        "sys.stdout.buffer.write(write_pdf([guides(), guides()], title='Same') + write_svg(guides()))\n"
    )
    here = FilePath(__file__).parent
    elsewhere = subprocess.run(
        [sys.executable, "-c", script, str(here), str(here.parent)], cwd=tmp_path, capture_output=True, check=True
    ).stdout
    assert write_pdf([guides(), guides()], title="Same") + write_svg(guides()) == elsewhere


def test_rendering_is_as_wide_as_asked_and_names_a_missing_page() -> None:
    pdf = write_pdf([drawing(width=210, height=297)], title="Size")
    assert Image.open(io.BytesIO(render_pdf(pdf, width=1000))).size == (1000, round(1000 * 297 / 210))
    with pytest.raises(IndexError, match="1 page"):
        render_pdf(pdf, 1, width=100)
    with pytest.raises(ValueError, match="1 pixel"):
        render_pdf(pdf, width=0)
