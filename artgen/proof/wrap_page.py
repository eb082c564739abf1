"""A page per wrap: its panels side by side as one walks past them, the frame between them, findings outlined."""

from collections.abc import Sequence
from math import ceil

from ..checks.wording import panel_list, sentences
from ..drawing.fonts import CAP_HEIGHT
from ..drawing.inks import BLACK, FAINT_GREY, GREY
from ..drawing.marks import Mark, Path, Stroke, Text
from ..drawing.paper import Paper
from ..job import Job
from ..sizing.outline import bounds
from ..sizing.panel import Wrap, after, placed
from ..template import Sheet
from ..words import Words
from . import judged, marked
from .issue import Issue

_NUMBERS = 9.0  # mm under the strip for the panels' numbers
_MOST = 5  # things listed; all of them stand on the panels' pages
_LIST = 55.0  # mm under that for what was found
_LINE = 0.2


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
    return marks + marked.outlined(_places(job, spot))


def _number(spot: marked.Spot) -> list[Mark]:
    x0, y0, x1, _ = bounds(spot.outline(spot.panel.visible))
    at = ((x0 + x1) / 2, y0 - 3.0 - 4.6 * CAP_HEIGHT)
    return [Text(str(spot.panel.number), at, 4.6, BLACK, "middle", bold=True)]


def _places(job: Job, spot: marked.Spot) -> Sequence[marked.Marked]:
    found: list[marked.Marked] = []
    for item in judged.items(job, spot.panel.number):
        outlines = [judged.place_of(job, finding, spot.panel, "visible") for finding in item.members]
        shown = [outline for outline in outlines if outline is not None]
        found += marked.marked(spot, item.number, item.finding.severity, shown)
    return found
