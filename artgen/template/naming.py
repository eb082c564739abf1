"""What of a panel is named on its page, and where: its lines taken into the page's room, then labels for its parts.

Takes `Labels` of a page; adds to them. The order in which a page calls these is what is given room first.
"""

from collections.abc import Collection

from ..drawing.marks import Point
from ..drawing.pieces import Rect
from ..drawing.room import Room
from ..sizing.names import edge_name
from ..sizing.outline import Outline, bounds
from ..sizing.panel import Panel, SizedStructure
from ..units import mm_text
from .guides import seam_bands, seam_line
from .labels import Labels
from .sheet import Sheet
from .tags import tab_place, tag_place

_CELL = 0.2  # of the letters' size
_NARROW = 14.0  # letter sizes: no dimension line stands inside what is narrower, the sizes are written out


def page_room(sheet: Sheet) -> Room:
    """An empty page, of which the margin is for dimension lines and the title block."""
    room = Room(sheet.width, sheet.height, _CELL * sheet.letters)
    if sheet.margins[0]:
        art, page = sheet.art, Rect(0.0, 0.0, sheet.width, sheet.height)
        for side in (
            Rect(page.x0, page.y0, art.x0, page.y1),
            Rect(art.x1, page.y0, page.x1, page.y1),
            Rect(page.x0, page.y0, page.x1, art.y0),
            Rect(page.x0, art.y1, page.x1, page.y1),
        ):
            room.cover(side.corners)
    return room


def draw_panel(room: Room, panel: Panel, sheet: Sheet, beyond: Collection[Outline] | None = None) -> None:
    """A panel's lines and areas. ``beyond`` = what is drawn past its fold lines instead of its own art size, cut and tabs."""
    own = (panel.art, panel.cut)
    for outline in (panel.visible, *([panel.safe] if panel.safe else []), *(own if beyond is None else beyond)):
        room.draw(sheet.outline(outline), closed=True)
    for edge, (a, b) in zip(panel.edges, _sides(sheet.outline(panel.frame)), strict=True):
        if edge.met:
            room.draw((a, b))
    if beyond is None:
        for place in (tab_place(panel), tag_place(panel)):
            room.cover(sheet.outline(place))
    for seam in panel.seams:
        a, b = seam_line(panel, seam)
        room.draw((sheet.at(a), sheet.at(b)))
        bands = seam_bands(panel, seam, panel.seam_clearance)
        if len(bands) == 2:
            room.cover([sheet.at(p) for p in (*bands[0], *reversed(bands[1]))])
    for outline in (*(band.outline for band in panel.shadows), *(keep.outline for keep in panel.keep_outs)):
        room.cover(sheet.outline(outline))


def _sides(outline: Outline) -> list[tuple[Point, Point]]:
    return list(zip(outline, [*outline[1:], outline[0]], strict=True))


def name_areas(labels: Labels) -> None:
    """What is kept out, and which hardware throws a shadow: on the area if it takes the words, else beside it."""
    sheet, say = labels.sheet, labels.say
    named: list[tuple[str, Outline]] = []
    for keep in labels.panel.keep_outs:
        what = say("template.keep-out.hole" if keep.hole else "template.keep-out")
        named.append((say("template.keep-out.named", what=what, name=keep.name) if keep.name else what, keep.outline))
    named += [(say(f"template.shadow.{band.kind.replace(' ', '-')}"), band.outline) for band in labels.panel.shadows]
    for text, outline in named:
        ring = sheet.outline(outline)
        if not labels.inside(text, ring):
            x0, y0, x1, y1 = bounds(ring)
            labels.callout(text, ((x0 + x1) / 2, (y0 + y1) / 2), dot=True)


def is_narrow(labels: Labels) -> tuple[bool, bool]:
    """Whether what shows is narrow for its letters, and whether it is higher than wide."""
    x0, y0, x1, y1 = bounds(labels.sheet.outline(labels.panel.visible))
    return min(x1 - x0, y1 - y0) < _NARROW * labels.unit, y1 - y0 > x1 - x0


def name_tabs(labels: Labels) -> None:
    named = []
    for key, place in (("template.tab", tab_place(labels.panel)), ("template.tag", tag_place(labels.panel))):
        ring = labels.sheet.outline(place)
        named.append((labels.say(key), (sum(p[0] for p in ring) / 4, sum(p[1] for p in ring) / 4)))
    labels.callouts(named)


def name_edges(labels: Labels, structure: SizedStructure, but: Collection[tuple[int, int]] = ()) -> None:
    """Who meets each edge, ``but`` those (edge, panel) that are seen on the page itself."""
    panels = {panel.number: panel for panel in structure.panels}
    narrow, _ = is_narrow(labels)
    for index, edge in enumerate(labels.panel.edges):
        for met in edge.met:
            if (index, met.panel) in but:
                continue
            other = panels.get(met.panel)  # an open bay has a number, and no panel
            labels.neighbour(index, met, edge_name(other, met.edge, labels.say) if other is not None else "", narrow)


def dimensions(labels: Labels) -> None:
    """Page and visible sizes: in the margin where there is one, else inside, along the lower and left sides."""
    u, panel, sheet = labels.unit, labels.panel, labels.sheet
    art = sheet.art
    shown = bounds(sheet.outline(panel.visible))
    square = len(panel.visible) == 4 and all(
        abs(a[0] - b[0]) < 1e-6 or abs(a[1] - b[1]) < 1e-6 for a, b in _sides(sheet.outline(panel.visible))
    )
    left, bottom = sheet.margins[:2]
    for axis, (low, high, first, far, margin) in enumerate(
        (
            (art.x0, art.x1, art.y0, art.y1, bottom),
            (art.y0, art.y1, art.x0, art.x1, left),
        )
    ):
        if margin:
            labels.dimension("page", low, high, axis, [first - 4.0 * u], first)
            if square:
                labels.dimension("visible", shown[axis], shown[axis + 2], axis, [first - 1.6 * u], shown[1 - axis])
            continue
        if is_narrow(labels)[0]:
            continue
        start = shown[1 - axis] if square else first
        places = [start + 0.3 * u * n for n in range(2, 3 + round(0.4 * (far - first) / (0.3 * u)))]
        labels.dimension("page", low, high, axis, places)
        if square:
            labels.dimension("visible", shown[axis], shown[axis + 2], axis, places)


def name_seams(labels: Labels) -> None:
    panel, sheet, say = labels.panel, labels.sheet, labels.say
    text = say("template.seam", allowance=mm_text(panel.fabric.seam_allowance), clearance=mm_text(panel.seam_clearance))
    within = labels.room.inside(sheet.outline(panel.visible))
    for seam in panel.seams:
        a, b = seam_line(panel, seam)
        for share in (0.86, 0.75, 0.6, 0.3):
            anchor = sheet.at((a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share))
            if labels.callout(text, anchor, within):
                break
