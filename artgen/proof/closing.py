"""The last sheets: what the proof does not tell, what to mind before it stands or hangs, and the decision."""

from ..checks.wording import panel_list
from ..drawing.fonts import text_width
from ..drawing.inks import BLACK, DARK_GREY, GREY
from ..drawing.marks import Mark, Stroke, Text
from ..drawing.paper import BODY, CAPTION, SMALL, Paper
from ..drawing.pieces import Rect, frame, line
from ..drawing.typeset import set_lines
from ..job import Job
from ..words import Words
from . import judged
from .issue import Issue

ANSWERS = ("approved", "noted", "redo")
TALL = 2500.0  # mm of standing height, from which cautions are said; common practice, no source
_CANNOT = 5
_CONFIRM = 5
_LINE = Stroke(BLACK, 0.25)


def limits(paper: Paper, job: Job, say: Words) -> None:
    """What could not be checked, what no proof can show, and cautions for what is hung, tall or lit."""
    paper.new_page()
    paper.heading(say("proof.limits"), 1)
    for heading, items in limit_texts(job, say):
        paper.heading(heading, 2)
        paper.bullets(items, size=SMALL if heading == say("proof.not-examined") else BODY)


def limit_texts(job: Job, say: Words) -> list[tuple[str, list[str]]]:
    """(heading, items) of all that the proof does not tell."""
    unseen = [say("proof.not-examined.item", what=one.what, why=one.why.rstrip(".")) for one in job.not_examined]
    found = [
        (say("proof.not-examined"), unseen or [say("proof.not-examined.none")]),
        (say("proof.cannot"), [say(f"proof.cannot.{n}") for n in range(1, _CANNOT + 1)]),
    ]
    cautions = _cautions(job, say)
    return [*found, (say("proof.cautions"), [say("proof.cautions.intro"), *cautions])] if cautions else found


def _cautions(job: Job, say: Words) -> list[str]:
    structures = job.sizing.structures
    groups = {
        "hung": [one.name for one in structures if one.hung],
        "tall": [one.name for one in structures if not one.hung and one.standing >= TALL],
        "lit": [one.name for one in structures if one.lit],
    }
    found = [say(f"proof.caution.{key}", names=", ".join(names)) for key, names in groups.items() if names]
    return [*found, say("proof.caution.fire")] if found else []


def decision(paper: Paper, job: Job, say: Words, issue: Issue) -> None:
    """The sheet that the client signs."""
    paper.new_page()
    paper.heading(say("proof.decision"), 1)
    order = job.order
    number = order.number or say("proof.none")
    what = say("proof.decision.what", number=number, name=order.name, revision=issue.revision)
    paper.paragraph(what, bold=True)
    paper.paragraph(say("proof.decision.who", revision=issue.revision))
    found = judged.summary(job)
    if found.must_change:
        key = "proof.decision.open.one" if found.must_change == 1 else "proof.decision.open"
        paper.paragraph(say(key, n=found.must_change), bold=True)
    if found.panels_without_art:
        paper.paragraph(
            say("proof.decision.missing", panels=panel_list(list(found.panels_without_art), say)), bold=True
        )
    paper.heading(say("proof.decision.choose"), 2)
    for key in ANSWERS:
        _choice(paper, say(f"proof.box.{key}"), say(f"proof.box.{key}.text"))
    paper.heading(say("proof.decision.panels"), 2)
    _ticks(paper, [panel.number for panel in job.sizing.panels])
    paper.heading(say("proof.decision.confirm"), 2)
    paper.bullets([say(f"proof.confirm.{n}") for n in range(1, _CONFIRM + 1)], size=SMALL)
    _notes(paper, say)
    _signature(paper, say)


def _choice(paper: Paper, title: str, text: str) -> None:
    box = paper.claim(9.2)
    tick = Rect(box.x0 + 0.3, box.y1 - 6.8, box.x0 + 6.3, box.y1 - 0.8)
    marks: list[Mark] = [frame(tick, Stroke(BLACK, 0.4))]
    marks += set_lines([title], box.x0 + 9.5, box.y1, box.width - 9.5, 3.8, bold=True)
    marks += set_lines([text], box.x0 + 9.5, box.y1 - 4.7, box.width - 9.5, SMALL, ink=DARK_GREY)
    paper.place(marks)


def _ticks(paper: Paper, numbers: list[int]) -> None:
    """A small box for each panel, as many to a row as fit."""
    pitch = max(15.0, 9.0 + max((text_width(str(n), BODY) for n in numbers), default=0.0))
    per_row = max(1, int(paper.body.width / pitch))
    for start in range(0, len(numbers), per_row):
        box = paper.claim(6.4)
        marks: list[Mark] = []
        for index, number in enumerate(numbers[start : start + per_row]):
            left = box.x0 + index * pitch
            marks.append(frame(Rect(left + 0.2, box.y1 - 4.6, left + 4.2, box.y1 - 0.6), Stroke(BLACK, 0.3)))
            marks.append(Text(str(number), (left + 5.8, box.y1 - 3.8), BODY, BLACK))
        paper.place(marks)


def _notes(paper: Paper, say: Words) -> None:
    paper.heading(say("proof.decision.notes"), 2)
    rows = max(2, min(8, int((paper.room().height - 24.0) / 8.0)))
    for _ in range(rows):
        box = paper.claim(8.0)
        paper.place([line((box.x0, box.y0), (box.x1, box.y0), Stroke(GREY, 0.13))])


def _signature(paper: Paper, say: Words) -> None:
    box = paper.claim(20.0)
    left = box.x0
    for key, share in (("name", 0.36), ("date", 0.2), ("sign", 0.44)):
        wide = box.width * share
        paper.place([line((left, box.y0 + 5.0), (left + wide - 5.0, box.y0 + 5.0), _LINE)])
        words = say(f"proof.decision.{key}")
        paper.place(set_lines([words], left, box.y0 + 4.2, wide, CAPTION, ink=DARK_GREY))
        left += wide
