"""Makers of client art with known places: reportlab PDFs, Pillow rasters, svgwrite SVGs, and pages that are no file at
all. Lengths in mm of the page.

Where a word's ink comes to lie is worked out from the font's own outlines (fontTools) and the mapping written into the
file, by sums of its own: nothing of artgen's reading is used.
"""

import math
from collections.abc import Sequence
from pathlib import Path

import font_source_sans_pro
import svgwrite
import zoo
from attrs import frozen
from fontTools.pens.basePen import BasePen
from fontTools.pens.boundsPen import BoundsPen
from fontTools.pens.svgPathPen import SVGPathPen
from fontTools.pens.transformPen import TransformPen
from fontTools.ttLib import TTFont
from PIL import Image, ImageDraw
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont as EmbeddedFont
from reportlab.pdfgen.canvas import Canvas

from artgen.art.facts import FileFacts, PageFacts, Word
from artgen.checks import LaidSeen, Observations
from artgen.placing import Claim, Claims, Target, lay
from artgen.sizing import Sizing
from artgen.structure.shape import Shape
from artgen.survey import placed_words

Point = tuple[float, float]
Box = tuple[float, float, float, float]  # x, y, w, h

FONT = Path(font_source_sans_pro.__file__).parent / "files" / "SourceSansPro-Regular.ttf"
PT = 72 / 25.4  # points in a mm: ISO 32000-1 8.3.2.3 and the yard of 1959
MOSS = (60, 100, 60)
_LETTERS = (1.0, 0.9, 0.6)
STILL = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)
pdfmetrics.registerFont(EmbeddedFont("Sans", FONT))
_OPEN = TTFont(FONT)


class _Steps(BasePen):
    """Points of outlines, curves at 32 steps."""

    def __init__(self, glyphs: object) -> None:
        super().__init__(glyphs)
        self.points: list[Point] = []

    def _moveTo(self, point: Point) -> None:  # noqa: N802
        self.points.append(point)

    def _lineTo(self, point: Point) -> None:  # noqa: N802
        self.points.append(point)

    def _curveToOne(self, *rest: Point) -> None:  # noqa: N802
        weights = [
            ((1 - t) ** 3, 3 * (1 - t) ** 2 * t, 3 * (1 - t) * t * t, t**3) for t in (n / 32 for n in range(1, 33))
        ]
        points = (self._getCurrentPoint(), *rest)
        self.points += [
            tuple(sum(w * p[i] for w, p in zip(four, points, strict=True)) for i in (0, 1)) for four in weights
        ]  # type: ignore[misc]


@frozen
class Lettering:
    """One word. ``x``, ``y`` = start of its baseline; ``size`` = em; ``angle`` = anticlockwise degrees."""

    text: str
    x: float
    y: float
    size: float
    angle: float = 0.0

    @property
    def ink(self) -> Box:
        """x0, y0, x1, y1 of its ink along the baseline, from its start, mm."""
        return tuple(v * self.size for v in ink(self.text))  # type: ignore[return-value]

    @property
    def outline(self) -> tuple[Point, ...]:
        """Points of its ink on the page, its curves in small steps."""
        glyphs, names, upem = _OPEN.getGlyphSet(), _OPEN.getBestCmap(), _OPEN["head"].unitsPerEm
        c, s = math.cos(math.radians(self.angle)), math.sin(math.radians(self.angle))
        k, at, pen = self.size / upem, 0.0, _Steps(glyphs)
        for letter in self.text:
            place = (k * c, k * s, -k * s, k * c, self.x + c * k * at, self.y + s * k * at)
            glyphs[names[ord(letter)]].draw(TransformPen(pen, place))
            at += _OPEN["hmtx"][names[ord(letter)]][0]
        return tuple(pen.points)

    @property
    def quad(self) -> tuple[Point, ...]:
        """Lower left, lower right, upper right, upper left of its ink on the page."""
        x0, y0, x1, y1 = self.ink
        c, s = math.cos(math.radians(self.angle)), math.sin(math.radians(self.angle))
        return tuple(
            (self.x + c * u - s * v, self.y + s * u + c * v) for u, v in ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
        )


def ink(text: str) -> Box:
    """Bounds of a word's ink in em: each letter's outline, placed by the font's advances, without kerning."""
    glyphs, names, upem = _OPEN.getGlyphSet(), _OPEN.getBestCmap(), _OPEN["head"].unitsPerEm
    at, boxes = 0.0, []
    for letter in text:
        pen = BoundsPen(glyphs)
        glyphs[names[ord(letter)]].draw(pen)
        if pen.bounds:
            boxes.append((pen.bounds[0] + at, pen.bounds[1], pen.bounds[2] + at, pen.bounds[3]))
        at += _OPEN["hmtx"][names[ord(letter)]][0]
    x0, y0, x1, y1 = zip(*boxes, strict=True)
    return min(x0) / upem, min(y0) / upem, max(x1) / upem, max(y1) / upem


def pdf(
    file: Path,
    size: Point,
    words: Sequence[Lettering] = (),
    ground: Box | None = None,
    nested: bool = False,
    trim: float | None = None,
    colour: tuple[float, float, float] = (0.2, 0.4, 0.2),
    rgb: bool = False,
) -> Path:
    """A one-page PDF. ``ground`` = a painted field; ``nested`` = words stand in a form in a form, the inner one drawn at
    half size, each giving half of the turn; ``trim`` = TrimBox inset. Colours are RGB,
    written as CMYK without black, or as they are (``rgb``)."""
    file.parent.mkdir(parents=True, exist_ok=True)
    canvas = Canvas(str(file), pagesize=(size[0] * PT, size[1] * PT), invariant=1)
    if trim is not None:
        canvas.setTrimBox((trim * PT, trim * PT, (size[0] - trim) * PT, (size[1] - trim) * PT))
    if nested:
        for index, word in enumerate(words):
            _forms(canvas, word, index, rgb)
    canvas.scale(PT, PT)
    if ground is not None:
        _paint(canvas, colour, rgb)
        canvas.rect(*ground, stroke=0, fill=1)
    _paint(canvas, _LETTERS, rgb)
    for index, word in enumerate(words):
        canvas.saveState()
        canvas.translate(word.x, word.y)
        if nested:
            canvas.rotate(word.angle / 2)
            canvas.doForm(f"outer{index}")
        else:
            canvas.rotate(word.angle)
            _set(canvas, word.text, word.size)
        canvas.restoreState()
    canvas.showPage()
    canvas.save()
    return file


def _paint(canvas: Canvas, colour: tuple[float, float, float], rgb: bool) -> None:
    if rgb:
        canvas.setFillColorRGB(*colour)
    else:
        canvas.setFillColorCMYK(*(1 - value for value in colour), 0)


def _forms(canvas: Canvas, word: Lettering, index: int, rgb: bool) -> None:
    canvas.beginForm(f"inner{index}", -9000, -9000, 9000, 9000)
    _paint(canvas, _LETTERS, rgb)
    _set(canvas, word.text, word.size / 2)
    canvas.endForm()
    canvas.beginForm(f"outer{index}", -9000, -9000, 9000, 9000)
    canvas.rotate(word.angle / 2)
    canvas.scale(2, 2)
    canvas.doForm(f"inner{index}")
    canvas.endForm()


def _set(canvas: Canvas, text: str, size: float) -> None:
    canvas.setFont("Sans", size)
    canvas.drawString(0, 0, text)


def raster(
    file: Path, pixels: tuple[int, int], dpi: float | None, ground: tuple[int, int, int, int] | None = None
) -> Path:
    """An RGB image in the format of its name; ``ground`` = painted pixels (left, top, right, bottom), else all of it."""
    file.parent.mkdir(parents=True, exist_ok=True)
    image = Image.new("RGB", pixels, MOSS if ground is None else "white")
    if ground is not None:
        left, top, right, bottom = ground
        ImageDraw.Draw(image).rectangle((left, top, right - 1, bottom - 1), fill=MOSS)
    image.save(file, **({} if dpi is None else {"dpi": (dpi, dpi)}))
    return file


def svg(file: Path, size: Point, word: Lettering, outlined: bool) -> Path:
    """An SVG in mm with a painted ground and one word: live, or as paths of the font's own outlines."""
    file.parent.mkdir(parents=True, exist_ok=True)
    w, h = size
    drawing = svgwrite.Drawing(str(file), size=(f"{w}mm", f"{h}mm"), viewBox=f"0 0 {w} {h}", debug=False)
    drawing.add(drawing.rect((0, 0), (w, h), fill="rgb(60,100,60)"))
    if outlined:
        drawing.add(drawing.path(d=_outlines(word.text), transform=_placed(word, h), fill="rgb(255,230,150)"))
    else:
        style = {"font_family": "Peat Grotesk, sans-serif", "font_size": word.size, "fill": "rgb(255,230,150)"}
        drawing.add(drawing.text(word.text, insert=(word.x, h - word.y), **style))
    drawing.save()
    return file


def _outlines(text: str) -> str:
    glyphs, names = _OPEN.getGlyphSet(), _OPEN.getBestCmap()
    at, parts = 0.0, []
    for letter in text:
        pen = SVGPathPen(glyphs, lambda value: f"{value:g}")
        glyphs[names[ord(letter)]].draw(TransformPen(pen, (1, 0, 0, 1, at, 0)))
        parts.append(pen.getCommands())
        at += _OPEN["hmtx"][names[ord(letter)]][0]
    return "".join(parts)


def _placed(word: Lettering, height: float) -> str:
    k = word.size / _OPEN["head"].unitsPerEm
    return f"translate({word.x} {height - word.y}) scale({k} {-k})"


def target_of(body: str, number: int | None = None, wrap: str = "") -> tuple[Sizing, Target]:
    """A panel alone, or the first wrap of ``body`` with the keys of ``wrap`` added."""
    sizing = zoo.sized(body + wrap)
    if number is not None:
        return sizing, Target((sizing.panel(number),), (STILL,))
    (wrapped,) = sizing.wraps
    return sizing, Target(tuple(sizing.panel(n) for n in wrapped.panels), wrapped.places, wrapped)


def bare_target(shape: Shape, number: int = 1, **keys: object) -> tuple[Sizing, Target]:
    """A panel of a shape that no kind makes."""
    sizing = Sizing((zoo.size_bare(shape, **keys),))
    return sizing, Target((sizing.panel(number),), (STILL,))


@frozen
class Ink:
    """A word without a file: its quad in the target's plane at full size; ``hull`` of its ink where that is another;
    ``unseen`` as in `Word`."""

    quad: tuple[Point, ...]
    text: str = "Moor"
    capital: float | None = None
    hull: tuple[Point, ...] | None = None
    unseen: str = ""


def upright_word(x: float, y: float, w: float, h: float, **more: object) -> Ink:
    """A word whose ink fills a rectangle."""
    return Ink(((x, y), (x + w, y), (x + w, y + h), (x, y + h)), **more)  # type: ignore[arg-type]


def turned_word(x: float, y: float, w: float, h: float, angle: float) -> Ink:
    """A word of w × h about (x, y), turned anticlockwise by degrees."""
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    return Ink(
        tuple(
            (x + c * u - s * v, y + s * u + c * v)
            for u, v in ((-w / 2, -h / 2), (w / 2, -h / 2), (w / 2, h / 2), (-w / 2, h / 2))
        )
    )


def observed(
    sizing: Sizing, target: Target, words: Sequence[Ink], way: str = "sewn", scale: float = 10.0
) -> Observations:
    """A page of art size at 1:``scale`` with these words, laid on its target, with a margin of 50 mm and a stated bleed box.

    Reading-way on a hung cube: the sewn square turned anticlockwise by 45° about its middle.
    """
    xs, ys = zip(*(point for outline in target.outline("art") for point in outline), strict=True)
    w, h = max(xs), max(ys)
    turn, side, across = math.sqrt(0.5), w, w * math.sqrt(2)

    def on_page(point: Point) -> Point:
        x, y = point
        if way == "reading":
            u, v = x - side / 2, y - side / 2
            x, y = across / 2 + turn * (u - v), across / 2 + turn * (u + v)
        return x / scale + 50, y / scale + 50

    if way == "reading":
        w = h = across
    boxes = {
        "media": (0.0, 0.0, w / scale + 100, h / scale + 100),
        "bleed": (50.0, 50.0, w / scale + 50, h / scale + 50),
    }
    made = []
    for ink_ in words:
        (x0, y0), (x1, y1), _, (x3, y3) = ink_.quad
        high = math.hypot(x3 - x0, y3 - y0) if ink_.capital is None else ink_.capital
        angle = math.degrees(math.atan2(y1 - y0, x1 - x0)) + (45 if way == "reading" else 0)
        quad = tuple(on_page(point) for point in ink_.quad)
        hull = tuple(on_page(point) for point in ink_.hull or ink_.quad)
        level = 180 - (180 - angle) % 360
        made.append(
            Word(ink_.text, quad, high / scale, high / scale, level, hull=hull, unseen=ink_.unseen)  # type: ignore[arg-type]
        )
    facts = PageFacts(boxes["media"][2], boxes["media"][3], boxes, 0.0, words=tuple(made))
    one = Claim(target, "art.pdf", 1)
    laid = lay(one, facts)
    assert (laid.fits, laid.way) == ("art", way)
    return Observations(
        sizing, Claims((one,)), {"art.pdf": FileFacts("pdf", (facts,))}, (LaidSeen(laid, placed_words(laid)),)
    )
