"""Boxes and hulls of live words against the fonts' own outlines, on PDFs of cairo, reportlab, fpdf2, matplotlib,
Ghostscript, and pages written out by hand with CFF and Type 3 fonts.

Expected ink = each letter's outline (fontTools), placed by the font's advances and the spacing that the writer was told,
sent through the mapping that the test gave it. Box = bounds of that ink along the baseline, hull = its convex hull, both
within 0.5 % of the font size or 0.2 pt. None of these fonts has a kern table; matplotlib, which kerns by GPOS, gets the one
that has no such table either.
"""

import io
import math
import shutil
import subprocess
from collections.abc import Callable
from functools import cache
from pathlib import Path

import font_caladea
import font_fjallaone
import font_fredoka_one
import font_hanken_grotesk
import font_lato
import font_roboto
import font_source_sans_pro
import font_source_serif_pro
import fpdf
import matplotlib
import numpy as np
import pikepdf
import pytest
from attrs import evolve, frozen
from fontTools.pens.basePen import BasePen
from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont
from matplotlib.backends.backend_pdf import FigureCanvasPdf
from matplotlib.figure import Figure
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont as EmbeddedFont
from reportlab.pdfgen.canvas import Canvas
from shapely import MultiPoint, Polygon, hausdorff_distance

from artgen.art import read
from artgen.art.answers import checked
from artgen.art.facts import FileFacts, Word
from artgen.art.mapping import Matrix, apply, then
from artgen.art.tasks import read_task
from artgen.units import MM_PER_PT


def files(package: object) -> Path:
    return Path(package.__file__).parent / "files"  # type: ignore[attr-defined]


SANS = files(font_source_sans_pro) / "SourceSansPro-Regular.ttf"
SERIF_CFF = files(font_source_serif_pro) / "SourceSerifPro-BlackIt.otf"
HANKEN_CFF = files(font_hanken_grotesk) / "HankenGrotesk-Bold.otf"
ROBOTO = files(font_roboto) / "Roboto-Black.ttf"
LATO = files(font_lato) / "Lato-BlackItalic.ttf"
FJALLA = files(font_fjallaone) / "FjallaOne-Regular.ttf"
FREDOKA = files(font_fredoka_one) / "FredokaOne-Regular.ttf"
CALADEA = files(font_caladea) / "Caladea-Italic.ttf"
STILL: Matrix = (1, 0, 0, 1, 0, 0)
SIDE = 1000.0  # points: pages are square


@frozen
class Line:
    """Words on one line. ``place`` = baseline frame in points → page; ``spacing`` = em added after each character;
    ``stretch`` = of widths, spacing too; ``whole``: advances as pdfium takes them from widths in the file, without parts of
    a thousandth of em (fonts of 1,000 units have none)."""

    text: str
    font: Path
    size: float
    place: Matrix
    spacing: float = 0.0
    stretch: float = 1.0
    whole: bool = False

    @property
    def em(self) -> Matrix:
        return then((self.size * self.stretch, 0, 0, self.size, 0, 0), self.place)


class Points(BasePen):
    """Points of an outline, its curves at 64 steps."""

    def __init__(self, glyphs: object) -> None:
        super().__init__(glyphs)
        self.points: list[tuple[float, float]] = []

    def _moveTo(self, point: tuple[float, float]) -> None:  # noqa: N802
        self.points.append(point)

    def _lineTo(self, point: tuple[float, float]) -> None:  # noqa: N802
        self.points.append(point)

    def _curveToOne(self, *rest: tuple[float, float]) -> None:  # noqa: N802
        a, b, c, d = (np.array(point) for point in (self._getCurrentPoint(), *rest))
        for t in np.linspace(0, 1, 65)[1:]:
            x, y = (1 - t) ** 3 * a + 3 * (1 - t) ** 2 * t * b + 3 * (1 - t) * t * t * c + t**3 * d
            self.points.append((float(x), float(y)))


@cache
def opened(font: Path) -> TTFont:
    return TTFont(font)


@cache
def outline(font: Path, letter: str) -> tuple[np.ndarray, float]:
    """(points in em, advance in em); the points' bounds are those that fontTools itself finds."""
    one = opened(font)
    glyphs, name, upem = one.getGlyphSet(), one.getBestCmap()[ord(letter)], one["head"].unitsPerEm
    pen, control = Points(glyphs), BoundsPen(glyphs)
    glyphs[name].draw(pen)
    glyphs[name].draw(control)
    points = np.array(pen.points).reshape(-1, 2) / upem
    if len(points):
        found = [*points.min(0), *points.max(0)]
        assert found == pytest.approx([value / upem for value in control.bounds], abs=5e-4)
    return points, one["hmtx"][name][0] / upem


def inks(line: Line) -> dict[str, np.ndarray]:
    """The ink of each word in em, from the line's start."""
    found: dict[str, list[np.ndarray]] = {}
    at, words = 0.0, line.text.split(" ")
    for number, word in enumerate(words):
        for letter in word:
            points, advance = outline(line.font, letter)
            found.setdefault(word, []).append(points + np.array([at, 0.0]))
            at += math.floor(advance * 1000) / 1000 if line.whole else advance
            at += line.spacing / line.stretch
        if number < len(words) - 1:
            at += outline(line.font, " ")[1] + line.spacing / line.stretch
    return {word: np.vstack(points) for word, points in found.items()}


def assert_words(words: tuple[Word, ...], line: Line, boxes_alone: bool = False) -> None:
    """``words``, in points: box and hull, both within 0.5 % of the font size or 0.2 pt."""
    expected = inks(line)
    assert [word.text for word in words] == list(expected)
    a, b, c, d, e, f = line.em
    within = max(0.005 * line.size * abs(line.place[0] * line.place[3] - line.place[1] * line.place[2]) ** 0.5, 0.2)
    along = np.array([a, b]) / math.hypot(a, b)
    up = np.array([-along[1], along[0]])
    up *= 1 if up @ (c, d) > 0 else -1
    for word in words:
        x, y = expected[word.text].T
        ink = np.stack([a * x + c * y + e, b * x + d * y + f], 1)
        u, v = ink @ along, ink @ up
        left, right, low, high = u.min(), u.max(), v.min(), v.max()
        corners = np.array([(left, low), (right, low), (right, high), (left, high)])
        off = np.abs(np.array(word.quad) @ np.stack([along, up], 1) - corners).max()
        assert off <= within, (word.text, off, within)
        if not boxes_alone:
            apart = hausdorff_distance(Polygon(word.hull).exterior, MultiPoint(ink).convex_hull.exterior, 0.05)
            assert apart <= within, (word.text, apart, within)


def words_of(folder: Path, data: bytes, to_page: Matrix = STILL) -> tuple[Word, ...]:
    """Words that show, in points; ``to_page`` = page frame in points → where the test thinks."""
    file = folder / "page.pdf"
    file.write_bytes(data)
    facts = checked(read_task(file, {}, folder))
    assert isinstance(facts, FileFacts), facts
    return in_points(facts.pages[0].words, 1 / MM_PER_PT, to_page)


def in_points(words: tuple[Word, ...], scale: float, to_page: Matrix = STILL) -> tuple[Word, ...]:
    def moved(points: object) -> tuple[tuple[float, float], ...]:
        return tuple(apply(to_page, (x * scale, y * scale)) for x, y in points)  # type: ignore[attr-defined]

    shown = (word for word in words if not word.unseen)
    return tuple(evolve(word, quad=moved(word.quad), hull=moved(word.hull)) for word in shown)


def turned(degrees: float, x: float = 400, y: float = 450) -> Matrix:
    cos, sin = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return (cos, sin, -sin, cos, x, y)


def slanted(degrees: float, x: float = 300, y: float = 450) -> Matrix:
    return (1, 0, math.tan(math.radians(degrees)), 1, x, y)


# the writers


def by_reportlab(line: Line, forms: int = 0) -> bytes:
    """``forms``: inside so many forms, each half as large as the one that draws it."""
    if line.font.stem not in pdfmetrics.getRegisteredFontNames():
        pdfmetrics.registerFont(EmbeddedFont(line.font.stem, line.font))
    data = io.BytesIO()
    canvas = Canvas(data, pagesize=(SIDE, SIDE), invariant=1)
    for number in range(forms):
        canvas.beginForm(f"form{number}", -9000, -9000, 9000, 9000)
        canvas.scale(2, 2)
        if number:
            canvas.doForm(f"form{number - 1}")
        else:
            text_by_reportlab(canvas, line, line.size / 2**forms)
        canvas.endForm()
    canvas.transform(*line.place)
    if forms:
        canvas.doForm(f"form{forms - 1}")
    else:
        text_by_reportlab(canvas, line, line.size)
    canvas.showPage()
    canvas.save()
    return data.getvalue()


def text_by_reportlab(canvas: Canvas, line: Line, size: float) -> None:
    text = canvas.beginText(0, 0)
    text.setFont(line.font.stem, size)
    text.setCharSpace(line.spacing * size / line.stretch)
    text.setHorizScale(100 * line.stretch)
    text.textOut(line.text)
    canvas.drawText(text)


def by_fpdf2(line: Line) -> bytes:
    """fpdf2's own frame runs downwards; its mapping is written as PDF's."""
    pdf = fpdf.FPDF(unit="pt", format=(SIDE, SIDE))
    pdf.add_page()
    pdf.add_font("Font", fname=line.font)
    pdf.set_font("Font", size=line.size)
    pdf.set_stretching(100 * line.stretch)
    pdf.set_char_spacing(line.spacing * line.size / line.stretch)
    with pdf.local_context():
        pdf._out(" ".join(f"{value:.6f}" for value in line.place) + " cm")
        pdf.text(0, SIDE, line.text)
    return bytes(pdf.output())


def by_matplotlib(line: Line, kind: int) -> bytes:
    """``kind`` = of the fonts: 3 or 42. One inch of the figure is 72 points; its text turns about the baseline's start."""
    with matplotlib.rc_context({"pdf.fonttype": kind}):
        figure = Figure(figsize=(SIDE / 72, SIDE / 72))
        FigureCanvasPdf(figure)
        degrees = math.degrees(math.atan2(line.place[1], line.place[0]))
        figure.text(
            line.place[4] / SIDE,
            line.place[5] / SIDE,
            line.text,
            font=line.font,
            fontsize=line.size,
            rotation=degrees,
            rotation_mode="anchor",
            ha="left",
            va="baseline",
            parse_math=False,
        )
        data = io.BytesIO()
        figure.savefig(data, format="pdf", metadata={"CreationDate": None})
    return data.getvalue()


def by_ghostscript(data: bytes) -> bytes:
    program = shutil.which("gs")
    if program is None:
        pytest.skip("Ghostscript is not on this machine; .ci/run installs it")
    command = [
        program,
        "-q",
        "-dBATCH",
        "-dNOPAUSE",
        "-dSAFER",
        "-dAutoRotatePages=/None",
        "-sDEVICE=pdfwrite",
        "-sOutputFile=-",
        "-",
    ]
    return subprocess.run(command, input=data, stdout=subprocess.PIPE, check=True).stdout


def by_hand(line: Line, font: Callable[[pikepdf.Pdf, Line], pikepdf.Object]) -> bytes:
    with pikepdf.new() as pdf:
        pdf.add_blank_page(page_size=(SIDE, SIDE))
        pdf.pages[0].Resources = pikepdf.Dictionary(Font=pikepdf.Dictionary(F=pdf.make_indirect(font(pdf, line))))
        place = " ".join(f"{value:.6f}" for value in line.place)
        # one show operator a letter
        shown = " ".join(f"({letter}) Tj" for letter in line.text)
        code = f"BT /F {line.size} Tf {line.spacing * line.size} Tc {place} Tm {shown} ET"
        pdf.pages[0].Contents = pdf.make_stream(code.encode())
        data = io.BytesIO()
        pdf.save(data)
    return data.getvalue()


def simple_font(line: Line, **more: object) -> pikepdf.Dictionary:
    letters = sorted(set(line.text), key=ord)
    widths = {ord(letter): outline(line.font, letter)[1] * 1000 for letter in letters}
    first, last = ord(letters[0]), ord(letters[-1])
    return pikepdf.Dictionary(
        Type=pikepdf.Name.Font,
        FirstChar=first,
        LastChar=last,
        Widths=[round(widths.get(code, 0), 3) for code in range(first, last + 1)],
        **more,
    )


def cff_font(pdf: pikepdf.Pdf, line: Line) -> pikepdf.Dictionary:
    """A CFF font as it stands in an OpenType file, in WinAnsi encoding."""
    file = pdf.make_stream(opened(line.font).getTableData("CFF "), Subtype=pikepdf.Name.Type1C)
    described = pikepdf.Dictionary(
        Type=pikepdf.Name.FontDescriptor,
        FontName=pikepdf.Name("/" + line.font.stem),
        Flags=32,
        FontBBox=[-500, -500, 2000, 1500],
        ItalicAngle=0,
        Ascent=800,
        Descent=-200,
        CapHeight=700,
        StemV=80,
        FontFile3=file,
    )
    return simple_font(
        line,
        Subtype=pikepdf.Name.Type1,
        BaseFont=pikepdf.Name("/" + line.font.stem),
        Encoding=pikepdf.Name.WinAnsiEncoding,
        FontDescriptor=pdf.make_indirect(described),
    )


def type_3_font(pdf: pikepdf.Pdf, line: Line) -> pikepdf.Dictionary:
    """Each glyph as a filled path with its bounds; 1000 units an em."""
    procedures = pikepdf.Dictionary()
    letters = sorted(set(line.text), key=ord)
    for letter in letters:
        points, advance = outline(line.font, letter)
        points = points * 1000
        low, high = (points.min(0), points.max(0)) if len(points) else (np.zeros(2), np.zeros(2))
        path = " ".join(f"{x:.3f} {y:.3f} {'l' if n else 'm'}" for n, (x, y) in enumerate(points))
        code = f"{advance * 1000:.3f} 0 {low[0]:.3f} {low[1]:.3f} {high[0]:.3f} {high[1]:.3f} d1 {path} f"
        procedures[f"/g{ord(letter)}"] = pdf.make_stream(code.encode())
    names = [part for letter in letters for part in (ord(letter), pikepdf.Name(f"/g{ord(letter)}"))]
    return simple_font(
        line,
        Subtype=pikepdf.Name.Type3,
        FontBBox=[-1000, -1000, 2000, 2000],
        FontMatrix=[0.001, 0, 0, 0.001, 0, 0],
        CharProcs=procedures,
        Encoding=pikepdf.Dictionary(Type=pikepdf.Name.Encoding, Differences=names),
        Resources=pikepdf.Dictionary(),
        ToUnicode=pdf.make_stream(to_unicode(letters)),
    )


def to_unicode(letters: list[str]) -> bytes:
    lines = "\n".join(f"<{ord(letter):02X}> <{ord(letter):04X}>" for letter in letters)
    return (
        "/CIDInit /ProcSet findresource begin begincmap /CMapName /T def /CMapType 2 def "
        f"1 begincodespacerange <00> <FF> endcodespacerange {len(letters)} beginbfchar\n{lines}\nendbfchar "
        "endcmap end"
    ).encode()


REPORTLAB = [
    Line("Peat Moor, the bog", SANS, 12, turned(0)),
    Line("Valley of Ash", ROBOTO, 60, turned(30), whole=True),
    Line("Journey AWAY", LATO, 45, turned(-75, 400, 800)),
    Line("Oak & Alder", FJALLA, 80, slanted(20), whole=True),
    Line("Seen behind", CALADEA, 70, (-1, 0, 0, 1, 800, 300)),
    Line("Wide stance", FREDOKA, 50, turned(10, 100), stretch=1.4),
    Line("HEADLINE SET", SANS, 30, turned(20, 30, 200), spacing=0.9),
    Line("small print", CALADEA, 4.5, turned(45)),
    Line("on its head", ROBOTO, 33, turned(180, 800)),
]
FPDF2 = [
    Line("Fen country", CALADEA, 40, turned(0)),
    Line("Quagmire Oy", FREDOKA, 64, turned(45)),
    Line("Leaning Jug", LATO, 55, slanted(-25)),
    Line("Drawn out", FJALLA, 48, turned(-20, 200, 700), spacing=0.3, stretch=0.8),
    Line("down here", SANS, 90, turned(-90, 400, 900)),
]
CAIRO = [
    ("rotate(0)", Line("Peat bog", SANS, 60, turned(0, 100, 500))),
    ("rotate(-33)", Line("Moss & Way", SANS, 60, turned(33, 100, 500))),
    ("skewX(-18)", Line("Tilted Yarn", SANS, 60, slanted(18, 100, 500))),
    ("rotate(12)", Line("AVATAR WAY", SANS, 30, turned(-12, 100, 500), spacing=1.1)),
]
MATPLOTLIB = [
    (kind, line)
    for kind in (3, 42)
    for line in (
        Line("Carr and mire", FJALLA, 50, turned(0, 200, 300)),
        Line("Wylde Topaz", FJALLA, 70, turned(33, 200, 300)),
    )
]
CFF = [
    Line("Bog Myrtle", SERIF_CFF, 60, turned(0)),
    Line("Wave Axes", HANKEN_CFF, 75, turned(-52, 300, 800), whole=True),
    Line("Oblique Rag", SERIF_CFF, 40, slanted(15)),
]
TYPE_3 = [Line("Wavy Job", FREDOKA, 60, turned(0)), Line("Yew Trees", FREDOKA, 60, turned(25))]


@pytest.mark.parametrize("line", REPORTLAB, ids=lambda line: line.text)
def test_reportlab(tmp_path: Path, line: Line) -> None:
    assert_words(words_of(tmp_path, by_reportlab(line)), line)


@pytest.mark.parametrize("degrees", [0, 37])
@pytest.mark.parametrize("forms", [1, 3])
def test_nested_forms(tmp_path: Path, forms: int, degrees: float) -> None:
    line = Line("Deep inside", ROBOTO, 64, turned(degrees), whole=True)
    assert_words(words_of(tmp_path, by_reportlab(line, forms)), line)


@pytest.mark.parametrize("rotate", [0, 90, 180, 270])
def test_rotate_user_unit_and_boxes(tmp_path: Path, rotate: int) -> None:
    """Media box (50, 20)–(950, 820), a crop box inside, UserUnit 2.5. ``shown`` = user space → page frame in its units."""
    line = Line("Turned Page", LATO, 50, turned(27))
    with pikepdf.open(io.BytesIO(by_reportlab(line))) as pdf:
        page = pdf.pages[0]
        page.MediaBox, page.CropBox, page.Rotate, page.UserUnit = [50, 20, 950, 820], [60, 40, 940, 810], rotate, 2.5
        data = io.BytesIO()
        pdf.save(data)
    shown = {
        0: (1, 0, 0, 1, -50, -20),
        90: (0, -1, 1, 0, -20, 950),
        180: (-1, 0, 0, -1, 950, 820),
        270: (0, 1, -1, 0, 820, -50),
    }[rotate]
    in_page = then(then(line.place, shown), (2.5, 0, 0, 2.5, 0, 0))
    assert_words(words_of(tmp_path, data.getvalue()), evolve(line, place=in_page))


@pytest.mark.parametrize("line", FPDF2, ids=lambda line: line.text)
def test_fpdf2(tmp_path: Path, line: Line) -> None:
    assert_words(words_of(tmp_path, by_fpdf2(line)), line)


@pytest.mark.parametrize(("turn", "line"), CAIRO, ids=lambda value: value.text if isinstance(value, Line) else "")
def test_cairo(tmp_path: Path, turn: str, line: Line) -> None:
    """An SVG of 1000 × 1000 mm; its y runs down from the top."""
    file = tmp_path / "page.svg"
    place = f"translate({line.place[4]} {SIDE - line.place[5]}) {turn}"
    text = line.text.replace("&", "&amp;")
    file.write_text(
        f'<svg xmlns="http://www.w3.org/2000/svg" width="1000mm" height="1000mm" viewBox="0 0 1000 1000">'
        f'<text font-family="Source Sans Pro" font-size="{line.size}" transform="{place}" '
        f'letter-spacing="{line.spacing * line.size}">{text}</text></svg>'
    )
    facts = read(file)
    assert isinstance(facts, FileFacts), facts
    assert_words(in_points(facts.pages[0].words, 1.0), line)


@pytest.mark.parametrize(("kind", "line"), MATPLOTLIB, ids=lambda value: str(getattr(value, "text", value)))
def test_matplotlib(tmp_path: Path, kind: int, line: Line) -> None:
    """pdfium gives no outlines of Type 3 fonts: their hulls are those of their letters' boxes."""
    assert_words(words_of(tmp_path, by_matplotlib(line, kind)), line, boxes_alone=kind == 3)


@pytest.mark.parametrize(
    ("first", "boxes_alone"),
    [
        (lambda: (by_reportlab(REPORTLAB[1]), REPORTLAB[1]), False),
        (lambda: (by_reportlab(REPORTLAB[6]), REPORTLAB[6]), False),
        (lambda: (by_fpdf2(FPDF2[2]), FPDF2[2]), False),
        (lambda: (by_hand(CFF[1], cff_font), CFF[1]), False),
        (lambda: (by_matplotlib(MATPLOTLIB[1][1], 3), MATPLOTLIB[1][1]), True),
    ],
    ids=["reportlab", "letter-spaced", "fpdf2, slanted", "CFF", "Type 3"],
)
def test_ghostscript(tmp_path: Path, first: Callable[[], tuple[bytes, Line]], boxes_alone: bool) -> None:
    """Another's page, distilled anew."""
    data, line = first()
    assert_words(words_of(tmp_path, by_ghostscript(data)), line, boxes_alone)


@pytest.mark.parametrize("line", CFF, ids=lambda line: line.text)
def test_cff_fonts_by_hand(tmp_path: Path, line: Line) -> None:
    assert_words(words_of(tmp_path, by_hand(line, cff_font)), line)


@pytest.mark.parametrize("line", TYPE_3, ids=lambda line: line.text)
def test_type_3_fonts_by_hand(tmp_path: Path, line: Line) -> None:
    assert_words(words_of(tmp_path, by_hand(line, type_3_font)), line, boxes_alone=True)
