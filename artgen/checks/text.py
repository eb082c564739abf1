"""Where words stand against fold lines, corners, joints, seams, shadows, keep-outs and the safe area. A judgement each on corner
or joint and on the panel's edge, and for each seam, shadow and keep-out; words of one line that are wrong by the same are then
told as one, and move as one.

"Over" a line means ink more than 0.5 mm past it, unless an order says otherwise. On a wrap a word is judged once, in the
wrap's plane; panels' tucks repeat the art beyond their fold lines, and repeated words are not judged again.
"""

from collections.abc import Iterator
from functools import cached_property
from math import hypot
from typing import Literal

from attrs import define, evolve, frozen
from shapely import LineString, MultiPoint, Point, Polygon, union_all
from shapely.geometry.base import BaseGeometry

from ..sizing.outline import Outline, bounds
from ..sizing.panel import Affine, Panel, inverse, placed
from ..survey import LaidSeen, PlacedWord
from .finding import Box
from .lines import Lines, box_along
from .moves import Move, fitting_scale, shortest

OVER = 0.5  # mm of ink past a line (ours)
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
    return _judge(_Ground(seen, over, tall))


def judge_lines(seen: LaidSeen, over: float = OVER, tall: float = TALL) -> Iterator[Verdict]:
    """The same, words of one line that are wrong by the same told as one, each with its way out."""
    ground = _Ground(seen, over, tall)
    lines = Lines(seen.words)
    together: dict[tuple[object, ...], list[Verdict]] = {}
    for verdict in _judge(ground):
        (word,) = verdict.words
        line = lines.of(word)
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
        one = _as_one(ground, same)
        of_line = (id(one.line[0]), one.panel)
        if one.kind == "safe" and of_line in cleared:
            continue  # the move that brings the line out of the tuck brings it into the safe area
        asked = tuple(map(id, one.words))
        if asked not in ways:
            ways[asked] = ground.way_out(one)
        way = ways[asked]
        if one.kind in ("corner", "joint", "tuck") and way.move is not None and not way.broken:
            cleared.add(of_line)
        yield evolve(one, way=way)


def _as_one(ground: "_Ground", same: list[Verdict]) -> Verdict:
    """Verdicts on words of one line, as one."""
    first = same[0]
    if len(same) == 1:
        return first
    found = {id(verdict.words[0]) for verdict in same}
    words = tuple(word for word in first.line if id(word) in found)
    quad = box_along(words)
    pick = min if first.kind == "near-seam" else max
    main = ground.seen.laid.target.numbers.index(first.panel)
    where = ground.box(main, Polygon(quad))
    return evolve(first, words=words, quad=quad, where=where, depth=pick(verdict.depth for verdict in same))


def _judge(ground: "_Ground") -> Iterator[Verdict]:
    for word in ground.seen.words:
        certain = _verdicts(ground, word, word.sure)
        if not word.slack:
            yield from certain.values()
            continue
        possible = _verdicts(ground, word, word.whole)
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


def _verdicts(ground: "_Ground", word: PlacedWord, shape: Polygon) -> dict[object, Verdict]:
    """Across panels, at their edge, by seam, by shadow and keep-out: what a word is wrong by if its ink fills ``shape``. Outside
    the art size: nothing."""
    if not shape.is_valid or shape.area == 0 or not ground.art.intersects(shape):
        return {}
    found: dict[object, Verdict] = dict(_place(ground, word, shape))
    return found | dict(_seams(ground, word, shape)) | dict(_areas(ground, word, shape))


@define(slots=False)
class _Ground:
    """The zones of a laid page's target, in its plane."""

    seen: LaidSeen
    over: float
    tall: float

    @cached_property
    def members(self) -> list[tuple[Panel, Affine]]:
        target = self.seen.laid.target
        return list(zip(target.panels, target.places, strict=True))

    def _zone(self, panel: Panel, place: Affine, name: str) -> BaseGeometry:
        outline = getattr(panel, name)
        return Polygon(placed(place, outline)) if outline else Polygon()

    @cached_property
    def visible(self) -> list[BaseGeometry]:
        return [self._zone(panel, place, "visible") for panel, place in self.members]

    @cached_property
    def inner(self) -> list[BaseGeometry]:
        """Visible less what does not count."""
        return [zone.buffer(-self.over, join_style="mitre") for zone in self.visible]

    @cached_property
    def safe(self) -> list[BaseGeometry]:
        return [self._zone(panel, place, "safe") for panel, place in self.members]

    @cached_property
    def art(self) -> BaseGeometry:
        return union_all([self._zone(panel, place, "art") for panel, place in self.members])

    @cached_property
    def seams(self) -> list[tuple[int, LineString, tuple[float, float, float]]]:
        """(index of its panel, the seam across the cut, (at, low, high))."""
        found = []
        for i, (panel, place) in enumerate(self.members):
            x0, y0, x1, y1 = bounds(panel.cut)
            for seam in panel.seams:
                a, b = ((seam.at, y0), (seam.at, y1)) if seam.axis == "x" else ((x0, seam.at), (x1, seam.at))
                found.append((i, LineString(placed(place, (a, b))), (seam.at, seam.low, seam.high)))
        return found

    @cached_property
    def areas(self) -> list[tuple[int, Kind, str, BaseGeometry]]:
        """(index of its panel, kind, name, area) of shadows and keep-outs."""
        found: list[tuple[int, Kind, str, BaseGeometry]] = []
        for i, (panel, place) in enumerate(self.members):
            for shadow in panel.shadows:
                found.append((i, "shadow", shadow.kind, Polygon(placed(place, shadow.outline))))
            for keep in panel.keep_outs:
                found.append((i, "keep-out", keep.name, Polygon(placed(place, keep.outline))))
        return found

    @cached_property
    def runs_over(self) -> bool:
        wrap = self.seen.laid.target.wrap
        return wrap is not None and wrap.text_over_corners

    @cached_property
    def joined(self) -> BaseGeometry:
        """What shows of the whole wrap, its reveals counted in: for text that may run over corners."""
        reveal = max((edge.reveal or 0.0 for panel, _ in self.members for edge in panel.edges), default=0.0) + 1
        return union_all(self.visible).buffer(reveal, join_style="mitre").buffer(-reveal, join_style="mitre")

    @cached_property
    def allowed(self) -> BaseGeometry:
        """Safe for text, seams apart."""
        if not self.runs_over:
            return union_all(self.safe)
        inset = max(edge.safe for panel, _ in self.members for edge in panel.edges)
        return self.joined.buffer(-inset, join_style="mitre")

    @cached_property
    def free(self) -> BaseGeometry:
        """Where a word may stand: safe, and clear of seams, shadows and keep-outs."""
        free = self.allowed
        for i, line, _ in self.seams:
            free = free.difference(line.buffer(self.members[i][0].seam_clearance, cap_style="flat"))
        for *_, area in self.areas:
            free = free.difference(area)
        return free

    @cached_property
    def page_turn(self) -> tuple[float, float]:
        """(cos, sin) of the page's x axis in the plane."""
        a, b = self.seen.laid.matrix[:2]
        length = hypot(a, b)
        return a / length, b / length

    def way_out(self, verdict: Verdict) -> Way:
        """The shortest move of the whole line; else of its wrong words alone; else the size at which these would go in."""
        line = _hull(verdict.line)
        move = shortest(line, self.free, self.page_turn)
        if move is not None:
            return Way(move)
        if len(verdict.words) < len(verdict.line):
            move = shortest(_hull(verdict.words), self.free, self.page_turn)
            if move is not None:
                return Way(move, fitting_scale(line, self.free), broken=True)
        return Way(None, fitting_scale(_hull(verdict.words), self.free))

    def box(self, index: int, shape: BaseGeometry) -> Box:
        """Bounding box of a shape of the plane in one panel's sewn frame: x, y, w, h."""
        ring = placed(inverse(self.members[index][1]), tuple(shape.exterior.coords[:-1]))
        x0, y0, x1, y1 = bounds(ring)
        return round(x0, 2), round(y0, 2), round(x1 - x0, 2), round(y1 - y0, 2)


def _place(ground: _Ground, word: PlacedWord, shape: BaseGeometry) -> Iterator[tuple[object, Verdict]]:
    """Whether the word goes over a corner or joint, and whether it is cut off by the tuck; if neither, whether it is safe."""
    touched = [i for i, zone in enumerate(ground.inner) if zone.intersects(shape)]
    shares = [zone.intersection(shape).area for zone in ground.visible]
    main = max(range(len(shares)), key=lambda i: (shares[i], -i))
    if not touched:
        main = min(range(len(shares)), key=lambda i: (ground.visible[i].distance(shape), i))
        yield _EDGE, _verdict(ground, word, shape, "beyond", main, [main], _reach(shape, ground.visible[main]))
        return
    across = len(touched) > 1 and not ground.runs_over
    if across:
        kind, others = _crossed(ground, main, touched)
        other = max(others, key=lambda i: (shares[i], -i))
        far = ground.visible[other].intersection(shape)
        gap = ground.visible[main].distance(ground.visible[other])
        depth = _reach(far, ground.visible[main]) - gap
        yield _ACROSS, _verdict(ground, word, shape, kind, main, touched, depth)
    shown = ground.joined if across or ground.runs_over else ground.visible[main]
    allowed = ground.allowed if ground.runs_over else ground.safe[main]
    beyond = shape.difference(shown.buffer(ground.over, join_style="mitre"))
    unsafe = shape.difference(allowed.buffer(ground.over, join_style="mitre"))
    if beyond.area > 0:
        yield _EDGE, _verdict(ground, word, shape, "tuck", main, touched, _reach(beyond, shown))
    elif unsafe.area > 0 and not across:
        depth = 0.0 if allowed.is_empty else _reach(unsafe, allowed)
        yield _EDGE, _verdict(ground, word, shape, "safe", main, touched, depth)


def _seams(ground: _Ground, word: PlacedWord, shape: Polygon) -> Iterator[tuple[int, Verdict]]:
    for number, (i, line, seam) in enumerate(ground.seams):
        if not ground.inner[i].intersects(shape):
            continue  # not in sight: the tuck says what there is to say
        (x0, y0), (x1, y1) = line.coords
        length = hypot(x1 - x0, y1 - y0)
        across = [((x - x0) * (y1 - y0) - (y - y0) * (x1 - x0)) / length for x, y in shape.exterior.coords[:-1]]
        low, high = min(across), max(across)
        if low < -ground.over and high > ground.over:
            depth = min(-low, high)
            kind: Kind = "tall-seam" if word.capital > ground.tall else "seam"
        else:
            gap = max(low, -high)
            clearance = ground.members[i][0].seam_clearance
            if gap >= clearance - ground.over:
                continue
            kind, depth = "near-seam", max(0.0, gap)
        yield number, _verdict(ground, word, shape, kind, i, [i], depth, seam)


def _areas(ground: _Ground, word: PlacedWord, shape: Polygon) -> Iterator[tuple[object, Verdict]]:
    for number, (i, kind, name, area) in enumerate(ground.areas):
        inside = area.buffer(-ground.over, join_style="mitre").intersection(shape)
        if inside.area > 0 and ground.inner[i].intersects(inside):
            depth = max(area.exterior.distance(Point(p)) for p in _points(inside))
            yield ("area", number), evolve(_verdict(ground, word, shape, kind, i, [i], depth), name=name)


def _hull(words: tuple[PlacedWord, ...]) -> Outline:
    if len(words) == 1:
        return words[0].hull
    ring = MultiPoint([point for word in words for point in word.hull]).convex_hull.exterior.coords[:-1]
    return tuple((x, y) for x, y in ring)


def _points(shape: BaseGeometry) -> list[tuple[float, float]]:
    pieces = [piece for piece in getattr(shape, "geoms", [shape]) if piece.geom_type == "Polygon"]
    return [(p[0], p[1]) for piece in pieces for p in piece.exterior.coords]


def _verdict(
    ground: _Ground,
    word: PlacedWord,
    shape: BaseGeometry,
    kind: Kind,
    main: int,
    touched: list[int],
    depth: float,
    seam: tuple[float, float, float] | None = None,
) -> Verdict:
    panels = tuple(ground.members[i][0].number for i in sorted({main, *touched}))
    return Verdict(
        kind,
        ground.seen,
        (word,),
        ground.members[main][0].number,
        panels,
        word.quad,
        ground.box(main, Polygon(word.quad)),
        depth - word.slack if kind == "near-seam" else depth + word.slack,
        seam,
    )


def _crossed(ground: _Ground, main: int, touched: list[int]) -> tuple[Kind, list[int]]:
    """A corner if the word goes over any, else a joint; and the panels beside ``main`` on those lines."""
    lines = [(i, i + 1) for i in touched if i + 1 in touched]
    corners = [line for line in lines if not _joint(ground, *line)]
    beside = {i for line in corners or lines for i in line} - {main}
    kind: Kind = "corner" if corners or not lines else "joint"
    return kind, sorted(beside) or [i for i in touched if i != main]


def _joint(ground: _Ground, a: int, b: int) -> bool:
    other = ground.members[b][0].number
    return any(met.joint for edge in ground.members[a][0].edges for met in edge.met if met.panel == other)


def _reach(part: BaseGeometry, zone: BaseGeometry) -> float:
    """How far the part's ink goes from the zone."""
    return max((zone.distance(Point(p)) for p in _points(part)), default=0.0)
