"""Where words stand against fold lines, corners, joints, seams, shadows, keep-outs and the safe area. A judgement each on corner
or joint and on the panel's edge, and for each seam, shadow and keep-out; words of one line that are wrong by the same are then
told as one, and move as one.

"Over" a line means ink more than 0.5 mm past it, unless an order says otherwise. On a wrap a word is judged once, in the
wrap's plane; panels' tucks repeat the art beyond their fold lines, and repeated words are not judged again.
"""

from collections.abc import Iterator, Sequence
from math import hypot
from typing import Literal

from attrs import evolve, frozen
from shapely import MultiPoint, Point, Polygon
from shapely.geometry.base import BaseGeometry

from ..sizing.outline import Outline
from ..survey import LaidSeen, PlacedWord
from .finding import Box
from .lines import Lines, box_along
from .moves import Move, fitting_scale, shortest
from .zones import Zones

OVER = 0.5  # mm of ink past a line (ours)
MOST_BESIDE = (
    1000  # ours: words beside the art that are held against its lines; where more lie about, they are no line's end
)
TALL = 300.0  # mm: a sewn join through capitals higher than this is hardly seen (ours)

Kind = Literal["corner", "joint", "tuck", "beyond", "safe", "seam", "tall-seam", "near-seam", "shadow", "keep-out"]
_ACROSS, _EDGE = "across panels", "at an edge"  # a word can be wrong by both
OVER_A_LINE: tuple[Kind, ...] = ("corner", "joint", "tuck", "seam", "tall-seam", "keep-out")


@frozen
class Verdict:
    """A word that stands wrongly, or several of one line that are wrong by the same.

    ``panel`` = the panel with most of it, ``panels`` = all that it touches; ``quad`` = its box in the target's plane, ``where`` =
    in the panel's sewn frame; ``depth`` = mm by which it is wrong. ``seam`` = where the seam stands along its axis and may
    stand, for seams; ``name`` = of a shadow's hardware or a keep-out. ``doubt``: it is over the line only if its ink reaches as
    far as its slack leaves open; ``depth`` = how far at most. ``line`` = all words of its line; ``way`` = how to clear it.
    """

    kind: Kind
    seen: LaidSeen
    words: tuple[PlacedWord, ...]
    panel: int
    panels: tuple[int, ...]
    quad: Outline
    where: Box
    depth: float
    seam: tuple[float, float, float] | None = None
    name: str = ""
    doubt: bool = False
    line: tuple[PlacedWord, ...] = ()
    way: "Way | None" = None


@frozen
class Way:
    """How to clear words of everything: ``move`` the whole line, or the words alone if ``broken``, since the line finds no place
    as it is. ``shrink`` = the size at which what does not go in would: the line, if ``move`` is for the words alone."""

    move: Move | None
    shrink: float | None = None
    broken: bool = False


def judge(seen: LaidSeen, over: float = OVER, tall: float = TALL) -> Iterator[Verdict]:
    """Every word of a laid page that stands wrongly, in the file's order. What a word's slack leaves open is told as doubt.
    ``over``, ``tall`` = mm past a line that count, height of capitals that bear a seam."""
    return _judge(Zones(seen, over, tall))


def judge_lines(
    seen: LaidSeen, over: float = OVER, tall: float = TALL, off_page: Sequence[PlacedWord] = ()
) -> Iterator[Verdict]:
    """The same, words of one line that are wrong by the same told as one, each with its way out. ``off_page`` = words beyond the
    page, which are wrong where their line goes on inside."""
    zones = Zones(seen, over, tall)
    off_art = [word for word in seen.words if not zones.art.intersects(word.whole)]
    apart = [*off_art, *off_page]
    not_painted = set(map(id, off_page))
    lines = Lines([*seen.words, *off_page], set(map(id, apart)))
    beside = list(_beside(zones, apart[:MOST_BESIDE]))
    lying_about = set(map(id, beside))
    together: dict[tuple[object, ...], list[Verdict]] = {}
    read_on: dict[int, bool] = {}  # by line
    for verdict in (*_judge(zones), *beside):
        (word,) = verdict.words
        line = lines.of(word)
        if verdict.kind == "beyond" and id(line[0]) not in read_on:
            read_on[id(line[0])] = any(id(one) not in not_painted and _shows(zones, one) for one in line)
        behind = zones.runs_over and zones.joined.contains(word.whole)
        if verdict.kind == "beyond" and read_on[id(line[0])] and not behind:
            verdict = evolve(verdict, kind="tuck")  # the rest of its line is read
        elif id(verdict) in lying_about:
            continue
        key = (
            id(line[0]),
            verdict.kind,
            verdict.panels,
            verdict.seam,
            verdict.name,
            verdict.doubt,
            word.read,
            word.letters,
        )
        together.setdefault(key, []).append(evolve(verdict, line=line))
    ways: dict[tuple[int, ...], Way] = {}
    cleared: set[tuple[int, int]] = set()
    for same in sorted(together.values(), key=lambda same: same[0].kind == "safe"):
        one = _as_one(zones, same)
        of_line = (id(one.line[0]), one.panel)
        if one.kind == "safe" and of_line in cleared:
            continue  # the move that brings the line out of the tuck brings it into the safe area
        asked = tuple(map(id, one.words))
        if asked not in ways:
            ways[asked] = _way_out(zones, one)
        way = ways[asked]
        if one.kind in ("corner", "joint", "tuck") and way.move is not None and not way.broken:
            cleared.add(of_line)
        yield evolve(one, way=way)


def _as_one(zones: Zones, same: list[Verdict]) -> Verdict:
    """Verdicts on words of one line, as one."""
    first = same[0]
    if len(same) == 1:
        return first
    found = {id(verdict.words[0]) for verdict in same}
    words = tuple(word for word in first.line if id(word) in found)
    quad = box_along(words)
    pick = min if first.kind == "near-seam" else max
    main = zones.seen.laid.target.numbers.index(first.panel)
    where = zones.box(main, Polygon(quad))
    return evolve(first, words=words, quad=quad, where=where, depth=pick(verdict.depth for verdict in same))


def _judge(zones: Zones) -> Iterator[Verdict]:
    for word in zones.seen.words:
        certain = _verdicts(zones, word, word.sure)
        if not word.slack:
            yield from certain.values()
            continue
        possible = _verdicts(zones, word, word.whole)
        for where in certain | possible:
            one, other = certain.get(where), possible.get(where)
            if one is not None and one.kind in OVER_A_LINE:
                yield one
            elif other is not None and other.kind in OVER_A_LINE:
                # measured to the far side of its slack already
                yield evolve(other, doubt=True, depth=other.depth - word.slack)
            elif one is not None and not (one.kind == "safe" and _ACROSS in possible):
                yield one


def wrong_words(seen: LaidSeen) -> set[PlacedWord]:
    """The words of a laid page that stand wrongly, or may."""
    return {word for verdict in judge(seen) for word in verdict.words}


def _beside(zones: Zones, words: Sequence[PlacedWord]) -> Iterator[Verdict]:
    """Words outside the art, painted or not: the end of a line that runs off it, or what lies about beside it."""
    for word in words:
        shape = word.whole
        if shape.is_valid and shape.area and not any(zone.contains(shape) for zone in zones.visible):
            main = _nearest(zones, shape)
            yield _verdict(zones, word, shape, "beyond", main, [main], _reach(shape, zones.visible[main]))


def _shows(zones: Zones, word: PlacedWord) -> bool:
    return any(zone.intersects(word.whole) for zone in zones.inner)


def _nearest(zones: Zones, shape: BaseGeometry) -> int:
    return min(range(len(zones.visible)), key=lambda i: (zones.visible[i].distance(shape), i))


def _verdicts(zones: Zones, word: PlacedWord, shape: Polygon) -> dict[object, Verdict]:
    """Across panels, at their edge, by seam, by shadow and keep-out: what a word is wrong by if its ink fills ``shape``. Outside
    the art size: nothing."""
    if not shape.is_valid or shape.area == 0 or not zones.art.intersects(shape):
        return {}
    found: dict[object, Verdict] = dict(_place(zones, word, shape))
    return found | dict(_seams(zones, word, shape)) | dict(_areas(zones, word, shape))


def _place(zones: Zones, word: PlacedWord, shape: BaseGeometry) -> Iterator[tuple[object, Verdict]]:
    """Whether the word goes over a corner or joint, and whether it is cut off by the tuck; if neither, whether it is safe."""
    touched = [i for i, zone in enumerate(zones.inner) if zone.intersects(shape)]
    shares = [zone.intersection(shape).area for zone in zones.visible]
    main = max(range(len(shares)), key=lambda i: (shares[i], -i))
    if not touched:
        main = _nearest(zones, shape)
        yield _EDGE, _verdict(zones, word, shape, "beyond", main, [main], _reach(shape, zones.visible[main]))
        return
    across = len(touched) > 1 and not zones.runs_over
    if across:
        kind, others = _crossed(zones, main, touched)
        other = max(others, key=lambda i: (shares[i], -i))
        far = zones.visible[other].intersection(shape)
        gap = zones.visible[main].distance(zones.visible[other])
        depth = _reach(far, zones.visible[main]) - gap
        yield _ACROSS, _verdict(zones, word, shape, kind, main, touched, depth)
    shown = zones.joined if across or zones.runs_over else zones.visible[main]
    allowed = zones.allowed if zones.runs_over else zones.safe[main]
    beyond = shape.difference(shown.buffer(zones.over, join_style="mitre"))
    unsafe = shape.difference(allowed.buffer(zones.over, join_style="mitre"))
    if beyond.area > 0:
        yield _EDGE, _verdict(zones, word, shape, "tuck", main, touched, _reach(beyond, shown))
    elif unsafe.area > 0 and not across:
        depth = 0.0 if allowed.is_empty else _reach(unsafe, allowed)
        yield _EDGE, _verdict(zones, word, shape, "safe", main, touched, depth)


def _seams(zones: Zones, word: PlacedWord, shape: Polygon) -> Iterator[tuple[int, Verdict]]:
    for number, (i, line, seam) in enumerate(zones.seams):
        if not zones.inner[i].intersects(shape):
            continue  # not in sight: the tuck says what there is to say
        (x0, y0), (x1, y1) = line.coords
        length = hypot(x1 - x0, y1 - y0)
        across = [((x - x0) * (y1 - y0) - (y - y0) * (x1 - x0)) / length for x, y in shape.exterior.coords[:-1]]
        low, high = min(across), max(across)
        if low < -zones.over and high > zones.over:
            depth = min(-low, high)
            kind: Kind = "tall-seam" if word.capital > zones.tall else "seam"
        else:
            gap = max(low, -high)
            clearance = zones.members[i][0].seam_clearance
            if gap >= clearance - zones.over:
                continue
            kind, depth = "near-seam", max(0.0, gap)
        yield number, _verdict(zones, word, shape, kind, i, [i], depth, seam)


def _areas(zones: Zones, word: PlacedWord, shape: Polygon) -> Iterator[tuple[object, Verdict]]:
    for number, (i, kind, name, area) in enumerate(zones.areas):
        inside = area.buffer(-zones.over, join_style="mitre").intersection(shape)
        if inside.area > 0 and zones.inner[i].intersects(inside):
            depth = max(area.exterior.distance(Point(p)) for p in _points(inside))
            yield ("area", number), evolve(_verdict(zones, word, shape, kind, i, [i], depth), name=name)


def _way_out(zones: Zones, verdict: Verdict) -> Way:
    """The shortest move of the whole line; else of its wrong words alone; else the size at which these would go in."""
    line = _hull(verdict.line)
    move = shortest(line, zones.free, zones.page_turn)
    if move is not None:
        return Way(move)
    if len(verdict.words) < len(verdict.line):
        move = shortest(_hull(verdict.words), zones.free, zones.page_turn)
        if move is not None:
            return Way(move, fitting_scale(line, zones.free), broken=True)
    return Way(None, fitting_scale(_hull(verdict.words), zones.free))


def _hull(words: tuple[PlacedWord, ...]) -> Outline:
    if len(words) == 1:
        return words[0].hull
    ring = MultiPoint([point for word in words for point in word.hull]).convex_hull.exterior.coords[:-1]
    return tuple((x, y) for x, y in ring)


def _points(shape: BaseGeometry) -> list[tuple[float, float]]:
    pieces = [piece for piece in getattr(shape, "geoms", [shape]) if piece.geom_type == "Polygon"]
    return [(p[0], p[1]) for piece in pieces for p in piece.exterior.coords]


def _verdict(
    zones: Zones,
    word: PlacedWord,
    shape: BaseGeometry,
    kind: Kind,
    main: int,
    touched: list[int],
    depth: float,
    seam: tuple[float, float, float] | None = None,
) -> Verdict:
    panels = tuple(zones.members[i][0].number for i in sorted({main, *touched}))
    return Verdict(
        kind,
        zones.seen,
        (word,),
        zones.members[main][0].number,
        panels,
        word.quad,
        zones.box(main, Polygon(word.quad)),
        depth - word.slack if kind == "near-seam" else depth + word.slack,
        seam,
    )


def _crossed(zones: Zones, main: int, touched: list[int]) -> tuple[Kind, list[int]]:
    """A corner if the word goes over any, else a joint; and the panels beside ``main`` on those lines."""
    lines = [(i, i + 1) for i in touched if i + 1 in touched]
    corners = [line for line in lines if not _joint(zones, *line)]
    beside = {i for line in corners or lines for i in line} - {main}
    kind: Kind = "corner" if corners or not lines else "joint"
    return kind, sorted(beside) or [i for i in touched if i != main]


def _joint(zones: Zones, a: int, b: int) -> bool:
    other = zones.members[b][0].number
    return any(met.joint for edge in zones.members[a][0].edges for met in edge.met if met.panel == other)


def _reach(part: BaseGeometry, zone: BaseGeometry) -> float:
    """How far the part's ink goes from the zone."""
    return max((zone.distance(Point(p)) for p in _points(part)), default=0.0)
