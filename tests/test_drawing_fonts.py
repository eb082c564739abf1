"""The typeface, against the font files' own tables."""

import itertools

import pytest
from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont

from artgen.drawing import fonts

LATIN = "".join(map(chr, range(0x20, 0x7F))) + "øØéüñçß×–—°±½″′→•…≤≥−"


@pytest.mark.parametrize("bold", [False, True])
def test_metrics_are_those_of_the_font_files(bold: bool) -> None:
    font = TTFont(fonts.font_path(bold, "otf"))
    assert font["head"].unitsPerEm == fonts.UNITS_PER_EM
    assert font["OS/2"].sCapHeight == fonts.CAP_HEIGHT * fonts.UNITS_PER_EM
    names, advances = font.getBestCmap(), font["hmtx"]
    for char in LATIN:
        assert fonts.advance(char, bold) == advances[names[ord(char)]][0], char


def test_heights_stand_for_the_letters_they_are_named_after() -> None:
    font = TTFont(fonts.font_path(False, "ttf"))
    glyphs = font.getGlyphSet()

    def bounds(char: str) -> tuple[float, float, float, float]:
        pen = BoundsPen(glyphs)
        glyphs[char].draw(pen)
        return pen.bounds

    assert font["OS/2"].sxHeight == fonts.X_HEIGHT * 1000
    # the font's own metrics leave out what hinting does; drawn letters agree within 1 % of the em
    assert bounds("H")[3] / 1000 == pytest.approx(fonts.CAP_HEIGHT, abs=0.01)
    assert -bounds("p")[1] / 1000 == pytest.approx(fonts.DESCENT, abs=0.01)


def test_both_files_of_a_weight_draw_the_same_letters() -> None:
    outlines = {kind: TTFont(fonts.font_path(False, kind)) for kind in ("otf", "ttf")}
    for char in "aegpR8&ø×":
        boxes = []
        for font in outlines.values():
            glyphs = font.getGlyphSet()
            pen = BoundsPen(glyphs)
            glyphs[font.getBestCmap()[ord(char)]].draw(pen)
            boxes.append(pen.bounds)
        # cubic against quadratic outlines: 2 units is 0.002 of the size
        assert boxes[0] == pytest.approx(boxes[1], abs=2), char
    names, advances = outlines["ttf"].getBestCmap(), outlines["ttf"]["hmtx"]
    for char in LATIN:
        assert fonts.advance(char) == pytest.approx(advances[names[ord(char)]][0], abs=1), char


def test_width_is_the_sum_of_the_advances() -> None:
    advances = TTFont(fonts.font_path(False, "otf"))["hmtx"]
    units = advances["A"][0] + advances["V"][0] + advances["one"][0]
    assert fonts.text_width("AV1", 5.0) == pytest.approx(5.0 * units / 1000)
    assert fonts.text_width("", 5.0) == 0


@pytest.mark.parametrize("string", ["\ufdd0", "\U0001f600", "漢字", "\x00", "\ud800", "tab\there", "e\u0301"])
def test_any_string_has_a_width_and_outlines(string: str) -> None:
    assert fonts.text_width(string, 1.0) > 0
    assert any(fonts.glyph(char).commands for char in fonts.readable(string))


def test_an_unknown_character_is_seen_and_a_format_character_is_not() -> None:
    assert fonts.glyph("漢").commands == fonts.glyph("\U0001f600").commands != ()
    assert fonts.glyph("\u2060") == fonts.Glyph(0, ())  # word joiner, category Cf


def test_marks_are_composed_and_white_space_is_one_kind() -> None:
    assert fonts.readable("Cafe\u0301\tbar\n") == "Café bar "


@pytest.mark.parametrize("width", [8.0, 20.0, 55.0])
@pytest.mark.parametrize("bold", [False, True])
def test_wrapped_lines_fit_and_lose_no_letter(width: float, bold: bool) -> None:
    string = "peat_front-view_FINAL_v2_without-any-space.pdf is 1076 × 3376 mm\nand\n\nends here"
    lines = fonts.wrap_text(string, 3.4, width, bold)
    assert all(fonts.text_width(line, 3.4, bold) <= width for line in lines)
    assert "".join(lines).replace(" ", "") == string.replace(" ", "").replace("\n", "")
    assert "" in lines  # the empty line stays


def test_wrapping_breaks_as_late_as_it_can() -> None:
    string = "to and fro and up and down and in and out"
    lines = fonts.wrap_text(string, 3.0, 30.0)
    for line, following in itertools.pairwise(lines):
        assert fonts.text_width(f"{line} {following.split(' ')[0]}", 3.0) > 30.0


def test_fitted_text_ends_with_an_ellipsis_only_where_it_must() -> None:
    assert fonts.fit_text("short", 3.0, 50.0) == "short"
    cut = fonts.fit_text("a very long name of an order", 3.0, 20.0)
    assert cut.endswith("…")
    assert "a very long name of an order".startswith(cut[:-1])
    assert 14.0 < fonts.text_width(cut, 3.0) <= 20.0
