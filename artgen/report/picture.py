"""One panel as the page shows it: its art as it hangs, the zones over it, the numbered marks of what stands on it.

Takes a panel, its picture and its items; gives a `Figure` in millimetres of the panel, y down, level as one reads it. The
outlines are those that the checks test. Line widths and dashes are the page's (CSS, in pixels): they don't grow with the panel.
"""

import base64
import io
from collections.abc import Iterable, Sequence
from math import atan2, ceil, cos, degrees, hypot, radians, sin

from attrs import frozen
from PIL import Image
from shapely import Point as ShapelyPoint
from shapely import Polygon, box

from ..job import Job
from ..sizing.outline import Outline, Point, bounds
from ..sizing.panel import Affine, Panel, after, placed
from ..sizing.ways import turn_of, ways
from ..survey import Picture
from ..words import Words
from .items import Item, places_of

WIDE, HIGH = 560.0, 700.0  # px: the room that a panel's picture has on a wide screen
RING = 30.0  # px round the art: neighbours' numbers, marks' numbers
_BADGE = 12.0  # px: radius of a number's disc
_LEAST = 14.0  # px: the smallest mark
_OFF = 3.0  # px between what a mark holds and its line
_MOST_MARKS = 12  # of one item on one panel
_MOST_SIDE = 1500  # px of an embedded picture
_MOST_BYTES = 340_000  # of an embedded picture: six of them and the text stay under 3 MB
_QUALITIES = (84, 72, 58, 44)


@frozen
class Mark:
    """``ring`` = SVG points of the outline; ``x, y`` = middle of the number's disc."""

    item: Item
    ring: str
    x: float
    y: float
    first: bool


@frozen
class Label:
    """A word at ``x, y`` turned clockwise by ``angle``."""

    text: str
    x: float
    y: float
    angle: float


@frozen
class Figure:
    """What the page's SVG of a panel holds. ``scale`` = mm a pixel where it has its room; ``matrix`` = pixels of the picture →
    mm; ``zones`` and ``areas`` = (kind, path data)."""

    panel: Panel
    width: float
    height: float
    scale: float
    href: str
    pixels: tuple[int, int]
    matrix: str
    art: str
    zones: tuple[tuple[str, str], ...]
    areas: tuple[tuple[str, str], ...]
    labels: tuple[Label, ...]
    marks: tuple[Mark, ...]


def figure_of(job: Job, panel: Panel, items: Iterable[Item], say: Words) -> Figure:
    """The panel's figure, with a mark for every item that stands on it."""
    turn = turn_of(panel, ways(panel)[-1])
    _, _, w, h = bounds(placed(turn, panel.art))
    scale = max(w / (WIDE - 2 * RING), h / (HIGH - 2 * RING))
    ring = RING * scale
    flip: Affine = (1.0, 0.0, 0.0, -1.0, ring, h + ring)
    place = after(flip, turn)
    picture = job.pictures.get(panel.number)
    href, pixels = embedded(picture) if picture is not None else ("", (1, 1))
    x0, y0, x1, y1 = bounds(panel.art)
    onto: Affine = ((x1 - x0) / pixels[0], 0.0, 0.0, -(y1 - y0) / pixels[1], x0, y1)
    width, height = w + 2 * ring, h + 2 * ring
    return Figure(
        panel,
        width,
        height,
        scale,
        href,
        pixels,
        " ".join(_n(value, 6) for value in after(place, onto)),
        _points(placed(place, panel.art)),
        tuple(_zones(panel, place)),
        tuple(_areas(panel, place)),
        tuple(_neighbours(panel, place, scale, say)),
        tuple(_marks(job, panel, items, place, scale, (width, height))),
    )


def embedded(picture: Picture) -> tuple[str, tuple[int, int]]:
    """(data address of the picture as WebP, its pixels): as good as goes into its share of the page."""
    image = Image.frombytes("RGB", (picture.width, picture.height), picture.rgb)
    side = max(image.size)
    if side > _MOST_SIDE:
        image = image.resize(_shrunk(image, _MOST_SIDE / side), Image.Resampling.LANCZOS)
    while True:
        for quality in _QUALITIES:
            file = io.BytesIO()
            image.save(file, "WEBP", quality=quality, method=4)
            if file.tell() <= _MOST_BYTES:
                return "data:image/webp;base64," + base64.b64encode(file.getvalue()).decode("ascii"), image.size
        image = image.resize(_shrunk(image, 0.7), Image.Resampling.LANCZOS)


def _shrunk(image: Image.Image, by: float) -> tuple[int, int]:
    return max(1, round(image.width * by)), max(1, round(image.height * by))


def _zones(panel: Panel, place: Affine) -> Iterable[tuple[str, str]]:
    """Lines, in the order in which they are painted."""
    yield "art-edge", _path([placed(place, panel.art)])
    yield "cut", _path([placed(place, panel.cut)])
    if panel.safe:
        yield "safe", _path([placed(place, panel.safe)])
    x0, y0, x1, y1 = bounds(panel.cut)
    for seam in panel.seams:
        ends = ((seam.at, y0), (seam.at, y1)) if seam.axis == "x" else ((x0, seam.at), (x1, seam.at))
        yield "seam", _path([placed(place, ends)], close=False)
    yield "fold", _path([placed(place, panel.visible)])


def _areas(panel: Panel, place: Affine) -> Iterable[tuple[str, str]]:
    """What is hidden in the frame (the art size less what shows), and hatched areas."""
    yield "hidden", _path([placed(place, panel.art), placed(place, panel.visible)])
    for shadow in panel.shadows:
        yield "shadow", _path([placed(place, shadow.outline)])
    for keep_out in panel.keep_outs:
        yield "keep-out", _path([placed(place, keep_out.outline)])


def _neighbours(panel: Panel, place: Affine, scale: float, say: Words) -> Iterable[Label]:
    """At each edge, outside the art, the number of the panel that it meets there."""
    art, off = placed(place, panel.art), 11.0 * scale
    for index, edge in enumerate(panel.edges):
        (ax, ay), (bx, by) = art[index], art[(index + 1) % len(art)]
        length = hypot(bx - ax, by - ay)
        # the outline runs anticlockwise with y up: on a page, where y is down, outside is to its left
        out = ((ay - by) / length * off, (bx - ax) / length * off)
        (px, py), (qx, qy) = panel.frame[index], panel.frame[(index + 1) % len(panel.frame)]
        full = hypot(qx - px, qy - py)
        angle = degrees(atan2(by - ay, bx - ax))
        if not -90 < angle <= 90:
            angle += 180 if angle <= -90 else -180
        if abs(angle + 90) < 1e-6:
            angle = 90.0
        for met in edge.met:
            share = (met.start + met.end) / 2 / full
            text = say("report.meets.joint" if met.joint else "report.meets.corner", panel=met.panel)
            yield Label(text, ax + (bx - ax) * share + out[0], ay + (by - ay) * share + out[1], angle)


def _marks(
    job: Job, panel: Panel, items: Iterable[Item], place: Affine, scale: float, size: tuple[float, float]
) -> Iterable[Mark]:
    taken: list[Point] = []
    for item in items:
        for index, outline in enumerate(places_of(job, item, panel)[:_MOST_MARKS]):
            ring = Polygon(placed(place, outline)).convex_hull.buffer(_OFF * scale, join_style="mitre", mitre_limit=2.0)
            x0, y0, x1, y1 = ring.bounds
            lacks = _LEAST * scale - min(x1 - x0, y1 - y0)
            if lacks > 0:
                ring = ring.buffer(lacks / 2, join_style="mitre", mitre_limit=2.0)
            at = _free_place(ring, taken, _BADGE * scale, size)
            taken.append(at)
            yield Mark(item, _points(ring.exterior.coords[:-1]), at[0], at[1], index == 0)


def _free_place(ring: Polygon, taken: Sequence[Point], radius: float, size: tuple[float, float]) -> Point:
    """Where a number's disc stands: beside its mark, where it covers no other number; inside the picture."""
    x0, y0, x1, y1 = ring.bounds
    inside = box(radius, radius, size[0] - radius, size[1] - radius)
    best, least = (x0, y0), float("inf")
    for distance in (0.75, 1.6, 2.6, 3.8):
        for vertex in [*ring.exterior.coords[:-1], ((x0 + x1) / 2, y0), ((x0 + x1) / 2, y1)]:
            for step in range(8):
                way = radians(step * 45 - 135)
                at = vertex[0] + cos(way) * radius * distance, vertex[1] + sin(way) * radius * distance
                near = sum(max(0.0, 2.15 * radius - hypot(at[0] - p[0], at[1] - p[1])) for p in taken)
                outside = inside.distance(ShapelyPoint(at))
                covers = ring.intersection(ShapelyPoint(at).buffer(radius)).area / (radius * radius)
                cost = near * 8 + outside * 8 + covers * radius * 0.5 + distance * radius * 0.1
                if cost < least - 1e-9:
                    best, least = at, cost
        if least < radius * 0.5:
            break
    return best


def _path(outlines: Iterable[Outline], close: bool = True) -> str:
    end = "Z" if close else ""
    return "".join("M" + "L".join(f"{_n(x)} {_n(y)}" for x, y in outline) + end for outline in outlines)


def _points(outline: Iterable[Sequence[float]]) -> str:
    return " ".join(f"{_n(x)},{_n(y)}" for x, y in outline)


def _n(value: float, places: int = 2) -> str:
    shown = f"{value:.{places}f}".rstrip("0").rstrip(".")
    return "0" if shown in ("-0", "") else shown


def shown_size(figure: Figure) -> tuple[int, int]:
    """Pixels of the figure where it has its room."""
    return ceil(figure.width / figure.scale), ceil(figure.height / figure.scale)
