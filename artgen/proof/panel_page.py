"""A page per panel: its art as it hangs with guides and numbered findings, and beside it what they mean."""

from collections.abc import Sequence
from math import ceil

from ..checks.wording import sentences
from ..drawing.inks import BLACK, DARK_GREY, GREY, PALE_GREY, Guide, guide_stroke
from ..drawing.marks import Mark, Path, Stroke
from ..drawing.paper import CAPTION, SMALL, Paper
from ..drawing.pieces import Rect, arrow, frame, line
from ..drawing.typeset import lines_height, set_lines
from ..job import Job
from ..sizing.outline import bounds, size
from ..sizing.panel import Panel, SizedStructure, placed
from ..sizing.ways import turn_of, ways
from ..template import key_plan, sheet_of, where
from ..units import inch_text, mm_text
from ..words import Words
from . import judged, marked
from .column import Column
from .issue import Issue

_GAP = 7.0  # mm between picture and column
_SIDE = 66.0  # mm, the column beside tall art
_TALL = 1.2  # height over width from which the column stands beside the art
_WIDE = 0.6  # height over width under which nothing has room beside the art
_LEAST = 0.45  # of the sheet's height that art over its columns always gets
_CLEAR = 46.0  # mm of height for the art once more, as one will see it
_TEXT = 2.9
_FACT = 2.6
_PLAN = 27.0  # mm, height of the key plan


def panel_page(paper: Paper, job: Job, structure: SizedStructure, panel: Panel, say: Words, issue: Issue) -> None:
    """Draws the page on a new sheet, and as many more as its findings take."""
    paper.new_page()
    paper.heading(say("proof.panel", number=panel.number, where=where(structure, panel, say)), 1)
    found = judged.items(job, panel.number)
    w, h = marked.reading_size(panel)
    lay = _beside if h / w >= _TALL else _over
    rest = lay(paper, job, structure, panel, found, say, issue)
    paper.claim(paper.room().height)
    if rest:
        _continued(paper, rest, panel, say)


def _beside(
    paper: Paper,
    job: Job,
    structure: SizedStructure,
    panel: Panel,
    found: list[judged.Item],
    say: Words,
    issue: Issue,
) -> list[judged.Item]:
    """Tall art on the left, everything else in one column on the right; gives the items that did not fit."""
    room = paper.room()
    spot = marked.spot_in(panel, Rect(room.x0, room.y0, room.x1 - _SIDE - _GAP, room.y1))
    _picture(paper, job, spot, found, say, issue)
    column = Column(paper, Rect(room.x1 - _SIDE, room.y0, room.x1, room.y1))
    _plan(column, structure, panel, say)
    later = _facts_height(column, job, structure, panel, say) + _legend_height(panel)
    once_more = panel.number in job.pictures
    rest = _items(column, found, job, panel, say, later + (_CLEAR if once_more else 0.0))
    _facts(column, job, structure, panel, say)
    _legend(column, panel, say)
    if once_more and column.left_over >= _CLEAR - 1.0:
        box = column.box
        _clear(paper, job, panel, Rect(box.x0, box.y0, box.x1, column.top), say, issue)
    return rest


def _over(
    paper: Paper,
    job: Job,
    structure: SizedStructure,
    panel: Panel,
    found: list[judged.Item],
    say: Words,
    issue: Issue,
) -> list[judged.Item]:
    """Wide art over two columns, the art once more as one will see it: beside it, under all where the art is very wide."""
    room = paper.room()
    wide = (room.width - _GAP) * 0.56
    probe = Column(paper, Rect(room.x0, room.y0, room.x0 + wide, room.y1))
    facts = _facts_height(probe, job, structure, panel, say)
    needed = max(_items_height(probe, found, say) + facts, _PLAN + 4.0 + _legend_height(panel))
    once_more = panel.number in job.pictures
    w, h = marked.reading_size(panel)
    under = once_more and h / w < _WIDE
    foot = min(room.y0 + needed + (_CLEAR + 3.0 if under else 0.0), room.y1 - _LEAST * room.height)
    right = room.x0 + 0.6 * room.width if once_more and not under else room.x1
    spot = marked.spot_in(panel, Rect(room.x0, foot, right, room.y1))
    _picture(paper, job, spot, found, say, issue)
    if once_more and not under:
        box = Rect(right + _GAP, spot.bottom, room.x1, spot.box.y1 + lines_height(1, SMALL) + 1.6)
        _clear(paper, job, panel, box, say, issue)
    top = spot.bottom - marked.RING
    beside = Column(paper, Rect(room.x0 + wide + _GAP, room.y0, room.x1, top))
    _plan(beside, structure, panel, say)
    _legend(beside, panel, say)
    column = Column(paper, Rect(room.x0, room.y0, room.x0 + wide, top))
    rest = _items(column, found, job, panel, say, facts)
    _facts(column, job, structure, panel, say)
    low = min(column.top, beside.top)
    if under and low - room.y0 >= _CLEAR:
        _clear(paper, job, panel, Rect(room.x0, room.y0, room.x1, low - 2.0), say, issue)
    return rest


def _clear(paper: Paper, job: Job, panel: Panel, box: Rect, say: Words, issue: Issue) -> None:
    """The art cut to what shows, no lines over it."""
    caption = lines_height(1, SMALL) + 1.6
    w, h = size(placed(turn_of(panel, ways(panel)[-1]), panel.visible))
    scale = ceil(max(w / box.width, h / (box.height - caption)))
    sheet = sheet_of(panel, scale, ways(panel)[-1])
    left, _, _, high = bounds(sheet.outline(panel.visible))
    spot = marked.Spot(panel, sheet, box.x0 - left, box.y1 - caption - high)
    paper.place(set_lines([say("proof.clear")], box.x0, box.y1, box.width, SMALL, bold=True))
    paper.place(marked.art_marks(spot, job.pictures[panel.number], say, issue, hidden=False))


def _picture(paper: Paper, job: Job, spot: marked.Spot, found: Sequence[judged.Item], say: Words, issue: Issue) -> None:
    missing = judged.absence(job, spot.panel)
    if missing is None:
        paper.place(marked.art_marks(spot, job.pictures[spot.panel.number], say, issue))
    else:
        paper.place(marked.empty_marks(spot, say(missing)))
    paper.place(marked.guide_marks(spot, say))
    paper.place(marked.size_marks(spot))
    places: list[marked.Marked] = []
    for item in found:
        outlines = [judged.place_of(job, finding, spot.panel) for finding in item.members]
        shown = [outline for outline in outlines if outline is not None]
        places += marked.marked(spot, item.number, item.finding.severity, shown)
    paper.place(marked.finding_marks(spot, places))
    paper.place(marked.neighbour_marks(spot, say))  # last: their halos stand over leader lines


def _items(
    column: Column, found: Sequence[judged.Item], job: Job, panel: Panel, say: Words, later: float
) -> list[judged.Item]:
    """The numbered list, as far as it fits over ``later`` mm of other text; gives the items that don't."""
    if not found:
        state = judged.state(job, panel)
        if state == "blank":
            column.text(say("proof.items.blank"), 3.4, bold=True, after=2.4)
        elif state == "not-shown":
            column.text(say("proof.items.not-shown", heading=say("proof.not-examined")), 3.4, bold=True, after=2.4)
        else:
            column.text(say("proof.items.none"), 3.8, bold=True, after=0.6)
            column.text(say("proof.items.none.text"), _FACT, ink=DARK_GREY, after=2.4)
        return []
    column.text(say("proof.items.change"), 3.8, bold=True, after=1.0)
    for index, item in enumerate(found):
        if _item_height(column, item, say) > column.left_over - later:
            return list(found[index:])
        _item(column, item, say)
    return []


def _item_texts(item: judged.Item, say: Words) -> list[tuple[str, bool]]:
    """(text, bold) of one item: its weight, what is wrong, what to do, how many more."""
    words = sentences(item.finding, say)
    texts = [(say(f"proof.weight.{item.finding.severity}"), True), (words.message, False), (words.advice, False)]
    more = len(item.members) - 1
    if more:
        texts.append((say("proof.more.one") if more == 1 else say("proof.more", n=more), False))
    return [(text, bold) for text, bold in texts if text]


def _item_height(column: Column, item: judged.Item, say: Words) -> float:
    return sum(column.height(text, _TEXT, bold, 7.5) for text, bold in _item_texts(item, say)) + 2.6


def _items_height(column: Column, found: Sequence[judged.Item], say: Words) -> float:
    """The list's height with its heading; some lines' worth where there is nothing to list."""
    return 7.0 + sum(_item_height(column, item, say) for item in found) if found else 18.0


def _item(column: Column, item: judged.Item, say: Words) -> None:
    column.place(marked.badge(item.number, item.finding.severity, (column.box.x0 + 2.7, column.top - 2.1)), 0.0)
    for text, bold in _item_texts(item, say):
        column.text(text, _TEXT, bold=bold, indent=7.5)
    column.top -= 2.6


def _continued(paper: Paper, rest: Sequence[judged.Item], panel: Panel, say: Words) -> None:
    paper.new_page()
    paper.heading(say("proof.panel.more", number=panel.number), 1)
    for item in rest:
        probe = Column(paper, paper.room())
        room = paper.claim(_item_height(probe, item, say))
        _item(Column(paper, room), item, say)


def _plan(column: Column, structure: SizedStructure, panel: Panel, say: Words) -> None:
    """The key plan with this panel filled, and which way is up in the picture."""
    box = column.box
    plan = Rect(box.x0 + box.width - 38.0, column.top - _PLAN, box.x1, column.top)
    marks: list[Mark] = list(key_plan(structure, [panel.number], plan, 0.18))
    x = box.x0 + 8.0
    level = abs(panel.sight.tilt) >= 89.0
    marks += arrow((x, column.top - _PLAN + 8.5), (x, column.top - 3.0), Stroke(BLACK, 0.4), 3.4)
    marks.append(line((x - 5.0, column.top - _PLAN + 8.5), (x + 5.0, column.top - _PLAN + 8.5), Stroke(BLACK, 0.2)))
    words = say("proof.up.level" if level else "proof.up")
    marks += set_lines([words], box.x0, column.top - _PLAN + 6.0, 26.0, CAPTION)
    column.place(marks, _PLAN + 4.0)


def fact_texts(job: Job, structure: SizedStructure, panel: Panel, say: Words) -> list[str]:
    """What a client wants to know of a panel: sizes, file, place, how it is seen."""
    w, h = size(panel.visible)
    aw, ah = size(panel.art)
    facts = [
        say("proof.fact.visible", mm=f"{mm_text(w)} × {mm_text(h)}", inches=f"{inch_text(w)} × {inch_text(h)}"),
        *_art_texts(job, panel, say),
    ]
    if not panel.blank and panel.number not in {n for wrap in job.sizing.wraps for n in wrap.panels}:
        facts.append(say("proof.fact.page", mm=f"{mm_text(aw)} × {mm_text(ah)}"))
    if panel.seams:
        facts.append(say("proof.fact.drops", n=len(panel.drops)))
    if structure.lit:
        facts.append(say("proof.fact.lit"))
        if not panel.stands:
            facts.append(say("proof.fact.lit-unknown"))
    return facts + sight_texts(job, structure, panel, say)


def _art_texts(job: Job, panel: Panel, say: Words) -> list[str]:
    """Each file that the panel takes, and its page as it came."""
    texts = []
    for claim in job.observations.claims.claims:
        if panel.number in claim.target.numbers:
            key = "proof.fact.file" if claim.page == 1 else "proof.fact.file.page"
            texts.append(say(key, file=claim.file, page=claim.page))
    for seen in job.observations.laid:
        laid = seen.laid
        if panel.number in laid.target.numbers:
            mm = f"{mm_text(laid.facts.width)} × {mm_text(laid.facts.height)}"
            if not laid.facts.sized:
                texts.append(say("proof.fact.sent.unsized"))
            elif abs(laid.scale - 1.0) < 1e-6:
                texts.append(say("proof.fact.sent", mm=mm))
            else:
                texts.append(say("proof.fact.sent.scaled", mm=mm, scale=f"{laid.scale:.4g}"))
    return texts


def sight_texts(job: Job, structure: SizedStructure, panel: Panel, say: Words) -> list[str]:
    """Where a panel is over the floor, how it leans, and what a reader gets to see of it."""
    heights = [z + structure.lift for _, _, z in panel.bay.outline]
    settings = job.order.structures[structure.index].settings
    tilt, seen, hidden = panel.sight.tilt, panel.sight.share, panel.sight.hidden
    away = metres(settings.reading_distance)
    level = abs(tilt) >= 89.0
    texts = [say("proof.fact.high", low=metres(min(heights)), top=metres(max(heights)))]
    if level:
        texts = [say("proof.fact.level-up" if tilt > 0 else "proof.fact.level-down")]
    elif abs(tilt) >= 1.0:
        texts.append(say("proof.fact.leans-up" if tilt > 0 else "proof.fact.leans-down", deg=f"{abs(tilt):.0f}"))
    if panel.sight.seen <= 0.0:
        texts.append(say("proof.fact.seen.none", m=away))
    elif seen >= 0.95:
        texts.append(say("proof.fact.seen.all", m=away))
    else:
        texts.append(say("proof.fact.seen", m=away, percent=round(seen * 100)))
    if 0.0 < hidden < 1.0 and seen > 0.0:
        texts.append(say("proof.fact.hidden", percent=round(hidden * 100)))
    return texts


def metres(mm: float) -> str:
    """Metres to a centimetre, without needless zeros."""
    return f"{mm / 1000:.2f}".rstrip("0").rstrip(".")


def _facts_height(column: Column, job: Job, structure: SizedStructure, panel: Panel, say: Words) -> float:
    return 8.0 + sum(column.height(text, _FACT) + 0.5 for text in fact_texts(job, structure, panel, say))


def _facts(column: Column, job: Job, structure: SizedStructure, panel: Panel, say: Words) -> None:
    column.text(say("proof.facts"), SMALL, bold=True, after=0.6)
    for text in fact_texts(job, structure, panel, say):
        column.text(text, _FACT, ink=DARK_GREY, after=0.5)
    column.top -= 3.0


LINES: dict[str, Guide] = {
    "fold": "fold",
    "safe": "safe",
    "cut": "cut",
    "art-edge": "art edge",
    "seam": "seam",
    "shadow": "shadow",
    "keep-out": "keep-out",
}
_ROW = 4.4


def legend_rows(panel: Panel) -> list[str]:
    """The kinds of lines that a panel has, by the names of their words."""
    rows = ["fold"] + (["safe"] if panel.safe else []) + ["cut", "art-edge"]
    rows += (["seam"] if panel.seams else []) + (["shadow"] if panel.shadows else [])
    return rows + (["keep-out"] if panel.keep_outs else [])


def _legend_height(panel: Panel) -> float:
    return 5.5 + _ROW * (len(legend_rows(panel)) + 1)


def _legend(column: Column, panel: Panel, say: Words) -> None:
    """Each line as it is drawn on the picture, with what it means."""
    column.text(say("proof.legend"), SMALL, bold=True, after=0.6)
    left = column.box.x0
    for row in legend_rows(panel):
        y = column.top - _ROW / 2
        stroke = guide_stroke(LINES[row], 0.2)
        stroke = Stroke(marked.plain(stroke.ink), stroke.width, stroke.dash, stroke.cap)
        hatched = row in ("shadow", "keep-out")
        sample = _area_sample(row, left, y, stroke) if hatched else line((left, y), (left + 13.0, y), stroke)
        _legend_row(column, [sample], say(f"proof.line.{row}"))
    y = column.top - _ROW / 2
    shown, hidden = Rect(left, y - 1.4, left + 6.5, y + 1.4), Rect(left + 6.5, y - 1.4, left + 13.0, y + 1.4)
    _legend_row(column, [frame(shown, fill=GREY), frame(hidden, fill=PALE_GREY)], say("proof.line.veil"))
    column.top -= 3.0


def _legend_row(column: Column, sample: list[Mark], words: str) -> None:
    left, width = column.box.x0 + 15.5, column.box.width - 15.5
    text = set_lines([words], left, column.top - _ROW / 2 + _FACT * 0.69, width, _FACT, ink=DARK_GREY)
    column.place([*sample, *text], _ROW)


def _area_sample(row: str, left: float, y: float, stroke: Stroke) -> Path:
    """Hatched as on the picture: shadows one way, what is kept out both ways."""
    signs = (1,) if row == "shadow" else (1, -1)
    ways = [((x, y - s * 1.2), (x + 2.4, y + s * 1.2)) for x in (left + i * 2.4 for i in range(5)) for s in signs]
    return Path(tuple(ways), stroke, closed=False)
