"""Panels to templates: a `Drawing` per panel, page = art size, an empty art layer under named guide layers.

Takes a sized order; knows no file format. Panels whose upright is not along an edge get a second page, reading-way:
the same panel turned so that text is level.
"""

from ..drawing.marks import Drawing, Layer, PageBoxes, ProcessingStep
from ..sizing.names import side, where
from ..sizing.outline import bounds
from ..sizing.panel import Panel, SizedStructure
from ..sizing.resolution import needed_ppi
from ..sizing.ways import Way, ways
from ..units import mm_text
from ..words import Words
from .cards import Notes
from .guides import guide, guide_layers, seam_line, tab_layer, under
from .key_plan import VIEWS, key_plan
from .margin import Head, fields, strip_marks, with_margin
from .notes import write
from .sheet import MAX_PAGE, SCALES, Sheet, default_scale, liked_scale, page_up, sheet_of
from .wrap import wrap_size, wrap_template

__all__ = [
    "MAX_PAGE",
    "SCALES",
    "VIEWS",
    "Head",
    "Sheet",
    "default_scale",
    "guide_layers",
    "key_plan",
    "liked_scale",
    "page_up",
    "seam_line",
    "sheet_of",
    "side",
    "template",
    "ways",
    "where",
    "wrap_size",
    "wrap_template",
]


def template(
    panel: Panel,
    structure: SizedStructure,
    say: Words,
    scale: int = 1,
    way: Way = "sewn",
    *,
    ppi: int = needed_ppi(3000.0),
    asked: int | None = None,
    margin: Head | None = None,
    place: str = "",
    together: tuple[int, ...] = (),
) -> Drawing:
    """One panel's template. TrimBox = cut, BleedBox = art size (bounding boxes).

    ``ppi`` = the resolution asked for at full size; ``asked`` = the scale that was wanted, where a page can't have it;
    ``margin`` = what the title block in the margin says, None for no margin; ``place`` = "3 of 15" for it;
    ``together`` = panels that share one picture with this one.
    """
    sheet = sheet_of(panel, scale, way)
    said = []
    if margin is not None:
        title = say("template.panel", number=panel.number)
        said = fields(margin, title, where(structure, panel, say), scale, place, say)
        sheet = with_margin(sheet, said)
    because = say("template.scale.limit", asked=asked, most=mm_text(MAX_PAGE)) if asked not in (None, scale) else ""
    written = write(Notes(panel, structure, sheet, say, ppi, because, together))
    lines = [*guide_layers(panel, sheet, say), tab_layer(panel, sheet, say)]
    drawn = [mark for layer in lines for mark in layer.marks]
    layers = (
        Layer("art", say("template.layer.art")),
        guide("white", [*under(drawn, sheet.line), *written.white], say),
        guide("number", written.number, say),
        *lines,
        guide("sizes", written.sizes, say, ProcessingStep("Dimensions")),
        guide("notes", written.notes, say, ProcessingStep("Legend")),
        guide("margin", strip_marks(sheet, said) if said else (), say, ProcessingStep("Legend")),
    )
    art = sheet.art
    return Drawing(
        sheet.width,
        sheet.height,
        tuple(layer for layer in layers if layer.marks or layer.id == "art"),
        title=say("template.title", number=panel.number),
        boxes=PageBoxes(trim=bounds(sheet.outline(panel.cut)), bleed=(art.x0, art.y0, art.x1, art.y1)),
    )
