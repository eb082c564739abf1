"""The first sheets: what the order is, how things stand, the displays with the art on them, the table of panels."""

from collections.abc import Callable, Sequence

from attrs import frozen

from ..checks.wording import panel_list
from ..drawing.fonts import text_width, wrap_text
from ..drawing.inks import BLACK, DARK_GREY, GREY, VERMILLION
from ..drawing.marks import Mark, Picture, Point, Stroke, Text
from ..drawing.paper import BODY, CAPTION, Paper
from ..drawing.pieces import Rect, circle, dimension_line, frame, label
from ..drawing.typeset import line_pitch, set_lines
from ..job import Job
from ..sizing.outline import size
from ..sizing.panel import SizedStructure
from ..structure.view import View
from ..template import where
from ..units import MM_PER_INCH, inch_text, mm_text
from ..words import Words
from . import judged
from .issue import Issue
from .panel_page import metres
from .pictures import axonometry
from .views import shown, unseen, viewpoints

_CAPTION = 12.5  # mm under each picture
_BESIDE = 9.0  # mm left of each picture for its height
_GAP = 5.0
_TALLEST, _LOWEST, _COMMON = 120.0, 38.0, 52.0  # mm, a picture on the cover; where they run on
_At = Callable[[tuple[float, float, float]], Point]  # space to page mm
_PROBE = 400  # pixels: a small picture tells the proportions


def cover(paper: Paper, job: Job, say: Words, issue: Issue) -> None:
    """The cover sheet, on the sheet that the paper has just opened; pictures run on where they don't fit."""
    _stamp(paper, say, issue)
    paper.heading(say("proof.cover"), 1)
    paper.key_values(order_facts(job, say), columns=1)
    paper.paragraph(say("proof.intro"))
    _summary_box(paper, job, say)
    _displays(paper, job, say, issue)


def order_facts(job: Job, say: Words) -> list[tuple[str, str]]:
    """What the order is, as (name, value)."""
    order, none = job.order, say("proof.none")
    return [
        (say("proof.order"), order.name),
        (say("proof.number"), order.number or none),
        (say("proof.client"), order.client or none),
        (say("proof.date"), order.date or none),
        (say("proof.due"), order.due or none),
    ]


def _stamp(paper: Paper, say: Words, issue: Issue) -> None:
    """ "Revision A" where nobody misses it."""
    words, note = say("proof.stamp", revision=issue.revision), say("proof.stamp.note")
    width = max(text_width(words, 5.0, True), text_width(note, 3.0)) + 8.0
    box = Rect(paper.body.x1 - width, paper.body.y1 - 13.5, paper.body.x1, paper.body.y1)
    middle = (box.x0 + box.x1) / 2
    paper.place(
        [
            frame(box, Stroke(VERMILLION, 0.7)),
            Text(words, (middle, box.y1 - 6.3), 5.0, VERMILLION, "middle", bold=True),
            Text(note, (middle, box.y0 + 2.7), 3.0, BLACK, "middle"),
        ]
    )


def summary_lines(job: Job, say: Words) -> list[tuple[str, str]]:
    """How things stand, as (weight, words)."""
    found = judged.summary(job)
    lines: list[tuple[str, str]] = []
    if found.must_change:
        what = _count("proof.sum.change", found.must_change, say)
        lines.append(("error", _on(what, found.panels_to_change, say)))
    if found.panels_without_art:
        lines.append(("error", say("proof.sum.missing", panels=panel_list(list(found.panels_without_art), say))))
    if not lines:
        lines.append(("none", say("proof.sum.change.none")))
    if found.look_at:
        lines.append(("warning", _on(_count("proof.sum.look", found.look_at, say), found.panels_to_look_at, say)))
    if found.remarks:
        lines.append(("note", _count("proof.sum.remarks", found.remarks, say)))
    if job.not_examined:
        lines.append(("note", say("proof.sum.limits", heading=say("proof.not-examined"))))
    return lines


def _summary_box(paper: Paper, job: Job, say: Words) -> None:
    lines = summary_lines(job, say)
    wide = paper.body.width - 15.0
    wrapped = [(weight, wrap_text(text, BODY, wide)) for weight, text in lines]
    height = sum(len(rows) * line_pitch(BODY) + 0.8 for _, rows in wrapped) + 12.0
    box = paper.claim(height)
    marks: list[Mark] = [frame(box, Stroke(BLACK, 0.35))]
    marks += set_lines([say("proof.summary")], box.x0 + 4.0, box.y1 - 2.4, wide, 4.0, bold=True)
    top = box.y1 - 9.2
    for weight, rows in wrapped:
        at = (box.x0 + 6.0, top - line_pitch(BODY) / 2)
        marks.append(
            circle(
                at,
                1.3,
                Stroke(VERMILLION if weight in ("error", "warning") else GREY, 0.35),
                VERMILLION if weight == "error" else None,
            )
        )
        marks += set_lines(rows, box.x0 + 10.0, top, wide, BODY, bold=weight == "error")
        top -= len(rows) * line_pitch(BODY) + 0.8
    paper.place(marks)
    paper.space(5.0)


def _count(key: str, n: int, say: Words) -> str:
    return say(f"{key}.one") if n == 1 else say(key, n=n)


def _on(what: str, numbers: Sequence[int], say: Words) -> str:
    return say("proof.sum.on", what=what, panels=panel_list(list(numbers), say)) if numbers else what


@frozen
class _Tile:
    """One picture to be: a structure from one viewpoint; ``aspect`` = width over height."""

    structure: SizedStructure
    view: View
    caption: tuple[str, ...]
    aspect: float
    most: float  # its share of the body's width

    def height(self, wanted: float, width: float) -> float:
        """mm of its picture where rows are to be ``wanted`` mm high, in a body of ``width``."""
        return min(wanted, (width * self.most - _GAP - _BESIDE) / self.aspect)

    def width(self, wanted: float, width: float) -> float:
        """mm of picture, height bar and caption."""
        sizes = [2.9, *(CAPTION for _ in self.caption[1:])]
        words = max(text_width(t, size, i == 0) for i, (t, size) in enumerate(zip(self.caption, sizes, strict=True)))
        return max(_BESIDE + self.height(wanted, width) * self.aspect, words)


def _displays(paper: Paper, job: Job, say: Words, issue: Issue) -> None:
    """All structures in rows of equal height, as large as the rest of the sheet allows."""
    tiles = [tile for structure in job.sizing.structures for tile in _tiles(structure, job, say)]
    width = paper.body.width
    height = _row_height(tiles, width, paper.room().height)
    if height < _LOWEST:  # they run on to further sheets; the first ones stay on the cover
        height = max(_LOWEST, min(_COMMON, _row_height(tiles, width, paper.body.height)))
    for row, grown in _grown(_rows(tiles, height, width), height, width, paper.room().height):
        tallest = max(tile.height(grown, width) for tile in row)
        box = paper.claim(tallest + _CAPTION)
        left = box.x0
        for tile in row:
            tall, wide = tile.height(grown, width), tile.width(grown, width)
            middle = left + (_BESIDE + wide) / 2
            across = tall * tile.aspect
            picture = Rect(middle - across / 2, box.y1 - tallest, middle + across / 2, box.y1 - tallest + tall)
            paper.place(_tile_marks(tile, picture, job, say, issue))
            paper.place(set_lines(tile.caption[:1], left, picture.y0 - 1.0, wide, 2.9, bold=True))
            paper.place(set_lines(tile.caption[1:], left, picture.y0 - 5.0, wide, CAPTION, ink=DARK_GREY))
            left += wide + _GAP


def _tiles(structure: SizedStructure, job: Job, say: Words) -> list[_Tile]:
    views = viewpoints(structure)
    # a picture alone on the sheet may be as wide as it
    most = 1.0 if len(job.sizing.structures) == 1 and len(views) == 1 else 0.56
    hidden = unseen(structure, views)
    tiles = []
    for index, view in enumerate(views):
        title = say("proof.view" if index == 0 else "proof.view.other", name=structure.name)
        numbers = [number for number, well in shown(structure, view).items() if well > 0.02]
        notes = [panel_list(numbers, say)]
        if index == 0 and structure.hung:
            notes.append(say("proof.lowest", m=metres(structure.lift)))
        elif index == 0 and structure.copies > 1:
            notes.append(say("proof.copies", n=structure.copies))
        if hidden and index == len(views) - 1:
            notes[0] += "; " + say("proof.unseen", panels=panel_list(hidden, say))
        small = axonometry(structure, {}, view, _PROBE, _PROBE)
        tiles.append(_Tile(structure, view, (title, *notes), small.width / small.height, most))
    return tiles


def _rows(tiles: Sequence[_Tile], height: float, width: float) -> list[list[_Tile]]:
    rows: list[list[_Tile]] = []
    used = 0.0
    for tile in tiles:
        wide = tile.width(height, width)
        if rows and used + _GAP + wide <= width + 1e-6:
            rows[-1].append(tile)
            used += _GAP + wide
        else:
            rows.append([tile])
            used = wide
    return rows


def _grown(rows: list[list[_Tile]], height: float, width: float, most: float) -> list[tuple[list[_Tile], float]]:
    """Each row made higher as far as it stays within the body's width, and all rows within ``most`` mm."""
    spare = most - sum(max(tile.height(height, width) for tile in row) + _CAPTION for row in rows)
    grown = []
    for row in rows:
        tall = height
        while (
            spare >= 0.5
            and tall < _TALLEST
            and sum(tile.width(tall + 0.5, width) for tile in row) + _GAP * (len(row) - 1) <= width
        ):
            tall += 0.5
            spare -= 0.5
        grown.append((row, tall))
    return grown


def _row_height(tiles: Sequence[_Tile], width: float, height: float) -> float:
    """The greatest height of picture at which all rows fit; 0 if none does."""

    def total(tall: float) -> float:
        return sum(max(tile.height(tall, width) for tile in row) + _CAPTION for row in _rows(tiles, tall, width))

    steps = [tall / 2 for tall in range(40, round(_TALLEST * 2) + 1)]
    return max((tall for tall in steps if total(tall) <= height), default=0.0)


def _tile_marks(tile: _Tile, box: Rect, job: Job, say: Words, issue: Issue) -> list[Mark]:
    structure = tile.structure
    pixels = round(max(box.width, box.height) / float(MM_PER_INCH) * issue.ppi)
    seen = axonometry(structure, job.pictures, tile.view, pixels, pixels)
    factor = box.width / seen.width

    def at(point: tuple[float, float, float]) -> Point:
        x, y = seen.at(point)
        return box.x0 + x * factor, box.y1 - y * factor

    matrix = (seen.width * factor, 0.0, 0.0, seen.height * factor, box.x0, box.y1 - seen.height * factor)
    alt = say("proof.alt.view", name=structure.name)
    marks: list[Mark] = [Picture(seen.width, seen.height, seen.rgb, matrix, alt=alt, jpeg=issue.jpeg)]
    marks += _height_bar(structure, at, say)
    marks += _numbers(structure, tile.view, at, job, say)
    return marks


def _height_bar(structure: SizedStructure, at: _At, say: Words) -> list[Mark]:
    """The height of the metal, a dimension line left of all that is drawn."""
    points = [vertex for bay in structure.bays for vertex in bay.outline]
    low, high = min(points, key=lambda v: v[2]), max(points, key=lambda v: v[2])
    left = min(at(v)[0] for v in points)
    foot = min((v for v in points if v[2] - low[2] < 1.0), key=lambda v: at(v)[0])
    y0 = at(foot)[1]
    y1 = at((foot[0], foot[1], high[2]))[1]
    words = say("proof.metres", m=metres(structure.overall[2]))
    return list(dimension_line((left - 4.2, y0), (left - 4.2, y1), 0.0, words, ink=DARK_GREY, width=0.15, size=2.5))


def _numbers(structure: SizedStructure, view: View, at: _At, job: Job, say: Words) -> list[Mark]:
    """Panels without art carry their number and a note; the others are left as the public sees them."""
    marks: list[Mark] = []
    seen = shown(structure, view)
    for panel in structure.panels:
        missing = judged.absence(job, panel)
        if missing is None or seen[panel.number] < 0.1:
            continue
        corners = [at(vertex) for vertex in panel.bay.outline]
        x, y = (sum(c[i] for c in corners) / len(corners) for i in (0, 1))
        room = max(c[0] for c in corners) - min(c[0] for c in corners)
        large = min(5.0, 0.6 * room / text_width(str(panel.number), 1.0, True))
        marks.append(label(str(panel.number), (x, y), large, DARK_GREY, bold=True))
        words = say(missing)
        tall = min(2.1, 0.8 * room / text_width(words, 1.0))
        marks.append(label(words, (x, y - 3.2), tall, DARK_GREY))
    return marks


def panel_table(paper: Paper, job: Job, say: Words) -> None:
    """Number, place, size and state of every panel."""
    paper.heading(say("proof.panels"), 1)
    paper.paragraph(say("proof.panels.intro"))
    rows = []
    for structure in job.sizing.structures:
        for panel in structure.panels:
            w, h = size(panel.visible)
            rows.append(
                [
                    str(panel.number),
                    where(structure, panel, say),
                    f"{mm_text(w)} × {mm_text(h)}",
                    f"{inch_text(w)} × {inch_text(h)}",
                    say(f"proof.state.{judged.state(job, panel)}"),
                ]
            )
    keys = ("panel", "where", "shows", "inches", "state")
    align = ["right", "left", "right", "right", "left"]
    paper.table([say(f"proof.col.{key}") for key in keys], rows, align=align)  # type: ignore[arg-type]
