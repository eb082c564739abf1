"""What the pixels of a laid page show beside words: a template's guides, where paint stops, crop marks, codes, images' detail.

Takes a file's path, its laid page and the previews of its panels; gives one record. Costs little beside the previews: codes are
decoded, and images' detail measured, in confined children; all else is read from the previews.
"""

from collections.abc import Mapping
from pathlib import Path

from attrs import field, frozen

from ..art.facts import FileFault
from ..placing import Laid
from .codes import Code, find_codes
from .crop_marks import CropMarks, crop_marks
from .graphics import Graphic, graphics_over_lines
from .guides import GuideLines, guide_lines
from .previews import Preview
from .sheets import sheet_of
from .softness import ImageDetail, image_details
from .stops import Stop, stops

MARKS = ("guides", "stops", "crop_marks", "codes", "details", "graphics")


@frozen
class Marks:
    """``guides``, ``stops`` by panel number; the others in the target's plane. What was not looked at is None, and ``missing``
    says why by its name."""

    guides: Mapping[int, GuideLines] | None = None
    stops: Mapping[int, tuple[Stop, ...]] | None = None
    crop_marks: tuple[CropMarks, ...] | None = None
    codes: tuple[Code, ...] | None = None
    details: tuple[ImageDetail, ...] | None = None
    graphics: tuple[Graphic, ...] | None = None
    missing: Mapping[str, str] = field(factory=dict)


def marks_seen(file: Path, laid: Laid, previews: Mapping[int, Preview]) -> Marks:
    """All of it. ``previews`` by panel number; none where the page could not be drawn: then only images' detail is told."""
    details = image_details(file, laid)
    missing = {"details": details.missing} if details.missing else {}
    if not previews:
        return Marks({}, {}, details=details.found, missing=missing)
    guides = {panel.number: guide_lines(laid, panel, previews[panel.number]) for panel in laid.target.panels}
    ends = {panel.number: stops(panel, previews[panel.number]) for panel in laid.target.panels}
    sheet = sheet_of(laid, previews)
    ticks = crop_marks(laid, sheet)
    codes = find_codes(file, laid, sheet)
    if isinstance(codes, FileFault):
        missing["codes"] = codes.detail
    return Marks(
        guides,
        ends,
        (ticks,) if ticks is not None else (),
        None if isinstance(codes, FileFault) else codes,
        details.found,
        graphics_over_lines(laid, sheet),
        missing,
    )
