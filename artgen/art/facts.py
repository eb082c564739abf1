"""What a client's file is: plain records in millimetres, no judgement.

The page frame of every record: mm at the page's own scale, origin at the lower left of the page's media box as it is
shown (after /Rotate, times UserUnit), x to the right, y up. Rasters and SVGs have one page.
"""

from typing import Literal

from attrs import field, frozen

Point = tuple[float, float]
Rect = tuple[float, float, float, float]  # x0, y0, x1, y1
Format = Literal["pdf", "svg", "tiff", "jpeg", "png", "webp"]
FaultKind = Literal["empty", "locked", "damaged", "over-limit", "unsupported", "needs-cairo"]


@frozen
class Word:
    """One word of live text that paints.

    ``quad`` = the four vertices of the tight box of its ink, along its baseline: lower left, lower right, upper right,
    upper left as the word is read. ``size`` = font size (em) in mm on the page; ``capital`` = height in mm of its tallest
    ink above the baseline; ``angle`` = baseline's anticlockwise degrees from page x.
    """

    text: str
    quad: tuple[Point, Point, Point, Point]
    size: float
    capital: float
    angle: float
    font: str = ""


@frozen
class PageFacts:
    """One page. ``boxes`` holds what the file states: "media" always, "crop", "bleed", "trim" if stated.

    ``rounding`` = half the last unit in which the file states its size, mm at the page's scale (half a pixel for
    rasters). ``sized`` is False where the file gives proportions only (no resolution tag, viewBox alone): its mm are
    then one unit or pixel each.
    """

    width: float
    height: float
    boxes: dict[str, Rect]
    rounding: float
    sized: bool = True
    pixels: tuple[int, int] | None = None
    words: tuple[Word, ...] = ()
    not_seen: tuple[str, ...] = ()


@frozen
class FileFacts:
    """A file that could be read. ``named`` = the format that its name promises, where that is another one."""

    format: Format
    pages: tuple[PageFacts, ...]
    named: str | None = None
    repaired: tuple[str, ...] = ()
    blocked: tuple[str, ...] = ()
    stand_in_fonts: tuple[str, ...] = ()


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
