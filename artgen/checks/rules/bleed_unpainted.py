"""`bleed-unpainted`: paint that stops along a straight line short of the page's edge, though the page is large enough.

Where the page itself ends there, that is `bleed-missing`; a page of frame size is `page-wrong-size`.
"""

from collections.abc import Iterator

from shapely import Polygon

from ...placing import Laid
from ...sizing.panel import Panel, placed
from ...survey import LaidSeen, Stop
from ..finding import Finding, Severity
from ..places import corners
from ..rule import Number, Rule, Seen

SLACK = 2.0  # mm: a picture of the art has pixels of up to about this size


def find(seen: Seen) -> Iterator[Finding]:
    least, over_cut = seen.number("bleed-unpainted", "least"), seen.number("bleed-unpainted", "over_cut")
    for one in seen.all.laid:
        for panel in one.laid.target.panels:
            found = {stop.edge: stop for stop in stopping(one, panel)}
            if not found:
                continue
            worst = min(found.values(), key=lambda stop: (stop.at - panel.edges[stop.edge].allowance, stop.edge))
            edge = panel.edges[worst.edge]
            severity: Severity = "note"
            if worst.at < least:
                severity = "error"
            elif worst.at < edge.allowance + over_cut - SLACK:
                severity = "warning"
            yield Finding(
                "bleed-unpainted",
                severity,
                panel=panel.number,
                file=one.laid.claim.file,
                page=one.laid.claim.page,
                evidence={
                    "reach_mm": round(abs(worst.at), 1),
                    "needed_mm": edge.allowance + edge.bleed,
                    "lacks_mm": round(edge.allowance + edge.bleed - worst.at, 1),
                    "edges": [panel.edges[index].name for index in found],
                    "every_edge": len(found) == len(panel.edges),
                    "white": all(stop.white for stop in found.values()),
                    "panels": [panel.number],
                    "scale": one.laid.scale,
                },
                say="before" if worst.at < 0 else "",
            )


def stopping(one: LaidSeen, panel: Panel) -> tuple[Stop, ...]:
    """Where paint of a panel stops though the page goes on."""
    return (one.stops or {}).get(panel.number, ()) if one.laid.fits != "frame" and covers(one.laid, panel) else ()


def covers(laid: Laid, panel: Panel) -> bool:
    """Whether the page goes to the edge of the panel's art size, give or take what placing allows."""
    place = laid.target.places[laid.target.numbers.index(panel.number)]
    sheet = Polygon(placed(laid.matrix, tuple(corners(laid.facts.boxes.get("crop", laid.facts.boxes["media"])))))
    return bool(sheet.buffer(SLACK, join_style="mitre").covers(Polygon(placed(place, panel.art))))


RULE = Rule(
    "bleed-unpainted",
    "error",
    "client",
    "fit",
    find,
    needs=("stops",),
    numbers=(
        Number("least", 5.0, "mm", "ours"),  # past the fold line: less shows white cloth once fitted
        Number("over_cut", 3.0, "mm", "ours"),  # past the cut: what a cutter needs
    ),
)
