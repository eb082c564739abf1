"""Text in our PDFs: characters in, a small embedded TrueType font and its PDF objects out.

A document's font holds only the glyphs that it draws. Codes are two bytes (Identity-H); each drawn
character has its own code, even when several share the ``.notdef`` box, so that searching and copying give
back what was written. ISO 32000-1, 9.7 (composite fonts) and 9.10 (extraction of text).
"""

import functools
import io
from collections.abc import Iterable
from typing import Any

from pypdf import PdfWriter
from pypdf.generic import (
    ArrayObject,
    DictionaryObject,
    NameObject,
    NumberObject,
    StreamObject,
    TextStringObject,
)

from .fonts import advance, font_path, glyph, glyph_name, load_font

_FLAGS = 4  # ISO 32000-1 table 123: symbolic, i.e. outside the standard Latin character set


class EmbeddedFont:
    """One weight in one document: the characters that it must hold, in code-point order, and their codes."""

    def __init__(self, characters: Iterable[str], bold: bool) -> None:
        self.bold = bold
        self.characters = "".join(sorted(set(characters)))
        self._code = {char: f"{code:04X}" for code, char in enumerate(self.characters, start=1)}

    def hex_string(self, string: str) -> str:
        """The operand of Tj for a string whose characters the font holds."""
        return "<" + "".join([self._code[char] for char in string]) + ">"

    def dictionary(self, writer: PdfWriter) -> DictionaryObject:
        """The Type0 dictionary of the font, the objects that it leads to added to ``writer``."""
        program, map_data = _program(self.characters, self.bold)
        source = load_font(self.bold, "ttf")
        name = NameObject(f"/ARTGEN+{font_path(self.bold, 'ttf').stem}")
        head, os2 = source["head"], source["OS/2"]
        file = _stream(program)
        file[NameObject("/Length1")] = NumberObject(len(program))
        descriptor = DictionaryObject(
            {
                NameObject("/Type"): NameObject("/FontDescriptor"),
                NameObject("/FontName"): name,
                NameObject("/Flags"): NumberObject(_FLAGS),
                NameObject("/FontBBox"): ArrayObject(
                    NumberObject(edge) for edge in (head.xMin, head.yMin, head.xMax, head.yMax)
                ),
                NameObject("/ItalicAngle"): NumberObject(0),
                NameObject("/Ascent"): NumberObject(source["hhea"].ascent),
                NameObject("/Descent"): NumberObject(source["hhea"].descent),
                NameObject("/CapHeight"): NumberObject(os2.sCapHeight),
                NameObject("/StemV"): NumberObject(os2.usWeightClass // 5),  # a hint for substitutes only
                NameObject("/FontFile2"): writer._add_object(file),
            }
        )
        widths = ArrayObject(NumberObject(advance(char, self.bold)) for char in self.characters)
        descendant = DictionaryObject(
            {
                NameObject("/Type"): NameObject("/Font"),
                NameObject("/Subtype"): NameObject("/CIDFontType2"),
                NameObject("/BaseFont"): name,
                NameObject("/CIDSystemInfo"): DictionaryObject(
                    {
                        NameObject("/Registry"): TextStringObject("Adobe"),
                        NameObject("/Ordering"): TextStringObject("Identity"),
                        NameObject("/Supplement"): NumberObject(0),
                    }
                ),
                NameObject("/FontDescriptor"): writer._add_object(descriptor),
                NameObject("/DW"): NumberObject(0),
                NameObject("/W"): ArrayObject([NumberObject(1), widths]),
                NameObject("/CIDToGIDMap"): writer._add_object(_stream(map_data)),
            }
        )
        return DictionaryObject(
            {
                NameObject("/Type"): NameObject("/Font"),
                NameObject("/Subtype"): NameObject("/Type0"),
                NameObject("/BaseFont"): name,
                NameObject("/Encoding"): NameObject("/Identity-H"),
                NameObject("/DescendantFonts"): ArrayObject([writer._add_object(descendant)]),
                NameObject("/ToUnicode"): writer._add_object(_stream(_to_unicode(self.characters))),
            }
        )


def _stream(data: bytes) -> StreamObject:
    stream = StreamObject()
    stream.set_data(data)
    return stream.flate_encode()


@functools.lru_cache(maxsize=16)  # the papers of one order draw much the same characters
def _program(characters: str, bold: bool) -> tuple[bytes, bytes]:
    """The TrueType program with the glyphs of ``characters``, and the CIDToGIDMap from codes to them."""
    from fontTools.fontBuilder import FontBuilder  # heavy: only when a PDF with text is written

    source = load_font(bold, "ttf")
    names = [_drawn_name(char, bold) for char in characters]
    order = [".notdef", *sorted({"space", *names} - {".notdef"})]
    # text is measured and drawn as paths by the widths of the other file: this one takes them over
    widths = {name: advance(char, bold) for name, char in zip(names, characters, strict=True)}
    widths |= {".notdef": advance("\uffff", bold), "space": advance(" ", bold)}
    builder = FontBuilder(source["head"].unitsPerEm, isTTF=True)
    builder.font.recalcTimestamp = False
    builder.updateHead(created=0, modified=0)
    builder.setupGlyphOrder(order)
    builder.setupGlyf({name: _plain_glyph(name, bold) for name in order}, calcGlyphBounds=False)
    builder.setupHorizontalMetrics({name: (widths[name], source["hmtx"][name][1]) for name in order})
    builder.setupHorizontalHeader(ascent=source["hhea"].ascent, descent=source["hhea"].descent)
    builder.setupMaxp()
    program = io.BytesIO()
    builder.font.save(program, reorderTables=False)
    place = {name: index for index, name in enumerate(order)}
    gids = [0] + [place[name] for name in names]
    return program.getvalue(), b"".join(gid.to_bytes(2, "big") for gid in gids)


def _drawn_name(char: str, bold: bool) -> str:
    name = glyph_name(char, bold, "ttf")
    # a format character that the typeface lacks is not seen, unlike other characters that it lacks
    return "space" if name == ".notdef" and not glyph(char, bold).commands else name


@functools.cache
def _plain_glyph(name: str, bold: bool) -> Any:
    """The TrueType glyph without hints and without parts shared with other glyphs."""
    from fontTools.pens.filterPen import DecomposingFilterPen  # with the rest of fontTools
    from fontTools.pens.ttGlyphPen import TTGlyphPen

    glyphs = load_font(bold, "ttf").getGlyphSet()
    pen = TTGlyphPen(None)
    glyphs[name].draw(DecomposingFilterPen(pen, glyphs))
    return pen.glyph()


def _to_unicode(characters: str) -> bytes:
    """The CMap from codes to characters: ISO 32000-1, 9.10.3; at most 100 entries a block."""
    entries = [
        f"<{code:04X}> <{char.encode('utf-16-be').hex().upper()}>" for code, char in enumerate(characters, start=1)
    ]
    blocks = "".join(
        f"{len(part)} beginbfchar\n" + "\n".join(part) + "\nendbfchar\n"
        for part in (entries[start : start + 100] for start in range(0, len(entries), 100))
    )
    return (
        "/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n"
        "/CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def\n"
        "/CMapName /Adobe-Identity-UCS def\n/CMapType 2 def\n"
        "1 begincodespacerange\n<0000> <FFFF>\nendcodespacerange\n"
        f"{blocks}endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n"
    ).encode("ascii")
