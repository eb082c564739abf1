"""Panels laid flat on the screen's page: each one's picture as it hangs, lines and findings over it, and all of it in words.

Coordinates are mm at full size on the panel's reading-way page, x right, y down from its upper left, as SVG has them.
"""

from collections.abc import Iterable, Mapping, Sequence

from attrs import evolve, frozen

from ..checks.wording import sentences
from ..drawing.marks import Path, Point
from ..job import Job
from ..sizing.names import upright_side, where
from ..sizing.outline import Outline, bounds
from ..sizing.panel import Panel, SizedStructure
from ..sizing.ways import ways
from ..template import sheet_of
from ..words import Words
from . import judged, marked
from .panel_page import fact_texts

_THIN = 600.0  # a thin line is this share of the longer side
_BADGE = 0.021  # radius of a finding's number over the longer side


@frozen
class Line:
    """A guide line: an SVG path and how it is drawn."""

    d: str
    colour: str
    width: float
    dash: str
    round: bool


@frozen
class Place:
    """Where a finding is: its number, weight, outline, and the middle of its number."""

    number: int
    severity: str
    points: str
    x: float
    y: float


@frozen
class Said:
    """A finding in words."""

    number: int
    severity: str
    weight: str
    texts: tuple[str, ...]


@frozen
class Flat:
    """One panel of the page. ``matrix`` = picture, as 1 × 1, onto the panel; ``picture`` "" where there is none, ``absent``
    says why. ``radius`` of a number's circle, ``size`` of its figures."""

    number: int
    title: str
    alt: str
    state: str
    state_words: str
    width: float
    height: float
    picture: str
    matrix: str
    art: str
    visible: str
    window: str
    lines: tuple[Line, ...]
    places: tuple[Place, ...]
    radius: float
    absent: str
    absent_size: float
    said: tuple[Said, ...]
    facts: tuple[str, ...]
    meets: tuple[str, ...]


def flat_panels(job: Job, structure: SizedStructure, say: Words, pictures: Mapping[int, str]) -> list[Flat]:
    """The panels of a structure in the order of their numbers; ``pictures`` = addresses by panel."""
    return [_flat(job, structure, panel, say, pictures.get(panel.number, "")) for panel in structure.panels]


def _flat(job: Job, structure: SizedStructure, panel: Panel, say: Words, picture: str) -> Flat:
    spot = reading_spot(panel)
    found = judged.items(job, panel.number)
    missing = judged.absence(job, panel)
    longest = max(spot.sheet.width, spot.sheet.height)
    state = judged.state(job, panel)
    words = "" if missing is None else say(missing)
    title = say("proof.panel", number=panel.number, where=where(structure, panel, say))
    x0, y0, x1, y1 = bounds(_turned(spot, panel.visible))
    return Flat(
        number=panel.number,
        title=title,
        alt=say("proof.alt.panel", number=panel.number) if missing is None else f"{title}: {words}",
        state=state,
        state_words=say(f"proof.state.{state}"),
        width=round(spot.sheet.width, 2),
        height=round(spot.sheet.height, 2),
        picture=picture,
        matrix=_matrix(panel, spot),
        art=_path(_turned(spot, panel.art)),
        visible=_path(_turned(spot, panel.visible)),
        window=f"{x0:.1f} {y0:.1f} {x1 - x0:.1f} {y1 - y0:.1f}",
        lines=tuple(_lines(spot, say)),
        places=tuple(_places(job, spot, found)),
        radius=round(_BADGE * longest, 1),
        absent=words,
        absent_size=round(min(0.06 * longest, 1.5 * (x1 - x0) / max(1, len(words))), 1),
        said=tuple(_said(item, say) for item in found),
        facts=tuple(fact_texts(job, structure, panel, say)),
        meets=tuple(_meets(panel, say)),
    )


def reading_spot(panel: Panel) -> marked.Spot:
    """The panel at full size, level as one reads it."""
    sheet = sheet_of(panel, 1, ways(panel)[-1])
    return marked.Spot(panel, evolve(sheet, line=max(sheet.width, sheet.height) / _THIN), 0.0, 0.0)


def down(spot: marked.Spot, point: Point) -> Point:
    """A place of the sewn frame on the page, y down."""
    x, y = spot.at(point)
    return x, spot.sheet.height - y


def _turned(spot: marked.Spot, outline: Outline) -> Outline:
    return tuple(down(spot, point) for point in outline)


def _matrix(panel: Panel, spot: marked.Spot) -> str:
    x0, y0, x1, y1 = bounds(panel.art)
    (ox, oy), (ax, ay), (bx, by) = down(spot, (x0, y1)), down(spot, (x1, y1)), down(spot, (x0, y0))
    return " ".join(f"{v:.4f}" for v in (ax - ox, ay - oy, bx - ox, by - oy, ox, oy))


def _path(ring: Iterable[Point], closed: bool = True) -> str:
    return "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in ring) + ("Z" if closed else "")


def _lines(spot: marked.Spot, say: Words) -> Iterable[Line]:
    for mark in marked.guide_marks(spot, say):
        assert isinstance(mark, Path) and mark.stroke is not None
        high = spot.sheet.height
        d = "".join(_path(((x, high - y) for x, y in part), mark.closed) for part in mark.subpaths)
        dash = " ".join(f"{part:.1f}" for part in mark.stroke.dash)
        colour = "#{:02x}{:02x}{:02x}".format(*mark.stroke.ink.rgb)
        yield Line(d, colour, round(mark.stroke.width, 2), dash, mark.stroke.cap == "round")


def _places(job: Job, spot: marked.Spot, found: Sequence[judged.Item]) -> Iterable[Place]:
    radius = _BADGE * max(spot.sheet.width, spot.sheet.height)
    for item in found:
        outlines = [judged.place_of(job, finding, spot.panel) for finding in item.members]
        shown = [outline for outline in outlines if outline is not None]
        for one in marked.marked(spot, item.number, item.finding.severity, shown):
            ring = [(x, spot.sheet.height - y) for x, y in one.ring]
            x0, y0, x1, _ = bounds(ring)
            # at the upper right of what it marks, inside the page
            x = min(max(x1, x0), spot.sheet.width - radius)
            y = max(y0, radius)
            points = " ".join(f"{a:.1f},{b:.1f}" for a, b in ring)
            yield Place(item.number, item.finding.severity, points, round(x, 1), round(y, 1))


def _said(item: judged.Item, say: Words) -> Said:
    words = sentences(item.finding, say)
    more = len(item.members) - 1
    texts = [words.message, words.advice]
    if more:
        texts.append(say("proof.more.one") if more == 1 else say("proof.more", n=more))
    severity = item.finding.severity
    return Said(item.number, severity, say(f"proof.weight.{severity}"), tuple(text for text in texts if text))


def _meets(panel: Panel, say: Words) -> Iterable[str]:
    """ "right: round the corner, panel 2", edge by edge as the panel hangs."""
    for index, edge in enumerate(panel.edges):
        for met in edge.met:
            key = "screen.meets.joint" if met.joint else "screen.meets.corner"
            yield say(key, edge=upright_side(panel, index, say), panel=met.panel)
