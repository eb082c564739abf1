"""Live words: their boxes against the outlines of the font itself (fontTools), for several writers and every turn.

Expected ink = bounds of each letter's outline, placed by the font's advances, × size / units per em, then sent through the
mapping that the test itself wrote into the page. Page boxes begin at (0, 0), so page frame = points × MM_PER_PT.
"""

import io
import math
from collections.abc import Callable
from pathlib import Path

import font_source_sans_pro
import fpdf
import numpy as np
import pikepdf
import pypdfium2 as pdfium
import pytest
from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont
from reportlab.lib.colors import Color
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont as EmbeddedFont
from reportlab.pdfgen.canvas import Canvas

from artgen.art import read
from artgen.art.answers import checked
from artgen.art.calls import Handle
from artgen.art.facts import FileFacts, Point, Rect, Word
from artgen.art.glyphs import Glyphs, Item
from artgen.art.mapping import Matrix, apply, then, vertices_of
from artgen.art.splitting import word_starts
from artgen.art.tasks import read_task
from artgen.art.word_table import packed, unpacked
from artgen.art.words import page_words
from artgen.units import MM_PER_PT

FONT = Path(font_source_sans_pro.__file__).parent / "files" / "SourceSansPro-Regular.ttf"
IDENTITY: Matrix = (1, 0, 0, 1, 0, 0)
EVERYWHERE: Rect = (-1e5, -1e5, 1e5, 1e5)
pdfmetrics.registerFont(EmbeddedFont("Sans", FONT))


@pytest.fixture(scope="module")
def font() -> TTFont:
    with TTFont(FONT) as font:
        yield font


def ink(font: TTFont, text: str, after: str = "") -> Rect:
    """Bounds in em of ``text``, set after ``after`` on one line without kerning."""
    glyphs, names, upem = font.getGlyphSet(), font.getBestCmap(), font["head"].unitsPerEm
    at, boxes = 0.0, []
    for index, letter in enumerate(after + text):
        pen = BoundsPen(glyphs)
        glyphs[names[ord(letter)]].draw(pen)
        if pen.bounds and index >= len(after):
            boxes.append((pen.bounds[0] + at, pen.bounds[1], pen.bounds[2] + at, pen.bounds[3]))
        at += font["hmtx"][names[ord(letter)]][0]
    x0, y0, x1, y1 = zip(*boxes, strict=True)
    return (min(x0) / upem, min(y0) / upem, max(x1) / upem, max(y1) / upem)


def turned(degrees: float, x: float, y: float, scale: float = 1.0) -> Matrix:
    cos, sin = scale * math.cos(math.radians(degrees)), scale * math.sin(math.radians(degrees))
    return (cos, sin, -sin, cos, x, y)


def words_in(data: bytes, page: int = 0) -> tuple[Word, ...]:
    """Words that show, as far as the text itself says it; in points, user space."""
    document = pdfium.PdfDocument(data)
    opened = document[page]
    try:
        words = unpacked(packed(page_words(opened.raw, IDENTITY, EVERYWHERE)[0]), lambda value, _: value)
        return tuple(word for word in words if not word.unseen)
    finally:
        opened.close()
        document.close()


def drawn(draw: Callable[[Canvas], None]) -> bytes:
    data = io.BytesIO()
    canvas = Canvas(data, pagesize=(1000, 1000), invariant=1)
    canvas.setFont("Sans", 50)
    draw(canvas)
    canvas.showPage()
    canvas.save()
    return data.getvalue()


def assert_quad(word: Word, box: Rect, em_to_page: Matrix) -> None:
    """``word``'s quad is ``box`` (em) seen through ``em_to_page``, to 0.5 % of the font size or 0.2 pt."""
    size = math.sqrt(abs(em_to_page[0] * em_to_page[3] - em_to_page[1] * em_to_page[2]))
    expected: list[Point] = [apply(em_to_page, point) for point in vertices_of(box)]
    worst = max(math.dist(p, q) for p, q in zip(expected, word.quad, strict=True))
    assert worst < max(0.005 * size, 0.2), (word, expected)
    assert word.size == pytest.approx(size, rel=1e-3)
    assert word.capital == pytest.approx(box[3] * size, rel=5e-3)


ANGLES = [0, 3, 30, 43, 45, 47, 90, 135, 180, -30, -45, -90, -135]


@pytest.mark.parametrize("degrees", ANGLES)
def test_reportlab_turned(font: TTFont, degrees: float) -> None:
    def draw(canvas: Canvas) -> None:
        canvas.translate(500, 500)
        canvas.rotate(degrees)
        canvas.drawString(0, 0, "Peat Moor, the bog")

    words = words_in(drawn(draw))
    assert [word.text for word in words] == ["Peat", "Moor,", "the", "bog"]
    em = then((50, 0, 0, 50, 0, 0), turned(degrees, 500, 500))
    before = ""
    for word in words:
        assert_quad(word, ink(font, word.text, before), em)
        assert word.angle == pytest.approx(degrees, abs=1e-3)
        before += word.text + " "


@pytest.mark.parametrize("degrees", [0, 30, 45, 90])
def test_nested_forms_with_scale(font: TTFont, degrees: float) -> None:
    """Form × 2 → turned → form × 0.75 with the text: em = 50 × 1.5."""

    def draw(canvas: Canvas) -> None:
        canvas.beginForm("inner")
        canvas.setFont("Sans", 50)
        canvas.drawString(10, 20, "Peat")
        canvas.endForm()
        canvas.beginForm("outer")
        canvas.rotate(degrees)
        canvas.scale(0.75, 0.75)
        canvas.doForm("inner")
        canvas.endForm()
        canvas.translate(500, 400)
        canvas.scale(2, 2)
        canvas.doForm("outer")

    (word,) = words_in(drawn(draw))
    em = then((50, 0, 0, 50, 10, 20), turned(degrees, 500, 400, 1.5))
    assert_quad(word, ink(font, "Peat"), em)


@pytest.mark.parametrize("degrees", [0, 30, 45, 90])
def test_fpdf2(font: TTFont, degrees: float) -> None:
    pdf = fpdf.FPDF(unit="pt", format=(1000, 1000))
    pdf.add_page()
    pdf.add_font("Sans", fname=FONT)
    pdf.set_font("Sans", size=50)
    with pdf.rotation(degrees, 500, 500):
        pdf.text(500, 500, "Peat bog")
    words = words_in(bytes(pdf.output()))
    assert [word.text for word in words] == ["Peat", "bog"]
    em = then((50, 0, 0, 50, 0, 0), turned(degrees, 500, 500))
    assert_quad(words[0], ink(font, "Peat"), em)
    assert_quad(words[1], ink(font, "bog", "Peat "), em)


def test_mirrored_and_stretched(font: TTFont) -> None:
    """Read from behind, the lower left of the word is still where its own first letter's foot is."""

    def draw(canvas: Canvas) -> None:
        canvas.translate(500, 500)
        canvas.scale(-2, 1)
        canvas.drawString(0, 0, "Peat")

    (word,) = words_in(drawn(draw))
    expected = [apply((-100, 0, 0, 50, 500, 500), point) for point in vertices_of(ink(font, "Peat"))]
    assert max(math.dist(p, q) for p, q in zip(expected, word.quad, strict=True)) < 0.25
    assert word.size == pytest.approx(50)


def test_what_paints_nothing_is_left_out() -> None:
    def draw(canvas: Canvas) -> None:
        for row, (mode, alpha, text) in enumerate(
            [(3, 1, "hidden"), (7, 1, "clip"), (0, 0, "clear"), (0, 1, "seen"), (1, 1, "hollow"), (0, 0.5, "faint")]
        ):
            line = canvas.beginText(20, 100 + 120 * row)
            line.setTextRenderMode(mode)
            canvas.saveState()
            canvas.setFillColor(Color(0, 0, 0, alpha=alpha))
            line.setFont("Sans", 50)
            line.textOut(text)
            canvas.drawText(line)
            canvas.restoreState()

    # text that only clips what follows is told apart by a picture of the page: see the tests of what shows
    assert {word.text for word in words_in(drawn(draw))} == {"seen", "hollow", "faint", "clip"}


def test_lines_gaps_and_tracking() -> None:
    def draw(canvas: Canvas) -> None:
        canvas.drawString(100, 800, "bog")
        canvas.drawString(100, 750, "oak")
        canvas.drawString(400, 750, "elm")
        canvas.drawString(100, 300, "wide", charSpace=10)  # 0.2 em

    assert [word.text for word in words_in(drawn(draw))] == ["bog", "oak", "elm", "wide"]


def test_a_type_3_font_turned(font: TTFont) -> None:
    """A Type 3 font has no outline that could be asked for: each glyph is a box of 0.1 to 0.8 em by 0 to 0.7 em."""
    box = (0.1, 0.0, 0.8, 0.7)
    with pikepdf.new() as pdf:
        pdf.add_blank_page(page_size=(1000, 1000))
        glyph = pdf.make_stream(b"1000 0 100 0 800 700 d1 100 0 700 700 re f")
        type3 = pikepdf.Dictionary(
            Type=pikepdf.Name.Font,
            Subtype=pikepdf.Name.Type3,
            FontBBox=[0, 0, 1000, 1000],
            FontMatrix=[0.001, 0, 0, 0.001, 0, 0],
            CharProcs=pikepdf.Dictionary(A=glyph),
            Encoding=pikepdf.Dictionary(Type=pikepdf.Name.Encoding, Differences=[65, pikepdf.Name.A]),
            FirstChar=65,
            LastChar=65,
            Widths=[1000],
            Resources=pikepdf.Dictionary(),
        )
        pdf.pages[0].Resources = pikepdf.Dictionary(Font=pikepdf.Dictionary(F=pdf.make_indirect(type3)))
        em = then((50, 0, 0, 50, 0, 0), turned(30, 500, 500))
        place = " ".join(f"{value:.6f}" for value in turned(30, 500, 500))
        pdf.pages[0].Contents = pdf.make_stream(f"BT /F 50 Tf {place} Tm (A) Tj ET".encode())
        data = io.BytesIO()
        pdf.save(data)
    (word,) = words_in(data.getvalue())
    assert_quad(word, box, em)


def facts_in(folder: Path, data: bytes) -> FileFacts:
    file = folder / "page.pdf"
    file.write_bytes(data)
    facts = checked(read_task(file, {}, folder))
    assert isinstance(facts, FileFacts), facts
    return facts


@pytest.mark.parametrize("rotate", [0, 90, 180, 270])
def test_rotate_user_unit_and_crop(tmp_path: Path, font: TTFont, rotate: int) -> None:
    """Words in the page frame: media box (100, 50)–(1000, 850), UserUnit 2, the page turned clockwise as shown."""

    def draw(canvas: Canvas) -> None:
        canvas.drawString(300, 400, "Peat")
        canvas.drawString(110, 60, "off")

    with pikepdf.open(io.BytesIO(drawn(draw))) as pdf:
        page = pdf.pages[0]
        page.MediaBox, page.CropBox, page.Rotate = [100, 50, 1000, 850], [250, 300, 900, 800], rotate
        page.UserUnit = 2
        data = io.BytesIO()
        pdf.save(data)
    page_facts = facts_in(tmp_path, data.getvalue()).pages[0]
    (word,) = [word for word in page_facts.words if not word.unseen]
    assert {word.text: word.unseen for word in page_facts.words} == {"Peat": "", "off": "outside-page"}
    # the media box is 900 × 800; where user (x, y) stands on the page as shown, in points from its lower left
    shown = {
        0: (1, 0, 0, 1, -100, -50),
        90: (0, -1, 1, 0, -50, 900 + 100),
        180: (-1, 0, 0, -1, 900 + 100, 800 + 50),
        270: (0, 1, -1, 0, 800 + 50, -100),
    }[rotate]
    mm = 2 * MM_PER_PT
    em = then(then((50, 0, 0, 50, 300, 400), shown), (mm, 0, 0, mm, 0, 0))
    assert_quad(word, ink(font, "Peat"), em)
    assert word.angle == {0: 0, 90: -90, 180: 180, 270: 90}[rotate]
    size = (900 * mm, 800 * mm) if rotate % 180 == 0 else (800 * mm, 900 * mm)
    assert (page_facts.width, page_facts.height) == pytest.approx(size)


def test_words_on_a_hidden_layer_are_left_out(tmp_path: Path) -> None:
    """Three layers: one shown, one off, one off with a form drawn on it."""

    def draw(canvas: Canvas) -> None:
        canvas.beginForm("form")
        canvas.setFont("Sans", 50)
        canvas.drawString(0, 0, "formed")
        canvas.endForm()
        for row, (layer, text) in enumerate([("Shown", "seen"), ("Off", "hidden"), (None, "plain")]):
            if layer:
                canvas._code.append(f"/OC /{layer} BDC")
            canvas.drawString(100, 100 + 200 * row, text)
            if layer == "Off":
                canvas.doForm("form")
            if layer:
                canvas._code.append("EMC")

    with pikepdf.open(io.BytesIO(drawn(draw))) as pdf:
        made = {
            name: pdf.make_indirect(pikepdf.Dictionary(Type=pikepdf.Name.OCG, Name=name)) for name in ("Shown", "Off")
        }
        pdf.Root.OCProperties = pikepdf.Dictionary(
            OCGs=list(made.values()), D=pikepdf.Dictionary(OFF=[made["Off"]], Order=list(made.values()))
        )
        pdf.pages[0].Resources.Properties = pikepdf.Dictionary({f"/{name}": layer for name, layer in made.items()})
        data = io.BytesIO()
        pdf.save(data)
    words = facts_in(tmp_path, data.getvalue()).pages[0].words
    off = {"hidden": "layer-off", "formed": "layer-off"}
    assert {word.text: word.unseen for word in words} == {"seen": "", "plain": ""} | off


HALF_EM = (0.0, 0.0, 0.5, 0.5)


def at(x: float, y: float = 0.0) -> Matrix:
    """A place at (x, y) em, font size 10."""
    return (10, 0, 0, 10, 10 * x, 10 * y)


@pytest.mark.parametrize(
    ("following", "joins"),
    [
        (at(0.55), True),
        (at(0.95), True),  # gap 0.45 em
        (at(1.05), False),  # gap 0.55 em
        (at(0.5, 0.4), True),  # raised
        (at(0.5, -1.2), False),  # next line
        (at(-5), False),  # back to a line's beginning
        (then((10, 0, 0, 10, 0, 0), turned(20, 5, 0)), True),  # on a curve
    ],
)
def test_where_a_word_ends(following: Matrix, joins: bool) -> None:
    """Two letters 0.5 em wide, the first at the origin."""
    glyphs = Glyphs(
        codes=np.array([111, 111]),
        matrix=np.array([at(0), following], float),
        ink=np.array([HALF_EM, HALF_EM]),
        item=np.array([0, 1]),
        parted=np.array([False, False]),
        items=(Item(Handle(1), "ink", Handle()), Item(Handle(2), "ink", Handle())),
        advance=np.array([0.5, 0.5]),
        stored=np.array([False, False]),
        outline=np.array([-1, -1]),
    )
    assert len(word_starts(glyphs, np.array([False, False]))) == (1 if joins else 2)


def test_cairosvg(tmp_path: Path, font: TTFont) -> None:
    """A converted SVG, whatever family it names: the packaged font's outlines, at the place that the SVG says."""
    file = tmp_path / "panel.svg"
    file.write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="100mm" viewBox="0 0 400 200">'
        '<g font-family="DejaVu Serif, serif" font-size="40"><text x="50" y="100">Peat</text>'
        '<text transform="translate(300 150) rotate(-45)">bog</text></g></svg>'
    )
    facts = read(file)
    assert isinstance(facts, FileFacts)
    assert facts.stand_in_fonts == ("DejaVu Serif",)
    words = {word.text: word for word in facts.pages[0].words}
    # 1 unit = 0.5 mm, y downwards: (50, 100) is 25 mm from the left and 100 − 50 mm from the foot
    assert_quad(words["Peat"], ink(font, "Peat"), (20, 0, 0, 20, 25, 50))
    assert_quad(words["bog"], ink(font, "bog"), then((20, 0, 0, 20, 0, 0), turned(45, 150, 25)))
    assert {word.font for word in words.values()} == {"SourceSansPro-Regular"}


def test_a_page_with_too_many_words_says_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("artgen.art.words.MAX_WORDS", 3)
    page = facts_in(tmp_path, drawn(lambda canvas: canvas.drawString(20, 20, "a b c d e"))).pages[0]
    assert [word.text for word in page.words] == ["a", "b", "c"]
    assert any("3" in line for line in page.not_seen)
