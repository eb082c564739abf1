"""The template of a wrap: one page across a chain of panels, the bare frame between them shown.

Takes a wrap and its panels; gives a `Drawing` whose page is the wrap's art size.
"""

from collections.abc import Sequence
from math import hypot
from pathlib import PurePosixPath

from attrs import evolve, frozen
from shapely import Polygon, union_all

from ..drawing.fonts import text_width
from ..drawing.inks import GUIDE_NOTES, Guide, base_line_width, guide_stroke
from ..drawing.marks import Drawing, Layer, PageBoxes, Path, Point, ProcessingStep, Text
from ..drawing.room import Room
from ..sizing.outline import Outline, bounds
from ..sizing.panel import Panel, SizedStructure, Wrap, after, placed
from ..units import mm_text
from ..words import Words
from .cards import Card, Notes, lines
from .guides import guide, guide_layers, hatched, under
from .labels import Labels, plates
from .margin import Head, fields, strip_marks, with_margin
from .naming import draw_panel, name_areas, name_edges, name_seams, page_room
from .notes import faint_number, place_cards
from .sheet import MAX_PAGE, Sheet

_OUTER = ("guide-art-edge", "guide-cut", "guide-neighbour")  # drawn once round the whole chain, or not at all


@frozen
class WrapNotes(Notes):
    """What stands on the cards of a wrap's template; ``panel`` is the one that they stand on."""

    panels: tuple[Panel, ...] = ()
    file: str = ""
    closed: bool = False
    shows: tuple[float, float] = (0.0, 0.0)

    def head(self, width: float) -> Card:
        u, say = self.unit, self.say
        key = "template.scale.full" if self.sheet.scale == 1 else "template.scale"
        texts = [
            (say("template.wrap", numbers=numbers(self.panels)), 2.0 * u, True),
            (self.structure.name, u, True),
            (say(key, scale=self.sheet.scale), u, False),
            (say("template.wrap.closed" if self.closed else "template.wrap.on"), u, False),
        ]
        return lines([*texts, *([(self.because, u, False)] if self.because else [])], width * u)

    def line(self) -> Card:
        return self.head(60)

    def sizes_at_full_scale(self) -> list[tuple[str, tuple[float, float]]]:
        art, scale = self.sheet.art, self.sheet.scale
        return [("page", (art.width * scale, art.height * scale)), ("visible", self.shows)]

    def hints(self, width: float, joined: bool = False) -> Card:
        texts = [self.say("template.wrap.name", file=self.file), self.say("template.hide")]
        texts = [" ".join(texts)] if joined else texts
        return lines([(text, self.unit, False) for text in texts], width * self.unit)

    def guides(self) -> list[Guide]:
        seams, shadows = any(p.seams for p in self.panels), any(p.shadows for p in self.panels)
        found: list[tuple[Guide, bool]] = [
            ("art edge", True),
            ("cut", True),
            ("fold", True),
            ("safe", any(p.safe is not None for p in self.panels)),
            ("seam", seams),
            ("frame", not self.closed),
            ("shadow", shadows),
            ("keep-out", any(p.keep_outs for p in self.panels)),
        ]
        return [guide for guide, there in found if there]

    def filled(self) -> list[int]:
        return [panel.number for panel in self.panels]


def numbers(panels: Sequence[Panel]) -> str:
    return ", ".join(str(panel.number) for panel in panels)


def wrap_size(wrap: Wrap, panels: Sequence[Panel]) -> tuple[float, float]:
    """Width and height of the wrap's page at full size."""
    x0, y0, x1, y1 = bounds(
        [p for panel, place in zip(panels, wrap.places, strict=True) for p in placed(place, panel.art)]
    )
    return x1 - x0, y1 - y0


def wrap_template(
    wrap: Wrap,
    panels: Sequence[Panel],
    structure: SizedStructure,
    say: Words,
    scale: int,
    *,
    ppi: int,
    asked: int | None = None,
    margin: Head | None = None,
    place: str = "",
) -> Drawing:
    """One wrap's template. TrimBox = the bounding box of all cuts, BleedBox = the wrap's art size."""
    w, h = (side / scale for side in wrap_size(wrap, panels))
    sheet = Sheet(w, h, (1 / scale, 0.0, 0.0, 1 / scale, 0.0, 0.0), base_line_width(max(w, h)), scale)
    said = []
    if margin is not None:
        said = fields(margin, say("template.wrap", numbers=numbers(panels)), structure.name, scale, place, say)
        sheet = with_margin(sheet, said)
    sheets = [evolve(sheet, place=after(sheet.place, each)) for each in wrap.places]
    each = list(zip(panels, sheets, strict=True))
    art = _round(sheet, [own.outline(panel.art) for panel, own in each])
    cut = _round(sheet, [own.outline(panel.cut) for panel, own in each])
    gaps = [] if wrap.behind == "closed" else _gaps(panels, sheets)
    families = _layers(each, art, cut, gaps, sheet, say)
    room = page_room(sheet)
    for ring in (*art, *cut):
        room.draw(ring, closed=True)
    for panel, own in each:
        draw_panel(room, panel, own, beyond=())
    for gap in gaps:
        room.cover(gap)
    because = say("template.scale.limit", asked=asked, most=mm_text(MAX_PAGE)) if asked not in (None, scale) else ""
    notes, sizes, faint, white = _written(wrap, each, structure, room, say, ppi, because)
    drawn = [mark for layer in families for mark in layer.marks]
    layers = (
        Layer("art", say("template.layer.art")),
        guide("white", [*under(drawn, sheet.line), *white], say),
        guide("number", faint, say),
        *families,
        guide("sizes", sizes, say, ProcessingStep("Dimensions")),
        guide("notes", notes, say, ProcessingStep("Legend")),
        guide("margin", strip_marks(sheet, said) if said else (), say, ProcessingStep("Legend")),
    )
    page = sheet.art
    return Drawing(
        sheet.width,
        sheet.height,
        tuple(layer for layer in layers if layer.marks or layer.id == "art"),
        title=say("template.wrap.title", numbers=numbers(panels)),
        boxes=PageBoxes(trim=bounds([p for ring in cut for p in ring]), bleed=(page.x0, page.y0, page.x1, page.y1)),
    )


def _round(sheet: Sheet, outlines: Sequence[Outline]) -> list[Outline]:
    """The outer edge of outlines that lie on one another, mm of the page."""
    whole = union_all([Polygon(outline).buffer(0) for outline in outlines]).simplify(
        1e-6 * max(sheet.width, sheet.height)
    )
    return [
        tuple((float(x), float(y)) for x, y in part.exterior.coords[:-1]) for part in getattr(whole, "geoms", [whole])
    ]


def _gaps(panels: Sequence[Panel], sheets: Sequence[Sheet]) -> list[Outline]:
    """The bare frame between each panel and the next: from fold line to fold line, where both run."""
    found: list[Outline] = []
    for (here, sheet), (there, other) in zip(
        zip(panels, sheets, strict=True), list(zip(panels, sheets, strict=True))[1:], strict=False
    ):
        for index, edge in enumerate(here.edges):
            for met in edge.met:
                if met.panel == there.number:
                    a, b = _side(sheet.outline(here.visible), index)
                    c, d = _side(other.outline(there.visible), met.edge)
                    found.append(_between(a, b, c, d, sheet.mm(met.reveal)))
    return found


def _side(outline: Outline, index: int) -> tuple[Point, Point]:
    return outline[index], outline[(index + 1) % len(outline)]


def _between(a: Point, b: Point, c: Point, d: Point, wide: float) -> Outline:
    """The strip ``wide`` mm outwards of line a–b, as far as line c–d runs beside it."""
    length = hypot(b[0] - a[0], b[1] - a[1])
    u = ((b[0] - a[0]) / length, (b[1] - a[1]) / length)
    ends = sorted((p[0] - a[0]) * u[0] + (p[1] - a[1]) * u[1] for p in (c, d))
    low, high = max(0.0, ends[0]), min(length, ends[1])
    return tuple(
        (a[0] + u[0] * s + u[1] * t, a[1] + u[1] * s - u[0] * t)
        for s, t in ((low, 0.0), (low, wide), (high, wide), (high, 0.0))
    )


def _layers(
    each: Sequence[tuple[Panel, Sheet]],
    art: Sequence[Outline],
    cut: Sequence[Outline],
    gaps: Sequence[Outline],
    sheet: Sheet,
    say: Words,
) -> list[Layer]:
    """The panels' own guides, one layer a family, with one edge and one cut round them all."""
    found: dict[str, Layer] = {}
    for panel, own in each:
        for layer in guide_layers(panel, own, say):
            if layer.id not in _OUTER:
                before = found[layer.id].marks if layer.id in found else ()
                found[layer.id] = evolve(layer, marks=(*before, *layer.marks))
    frame = [mark for gap in gaps for mark in hatched(gap, "frame", sheet.line, 5 * sheet.line)]
    edge = [Path((ring,), guide_stroke("art edge", sheet.line)) for ring in art]
    trim = [Path((ring,), guide_stroke("cut", sheet.line)) for ring in cut]
    outer = [
        guide("art-edge", edge, say, ProcessingStep("Structural", "Bleed")),
        guide("cut", trim, say, ProcessingStep("Structural", "Cutting")),
    ]
    return [*outer, *found.values(), *([guide("frame", frame, say)] if frame else [])]


def _written(
    wrap: Wrap,
    each: Sequence[tuple[Panel, Sheet]],
    structure: SizedStructure,
    room: Room,
    say: Words,
    ppi: int,
    because: str,
) -> tuple[list[Path | Text], list[Path | Text], list[Text], list[Path]]:
    """(notes, sizes, faint numbers, white under the first two)."""
    chain = [panel.number for panel, _ in each]
    labels = [Labels(panel, sheet, room, say) for panel, sheet in each]
    for one in labels:
        name_areas(one)
        _title(one)
        beside = {
            (i, m.panel)
            for i, e in enumerate(one.panel.edges)
            for m in e.met
            if _follows(chain, one.panel.number, m.panel)
        }
        name_edges(one, structure, beside)
        name_seams(one)
    panels = tuple(panel for panel, _ in each)
    host, sheet = max(each, key=lambda item: (-len(item[0].keep_outs), round(_area(item[0])), -item[0].number))
    shown = bounds([p for panel, own in each for p in own.outline(panel.visible)])
    scale = sheet.scale
    notes = WrapNotes(
        host,
        structure,
        sheet,
        say,
        ppi,
        because,
        (),
        panels,
        PurePosixPath(wrap.file).name,
        wrap.behind == "closed",
        ((shown[2] - shown[0]) * scale, (shown[3] - shown[1]) * scale),
    )
    first, art, u = labels[0], sheet.art, sheet.letters
    for axis, (low, high, start, origin) in enumerate(
        ((art.x0, art.x1, art.y0, sheet.margins[1]), (art.y0, art.y1, art.x0, sheet.margins[0]))
    ):
        if origin:
            first.dimension("page", low, high, axis, [start - 2.0 * u], start)
        else:
            inside = shown[1 - axis]
            first.dimension("page", low, high, axis, [inside + 0.3 * u * n for n in range(2, 60)])
    placed = place_cards(notes, room)
    faint = [mark for panel, own in each for mark in faint_number(panel, own, room)]
    written = [mark for one in labels for mark in one.notes]
    labelled = [*written, *first.sizes]
    white = [*under(labelled, sheet.line), *plates(labelled), *placed.plates]
    return [*written, *placed.marks], first.sizes, faint, white


def _area(panel: Panel) -> float:
    return float(Polygon(panel.safe or panel.visible).area)


def _follows(chain: Sequence[int], number: int, other: int) -> bool:
    return other in chain and abs(chain.index(other) - chain.index(number)) == 1


def _title(labels: Labels) -> None:
    """The panel's number in words, under the upper edge of what shows."""
    u, sheet = labels.unit, labels.sheet
    text = labels.say("template.panel", number=labels.panel.number)
    ring = sheet.outline(labels.panel.visible)
    x0, _, x1, y1 = bounds(ring)
    wide, high = text_width(text, 1.4 * u, True) + 0.4 * u, 1.9 * u
    box = labels.room.place(wide, high, ((x0 + x1) / 2, y1), labels.room.inside(ring))
    if box is not None:
        at = (box.x0 + 0.2 * u, box.y0 + 0.55 * u)
        labels.notes.append(Text(text, at, 1.4 * u, GUIDE_NOTES, bold=True))
        labels.room.write(box.corners)
