"""`code-at-risk`: a QR code or barcode that will not scan: over a line, beyond it, not decoding, or without its quiet zone.

Judged as a word is, in the wrap's plane on a wrap; text may be allowed over corners there, a code never. Each code has one
finding for where it stands, else one for what it lacks. The metal beside a fold line is no quiet zone.
"""

from collections.abc import Iterator

from attrs import evolve
from shapely import Point, Polygon

from ...sizing.panel import placed
from ...survey import Code, LaidSeen, PlacedWord
from ..finding import Finding
from ..places import box_in
from ..rule import Rule, Seen
from ..text import Kind, judge_lines
from .words_over import finding

_SAYS: dict[Kind, str] = {
    "corner": "corner",
    "joint": "joint",
    "tuck": "tuck",
    "beyond": "beyond",
    "seam": "seam",
    "tall-seam": "seam",
    "keep-out": "keep-out",
}
_SLACK = 0.6  # modules by which a measured quiet zone may be wrong
_MOST_SHOWN = 200  # ours: signs of a code's text that are told


def find(seen: Seen) -> Iterator[Finding]:
    over = seen.number("all", "over")
    for one in seen.all.laid:
        for code in one.codes or ():
            yield from _placed_wrongly(one, code, over) or _lacking(one, code)


def _placed_wrongly(one: LaidSeen, code: Code, over: float) -> list[Finding]:
    word = PlacedWord(code.text, _level(code), 0.0, 0.0, "seen")
    laid = one.laid
    if laid.target.wrap is not None and laid.target.wrap.text_over_corners:
        strict = evolve(laid.target, wrap=evolve(laid.target.wrap, text_over_corners=False))
        laid = evolve(laid, claim=evolve(laid.claim, target=strict))
    found = []
    for verdict in judge_lines(evolve(one, laid=laid, words=(word,)), over=over):
        if verdict.kind in _SAYS:
            told = finding(verdict, "code-at-risk", "error", _SAYS[verdict.kind])
            found.append(evolve(told, evidence={**_evidence(told.evidence), **_about(code)}))
    return found


def _evidence(evidence: dict[str, object]) -> dict[str, object]:
    """Of a word's evidence what is true of a code too."""
    of_words = ("source", "capital_mm", "read", "confidence", "within_mm", "line")
    return {key: value for key, value in evidence.items() if key not in of_words}


def _level(code: Code) -> tuple[tuple[float, float], ...]:
    """Its corners as those of a word: lower left, lower right, upper right, upper left."""
    upper_left, upper_right, lower_right, lower_left = code.quad
    return lower_left, lower_right, upper_right, upper_left


def _about(code: Code) -> dict[str, object]:
    """What the code is and says; its text is foreign."""
    return {
        "text": code.text[:_MOST_SHOWN],
        "code": code.format,
        "decodes": code.decodes,
        "module_mm": round(code.module, 3),
    }


def _lacking(one: LaidSeen, code: Code) -> list[Finding]:
    target = one.laid.target
    shape = Polygon(code.quad).buffer(0)
    shown = [Polygon(outline) for outline in target.outline("visible")]
    main = max(range(len(shown)), key=lambda i: (shown[i].intersection(shape).area, -i))
    if not shown[main].intersects(shape):
        return []
    short = [max(0.0, need - has) for has, need in zip(code.quiet, code.needs, strict=True)]
    lacks, edge = max(short), _beyond(code, shown[main])
    say = ""
    if not code.decodes:
        say = "unread"
    elif lacks > _SLACK * code.module and lacks >= edge:
        say = "quiet"
    elif edge > _SLACK * code.module:
        say, lacks = "edge", edge
    if not say:
        return []
    needs = max(code.needs)
    return [
        Finding(
            "code-at-risk",
            "error",
            panel=target.numbers[main],
            file=one.laid.claim.file,
            page=one.laid.claim.page,
            where=box_in(
                one.laid, main, shape.intersection(Polygon(placed(target.places[main], target.panels[main].art)))
            ),
            evidence={
                **_about(code),
                "quiet_mm": round(max(0.0, needs - lacks), 1),
                "needs_mm": round(needs, 1),
                "needs_modules": round(needs / code.module),
                "lacks_mm": round(lacks, 1),
                "panels": [target.numbers[main]],
                "scale": one.laid.scale,
                "quad_mm": [[round(x, 3), round(y, 3)] for x, y in _level(code)],
            },
            say=say,
        )
    ]


def _beyond(code: Code, shown: Polygon) -> float:
    """How far its quiet zone, as it should be, goes past what shows, mm."""
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = code.quad
    wide, high = ((bx - ax) ** 2 + (by - ay) ** 2) ** 0.5, ((dx - ax) ** 2 + (dy - ay) ** 2) ** 0.5
    ux, uy, vx, vy = (bx - ax) / wide, (by - ay) / wide, (dx - ax) / high, (dy - ay) / high
    left, upper, right, lower = code.needs
    rim = Polygon(
        [
            (ax - ux * left - vx * upper, ay - uy * left - vy * upper),
            (bx + ux * right - vx * upper, by + uy * right - vy * upper),
            (cx + ux * right + vx * lower, cy + uy * right + vy * lower),
            (dx - ux * left + vx * lower, dy - uy * left + vy * lower),
        ]
    )
    out = rim.difference(shown)
    parts = [part for part in getattr(out, "geoms", [out]) if part.area > 0]
    return max((shown.exterior.distance(Point(p)) for part in parts for p in part.exterior.coords), default=0.0)


RULE = Rule("code-at-risk", "error", "client", "cut", find, needs=("codes",))
