"""What a PDF states about its pages. Takes a file inside the child process, gives `PageFacts` without words.

Boxes and numbers come from pikepdf, which keeps decimals as they are written. The page frame is that of `facts`: mm,
origin at the lower left of the media box as shown, after /Rotate and times UserUnit (ISO 32000-1 8.3.2.3, 14.11.2).
"""

import math
from collections.abc import Iterator
from contextlib import contextmanager
from decimal import Decimal
from pathlib import Path

import pikepdf
from attrs import evolve

from ..units import MM_PER_PT
from .facts import Broken, PageFacts, Rect
from .faults import ABSURD_MM, ArtFault
from .images import image_faults
from .mapping import Matrix, apply_rect, then

MAX_PAGES = 1000  # ours: pages read of one file; the rest is named as not seen
MAX_REPAIRS = 20  # ours: repairs told of one file
_LETTER: Rect = (0.0, 0.0, 612.0, 792.0)  # what common readers take where a page has no media box
_BOXES = {"media": "/MediaBox", "crop": "/CropBox", "bleed": "/BleedBox", "trim": "/TrimBox"}


@contextmanager
def opened(file: Path) -> Iterator[pikepdf.Pdf]:
    """The document, closed afterwards. Raises `ArtFault` "locked" or "damaged"."""
    try:
        with pikepdf.open(file, suppress_warnings=True) as pdf:
            yield pdf
    except pikepdf.PasswordError:
        raise ArtFault(
            "locked",
            "The PDF opens only with a password. Ask for a copy saved without security.",
            "pdf",
        ) from None
    except pikepdf.PdfError as error:
        raise ArtFault(
            "damaged",
            f"The PDF can't be read ({_bare(str(error), file)}): it was probably cut off or changed on the way. "
            "Send it again, or save it anew.",
            "pdf",
        ) from None


def page_facts(file: Path) -> tuple[list[PageFacts], tuple[str, ...], tuple[Broken, ...]]:
    """(pages without words, what had to be repaired, images that lack pixels) of the PDF ``file``.

    Raises `ArtFault`: locked, damaged (no page), over-limit (a page past 1 km,
    an image too large to be drawn truly).
    """
    with opened(file) as pdf:
        repairs: list[str] = []
        pages = []
        for number in range(1, min(len(pdf.pages), MAX_PAGES) + 1):
            facts, amended = _page(pdf.pages[number - 1], number)
            pages.append(facts)
            repairs += amended
        if not pages:
            raise ArtFault("damaged", "The PDF holds no page. Send it again, or save it anew.", "pdf")
        broken, unseen = image_faults(pdf)
        pages[0] = evolve(pages[0], not_seen=tuple(unseen))
        if len(pdf.pages) > MAX_PAGES:
            pages[-1] = _with_rest_named(pages[-1], len(pdf.pages))
        told = [_bare(str(warning), file) for warning in pdf.get_warnings()]
    return pages, tuple(dict.fromkeys(told + repairs))[:MAX_REPAIRS], tuple(broken[:MAX_REPAIRS])


def to_page_frame(media: Rect, rotate: int, user_unit: float) -> Matrix:
    """User space of a page (points, before /Rotate) → page frame (mm as shown).

    ``rotate`` = clockwise degrees, a multiple of 90; ``media`` = the media box in user space.
    """
    x0, y0, x1, y1 = media
    w, h = x1 - x0, y1 - y0
    turn: Matrix = {
        0: (1.0, 0.0, 0.0, 1.0, 0.0, 0.0),
        90: (0.0, -1.0, 1.0, 0.0, 0.0, w),
        180: (-1.0, 0.0, 0.0, -1.0, w, h),
        270: (0.0, 1.0, -1.0, 0.0, h, 0.0),
    }[rotate % 360]
    scale = MM_PER_PT * user_unit
    return then(then((1.0, 0.0, 0.0, 1.0, -x0, -y0), turn), (scale, 0.0, 0.0, scale, 0.0, 0.0))


def page_geometry(page: pikepdf.Page) -> tuple[Matrix, Rect, Rect, int]:
    """(user space → page frame, media box, the part of it inside the crop box, /Rotate) of one page.

    Both boxes are in user space. Broken values give way to what common readers take instead.
    """
    media = _numbers(_inherited(page, "/MediaBox")) or _LETTER
    crop = _numbers(_inherited(page, "/CropBox"))
    return to_page_frame(media, _rotate(page), _user_unit(page)), media, _inside(media, crop), _rotate(page)


def shown_by_pdfium(crop: Rect, rotate: int) -> Matrix:
    """User space → the plane in which pdfium draws: points, origin at the upper left of the crop box as shown, y down."""
    upright = then(to_page_frame(crop, rotate, 1.0), (1 / MM_PER_PT, 0.0, 0.0, 1 / MM_PER_PT, 0.0, 0.0))
    height = apply_rect(upright, crop)[3]
    return then(upright, (1.0, 0.0, 0.0, -1.0, 0.0, height))


def _page(page: pikepdf.Page, number: int) -> tuple[PageFacts, list[str]]:
    amended = []
    if _numbers(_inherited(page, "/MediaBox")) is None:
        amended.append(f"page {number} has no usable media box; taken as 612 × 792 points, as common readers do")
    frame, media, _, _ = page_geometry(page)
    unit = _user_unit(page)
    boxes: dict[str, Rect] = {}
    steps = []
    for name, key in _BOXES.items():
        stated = _inherited(page, key) if name in ("media", "crop") else page.obj.get(key)
        rect = media if name == "media" else _numbers(stated)
        if rect is None:
            if stated is not None:
                amended.append(f"page {number}: its {name} box is no rectangle and is left aside")
            continue
        boxes[name] = apply_rect(frame, rect)
        if name in ("media", "trim") and _numbers(stated) is not None:
            steps.append(_rounding(stated))
    width, height = boxes["media"][2], boxes["media"][3]
    if max(abs(value) for rect in boxes.values() for value in rect) > ABSURD_MM:
        raise ArtFault(
            "over-limit",
            f"Page {number} has a box that reaches past 1 km (limit {ABSURD_MM:.0f} mm). Check its size and UserUnit.",
            "pdf",
        )
    rounding = max(steps, default=0.5) * unit * MM_PER_PT
    return PageFacts(width, height, boxes, rounding, rotate=_rotate(page), user_unit=unit), amended


def _with_rest_named(page: PageFacts, count: int) -> PageFacts:
    rest = f"pages {MAX_PAGES + 1} to {count} were not read (limit {MAX_PAGES} pages a file)"
    return evolve(page, not_seen=(*page.not_seen, rest))


def _inherited(page: pikepdf.Page, key: str) -> object:
    """A page's own entry or the nearest one up the page tree (ISO 32000-1 7.7.3.4); None if there is none."""
    node: object = page.obj
    for _ in range(64):  # ours: a deeper tree is a loop
        if not isinstance(node, pikepdf.Dictionary):
            return None
        if key in node:
            return node[key]
        node = node.get("/Parent")
    return None


def _numbers(box: object) -> Rect | None:
    """A PDF rectangle as (x0, y0, x1, y1) with area, its vertices put in order; None if it is none."""
    if not isinstance(box, pikepdf.Array) or len(box) != 4:
        return None
    values = [_number(item) for item in box]
    if None in values:
        return None
    x0, y0, x1, y1 = (value for value in values if value is not None)
    rect = (min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1))
    return rect if rect[2] - rect[0] > 0 and rect[3] - rect[1] > 0 else None


def _number(item: object) -> float | None:
    if isinstance(item, bool) or not isinstance(item, int | float | Decimal):
        return None
    value = float(item)
    return value if math.isfinite(value) and abs(value) < 1e9 else None


def _rounding(box: object) -> float:
    """Half the last stated decimal, in points: the largest of the box's numbers, whose zeros state none."""
    assert isinstance(box, pikepdf.Array)
    items: list[object] = list(box)
    exponents = [_exponent(item) for item in items if isinstance(item, int | Decimal) and item != 0]
    return 0.5 * 10.0 ** max(exponents, default=0)


def _exponent(item: int | Decimal) -> int:
    exponent = Decimal(item).as_tuple().exponent
    return exponent if isinstance(exponent, int) else 0


def _rotate(page: pikepdf.Page) -> int:
    value = _number(_inherited(page, "/Rotate"))
    return int(value / 90) % 4 * 90 if value is not None else 0  # an odd angle is cut to a quarter turn, as in pdfium


def _user_unit(page: pikepdf.Page) -> float:
    value = _number(page.obj.get("/UserUnit"))
    return value if value is not None and value > 0 else 1.0


def _inside(media: Rect, crop: Rect | None) -> Rect:
    if crop is None:
        return media
    rect = (max(media[0], crop[0]), max(media[1], crop[1]), min(media[2], crop[2]), min(media[3], crop[3]))
    return rect if rect[2] > rect[0] and rect[3] > rect[1] else media


def _bare(text: str, file: Path) -> str:
    """``text`` without the file's path, which is no business of a report and differs by machine."""
    return text.replace(str(file), "").strip(" :\n").replace("\n", " ")[:300]
