"""What a client's file is: plain records in millimetres, no judgement.

The page frame of every record: mm at the page's own scale, origin at the lower left of the page's media box as it is
shown (after /Rotate, times UserUnit), x to the right, y up. Rasters and SVGs have one page.
"""

from typing import Literal

from attrs import field, frozen

Point = tuple[float, float]
Rect = tuple[float, float, float, float]  # x0, y0, x1, y1
Quad = tuple[Point, Point, Point, Point]
Format = Literal["pdf", "svg", "tiff", "jpeg", "png", "webp", "psd", "ora"]  # "psd": PSB too
FaultKind = Literal["empty", "locked", "damaged", "over-limit", "unsupported", "needs-cairo"]

Unseen = Literal["", "invisible", "layer-off", "outside-page", "clipped", "covered", "ground"]
Masked = Literal["", "soft", "stencil", "colour-key"]
ExtraKind = Literal["script", "attachment", "form-field", "comment", "link", "media", "action"]


@frozen
class Word:
    """One word of live text, whether it shows or not.

    ``quad`` = the four vertices of the tight box of its ink, along its baseline: lower left, lower right, upper right,
    upper left as the word is read. ``hull`` = convex polygon that hugs its ink on every side, mm; the quad where none was made.
    ``size`` = font size (em) in mm on the page; ``capital`` = height in mm of its tallest
    ink above the baseline; ``angle`` = baseline's anticlockwise degrees from page x. ``unseen`` = why it doesn't show;
    empty where it shows, at least in part, or where that was not judged (then `PageFacts.not_seen` says so).
    ``embedded`` = its font came with the file; ``colour`` = fill as a screen shows it, RRGGBB, empty for patterns;
    ``mode`` = text rendering mode (ISO 32000-1 table 106); ``layer`` = name of the innermost layer it is marked with.
    """

    text: str
    quad: Quad
    size: float
    capital: float
    angle: float
    font: str = ""
    unseen: Unseen = ""
    embedded: bool = True
    colour: str = ""
    mode: int = 0
    layer: str = ""
    hull: tuple[Point, ...] = field()

    @hull.default
    def _quad(self) -> tuple[Point, ...]:
        return self.quad


@frozen
class ColourSpace:
    """A colour space that something painted with.

    ``family`` = its PDF name ("DeviceCMYK", "ICCBased", "Separation" …) or, of a raster, "Grey", "RGB", "CMYK", "Lab";
    ``base`` = family under an Indexed, Separation, DeviceN or Pattern space; ``inks`` = colorants of Separation and
    DeviceN in their order; ``parts`` = components a colour has; ``profile`` = SHA-256 of its ICC profile, or of its base's.
    """

    family: str
    base: str = ""
    inks: tuple[str, ...] = ()
    parts: int = 0
    profile: str = ""


@frozen
class ColourProfile:
    """An ICC profile in the file. ``hash`` = SHA-256 of its bytes; ``space`` = its data colour space as it states it."""

    hash: str
    description: str
    space: str = ""


@frozen
class Image:
    """One placed image. ``quad`` = where the corners of the picture land: lower left, lower right, upper right, upper left
    of the picture as stored; ``ppi`` = pixels an inch along its rows and along its columns at the page's scale.

    ``bits`` a component, 0 if not stated; ``stencil`` = an image mask, painted in the current colour; ``masked`` = by what
    parts of it are made transparent; ``clip`` = polygon that bounds what shows of it, None where nothing clips it, empty
    where nothing is left; ``within`` = the first cell of a tiling pattern.
    """

    quad: Quad
    pixels: tuple[int, int]
    ppi: tuple[float, float]
    space: ColourSpace | None = None
    bits: int = 0
    filters: tuple[str, ...] = ()
    stencil: bool = False
    masked: Masked = ""
    inline: bool = False
    clip: tuple[Point, ...] | None = None
    layer: str = ""
    within: Literal["", "pattern"] = ""


@frozen
class Thin:
    """A stroke or a fill among the thinnest of its page. ``width`` in mm, the least that it has anywhere; a stroke of width
    0 is as thin as a device can draw. ``where`` = bounds."""

    kind: Literal["stroke", "fill"]
    width: float
    where: Rect


@frozen
class Lines:
    """Strokes and fills of a page. ``strokes``, ``fills`` = how many; ``thinnest`` = the thinnest of both, in order."""

    strokes: int = 0
    fills: int = 0
    thinnest: tuple[Thin, ...] = ()


@frozen
class Overprint:
    """What is painted while overprint is on. ``modes`` = the values of OPM met; ``white`` = how much of it was white, with
    the places of the first ones (bounds; a point for text)."""

    fills: int = 0
    strokes: int = 0
    modes: tuple[int, ...] = ()
    white: int = 0
    white_at: tuple[Rect, ...] = ()


@frozen
class Transparency:
    """What the page uses of it. ``alpha`` = least constant alpha painted with; ``blends`` = blend modes other than Normal;
    ``soft_masks`` = painted under one; ``groups`` = families of the spaces that groups blend in, the page's own first."""

    alpha: float = 1.0
    blends: tuple[str, ...] = ()
    soft_masks: bool = False
    groups: tuple[str, ...] = ()


@frozen
class TextInk:
    """Live text that is filled with these two or more ``inks``, each more than 0: the ``least`` font size (em) in mm of the
    page, and how many pieces of text there are."""

    inks: tuple[str, ...]
    least: float
    count: int


@frozen
class Filled:
    """A filled shape: its ``area`` in square mm of the page, and ``where`` = bounds of what shows of it."""

    area: float
    where: Rect


@frozen
class Ink:
    """What a page paints with. ``spaces`` met in painting, ``spots`` = names of colorants beside the process colours; ``text`` =
    what text is filled with, where that is several inks; ``black`` = the largest shapes filled with black ink alone."""

    spaces: tuple[ColourSpace, ...] = ()
    spots: tuple[str, ...] = ()
    text: tuple[TextInk, ...] = ()
    black: tuple[Filled, ...] = ()


@frozen
class Layer:
    """An optional-content layer, or a named group near the root of an SVG. ``shown`` and ``printed`` = its state when opened;
    ``pages`` = those (from 1) on which it holds marks, so far as was read."""

    name: str
    shown: bool
    printed: bool
    pages: tuple[int, ...] = ()


@frozen
class Extra:
    """Something beside the picture. ``name`` is the file's own, where it has one; ``page`` from 1, 0 for the whole file."""

    kind: ExtraKind
    name: str = ""
    page: int = 0
    count: int = 1


@frozen
class Broken:
    """A picture inside a file that can't be decoded, or lacks data: its size as stated (0, 0 where it can't be told), and why."""

    pixels: tuple[int, int]
    why: str


@frozen
class PageFacts:
    """One page. ``boxes`` holds what the file states: "media" always, "crop", "bleed", "trim" if stated.

    ``rounding`` = half the last unit in which the file states its size, mm at the page's scale (half a pixel for
    rasters). ``sized`` is False where the file gives proportions only (no resolution tag, viewBox alone): its mm are
    then one unit or pixel each. ``rotate`` (clockwise) and ``user_unit`` are counted in already.
    """

    width: float
    height: float
    boxes: dict[str, Rect]
    rounding: float
    sized: bool = True
    pixels: tuple[int, int] | None = None
    rotate: int = 0
    user_unit: float = 1.0
    words: tuple[Word, ...] = ()
    images: tuple[Image, ...] = ()
    lines: Lines = Lines()
    ink: Ink = Ink()
    overprint: Overprint = Overprint()
    transparency: Transparency = Transparency()
    not_seen: tuple[str, ...] = ()


@frozen
class FileFacts:
    """A file that could be read. ``named`` = the format that its name promises, where that is another one; ``blocked`` =
    what lies outside the file and was not read; ``broken`` = pictures in it that can't be drawn; ``intents`` = its output
    intents, in its own words."""

    format: Format
    pages: tuple[PageFacts, ...]
    named: str | None = None
    repaired: tuple[str, ...] = ()
    blocked: tuple[str, ...] = ()
    stand_in_fonts: tuple[str, ...] = ()
    profiles: tuple[ColourProfile, ...] = ()
    layers: tuple[Layer, ...] = ()
    extras: tuple[Extra, ...] = ()
    intents: tuple[str, ...] = ()
    broken: tuple[Broken, ...] = ()


@frozen
class FileFault:
    """A file that could not be read, in full: why, in words for a person, with the limit where there is one."""

    kind: FaultKind
    detail: str
    format: Format | None = None


@frozen
class Pixels:
    """A rendered window: 8-bit RGBA rows from the top, straight alpha; alpha 0 where the file paints nothing."""

    width: int
    height: int
    rgba: bytes = field(repr=False)
