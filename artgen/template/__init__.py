"""Panels to templates: a `Drawing` per panel, page = art size, an empty art layer under named guide layers.

Takes a sized order; knows no file format. Panels whose upright is not along an edge get a second page, reading-way:
the same panel turned so that text is level.
"""

from collections.abc import Sequence

from ..drawing.inks import base_line_width
from ..drawing.marks import Drawing, Layer, PageBoxes
from ..sizing.names import side, where
from ..sizing.outline import bounds, size
from ..sizing.panel import Panel, SizedStructure, placed
from ..sizing.ways import Way, turn_of, ways
from ..words import Words
from .guides import Sheet, guide_layers, seam_line
from .key_plan import VIEWS, key_plan
from .notes import ghost_number, note_marks, page_up

__all__ = [
    "MAX_PAGE",
    "SCALES",
    "VIEWS",
    "Sheet",
    "default_scale",
    "guide_layers",
    "key_plan",
    "page_up",
    "seam_line",
    "sheet_of",
    "side",
    "template",
    "ways",
    "where",
]

SCALES = (1, 2, 3, 4, 5, 8, 10, 12, 20)  # ours: what designers use
_LIKED = 2500.0  # mm: pages under this open well everywhere (ours)
MAX_PAGE = 5080.0  # mm: 14,400 units of 1/72 in, ISO 32000-1 Annex C


def default_scale(panels: Sequence[Panel]) -> int:
    """The largest scale at which every page stays under 2.5 m a side."""
    longest = max(max(_page(panel, way)) for panel in panels for way in ways(panel))
    return next((scale for scale in SCALES if longest / scale < _LIKED), SCALES[-1])


def _page(panel: Panel, way: Way) -> tuple[float, float]:
    return size(placed(turn_of(panel, way), panel.art))


def sheet_of(panel: Panel, scale: int, way: Way = "sewn") -> Sheet:
    """The page of a panel: art size at 1:``scale``."""
    w, h = _page(panel, way)
    a, b, c, d, e, f = (v / scale for v in turn_of(panel, way))
    return Sheet(w / scale, h / scale, (a, b, c, d, e, f), base_line_width(max(w, h) / scale), scale)


def template(panel: Panel, structure: SizedStructure, say: Words, scale: int = 1, way: Way = "sewn") -> Drawing:
    """One panel's template. TrimBox = cut, BleedBox = page = art size (bounding boxes)."""
    sheet = sheet_of(panel, scale, way)
    art = Layer("art", say("template.layer.art"))
    number = Layer(
        "guide-number", say("template.layer.number"), tuple(ghost_number(panel, sheet)), prints=False, locked=True
    )
    notes = Layer(
        "guide-notes",
        say("template.layer.notes"),
        tuple(note_marks(panel, structure, sheet, say)),
        prints=False,
        locked=True,
    )
    return Drawing(
        sheet.width,
        sheet.height,
        (art, number, *guide_layers(panel, sheet, say), notes),
        title=say("template.title", number=panel.number),
        boxes=PageBoxes(trim=bounds(sheet.outline(panel.cut)), bleed=(0.0, 0.0, sheet.width, sheet.height)),
    )
