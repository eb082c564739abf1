"""The one typeface of every drawing: characters in, widths and outlines out.

Source Sans Pro Regular and Semibold, read by path from the installed package ``font_source_sans_pro``, so
that every machine draws the same outlines whatever fonts it has. Sizes and widths are millimetres; outlines
are in font units (`UNITS_PER_EM` to the em), baseline at y = 0, y up. Characters stand one after another by
their advance widths: no kerning, no shaping, left to right, which serves Latin, Greek and Cyrillic.

The package holds each weight twice: with cubic outlines, which are measured and drawn as paths (half the size
of quadratic ones), and as TrueType, which every PDF reader takes embedded. The letters are the same; a few
advance widths differ by one unit, and the first file's stand for both.

A character that the typeface lacks is drawn as its ``.notdef`` box: seen, never an exception.
"""

import functools
import unicodedata
from pathlib import Path
from typing import Any, Literal

from attrs import frozen

UNITS_PER_EM = 1000
CAP_HEIGHT = 0.660  # height of H over the size; OS/2.sCapHeight of both weights
X_HEIGHT = 0.486  # height of x over the size, Regular; OS/2.sxHeight
DESCENT = 0.205  # depth of p below the baseline over the size

_STEMS = {False: "SourceSansPro-Regular", True: "SourceSansPro-Semibold"}

Kind = Literal["otf", "ttf"]

Command = tuple[str, tuple[tuple[float, float], ...]]


@frozen
class Glyph:
    """One drawn character, font units. Each command is M, L, C or Z with its points: 1, 1, 3 or none."""

    advance: int
    commands: tuple[Command, ...]


def font_path(bold: bool, kind: Kind) -> Path:
    """The font file of a weight. Raises `FileNotFoundError` when the font package lacks it."""
    import font_source_sans_pro  # the package's own import lists its files on disk: only when text is drawn

    path = Path(font_source_sans_pro.__file__).parent / "files" / f"{_STEMS[bold]}.{kind}"
    if not path.is_file():
        raise FileNotFoundError(
            f"{path.name} is missing from the installed package font-source-sans-pro, so no text can be "
            "drawn; install font-source-sans-pro again"
        )
    return path


@functools.cache
def load_font(bold: bool, kind: Kind) -> Any:
    """The opened `fontTools.ttLib.TTFont` of a weight, shared by all callers: read it, never change it."""
    from fontTools.ttLib import TTFont  # heavy: only when text is drawn

    return TTFont(font_path(bold, kind), lazy=True, recalcTimestamp=False)


@functools.cache
def readable(string: str) -> str:
    """The string as it is drawn: composed (NFC), any white space a space, other control characters U+FFFD."""
    return "".join(_readable_character(char) for char in unicodedata.normalize("NFC", string))


def _readable_character(char: str) -> str:
    if char.isspace() and char != "\u00a0":
        return " "
    return "\ufffd" if unicodedata.category(char) in ("Cc", "Cs") else char


@functools.cache
def glyph_name(char: str, bold: bool, kind: Kind) -> str:
    """The name of a character's glyph in the font file, ``.notdef`` where there is none."""
    names: dict[int, str] = _character_map(bold, kind)
    return names.get(ord(char), ".notdef")


@functools.cache
def _character_map(bold: bool, kind: Kind) -> Any:
    return load_font(bold, kind).getBestCmap()


@functools.cache
def glyph(char: str, bold: bool = False) -> Glyph:
    """The glyph of one character. Format characters (category Cf) without a glyph take no room."""
    from fontTools.pens.basePen import BasePen  # with the font itself: only when text is drawn

    name = glyph_name(char, bold, "otf")
    if name == ".notdef" and unicodedata.category(char) == "Cf":
        return Glyph(0, ())
    commands: list[Command] = []

    class Outline(BasePen):  # type: ignore[misc]
        def _moveTo(self, pt: Any) -> None:  # noqa: N802 - the names of fontTools
            commands.append(("M", (pt,)))

        def _lineTo(self, pt: Any) -> None:  # noqa: N802
            commands.append(("L", (pt,)))

        def _curveToOne(self, pt1: Any, pt2: Any, pt3: Any) -> None:  # noqa: N802
            commands.append(("C", (pt1, pt2, pt3)))

        def _closePath(self) -> None:  # noqa: N802
            commands.append(("Z", ()))

    glyphs = _glyph_set(bold)
    glyphs[name].draw(Outline(glyphs))
    return Glyph(int(load_font(bold, "otf")["hmtx"][name][0]), tuple(commands))


@functools.cache
def _glyph_set(bold: bool) -> Any:
    return load_font(bold, "otf").getGlyphSet()


@functools.cache
def advance(char: str, bold: bool = False) -> int:
    """Advance width of one character in font units."""
    return glyph(char, bold).advance


def text_width(string: str, size: float, bold: bool = False) -> float:
    """Width in mm of a line of text set at ``size`` mm (the em), kerning ignored."""
    return sum(advance(char, bold) for char in readable(string)) * size / UNITS_PER_EM


def wrap_text(string: str, size: float, width: float, bold: bool = False) -> list[str]:
    """The string broken into lines no wider than ``width`` mm, at spaces and after ``\\n``.

    A word wider than the line is broken between characters; a line always takes one character at least.
    """
    lines: list[str] = []
    for part in string.split("\n"):
        line = ""
        for word in part.split(" "):
            trial = f"{line} {word}" if line else word
            if text_width(trial, size, bold) <= width:
                line = trial
                continue
            if line:
                lines.append(line)
            while len(word) > 1 and text_width(word, size, bold) > width:
                keep = max(1, _characters_within(word, size, width, bold))
                lines.append(word[:keep])
                word = word[keep:]
            line = word
        lines.append(line)
    return lines


def fit_text(string: str, size: float, width: float, bold: bool = False) -> str:
    """The string, cut and ended with an ellipsis where it is wider than ``width`` mm."""
    if text_width(string, size, bold) <= width:
        return string
    room = width - text_width("…", size, bold)
    return string[: _characters_within(string, size, room, bold)].rstrip() + "…"


def _characters_within(string: str, size: float, width: float, bold: bool) -> int:
    room = width * UNITS_PER_EM / size
    for count, char in enumerate(string):
        room -= sum(advance(part, bold) for part in readable(char))
        if room < 0:
            return count
    return len(string)
