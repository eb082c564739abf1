"""One sheet of the proof: what changed since the revision before, in pictures and words, for the client.

Takes a `Between`; draws on a paper. It always fills one sheet: what has no room is named.
"""

from collections.abc import Sequence

from PIL import Image

from ..checks.wording import panel_list
from ..drawing.fonts import wrap_text
from ..drawing.inks import BLACK, DARK_GREY, GREY
from ..drawing.marks import Mark, Picture, Stroke
from ..drawing.paper import CAPTION, SMALL, Paper
from ..drawing.pieces import Rect, frame
from ..drawing.typeset import lines_height, set_lines
from ..units import MM_PER_INCH
from ..words import Words
from .changes import Between, PanelChange
from .kept import KeptFinding
from .saying import counts, finding_line, remarks, texts, title

_PPI = 130.0  # ours
_ROWS = 5  # panels shown, the largest rows that leave room for the findings
_MOST_LEFT = 6  # others that are named, a line each
_MOST = 4  # findings of each kind
_TALL, _LOW = 62.0, 26.0  # mm, a row's pictures
_GAP = 4.0
_SHARE = 0.2  # of the width, each of the three pictures
_THIN = Stroke(GREY, 0.13)


def changes_sheet(paper: Paper, between: Between, say: Words) -> None:
    """Opens a sheet and fills it."""
    paper.new_page()
    paper.heading(title(between, say), 1)
    if between.nothing:
        paper.paragraph(say("change.nothing"))
    first = sorted(between.panels, key=lambda change: (change.kind == "hidden", change.panel.number))
    for count in range(min(_ROWS, len(first)), -1, -1):  # as many as leave each its least height
        below = _below(between, first[count:], say)
        room = paper.room().height - _height(below, paper)
        if count <= 1 or room >= _LOW * count:
            break
    for change in first[:count]:
        _row(paper, change, between, max(_LOW, min(_TALL, room / count)), say)
    for heading, lines in below:
        if heading:
            paper.heading(heading, 2)
        paper.bullets(lines, size=SMALL)


def _below(between: Between, left_out: Sequence[PanelChange], say: Words) -> list[tuple[str, list[str]]]:
    """(heading, lines) under the pictures. ``left_out`` = panels that changed and have no row."""
    lines = [_line(change, say) for change in left_out[:_MOST_LEFT]]
    if len(left_out) > _MOST_LEFT:
        numbers = sorted(change.panel.number for change in left_out[_MOST_LEFT:])
        lines.append(say("change.more.panels", panels=panel_list(numbers, say)))
    lines += remarks(between, say)
    found: list[tuple[str, list[str]]] = [("", lines)] if lines else []
    rows: list[str] = []
    for kind, findings in (("came", between.came), ("stayed", between.stayed), ("went", between.went)):
        rows += _findings(kind, findings, say)
    if rows:
        found.append((say("change.findings"), [counts(between, say), *rows]))
    return found


def _line(change: PanelChange, say: Words) -> str:
    panel = say("change.panel", panel=change.panel.number, where=change.panel.where)
    return say("change.line", panel=panel, what=texts(change, say)[0])


def _findings(kind: str, findings: Sequence[KeptFinding], say: Words) -> list[str]:
    name = say(f"change.found.{kind}")
    rows = [f"{name}: {finding_line(finding, say)}" for finding in findings[:_MOST]]
    if len(findings) > _MOST:
        rows.append(f"{name}: {say('change.more.findings', n=len(findings) - _MOST)}")
    return rows


def _height(below: Sequence[tuple[str, Sequence[str]]], paper: Paper) -> float:
    """mm that the lists need at most, with the line that names what is left out."""
    width = paper.body.width - 6.0
    total = 14.0
    for heading, lines in below:
        total += 14.0 if heading else 3.0
        total += sum(lines_height(len(wrap_text(line, SMALL, min(width, 44 * SMALL))), SMALL) + 0.6 for line in lines)
    return total


def _row(paper: Paper, change: PanelChange, between: Between, height: float, say: Words) -> None:
    """Before, after, where: three pictures and what is said of them."""
    wide = paper.body.width * _SHARE
    number = change.panel.number
    old, new = between.since, between.until
    alts = [say("change.alt.before", panel=number, revision=revision) for revision in (old, new)]
    pictures = (
        (_close(change.before, change), say("change.before", revision=old), alts[0]),
        (_close(change.after, change), say("change.before", revision=new), alts[1]),
        (change.marked, say("change.marked"), say("change.alt.marked", panel=number)),
    )
    room = paper.body.width - 3 * (wide + _GAP)
    head = wrap_text(say("change.panel", panel=number, where=change.panel.where), SMALL, room, True)
    lines = [line for text in texts(change, say) for line in wrap_text(text, SMALL, room)]
    written = lines_height(len(head), SMALL) + 0.8
    highest = max((wide * one.height / one.width for one, _, _ in pictures if one is not None), default=0.0)
    # no higher than its pictures, fitted to their width, or its words need
    height = min(height, max(_LOW, highest + 9.0, written + lines_height(len(lines), SMALL) + 4.0))
    box = paper.claim(height)
    top, tall = box.y1 - 1.0, min(highest, height - 9.0)
    left = box.x0
    for picture, caption, alt in pictures:
        if picture is not None:
            placed = Rect(left, top - tall, left + wide, top)
            paper.place(_picture(picture, placed, alt))
            paper.place(set_lines([caption], left, top - tall - 0.8, wide, CAPTION, ink=DARK_GREY))
        left += wide + _GAP
    paper.place(set_lines(head, left, top, room, SMALL, bold=True))
    under = top - written
    fit = max(1, int((under - box.y0) / lines_height(1, SMALL)))
    if len(lines) > fit:
        lines = [*lines[: fit - 1], say("change.cut")]
    paper.place(set_lines(lines, left, under, room, SMALL, ink=BLACK))


def _close(picture: Image.Image | None, change: PanelChange) -> Image.Image | None:
    """The part that changed, large enough to be read; the third picture shows where that is."""
    if picture is None or change.kind != "places" or change.focus is None:
        return picture
    return picture.crop(change.focus)


def _picture(picture: Image.Image, room: Rect, alt: str) -> list[Mark]:
    """At the upper left of its room, as large as it fits."""
    scale = min(room.width / picture.width, room.height / picture.height)
    width, height = picture.width * scale, picture.height * scale
    pixels = round(width / float(MM_PER_INCH) * _PPI), round(height / float(MM_PER_INCH) * _PPI)
    small = picture
    if pixels[0] < picture.width:
        small = picture.resize((max(1, pixels[0]), max(1, pixels[1])), Image.Resampling.LANCZOS)
    box = Rect(room.x0, room.y1 - height, room.x0 + width, room.y1)
    matrix = (width, 0.0, 0.0, height, box.x0, box.y0)
    return [Picture(small.width, small.height, small.convert("RGB").tobytes(), matrix, alt=alt), frame(box, _THIN)]
