"""Where words begin: letter-spaced, on curves, right to left, upright columns, in tables; on pages of reportlab and cairo.

Expected words are those that were written, set with space that is the same between all letters.
"""

import io
import math
import string
from collections.abc import Callable, Sequence
from pathlib import Path

import font_source_sans_pro
import numpy as np
import pikepdf
import pytest
from fontTools.fontBuilder import FontBuilder
from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.ttLib import TTFont
from hypothesis import assume, given
from hypothesis import strategies as st
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont as EmbeddedFont
from reportlab.pdfgen.canvas import Canvas
from shapely import Point, Polygon
from test_art_words import drawn, words_in

from artgen.art import read
from artgen.art.facts import FileFacts, Word

SIZE = 20.0
LETTERS = string.ascii_letters
WORDS = st.lists(st.text(LETTERS, min_size=1, max_size=9), min_size=1, max_size=5)
TRACKING = st.floats(0, 2).map(lambda value: round(value, 3))
ANGLE = st.sampled_from([0, 0, 0, 90, 17, -60])
pdfmetrics.registerFont(
    EmbeddedFont("Sans", Path(font_source_sans_pro.__file__).parent / "files/SourceSansPro-Regular.ttf")
)


def texts(draw: Callable[[Canvas], None]) -> list[str]:
    return [word.text for word in words_in(drawn(draw))]


def letter_by_letter(canvas: Canvas, text: str, tracking: float, x: float = 0, y: float = 0) -> None:
    """Each letter an object of its own, spaces left out; what is added stands after spaces too, as in every program."""
    for letter in text:
        if letter != " ":
            canvas.drawString(x, y, letter)
        x += canvas.stringWidth(letter) + tracking * SIZE


def telling(words: Sequence[str]) -> bool:
    """Whether a line without stored spaces says what its words are: a quarter of its spaces and two of them stand between
    letters of one word."""
    within, between = sum(len(word) - 1 for word in words), len(words) - 1
    return within > 1 and 3 * within > between


@given(words=WORDS, tracking=TRACKING, degrees=ANGLE)
def test_letter_spaced_by_character_space(words: list[str], tracking: float, degrees: float) -> None:
    """`Tc`, with stored spaces. A lone pair of letters far apart is left as two."""
    assume(tracking < 0.3 or telling(words))

    def draw(canvas: Canvas) -> None:
        canvas.setFont("Sans", SIZE)
        canvas.translate(500, 500)
        canvas.rotate(degrees)
        canvas.drawString(0, 0, " ".join(words), charSpace=tracking * SIZE)

    assert texts(draw) == words


@given(words=WORDS, tracking=TRACKING, degrees=ANGLE)
def test_letter_spaced_one_by_one(words: list[str], tracking: float, degrees: float) -> None:
    """Every letter placed by itself, without spaces."""
    assume(telling(words))

    def draw(canvas: Canvas) -> None:
        canvas.setFont("Sans", SIZE)
        canvas.translate(500, 500)
        canvas.rotate(degrees)
        letter_by_letter(canvas, " ".join(words), tracking)

    assert texts(draw) == words


@given(words=WORDS, tracking=TRACKING)
def test_letter_spaced_in_one_show_operator(words: list[str], tracking: float) -> None:
    """`TJ` with numbers between the letters, spaces among the numbers, as TeX and cairo write them."""
    assume(telling(words))
    font = pdfmetrics.getFont("Helvetica")

    def draw(canvas: Canvas) -> None:
        canvas.setFont("Helvetica", SIZE)
        step = -tracking * 1000
        gap = 2 * step - font.stringWidth(" ", 1) * 1000
        shown = f"{gap:.0f} ".join(f"{step:.0f}".join(f"({letter})" for letter in word) for word in words)
        canvas._code.append(f"BT {canvas._doc.getInternalFontName('Helvetica')} {SIZE} Tf 20 500 Td [{shown}] TJ ET")

    assert texts(draw) == words


@given(words=st.lists(st.text(LETTERS, min_size=1, max_size=9), min_size=1, max_size=12), stored=st.booleans())
def test_usual_text_is_parted_at_its_spaces(words: list[str], stored: bool) -> None:
    """One object a word, or one for all. Three letters alone in a row without stored spaces would be one word."""
    assume(stored or not any(all(len(word) == 1 for word in words[n : n + 3]) for n in range(len(words))))

    def draw(canvas: Canvas) -> None:
        canvas.setFont("Sans", SIZE)
        if stored:
            canvas.drawString(20, 500, " ".join(words))
            return
        x = 20.0
        for word in words:
            canvas.drawString(x, 500, word)
            x += canvas.stringWidth(word + " ") + 0.05 * SIZE

    assert texts(draw) == words


def test_a_headline_beside_usual_text() -> None:
    def draw(canvas: Canvas) -> None:
        canvas.setFont("Sans", SIZE)
        letter_by_letter(canvas, "MOOR", 1.2, 20, 500)
        canvas.drawString(300, 500, "and the bog since 1900")
        canvas.drawString(20, 460, "under it")

    assert texts(draw) == ["MOOR", "and", "the", "bog", "since", "1900", "under", "it"]


def test_capitals_typed_with_spaces() -> None:
    """Four and more; words two spaces apart. Lowercase letters, and fewer, are left alone."""

    def draw(canvas: Canvas) -> None:
        canvas.drawString(20, 500, "P E A T   M O O R")
        canvas.drawString(20, 400, "a b c d e")
        canvas.drawString(20, 300, "A B C")

    assert texts(draw) == ["PEAT", "MOOR", *"abcde", *"ABC"]


def test_labels_unevenly_spaced_stay_apart() -> None:
    def draw(canvas: Canvas) -> None:
        canvas.setFont("Sans", SIZE)
        for letter, x in zip("ABCD", (20, 60, 135, 160), strict=True):
            canvas.drawString(x, 500, letter)

    assert texts(draw) == list("ABCD")


@pytest.mark.parametrize("pitch", [0.9, 1.5, 2.0, 3.0])
def test_cells_of_a_table_stay_apart(pitch: float) -> None:
    """Figures, one and more digits, in columns with a space of so many em and more between."""
    rows = [["1", "2", "3", "4"], ["12", "7", "30", "5"], ["105", "210", "8", "96"], ["+", "–", "+", "×"]]

    def draw(canvas: Canvas) -> None:
        canvas.setFont("Sans", SIZE)
        for number, row in enumerate(rows):
            for column, cell in enumerate(row):
                canvas.drawRightString(100 + column * (pitch + 1.5) * SIZE, 600 - 30 * number, cell)

    assert texts(draw) == [cell for row in rows for cell in row]


def test_columns_of_words_stay_apart() -> None:
    def draw(canvas: Canvas) -> None:
        canvas.setFont("Sans", SIZE)
        for row, (left, right) in enumerate([("an elm", "is by"), ("at a fen", "we go"), ("oak", "ash")]):
            canvas.drawString(50, 600 - 25 * row, left)
            canvas.drawString(50 + 4.5 * SIZE, 600 - 25 * row, right)

    assert texts(draw) == ["an", "elm", "is", "by", "at", "a", "fen", "we", "go", "oak", "ash"]


def test_a_word_of_many_show_operators() -> None:
    def draw(canvas: Canvas) -> None:
        name = canvas._doc.getInternalFontName("Helvetica")
        shown = "(Spha) Tj (gn) Tj [(u)-20(m)] TJ ( ) Tj (m) Tj (oss) Tj"
        canvas._code.append(f"BT {name} 40 Tf 20 500 Td {shown} ET")

    assert texts(draw) == ["Sphagnum", "moss"]


# on a curve


def on_a_curve(folder: Path, text: str, size: float, path: str, spacing: float = 0.0) -> tuple[Word, ...]:
    """Words in millimetres of a page of 1000 × 600, y up."""
    file = folder / "page.svg"
    file.write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" width="1000mm" height="600mm" '
        f'viewBox="0 0 1000 600"><defs><path id="p" d="{path}"/></defs><text font-family="Source Sans Pro" '
        f'font-size="{size}" letter-spacing="{spacing}"><textPath xlink:href="#p">{text}</textPath></text></svg>'
    )
    facts = read(file)
    assert isinstance(facts, FileFacts), facts
    return facts.pages[0].words


@pytest.mark.parametrize("size", [30, 60, 90])
@pytest.mark.parametrize("spacing", [0, 0.4])
def test_text_on_a_path(tmp_path: Path, size: float, spacing: float) -> None:
    """On an arc of radius 500 about (500, 0) of the page, from the left end over the top: its ink lies between the arc less
    the descenders and the arc plus the ascenders, and so does every vertex of a hull; the middle of the chord does not."""
    words = on_a_curve(tmp_path, "Peat moor and bog", size, "M 0 600 A 500 500 0 0 1 1000 600", spacing * size)
    assert [word.text for word in words] == ["Peat", "moor", "and", "bog"]
    for word in words:
        away = [math.hypot(x - 500, y) for x, y in word.hull]
        assert 500 - 0.23 * size < min(away)
        assert max(away) < 500 + 0.75 * size + 0.01 * size
        hull, box = Polygon(word.hull), Polygon(word.quad)
        assert hull.is_valid
        assert hull.convex_hull.equals(hull) or hull.convex_hull.area == pytest.approx(hull.area, rel=1e-9)
        assert box.buffer(1e-6 * size + 0.01).contains(hull)
        middle = Point(*np.mean(word.quad, axis=0))
        across = math.degrees(math.atan2(middle.y, middle.x - 500)) - 90
        assert word.angle == pytest.approx(across, abs=5)
        assert 0.4 * size < word.capital < 0.75 * size


# other scripts


@pytest.fixture(scope="module")
def boxes(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A font whose every letter is a box of 0.1 to 0.9 by 0 to 0.7 em, 1 em wide."""
    letters = "מוריצהבمور沼澤地苔 "
    file = tmp_path_factory.mktemp("font") / "boxes.ttf"
    names = {ord(letter): f"uni{ord(letter):04X}" for letter in letters}
    pen = TTGlyphPen(None)
    pen.moveTo((100, 0))
    for point in ((100, 700), (900, 700), (900, 0)):
        pen.lineTo(point)
    pen.closePath()
    box, none = pen.glyph(), TTGlyphPen(None).glyph()
    order = [".notdef", *dict.fromkeys(names.values())]
    builder = FontBuilder(1000, isTTF=True)
    builder.setupGlyphOrder(order)
    builder.setupCharacterMap(names)
    builder.setupGlyf({name: none if name == "uni0020" else box for name in order})
    builder.setupHorizontalMetrics({name: (1000, 0 if name == "uni0020" else 100) for name in order})
    builder.setupHorizontalHeader(ascent=800, descent=-200)
    builder.setupNameTable({"familyName": "Boxes", "styleName": "Regular"})
    builder.setupOS2()
    builder.setupPost()
    builder.save(file)
    pdfmetrics.registerFont(EmbeddedFont("Boxes", str(file)))
    return file


def bounds(word: Word) -> tuple[float, ...]:
    return Polygon(word.quad).bounds


BOG = "מור ביצה"


@pytest.mark.parametrize("logical", [True, False])
@pytest.mark.parametrize("tracking", [0.0, 0.5, 1.5])
def test_right_to_left(boxes: Path, logical: bool, tracking: float) -> None:
    """Text is given in logical order, whichever way the file writes it: as read, or from the left as shown."""
    step = 20 * (1 + tracking)

    def draw(canvas: Canvas) -> None:
        canvas.setFont("Boxes", 20)
        placed = [(letter, 600 - step * n) for n, letter in enumerate(BOG) if letter != " "]
        for letter, x in placed if logical else placed[::-1]:
            canvas.drawString(x, 500, letter)

    words = words_in(drawn(draw))
    assert [word.text for word in words] == BOG.split()
    first, second = (bounds(word) for word in words)
    assert first == pytest.approx((600 - 2 * step + 2, 500, 618, 514), abs=0.05)
    assert second == pytest.approx((600 - 7 * step + 2, 500, 600 - 4 * step + 18, 514), abs=0.05)


def test_cjk_in_a_row_and_spaced(boxes: Path) -> None:
    """Without spaces a run is one word."""

    def draw(canvas: Canvas) -> None:
        canvas.setFont("Boxes", 20)
        canvas.drawString(100, 600, "沼澤地 苔")
        canvas.drawString(100, 500, "沼澤地 苔", charSpace=30)

    assert texts(draw) == ["沼澤地", "苔"] * 2


def test_upright_columns(boxes: Path) -> None:
    """Letters one below the other, 1.1 em apart, by themselves."""

    def draw(canvas: Canvas) -> None:
        canvas.setFont("Boxes", 20)
        for n, letter in enumerate("沼澤地 苔"):
            canvas.drawString(500, 700 - 22 * n, letter)

    words = words_in(drawn(draw))
    assert [word.text for word in words] == ["沼澤地", "苔"]
    assert bounds(words[0]) == pytest.approx((502, 656, 518, 714), abs=0.05)
    assert words[0].capital == pytest.approx(14, abs=0.05)


def test_vertical_writing(boxes: Path) -> None:
    """A composite font in vertical writing (Identity-V): each letter's origin is the middle of its top, 0.88 em above its
    baseline, and the next one stands 1 em below (ISO 32000-1 9.7.4.3)."""
    letters = "沼澤地苔"
    with pikepdf.new() as pdf, TTFont(boxes) as font:
        codes = [font.getGlyphID(font.getBestCmap()[ord(letter)]) for letter in letters]
        described = pikepdf.Dictionary(
            Type=pikepdf.Name.FontDescriptor,
            FontName=pikepdf.Name.Boxes,
            Flags=4,
            FontBBox=[100, 0, 900, 700],
            ItalicAngle=0,
            Ascent=800,
            Descent=-200,
            StemV=80,
            FontFile2=pdf.make_stream(boxes.read_bytes()),
        )
        below = pikepdf.Dictionary(
            Type=pikepdf.Name.Font,
            Subtype=pikepdf.Name.CIDFontType2,
            BaseFont=pikepdf.Name.Boxes,
            CIDSystemInfo=pikepdf.Dictionary(Registry=b"Adobe", Ordering=b"Identity", Supplement=0),
            FontDescriptor=pdf.make_indirect(described),
            CIDToGIDMap=pikepdf.Name.Identity,
            DW=1000,
        )
        lines = "\n".join(f"<{code:04X}> <{ord(letter):04X}>" for code, letter in zip(codes, letters, strict=True))
        unicode = (
            "/CIDInit /ProcSet findresource begin begincmap /CMapName /V def /CMapType 2 def 1 begincodespacerange "
            f"<0000> <FFFF> endcodespacerange {len(letters)} beginbfchar\n{lines}\nendbfchar endcmap end"
        )
        composite = pikepdf.Dictionary(
            Type=pikepdf.Name.Font,
            Subtype=pikepdf.Name.Type0,
            BaseFont=pikepdf.Name.Boxes,
            Encoding=pikepdf.Name("/Identity-V"),
            DescendantFonts=[pdf.make_indirect(below)],
            ToUnicode=pdf.make_stream(unicode.encode()),
        )
        pdf.add_blank_page(page_size=(1000, 1000))
        pdf.pages[0].Resources = pikepdf.Dictionary(Font=pikepdf.Dictionary(V=pdf.make_indirect(composite)))
        shown = "".join(f"{code:04X}" for code in codes)
        pdf.pages[0].Contents = pdf.make_stream(f"BT /V 20 Tf 500 800 Td <{shown}> Tj ET".encode())
        data = io.BytesIO()
        pdf.save(data)
    (word,) = words_in(data.getvalue())
    assert word.text == letters
    # the last baseline: 800 − 20 × (0.88 + 3); the first letter's top: 800 − 20 × 0.88 + 14
    assert bounds(word) == pytest.approx((492, 722.4, 508, 796.4), abs=0.1)


def test_what_pdfium_puts_in_loses_no_letters() -> None:
    """Letters far apart, each an object of its own: white space of pdfium's own stands between them."""

    def draw(canvas: Canvas) -> None:
        for n, letter in enumerate("ABCDEFGHIJKLMNOPQRSTUVWXYZ"):
            canvas.drawString(20 + 36 * n, 500 - 4 * n, letter)
        for n, letter in enumerate("abcdefghijklm"):
            canvas.drawString(700, 480 - 35 * n, letter)

    assert sorted("".join(texts(draw))) == sorted(string.ascii_uppercase + "abcdefghijklm")
