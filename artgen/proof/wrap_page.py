"""A page per wrap: its panels side by side as one walks past them, the frame between them, findings outlined."""

from collections.abc import Sequence
from math import ceil

from ..checks.wording import panel_list, sentences
from ..drawing.fonts import CAP_HEIGHT, wrap_text
from ..drawing.inks import BLACK, DARK_GREY, FAINT_GREY, GREY
from ..drawing.marks import Mark, Path, Stroke, Text
from ..drawing.paper import SMALL, Paper
from ..drawing.pieces import Rect
from ..drawing.typeset import set_lines
from ..job import Job
from ..sizing.outline import bounds
from ..sizing.panel import Wrap, after, placed
from ..template import Sheet, key_plan
from ..template.key_plan import view_of
from ..words import Words
from . import judged, marked
from .issue import Issue

_NUMBERS = 9.0  # mm under the strip for the panels' numbers
_MOST = 5  # things listed; all of them stand on the panels' pages
_LIST = 85.0  # mm under that for what was found
_LINE = 0.2
_PLAN, _MOST_PLANS, _SEEN = 26.0, 3, 0.1  # mm, height of a key plan; how many; cosine from which a side is seen in one


def wrap_page(paper: Paper, job: Job, wrap: Wrap, say: Words, issue: Issue) -> None:
    """Draws the page on a new sheet. Each panel is cut to what shows of it."""
    paper.new_page()
    paper.heading(say("proof.wrap", panels=panel_list(list(wrap.panels), say)), 1)
    paper.paragraph(say("proof.wrap.text"))
    panels = [job.sizing.panel(number) for number in wrap.panels]
    frames = [placed(place, panel.frame) for panel, place in zip(panels, wrap.places, strict=True)]
    x0, y0, x1, y1 = bounds([point for frame in frames for point in frame])
    room = paper.room()
    scale = max(1, ceil(max((x1 - x0) / room.width, (y1 - y0) / (room.height - _NUMBERS - _LIST))))
    left, bottom = (room.width - (x1 - x0) / scale) / 2 + room.x0, room.y1 - (y1 - y0) / scale
    for panel, place in zip(panels, wrap.places, strict=True):
        onto = after((1 / scale, 0.0, 0.0, 1 / scale, -x0 / scale, -y0 / scale), place)
        sheet = Sheet((x1 - x0) / scale, (y1 - y0) / scale, onto, _LINE, scale)
        paper.place(panel_marks(job, marked.Spot(panel, sheet, left, bottom), say, issue))
        paper.place(_number(marked.Spot(panel, sheet, left, bottom)))
    paper.claim((y1 - y0) / scale + _NUMBERS)
    _key_plans(paper, job, wrap, say)
    texts = _texts(job, wrap, say)
    if texts:
        paper.heading(say("proof.items.change"), 2)
        paper.bullets(texts[:_MOST])
        if len(texts) > _MOST:
            paper.paragraph(say("proof.wrap.more", n=len(texts) - _MOST))


def _texts(job: Job, wrap: Wrap, say: Words) -> list[str]:
    """What is wrong on any of its panels, each cause once."""
    causes = [item.finding for number in wrap.panels for item in judged.items(job, number)]
    texts = [sentences(finding, say) for index, finding in enumerate(causes) if finding not in causes[:index]]
    return [f"{text.message} {text.advice}".strip() for text in texts]


def panel_marks(job: Job, spot: marked.Spot, say: Words, issue: Issue) -> list[Mark]:
    """A panel in its metal, cut to what shows of it, the places of its findings outlined."""
    panel = spot.panel
    marks: list[Mark] = [Path((spot.outline(panel.frame),), Stroke(GREY, 0.13), FAINT_GREY)]
    missing = judged.absence(job, panel)
    if missing is None:
        marks += marked.art_marks(spot, job.pictures[panel.number], say, issue, hidden=False)
    else:
        marks += marked.empty_marks(spot, say(missing))
    return marks + marked.outlined(places_on(job, spot))


def _key_plans(paper: Paper, job: Job, wrap: Wrap, say: Words) -> None:
    """Where the panels are, from as many sides as it takes to see each."""
    for structure in job.sizing.structures:
        left = [panel.number for panel in structure.panels if panel.number in wrap.panels]
        plans: list[list[int]] = []
        while left and len(plans) < _MOST_PLANS:
            plans.append(left)
            view = view_of(next(p for p in structure.panels if p.number == left[0]).bay, structure.hung)
            seen = {p.number for p in structure.panels if view.facing(p.bay.outline) > _SEEN}
            left = [number for number in left[1:] if number not in seen]
        if plans:
            box = paper.claim(_PLAN + 6.0)
            for index, numbers in enumerate(plans):
                x = box.x0 + index * (_PLAN * 1.5)
                plan = Rect(x, box.y0 + 4.0, x + _PLAN * 1.3, box.y1 - 2.0)
                paper.place(key_plan(structure, [n for n in wrap.panels if n in numbers or index == 0], plan, 0.18))
            words = say("proof.wrap.plan" if len(plans) == 1 else "proof.wrap.plans")
            x = box.x0 + len(plans) * (_PLAN * 1.5)
            paper.place(
                set_lines(wrap_text(words, SMALL, box.x1 - x), x, box.y1 - 4.0, box.x1 - x, SMALL, ink=DARK_GREY)
            )


def _number(spot: marked.Spot) -> list[Mark]:
    x0, y0, x1, _ = bounds(spot.outline(spot.panel.visible))
    at = ((x0 + x1) / 2, y0 - 3.0 - 4.6 * CAP_HEIGHT)
    return [Text(str(spot.panel.number), at, 4.6, BLACK, "middle", bold=True)]


def places_on(job: Job, spot: marked.Spot) -> Sequence[marked.Marked]:
    """Where findings stand on what shows of a panel, as they are outlined."""
    found: list[marked.Marked] = []
    for item in judged.items(job, spot.panel.number):
        outlines = [judged.place_of(job, finding, spot.panel, "visible") for finding in item.members]
        shown = [outline for outline in outlines if outline is not None]
        found += marked.marked(spot, item.number, item.finding.severity, shown)
    return found
