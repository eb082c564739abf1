"""Art on panels: which file a panel takes, at what size its page was made, and where it comes to lie.

Takes the order, its sizing, the names of the files in ``art/`` and their facts; gives `Claims` and `Laid` pages. No
file is opened here. The plane of a target is the panel's sewn frame, or the wrap's plane.
"""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from math import cos, hypot, radians, sin
from typing import Literal

from attrs import evolve, field, frozen

from . import order as orders
from .art.facts import PageFacts, Rect
from .sizing.outline import Outline, bounds
from .sizing.panel import Affine, Panel, Sizing, Wrap, after, inverse, placed
from .sizing.ways import Way, turn_of, ways

Zone = Literal["art", "cut", "finished", "visible", "frame"]
ZONES: tuple[Zone, ...] = ("art", "cut", "finished", "visible", "frame")
SCALES = (1, 2, 3, 4, 5, 8, 10, 12, 20)
PROPORTION = 0.005  # ours: how far a page without a size may be off in proportion

# "panel-3", "Panel 03", "p3" as a word of its own; "v2" and "36x144" are none
_TOKEN = re.compile(r"(?<![^\W_])(?:panel|p)[\s_-]*0*(\d{1,5})(?![^\W_])", re.IGNORECASE)


@frozen
class Target:
    """What one page is laid on: a panel, or a wrap's chain. ``places`` = each panel's sewn frame → the target's plane."""

    panels: tuple[Panel, ...]
    places: tuple[Affine, ...]
    wrap: Wrap | None = None

    def outline(self, zone: Zone) -> list[Outline]:
        return [placed(place, getattr(panel, zone)) for panel, place in zip(self.panels, self.places, strict=True)]

    @property
    def numbers(self) -> tuple[int, ...]:
        return tuple(panel.number for panel in self.panels)


@frozen
class Claim:
    """A target and the file that the order or the file's name gives it. ``page`` counts from 1."""

    target: Target
    file: str
    page: int
    by_hand: orders.Art | None = None


@frozen
class Claims:
    """Who takes what. ``missing`` = panels without a file; ``ambiguous`` = (panel, its files); ``extra`` = files that no
    panel takes."""

    claims: tuple[Claim, ...]
    missing: tuple[int, ...] = ()
    ambiguous: tuple[tuple[int, tuple[str, ...]], ...] = ()
    extra: tuple[str, ...] = ()


def token_numbers(name: str) -> list[int]:
    """Panel numbers that a file's stem names, in order, each once."""
    stem = name.rsplit("/", 1)[-1].rsplit(".", 1)[0]
    return list(dict.fromkeys(int(match[1]) for match in _TOKEN.finditer(stem)))


def claim(order: orders.Order, sizing: Sizing, files: Sequence[str]) -> Claims:
    """Give every panel that needs art its file. ``files`` = paths below ``art/``, with "/"."""
    by_number = {panel.number: panel for panel in sizing.panels}
    claims = [
        Claim(Target(tuple(by_number[n] for n in wrap.panels), wrap.places, wrap), _below_art(wrap.file), wrap.page)
        for wrap in sizing.wraps
    ]
    claims += [
        Claim(_alone(by_number[n]), _below_art(art.file), art.page, art) for art in order.art for n in art.panels
    ]
    taken = {panel.number for one in claims for panel in one.target.panels}
    named = {one.file for one in claims}
    missing, ambiguous = [], []
    for number, panel in by_number.items():
        if panel.blank or number in taken:
            continue
        found = tuple(name for name in files if number in token_numbers(name))
        named |= set(found)
        if not found:
            missing.append(number)
        elif len(found) > 1:
            ambiguous.append((number, found))
        else:
            claims.append(Claim(_alone(panel), found[0], 1))
    extra = tuple(name for name in files if name not in named)
    ordered = tuple(sorted(claims, key=lambda one: one.target.numbers))
    return Claims(ordered, tuple(missing), tuple(ambiguous), extra)


def _below_art(name: str) -> str:
    """Names in an order are paths below ``art/``; writing the folder too does no harm."""
    return name.removeprefix("./").removeprefix("art/")


def _alone(panel: Panel) -> Target:
    return Target((panel,), ((1.0, 0.0, 0.0, 1.0, 0.0, 0.0),))


@frozen
class Laid:
    """A page laid on its target. ``matrix``: page mm → the target's plane at full size; ``scale``: full size over page.

    ``fits``: the zone whose size the page has; None where it fits nothing and lies by the nearest fit. ``assumed``:
    zones that it would fit as well (a square panel's page without a size; two zones closer than the tolerance).
    """

    claim: Claim
    facts: PageFacts
    matrix: Affine
    scale: float
    fits: Zone | None
    way: Way = "sewn"
    turn: int = 0
    assumed: tuple[Zone, ...] = ()
    by_hand: bool = False

    @property
    def target(self) -> Target:
        return self.claim.target


@frozen
class _Fit:
    source: Rect
    zone: Zone
    scale: float
    way: Way
    turn: int
    error: float = field(default=0.0)


def lay(one: Claim, facts: PageFacts) -> Laid:
    """Where a page lies: by hand if the order says so, else by the first size that fits, else by the nearest."""
    art = one.by_hand
    if art is not None and (art.fit or art.scale or art.move or art.turn is not None):
        return _by_hand(one, facts, art)
    way = art.way if art is not None else None
    fits = list(_fits(one.target, facts, way))
    if fits:
        best = fits[0]
        # another box of the page that fits its own zone (trim as cut beside bleed as art) agrees; it is no other reading
        rivals = [fit for fit in fits[1:] if (fit.source, fit.turn, fit.way) == (best.source, best.turn, best.way)]
        same = [fit.zone for fit in rivals if fit.zone != best.zone]
        assumed = tuple(dict.fromkeys(same))
        return _laid(one, facts, best, best.zone, assumed)
    return _laid(one, facts, min(_near(one.target, facts, way), key=lambda fit: fit.error), None, ())


def zone_rect(target: Target, zone: Zone, way: Way) -> Rect:
    """Bounding box of a zone over the whole target, as its page lies."""
    if way == "reading":
        return bounds(placed(turn_of(target.panels[0], way), getattr(target.panels[0], zone)))
    points = [point for outline in target.outline(zone) for point in outline]
    return bounds(points)


def tolerance(facts: PageFacts, scale: float) -> float:
    """mm at full size within which a page fits: 1 mm, or half the last unit that the file states."""
    return max(1.0, facts.rounding * scale)


def _ways(target: Target, asked: Way | None) -> tuple[Way, ...]:
    possible: tuple[Way, ...] = ("sewn",) if target.wrap is not None else ways(target.panels[0])
    return (asked,) if asked in possible else possible


def _sources(facts: PageFacts) -> Iterator[tuple[Rect, tuple[Zone, ...]]]:
    """Page boxes in the order in which they are tried, each with the zones it may stand for."""
    trim, bleed = facts.boxes.get("trim"), facts.boxes.get("bleed")
    if trim is not None and (bleed is None or _inside(trim, bleed)):
        yield trim, ("cut",)
    if bleed is not None:
        yield bleed, ("art",)
    crop = facts.boxes.get("crop")
    if crop is not None:
        yield crop, ZONES
    yield facts.boxes["media"], ZONES


def _inside(inner: Rect, outer: Rect) -> bool:
    return inner[0] >= outer[0] and inner[1] >= outer[1] and inner[2] <= outer[2] and inner[3] <= outer[3]


def _fits(target: Target, facts: PageFacts, asked: Way | None) -> Iterator[_Fit]:
    found = False
    if facts.sized:
        for scale in SCALES:
            slack = tolerance(facts, scale)
            for source, zones in _sources(facts):
                for zone in zones:
                    for fit in _turns(target, source, zone, scale, asked):
                        if fit.error <= slack:
                            found = True
                            yield fit
    if not found and (not facts.sized or facts.pixels is not None):  # no size, or a resolution tag that fits nothing
        for zone in ZONES:
            for way in _ways(target, asked):
                for turn in (0, 90):
                    source = facts.boxes["media"]
                    w, h = _size(source, turn)
                    zw, zh = _size(zone_rect(target, zone, way), 0)
                    if abs((w / h) / (zw / zh) - 1) <= PROPORTION:
                        yield _Fit(source, zone, hypot(zw, zh) / hypot(w, h), way, turn)


def _turns(target: Target, source: Rect, zone: Zone, scale: float, asked: Way | None) -> Iterator[_Fit]:
    for turn in (0, 90):
        for way in _ways(target, asked):
            w, h = _size(source, turn)
            zw, zh = _size(zone_rect(target, zone, way), 0)
            error = max(abs(w * scale - zw), abs(h * scale - zh))
            yield _Fit(source, zone, scale, way, turn, error)


def _near(target: Target, facts: PageFacts, asked: Way | None) -> Iterator[_Fit]:
    """Every zone at the scale at which the page just goes inside it; the error is what is left over, as a share."""
    source = facts.boxes.get("crop", facts.boxes["media"])
    for zone in ZONES:
        for way in _ways(target, asked):
            for turn in (0, 90):
                w, h = _size(source, turn)
                zw, zh = _size(zone_rect(target, zone, way), 0)
                scale = min(zw / w, zh / h)
                off = min((abs(scale / s - 1) for s in SCALES), default=1.0) if facts.sized else 0.0
                # a wrong proportion weighs most; then an odd scale; then a turn
                yield _Fit(
                    source, zone, scale, way, turn, 1 - min(w * scale / zw, h * scale / zh) + off / 10 + turn / 1e4
                )


def _size(rect: Rect, turn: int) -> tuple[float, float]:
    w, h = rect[2] - rect[0], rect[3] - rect[1]
    return (w, h) if turn % 180 == 0 else (h, w)


def _laid(one: Claim, facts: PageFacts, fit: _Fit, fits: Zone | None, assumed: tuple[Zone, ...]) -> Laid:
    middle = _centre(zone_rect(one.target, fit.zone, fit.way))
    matrix = _matrix(one.target, fit, middle)
    return Laid(one, facts, matrix, fit.scale, fits, fit.way, fit.turn, assumed)


def _matrix(target: Target, fit: _Fit, middle: tuple[float, float]) -> Affine:
    """Page mm → plane: scaled and turned about the source box's middle, which comes to lie on ``middle``."""
    c, s = fit.scale * cos(radians(fit.turn)), fit.scale * sin(radians(fit.turn))
    c, s = (c if abs(c) > 1e-12 else 0.0), (s if abs(s) > 1e-12 else 0.0)
    px, py = _centre(fit.source)
    onto_way: Affine = (c, s, -s, c, middle[0] - c * px + s * py, middle[1] - s * px - c * py)
    if fit.way == "sewn":
        return onto_way
    return after(inverse(turn_of(target.panels[0], fit.way)), onto_way)


def _centre(rect: Rect) -> tuple[float, float]:
    return (rect[0] + rect[2]) / 2, (rect[1] + rect[3]) / 2


def _by_hand(one: Claim, facts: PageFacts, art: orders.Art) -> Laid:
    if art.fit is None and art.scale is None and art.turn is None:  # only moved: the page's own size says the rest
        found = lay(Claim(one.target, one.file, one.page, evolve(art, move=())), facts)
        to_way = turn_of(one.target.panels[0], found.way)
        shifted: Affine = (1.0, 0.0, 0.0, 1.0, art.move[0], art.move[1])
        moved = after(inverse(to_way), after(shifted, after(to_way, found.matrix)))
        return evolve(found, claim=one, matrix=moved)
    source = facts.boxes.get("trim", facts.boxes.get("crop", facts.boxes["media"]))
    zone: Zone = "cut" if "trim" in facts.boxes else "art"
    way = art.way or _ways(one.target, None)[0]
    rect = zone_rect(one.target, zone, way)
    turn = art.turn or 0
    (w, h), (zw, zh) = _size(source, turn), _size(rect, 0)
    own = lay(Claim(one.target, one.file, one.page), facts).scale if art.fit is None else None
    scale = art.scale or own or (min(zw / w, zh / h) if art.fit == "contain" else max(zw / w, zh / h))
    x, y = _centre(rect)
    dx, dy = art.move or (0.0, 0.0)
    fit = _Fit(source, zone, scale, way, turn)
    return Laid(one, facts, _matrix(one.target, fit, (x + dx, y + dy)), scale, zone, way, turn, by_hand=True)


def pages_asked(claims: Iterable[Claim]) -> Mapping[str, list[int]]:
    """Which pages (from 1) of which file are wanted."""
    wanted: dict[str, list[int]] = {}
    for one in claims:
        pages = wanted.setdefault(one.file, [])
        if one.page not in pages:
            pages.append(one.page)
    return wanted
