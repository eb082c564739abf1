"""The spec sheet: what to send for an order, in plain words with pictures, on a page or two of A4 or Letter.

Takes a sized order; uses the page maker. Sizes are page sizes at each scale that may be sent.
"""

from collections.abc import Sequence
from pathlib import PurePosixPath

from attrs import frozen
from shapely import Polygon

from ..drawing.fonts import CAP_HEIGHT, wrap_text
from ..drawing.inks import BLACK, BLUE, DARK_GREY, GREY, ORANGE, VERMILLION, WHITE, Guide, guide_stroke
from ..drawing.marks import Drawing, Ink, Mark, Path, Stroke, Text
from ..drawing.paper import SMALL, Paper
from ..drawing.pieces import Rect, frame, line
from ..drawing.title_block import TitleBlock
from ..drawing.typeset import set_lines
from ..sizing.names import side
from ..sizing.panel import Panel, SizedStructure, Sizing
from ..sizing.ways import Way, ways
from ..structure.view import View
from ..units import mm_text, pixels
from ..words import Words
from .guides import hatched
from .key_plan import VIEWS
from .margin import Head, block_words
from .sheet import page_size
from .wrap import wrap_size

_SCALES, _MOST = (1, 2, 10, 4), 6  # the usual ones, the likeliest first; a table has room for so many
_PLAN = 34.0  # mm, height of the numbered pictures
_FILE = 82.0  # mm that the list about the file takes: it is not torn apart
_PICTURE = 30.0  # mm, height of a picture of what to keep clear of


@frozen
class Asked:
    """What the shop asks for: ``ppi`` and ``distance`` by structure, ``sheet`` the paper, ``scales`` = those of the templates
    that are sent along."""

    sizing: Sizing
    head: Head
    sheet: str
    ppi: tuple[int, ...]
    distance: tuple[float, ...]
    scales: tuple[int, ...] = ()


@frozen
class _Row:
    """A page size, and the panels that share it."""

    names: tuple[str, ...]
    where: str
    size: tuple[float, float]
    ppi: int


def spec_sheet(asked: Asked, say: Words) -> list[Drawing]:
    """The sheets."""
    head = asked.head
    who = " · ".join(part for part in (head.name, head.client) if part)
    block = TitleBlock(
        "", say("spec.title"), who, say("spec.type"), head.number, date_of_issue=head.date, words=block_words(say)
    )
    paper = Paper(block, sheet="letter" if asked.sheet == "letter" else "a4")
    paper.heading(say("spec.title"), 1)
    paper.paragraph(say("spec.intro"))
    _plans(paper, asked.sizing, say)
    paper.heading(say("spec.sizes"))
    paper.paragraph(say("spec.sizes.text"))
    rows = [*_wrap_rows(asked, say), *_panel_rows(asked, say)]
    scales = sorted(list(dict.fromkeys((*asked.scales, *_SCALES)))[:_MOST])
    heads = [say("spec.panel"), say("spec.where"), *(say("spec.scale", scale=s) for s in scales), say("spec.px")]
    table = [
        [
            ", ".join(row.names),
            row.where,
            *(f"{mm_text(row.size[0] / s)} × {mm_text(row.size[1] / s)}" for s in scales),
            f"{pixels(row.size[0], row.ppi)} × {pixels(row.size[1], row.ppi)}",
        ]
        for row in rows
    ]
    paper.table(heads, table, size=2.5)
    if paper.room().height < _FILE:
        paper.new_page()
    paper.heading(say("spec.send"))
    paper.bullets(_sends(asked, rows, say), size=SMALL)
    _keep_clear(paper, asked, say)
    return paper.pages()


def _plans(paper: Paper, sizing: Sizing, say: Words) -> None:
    """Each structure from where most of its panels show, and from behind where panels stand there too."""
    shown: list[tuple[SizedStructure, View, str]] = []
    for structure in sizing.structures:
        left = {panel.number for panel in structure.panels}
        order = (*VIEWS[2:], *VIEWS[:2]) if structure.hung else VIEWS
        for view in order:
            seen = {
                n for n, bay in zip(structure.numbers, structure.bays, strict=True) if view.facing(bay.outline) > 0.2
            }
            if seen & left:
                way = "behind" if abs(view.azimuth) > 90 else "front"
                shown.append((structure, view, say(f"spec.seen.{way}" + (".below" if view.elevation < 0 else ""))))
                left -= seen
    paper.space(2.0)
    for start in range(0, len(shown), 4):
        box = paper.claim(_PLAN + 9.0)
        for (structure, view, words), cell in zip(shown[start : start + 4], box.columns(4, 5.0), strict=False):
            paper.place(_plan(structure, view, Rect(cell.x0, cell.y0 + 9.0, cell.x1, cell.y1)))
            paper.place(set_lines([structure.name, words], cell.x0, cell.y0 + 8.0, cell.width, 2.5, ink=DARK_GREY))


def _plan(structure: SizedStructure, view: View, box: Rect) -> list[Mark]:
    """Every bay that is seen, with its number."""
    numbered = {panel.number for panel in structure.panels}
    bays = [
        (n, bay, [view.project(v) for v in bay.outline])
        for n, bay in sorted(
            zip(structure.numbers, structure.bays, strict=True), key=lambda item: view.depth(item[1].outline)
        )
        if view.sees(bay.outline)
    ]
    xs = [x for _, _, points in bays for x, _ in points]
    ys = [y for _, _, points in bays for _, y in points]
    factor = min(box.width / (max(xs) - min(xs)), box.height / (max(ys) - min(ys)))
    marks: list[Mark] = []
    for number, bay, points in bays:
        ring = tuple((box.x0 + (x - min(xs)) * factor, box.y0 + (y - min(ys)) * factor) for x, y in points)
        marks.append(Path((ring,), Stroke(BLACK, 0.25, cap="round"), WHITE))
        if number in numbered and view.facing(bay.outline) > 0.2:
            middle = Polygon(ring).representative_point()
            x, y = float(middle.x), float(middle.y)
            tall = max(2.5, min(6.0, 1.3 * float(middle.distance(Polygon(ring).exterior))))
            marks.append(Text(str(number), (x, y - tall * CAP_HEIGHT / 2), tall, BLACK, "middle", bold=True))
    return marks


def _panel_rows(asked: Asked, say: Words) -> list[_Row]:
    """Panels of one structure with the same page share a row; so do the pages of those that hang on a tip, each way."""
    rows: dict[tuple[int, Way, tuple[float, float]], list[Panel]] = {}
    for structure in asked.sizing.structures:
        for panel in structure.panels:
            if panel.blank:
                continue
            for way in ways(panel):
                w, h = page_size(panel, way)
                rows.setdefault((structure.index, way, (round(w, 3), round(h, 3))), []).append(panel)
    names = {structure.index: structure.name for structure in asked.sizing.structures}
    made = []
    for (index, way, size), panels in rows.items():
        of = names[index] if len(panels) > 1 else f"{names[index]}, {side(panels[0], say)}"
        where = say("spec.reading", where=of) if way == "reading" else of
        made.append(_Row(tuple(str(p.number) for p in panels), where, size, asked.ppi[index]))
    return made


def _wrap_rows(asked: Asked, say: Words) -> list[_Row]:
    made = []
    for wrap in asked.sizing.wraps:
        panels = [asked.sizing.panel(number) for number in wrap.panels]
        structure = next(s for s in asked.sizing.structures if panels[0] in s.panels)
        where = say("spec.wrap", where=structure.name)
        made.append(_Row(tuple(map(str, wrap.panels)), where, wrap_size(wrap, panels), asked.ppi[structure.index]))
    return made


def _sends(asked: Asked, rows: Sequence[_Row], say: Words) -> list[str]:
    panels = asked.sizing.panels
    bleed = _span([edge.bleed for panel in panels for edge in panel.edges])
    hidden = _span([edge.allowance for panel in panels for edge in panel.edges])
    ppis, distances = sorted(set(asked.ppi)), sorted(set(asked.distance))
    number = next((row.names[0] for row in rows if len(row.names) == 1), str(panels[0].number))
    texts = [
        say("spec.send.format"),
        say("spec.send.colour"),
        say("spec.send.fonts"),
        say("spec.send.bleed", bleed=bleed, hidden=hidden),
        say("spec.send.ppi", ppi=_span(ppis), metres=_span([d / 1000 for d in distances])),
        say("spec.send.name", number=number),
        *(
            say("spec.send.wrap", numbers=", ".join(map(str, wrap.panels)), file=PurePosixPath(wrap.file).name)
            for wrap in asked.sizing.wraps
        ),
        say("spec.send.guides"),
    ]
    return [*texts, say("spec.send.tip")] if any(len(ways(panel)) > 1 for panel in panels) else texts


def _span(values: Sequence[float]) -> str:
    low, high = min(values), max(values)
    return mm_text(low) if high - low < 0.05 else f"{mm_text(low)} to {mm_text(high)}"


def _keep_clear(paper: Paper, asked: Asked, say: Words) -> None:
    """Little pictures of where text must not stand; of those that this order has."""
    panels = asked.sizing.panels
    safe = _span([edge.safe for panel in panels for edge in panel.edges])
    clear = _span([panel.seam_clearance for panel in panels])
    cases: list[tuple[str, str]] = [("edge", say("spec.clear.edge", safe=safe))]
    if any(edge.met for panel in panels for edge in panel.edges):
        cases.append(("corner", say("spec.clear.corner")))
    if any(panel.seams for panel in panels):
        cases.append(("seam", say("spec.clear.seam", clear=clear)))
    if any(panel.shadows for panel in panels):
        cases.append(("shadow", say("spec.clear.shadow")))
    if any(panel.keep_outs for panel in panels):
        cases.append(("keep-out", say("spec.clear.keep-out")))
    height = _PICTURE + 18.0
    if paper.room().height < height + 12.0:
        paper.new_page()
    paper.heading(say("spec.clear"))
    for start in range(0, len(cases), 4):
        box = paper.claim(height)
        for (kind, text), cell in zip(cases[start : start + 4], box.columns(4, 5.0), strict=False):
            paper.place(_picture(kind, Rect(cell.x0, cell.y1 - _PICTURE, cell.x1, cell.y1), say))
            lines = wrap_text(text, 2.6, cell.width)
            paper.place(set_lines(lines, cell.x0, cell.y1 - _PICTURE - 1.5, cell.width, 2.6))


def _picture(kind: str, box: Rect, say: Words) -> list[Mark]:
    """A panel with a word where it must not stand, crossed out, and one where it may."""
    panel = Rect(box.x0 + 2.0, box.y0 + 1.0, box.x1 - 2.0, box.y1 - 1.0)
    fold, safe = _plain("fold", BLUE), _plain("safe", ORANGE)
    marks: list[Mark] = []
    word = say("spec.word")
    x, y = panel.centre
    if kind == "corner":
        left, right = Rect(panel.x0, panel.y0, x - 0.8, panel.y1), Rect(x + 0.8, panel.y0, panel.x1, panel.y1)
        marks += [frame(left, fold), frame(right, fold), frame(left.inset(2.2), safe), frame(right.inset(2.2), safe)]
        good, bad = (left.centre[0], y - 6.0), (x, y + 6.0)
    else:
        marks += [frame(panel, fold), frame(panel.inset(2.8), safe)]
        good, bad = (x, y - 5.0), (panel.x0 + 3.0, y + 6.0)
    if kind == "seam":
        marks.append(line((x, panel.y0), (x, panel.y1), _plain("seam", guide_stroke("seam", 0.2).ink)))
        good, bad = (panel.x0 + panel.width * 0.27, y - 5.0), (x, y + 6.0)
    if kind in ("shadow", "keep-out"):
        area = Rect(panel.x0, panel.y1 - 9.0, panel.x1, panel.y1) if kind == "shadow" else Rect(x - 7, y, x + 7, y + 10)
        for mark in hatched(area.corners, "shadow" if kind == "shadow" else "keep-out", 0.18, 1.8):
            assert mark.stroke is not None
            marks.append(Path(mark.subpaths, Stroke(GREY, mark.stroke.width), closed=mark.closed))
        bad = (x, (area.y0 + area.y1) / 2)
        good = (x, panel.y0 + 7.0)
    marks += _word(word, bad, wrong=True)
    marks += _word(word, good, wrong=False)
    return marks


def _plain(guide: Guide, ink: Ink) -> Stroke:
    """A guide's line on paper: an ordinary colour."""
    stroke = guide_stroke(guide, 0.2)
    return Stroke(Ink(ink.name, ink.rgb, ink.cmyk), stroke.width, stroke.dash, stroke.cap)


def _word(word: str, at: tuple[float, float], *, wrong: bool) -> list[Mark]:
    tall = 4.0
    x, y = at
    text = Text(word, (x, y - tall * CAP_HEIGHT / 2), tall, BLACK, "middle", bold=True, halo=1.0, halo_ink=WHITE)
    if not wrong:
        return [text]
    half = 6.5
    stroke = Stroke(VERMILLION, 0.6, cap="round")
    return [
        text,
        line((x - half, y - 2.4), (x + half, y + 2.4), stroke),
        line((x - half, y + 2.4), (x + half, y - 2.4), stroke),
    ]
