"""Drawings to SVG: one `Drawing` in, the bytes of one SVG 1.1 file out.

The viewBox is in millimetres, so that a vector editor opens the page at its true size; y is flipped here
and nowhere else. Each layer is a top-level group with the layer's id and title. Text is drawn as outlines
in font units under one matrix, with its string as ``aria-label``, so that nothing depends on installed
fonts. Pictures are embedded as PNG.
"""

import base64
import functools
import io
import math
from typing import Any

import svgwrite
from PIL import Image

from .fonts import UNITS_PER_EM, advance, glyph, readable, text_width
from .inks import WHITE
from .marks import Drawing, Ink, Layer, Path, Picture, Point, Text

_MITRE_LIMIT = 4  # the default of SVG; the PDF writer states the same


def write_svg(drawing: Drawing) -> bytes:
    """The drawing as an SVG file; places are exact to 0.0005 mm. Same drawing, same bytes."""
    page = svgwrite.Drawing(
        size=(f"{_number(drawing.width)}mm", f"{_number(drawing.height)}mm"),
        viewBox=f"0 0 {_number(drawing.width)} {_number(drawing.height)}",
        debug=False,
    )
    if drawing.title:
        page.set_desc(title=readable(drawing.title))
    for layer in drawing.layers:
        page.add(_layer(page, layer, drawing.height))
    body: str = page.tostring()
    return f'<?xml version="1.0" encoding="utf-8"?>\n{body}\n'.encode()


def _layer(page: svgwrite.Drawing, layer: Layer, height: float) -> Any:
    group = page.g(id=layer.id)
    group.set_desc(title=readable(layer.title))
    for index, mark in enumerate(layer.marks):
        match mark:
            case Path():
                group.add(_path(page, mark, height))
            case Text():
                for outline in _text(page, mark, height):
                    group.add(outline)
            case Picture():
                group.add(_picture(page, mark, height, f"{layer.id}-clip-{index}"))
    return group


def _path(page: svgwrite.Drawing, path: Path, height: float) -> Any:
    look: dict[str, Any] = {"fill": _colour(path.fill)}
    if path.fill is not None:
        look["fill_rule"] = "evenodd"
    if path.stroke is not None:
        look |= {
            "stroke": _colour(path.stroke.ink),
            "stroke_width": _number(path.stroke.width),
            "stroke_miterlimit": _MITRE_LIMIT,
        }
        if path.stroke.dash:
            look["stroke_dasharray"] = " ".join(map(_number, path.stroke.dash))
        if path.stroke.cap == "round":
            look["stroke_linecap"] = "round"
    return page.path(d=_outline(path.subpaths, height, "Z" if path.closed else ""), **look)


def _outline(subpaths: tuple[tuple[Point, ...], ...], height: float, end: str) -> str:
    return "".join(
        "M" + "L".join([f"{_number(x)} {_number(height - y)}" for x, y in points]) + end
        for points in subpaths
        if points
    )


def _text(page: svgwrite.Drawing, text: Text, height: float) -> list[Any]:
    """The outlines of a line of text, its halo first: a stroked copy, which every editor knows."""
    scale = text.size / UNITS_PER_EM
    along = math.radians(text.angle)
    cos, sin = math.cos(along), math.sin(along)
    shift = {"start": 0.0, "middle": 0.5, "end": 1.0}[text.anchor] * text_width(text.string, text.size, text.bold)
    x, y = text.at[0] - shift * cos, height - (text.at[1] - shift * sin)
    matrix = (scale * cos, -scale * sin, -scale * sin, -scale * cos, x, y)
    place = {"d": _string_outline(text.string, text.bold), "transform": _matrix(matrix)}
    outlines = []
    if text.halo is not None:
        outlines.append(
            page.path(
                **place,
                fill="none",
                stroke=_colour(text.halo_ink or WHITE),
                stroke_width=_number(text.halo / scale),
                stroke_linejoin="round",
            )
        )
    letters = page.path(**place, fill=_colour(text.ink))
    letters.attribs["aria-label"] = readable(text.string)
    return [*outlines, letters]


def _string_outline(string: str, bold: bool) -> str:
    parts = []
    at = 0
    for char in readable(string):
        start, rest = _glyph_outline(char, bold)
        if rest:
            parts.append(f"M{at + start[0]:g} {start[1]:g}{rest}")
        at += advance(char, bold)
    return "".join(parts)


@functools.cache
def _glyph_outline(char: str, bold: bool) -> tuple[Point, str]:
    """A glyph's first point, and the rest as relative commands, so that it serves wherever it stands."""
    start: Point | None = None
    here = begin = (0.0, 0.0)
    parts: list[str] = []
    last = ""
    for command, points in glyph(char, bold).commands:
        letter = command.lower()
        if letter == "z":
            here = begin
        steps = [f"{x - here[0]:g} {y - here[1]:g}" for x, y in points]
        if points:
            here = points[-1]
        if letter == "m":
            begin = here
        if start is None:
            start = here
            continue
        parts.append((" " if letter == last else letter) + " ".join(steps))
        last = letter
    return start or (0.0, 0.0), "".join(parts).replace(" -", "-")


def _picture(page: svgwrite.Drawing, picture: Picture, height: float, clip_id: str) -> Any:
    a, b, c, d, e, f = picture.matrix
    # the picture's own frame here: pixels, y down from its upper left corner
    across, down = picture.width, picture.height
    matrix = (a / across, -b / across, -c / down, d / down, e + c, height - d - f)
    image = page.image(href=_png_uri(picture), insert=(0, 0), size=(across, down), transform=_matrix(matrix))
    image.attribs["preserveAspectRatio"] = "none"
    if picture.alt:
        image.set_desc(title=readable(picture.alt))
    if not picture.clip:
        return image
    clip = page.clipPath(id=clip_id)
    clip.add(page.path(d=_outline(picture.clip, height, "Z"), clip_rule="evenodd"))
    page.defs.add(clip)
    group = page.g(clip_path=f"url(#{clip_id})")
    group.add(image)
    return group


def _png_uri(picture: Picture) -> str:
    png = io.BytesIO()
    Image.frombytes("RGB", (picture.width, picture.height), picture.rgb).save(png, "PNG")
    return "data:image/png;base64," + base64.b64encode(png.getvalue()).decode("ascii")


def _colour(ink: Ink | None) -> str:
    return "none" if ink is None else "#{:02x}{:02x}{:02x}".format(*ink.rgb)


def _matrix(numbers: tuple[float, ...]) -> str:
    # nine decimals: the linear part multiplies up to thousands of font units
    return "matrix(" + " ".join(f"{number:.9f}".rstrip("0").rstrip(".") for number in numbers) + ")"


def _number(value: float) -> str:
    shown = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if shown in ("-0", "") else shown
