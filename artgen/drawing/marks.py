"""Neutral marks: what is drawn, with no word about panels above it or file formats below it.

A `Drawing` is a page in millimetres, origin at its lower left, x to the right, y up. It holds named `Layer`s
in painting order, each with marks. Every colour is a named `Ink`; writers turn inks into a Separation or RGB.
"""

from typing import Literal

from attrs import field, frozen

Point = tuple[float, float]
Anchor = Literal["start", "middle", "end"]


@frozen
class Ink:
    """A named ink. ``rgb`` 0–255 for screens; ``cmyk`` 0–1 is the alternate of its Separation.

    ``spot`` True writes a Separation of that name (a guide ink of ours); False writes plain process colour.
    """

    name: str
    rgb: tuple[int, int, int]
    cmyk: tuple[float, float, float, float]
    spot: bool = False


@frozen
class Stroke:
    """``width`` and ``dash`` (on, off, on, off …; empty = continuous) in mm at page size."""

    ink: Ink
    width: float
    dash: tuple[float, ...] = ()
    cap: Literal["butt", "round"] = "butt"


@frozen
class Path:
    """Straight-line subpaths (a circle is enough points); each closed or open together; even-odd fill."""

    subpaths: tuple[tuple[Point, ...], ...]
    stroke: Stroke | None = None
    fill: Ink | None = None
    closed: bool = True


@frozen
class Text:
    """One line of text; ``at`` = its point on the baseline.

    ``size`` = font size (em) in mm; ``angle`` anticlockwise in degrees; ``halo`` = width in mm of an
    under-stroke in ``halo_ink`` that keeps it readable on dark art (None: none).
    """

    string: str
    at: Point
    size: float
    ink: Ink
    anchor: Anchor = "start"
    angle: float = 0.0
    bold: bool = False
    halo: float | None = None
    halo_ink: Ink | None = None


@frozen
class Picture:
    """Raw pixels: 8-bit RGB rows from the top.

    The unit square of the picture (origin lower left) is laid on the page by ``matrix`` (a, b, c, d, e, f):
    x' = a x + c y + e, y' = b x + d y + f, in mm. ``clip`` = closed subpaths in page mm. ``jpeg`` = quality of the JPEG that it
    becomes in a PDF; 0: large ones are packed well, small ones stay exact.
    """

    width: int
    height: int
    rgb: bytes = field(repr=False)
    matrix: tuple[float, float, float, float, float, float]
    clip: tuple[tuple[Point, ...], ...] = ()
    alt: str = ""
    jpeg: int = 0


Mark = Path | Text | Picture


@frozen
class ProcessingStep:
    """Group and type of ISO 19593-1 processing-step metadata: PDF names without the slash; no type = None."""

    group: str
    type: str | None = None


@frozen
class Layer:
    """``id`` is a plain ASCII word (SVG group id); ``title`` is what a person reads in a layer list.

    ``prints`` False sets the layer's print state off for readers that honour it; ``locked`` locks it. An
    empty layer is still written: it is where the designer's art goes.
    """

    id: str
    title: str
    marks: tuple[Mark, ...] = ()
    prints: bool = True
    locked: bool = False
    step: ProcessingStep | None = None


@frozen
class PageBoxes:
    """Rectangles (x0, y0, x1, y1) in page mm, inside the page."""

    trim: tuple[float, float, float, float]
    bleed: tuple[float, float, float, float]


@frozen
class Drawing:
    """One page. ``title`` for the document, ``boxes`` only where trim and bleed mean something."""

    width: float
    height: float
    layers: tuple[Layer, ...]
    title: str = ""
    boxes: PageBoxes | None = None
