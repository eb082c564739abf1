"""Drawings to PDF: pages of marks in, the bytes of one PDF 1.7 file out.

Every operator of the page contents is written here, in points at exact scale, y up as in the drawing; pypdf
keeps the objects and writes the file. Spot inks become Separations with a CMYK alternate and overprint;
other inks plain RGB, since what is not a guide is looked at on screens. Layers become optional content with
the processing-step metadata of ISO 19593-1. There is no transparency, no date and no random identifier.
"""

import functools
import hashlib
import io
import math
from collections.abc import Callable, Iterable, Sequence

from attrs import define, field
from PIL import Image
from pypdf import PdfWriter
from pypdf.generic import (
    ArrayObject,
    BooleanObject,
    ByteStringObject,
    DictionaryObject,
    FloatObject,
    IndirectObject,
    NameObject,
    NumberObject,
    PdfObject,
    StreamObject,
    TextStringObject,
)

from artgen.units import PT_PER_MM

from .fonts import UNITS_PER_EM, advance, glyph, readable, text_width
from .inks import WHITE
from .marks import Drawing, Ink, Layer, Path, Picture, Point, Stroke, Text
from .pdf_font import EmbeddedFont

_JPEG_FROM_PIXELS = 300_000  # larger pictures are photographs or renders: JPEG; smaller ones stay exact
_JPEG_QUALITY = 88
_MITRE_LIMIT = 4  # the default of SVG, so that both files show the same corners


def write_pdf(pages: Sequence[Drawing], *, title: str, language: str = "en") -> bytes:
    """The pages as one PDF at 1:1; places are exact to 0.001 mm. Same pages, same bytes.

    Layers are written as optional content when a page has boxes or more than one layer; layers that agree in
    title, printing, locking and step are one across the pages. With several pages, each page's title is a
    bookmark. Raises `ValueError` for no pages.
    """
    if not pages:
        raise ValueError("a PDF needs at least one page, and none was given")
    document = _Document(pages)
    contents = [document.add_page(page) for page in pages]
    return document.finish(title, language, hashlib.sha256(b"\0".join(contents)).digest()[:16])


class _Document:
    """One PDF in the making, and what its pages share: fonts, inks, pictures, layers."""

    def __init__(self, pages: Sequence[Drawing]) -> None:
        self.writer = PdfWriter()
        self.writer.pdf_header = "%PDF-1.7"
        self.layered = any(page.boxes is not None or len(page.layers) > 1 for page in pages)
        self.fonts = {bold: EmbeddedFont(chars, bold) for bold in (False, True) if (chars := _characters(pages, bold))}
        self._written: dict[object, IndirectObject] = {}
        self._groups: dict[tuple[object, ...], tuple[Layer, IndirectObject]] = {}
        self._bookmarks: list[str] = []

    def add_page(self, drawing: Drawing) -> bytes:
        """Adds one page; gives its content stream before compression."""
        width, height = drawing.width * PT_PER_MM, drawing.height * PT_PER_MM
        page = self.writer.add_blank_page(width, height)
        page[NameObject("/MediaBox")] = _rectangle((0, 0, width, height), 1)
        if drawing.boxes is not None:
            page[NameObject("/BleedBox")] = _rectangle(drawing.boxes.bleed, PT_PER_MM)
            page[NameObject("/TrimBox")] = _rectangle(drawing.boxes.trim, PT_PER_MM)
        content = _Content(self)
        for layer in drawing.layers:
            content.layer(layer)
        data = "\n".join(content.operators).encode("ascii")
        page[NameObject("/Contents")] = self.writer._add_object(_stream(data))
        page[NameObject("/Resources")] = content.resources()
        self._bookmarks.append(drawing.title)
        return data

    def once(self, key: object, make: Callable[[], PdfObject]) -> IndirectObject:
        """The reference to the object that ``make`` gives, made and added once for each key."""
        if key not in self._written:
            self._written[key] = self.writer._add_object(make())
        return self._written[key]

    def group(self, layer: Layer) -> IndirectObject:
        """The optional-content group of a layer."""
        key = (layer.title, layer.prints, layer.locked, layer.step)
        if key not in self._groups:
            self._groups[key] = (layer, self.writer._add_object(_layer_group(layer)))
        return self._groups[key][1]

    def finish(self, title: str, language: str, identifier: bytes) -> bytes:
        root = self.writer.root_object
        root[NameObject("/Lang")] = TextStringObject(language)
        root[NameObject("/ViewerPreferences")] = DictionaryObject({NameObject("/DisplayDocTitle"): BooleanObject(True)})
        if self._groups:
            root[NameObject("/OCProperties")] = _layer_properties(list(self._groups.values()))
        if len(self._bookmarks) > 1:
            for number, bookmark in enumerate(self._bookmarks):
                self.writer.add_outline_item(title=readable(bookmark) or str(number + 1), page_number=number)
        self.writer.metadata = {"/Title": readable(title), "/Producer": "artgen"}
        # pypdf has no public way to set an identifier; its own is random
        self.writer._ID = ArrayObject([ByteStringObject(identifier), ByteStringObject(identifier)])
        file = io.BytesIO()
        self.writer.write(file)
        return file.getvalue()


@define
class _Content:
    """The content stream of one page, and the names under which it calls shared objects."""

    document: _Document
    operators: list[str] = field(factory=lambda: [f"{_MITRE_LIMIT} M"])
    _names: dict[str, dict[str, IndirectObject]] = field(factory=dict)
    _state: dict[str, str] = field(factory=dict)

    def resources(self) -> DictionaryObject:
        return DictionaryObject(
            {
                NameObject(f"/{kind}"): DictionaryObject({NameObject(f"/{name}"): ref for name, ref in refs.items()})
                for kind, refs in self._names.items()
            }
        )

    def layer(self, layer: Layer) -> None:
        if self.document.layered:
            self.operators.append(f"/OC {self._call('Properties', 'L', self.document.group(layer))} BDC")
        for mark in layer.marks:
            match mark:
                case Path():
                    self._path(mark)
                case Text():
                    self._text(mark)
                case Picture():
                    self._picture(mark)
        if self.document.layered:
            self.operators.append("EMC")

    def _path(self, path: Path) -> None:
        if path.fill is None and path.stroke is None:
            return
        if path.fill is not None:
            self._ink(path.fill, stroking=False)
        if path.stroke is not None:
            self._stroke(path.stroke)
        self.operators.append(_outline(path.subpaths, path.closed))
        if path.fill is None:
            self.operators.append("S")
        else:
            self.operators.append("f*" if path.stroke is None else "B*")

    def _stroke(self, stroke: Stroke) -> None:
        self._ink(stroke.ink, stroking=True)
        self._set("w", f"{_points(stroke.width)} w")
        self._set("d", f"[{' '.join(map(_points, stroke.dash))}] 0 d")
        self._set("J", "1 J" if stroke.cap == "round" else "0 J")

    def _ink(self, ink: Ink, *, stroking: bool) -> None:
        if ink.spot:
            name = self._call("ColorSpace", "C", self.document.once(ink, functools.partial(_separation, ink)))
            colour = f"{name} CS 1 SCN" if stroking else f"{name} cs 1 scn"
        else:
            colour = f"{_rgb(ink.rgb)} {'RG' if stroking else 'rg'}"
        self._set("stroking" if stroking else "filling", colour)
        if ink.spot or "overprint" in self._state:  # pages without spot inks need no word about overprint
            reference = self.document.once(ink.spot, functools.partial(_overprint, ink.spot))
            self._set("overprint", f"{self._call('ExtGState', 'G', reference)} gs")

    def _set(self, what: str, operator: str) -> None:
        if self._state.get(what) != operator:
            self._state[what] = operator
            self.operators.append(operator)

    def _call(self, kind: str, letter: str, reference: IndirectObject) -> str:
        name = f"{letter}{reference.idnum}"
        self._names.setdefault(kind, {})[name] = reference
        return f"/{name}"

    def _text(self, text: Text) -> None:
        string = readable(text.string)
        if not string:
            return
        along = math.radians(text.angle)
        cos, sin = math.cos(along), math.sin(along)
        share = {"start": 0.0, "middle": 0.5, "end": 1.0}[text.anchor]
        back = share * text_width(string, text.size, text.bold)
        place = f"{_points(text.at[0] - back * cos)} {_points(text.at[1] - back * sin)}"
        turn = f"{_number(cos)} {_number(sin)} {_number(-sin)} {_number(cos)}"
        if text.halo is not None:
            self._halo(text, string, f"{turn} {place} cm")
        self._ink(text.ink, stroking=False)
        font = self.document.fonts[text.bold]
        reference = self.document.once(font, functools.partial(font.dictionary, self.document.writer))
        size = f"{self._call('Font', 'F', reference)} {_points(text.size)} Tf"
        self.operators.append(f"BT {size} {turn} {place} Tm {font.hex_string(string)} Tj ET")

    def _halo(self, text: Text, string: str, place: str) -> None:
        """Outlines stroked under the letters: paths, since text painted twice would be found twice."""
        assert text.halo is not None
        self._ink(text.halo_ink or WHITE, stroking=True)
        scale = text.size * PT_PER_MM / UNITS_PER_EM
        width = _number(text.halo * PT_PER_MM / scale)
        self.operators.append(f"q {place} {scale:.9f} 0 0 {scale:.9f} 0 0 cm {width} w 1 j [] 0 d")
        for char in string:
            outline = _glyph_outline(char, text.bold)
            if outline:
                self.operators.append(f"{outline} S")
            self.operators.append(f"1 0 0 1 {advance(char, text.bold)} 0 cm")
        self.operators.append("Q")

    def _picture(self, picture: Picture) -> None:
        key = (picture.width, picture.height, picture.jpeg, hashlib.sha256(picture.rgb).digest())
        make = functools.partial(_image, picture)
        name = self._call("XObject", "I", self.document.once(key, make))
        clip = f"{_outline(picture.clip, True)} W* n " if picture.clip else ""
        matrix = " ".join(map(_points, picture.matrix))
        self.operators.append(f"q {clip}{matrix} cm {name} Do Q")


def _characters(pages: Iterable[Drawing], bold: bool) -> set[str]:
    return {
        char
        for page in pages
        for layer in page.layers
        for mark in layer.marks
        if isinstance(mark, Text) and mark.bold == bold
        for char in readable(mark.string)
    }


@functools.cache
def _glyph_outline(char: str, bold: bool) -> str:
    """Path operators of a glyph, in font units."""
    operators = {"M": "m", "L": "l", "C": "c", "Z": "h"}
    return " ".join(
        " ".join([f"{x:g} {y:g}" for x, y in points] + [operators[command]])
        for command, points in glyph(char, bold).commands
    )


def _outline(subpaths: tuple[tuple[Point, ...], ...], closed: bool) -> str:
    parts: list[str] = []
    for points in subpaths:
        if points:
            (x, y), *rest = points
            parts.append(f"{_points(x)} {_points(y)} m")
            parts += [f"{_points(x)} {_points(y)} l" for x, y in rest]
            if closed:
                parts.append("h")
    return "\n".join(parts)


def _image(picture: Picture) -> StreamObject:
    if picture.jpeg or picture.width * picture.height > _JPEG_FROM_PIXELS:
        jpeg = io.BytesIO()
        image = Image.frombytes("RGB", (picture.width, picture.height), picture.rgb)
        image.save(jpeg, "JPEG", quality=picture.jpeg or _JPEG_QUALITY, subsampling=0)
        stream = StreamObject()
        stream.set_data(jpeg.getvalue())
        stream[NameObject("/Filter")] = NameObject("/DCTDecode")
    else:
        stream = _stream(picture.rgb)
    for key, value in (
        ("/Type", NameObject("/XObject")),
        ("/Subtype", NameObject("/Image")),
        ("/Width", NumberObject(picture.width)),
        ("/Height", NumberObject(picture.height)),
        ("/ColorSpace", NameObject("/DeviceRGB")),
        ("/BitsPerComponent", NumberObject(8)),
    ):
        stream[NameObject(key)] = value
    return stream


def _separation(ink: Ink) -> ArrayObject:
    """ISO 32000-1, 8.6.6.4; the tint runs straight from no ink to the CMYK alternate (a Type 2 function)."""
    function = DictionaryObject(
        {
            NameObject("/FunctionType"): NumberObject(2),
            NameObject("/Domain"): ArrayObject([NumberObject(0), NumberObject(1)]),
            NameObject("/C0"): ArrayObject([NumberObject(0)] * 4),
            NameObject("/C1"): ArrayObject(FloatObject(part) for part in ink.cmyk),
            NameObject("/N"): NumberObject(1),
        }
    )
    # pypdf writes the characters of a name that need it as #xx
    return ArrayObject([NameObject("/Separation"), NameObject(f"/{ink.name}"), NameObject("/DeviceCMYK"), function])


def _overprint(on: bool) -> DictionaryObject:
    """ISO 32000-1, 8.6.7: mode 1, so that a tint of 0 leaves what lies under it."""
    return DictionaryObject(
        {
            NameObject("/Type"): NameObject("/ExtGState"),
            NameObject("/OP"): BooleanObject(on),
            NameObject("/op"): BooleanObject(on),
            NameObject("/OPM"): NumberObject(1),
        }
    )


def _layer_group(layer: Layer) -> DictionaryObject:
    group = DictionaryObject(
        {
            NameObject("/Type"): NameObject("/OCG"),
            NameObject("/Name"): TextStringObject(readable(layer.title)),
        }
    )
    if not layer.prints:
        state = DictionaryObject({NameObject("/PrintState"): NameObject("/OFF")})
        group[NameObject("/Usage")] = DictionaryObject({NameObject("/Print"): state})
    if layer.step is not None:
        step = DictionaryObject({NameObject("/GTS_ProcStepsGroup"): NameObject(f"/{layer.step.group}")})
        if layer.step.type is not None:
            step[NameObject("/GTS_ProcStepsType")] = NameObject(f"/{layer.step.type}")
        group[NameObject("/GTS_Metadata")] = step
    return group


def _layer_properties(groups: list[tuple[Layer, IndirectObject]]) -> DictionaryObject:
    """ISO 32000-1, 8.11.4; the list is shown as it lies, the uppermost layer first."""
    silent = ArrayObject(ref for layer, ref in groups if not layer.prints)
    default = DictionaryObject(
        {
            NameObject("/Order"): ArrayObject(ref for _, ref in reversed(groups)),
            NameObject("/Locked"): ArrayObject(ref for layer, ref in groups if layer.locked),
        }
    )
    if silent:
        default[NameObject("/AS")] = ArrayObject(
            [
                DictionaryObject(
                    {
                        NameObject("/Event"): NameObject("/Print"),
                        NameObject("/Category"): ArrayObject([NameObject("/Print")]),
                        NameObject("/OCGs"): silent,
                    }
                )
            ]
        )
    return DictionaryObject({NameObject("/OCGs"): ArrayObject(ref for _, ref in groups), NameObject("/D"): default})


def _stream(data: bytes) -> StreamObject:
    stream = StreamObject()
    stream.set_data(data)
    return stream.flate_encode()


def _rectangle(box: tuple[float, float, float, float], factor: float) -> ArrayObject:
    return ArrayObject(FloatObject(f"{edge * factor:.5f}") for edge in box)


def _rgb(rgb: tuple[int, int, int]) -> str:
    return " ".join(f"{part / 255:.4f}".rstrip("0").rstrip(".") for part in rgb)


def _points(mm: float) -> str:
    return _number(mm * PT_PER_MM)


def _number(value: float) -> str:
    shown = f"{value:.5f}".rstrip("0").rstrip(".")
    return "0" if shown == "-0" else shown
