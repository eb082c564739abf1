"""`bleed-missing`: paint that ends too soon past the fold line, measured on paint, not on page boxes.

A page of frame size, or of no known size, is `page-wrong-size` alone; paint that stops along a straight line on a page that is
large enough is `bleed-unpainted`.
"""

from collections.abc import Iterator

from ..finding import Finding, Severity
from ..guides import lines_left
from ..rule import Number, Rule, Seen
from .bleed_unpainted import stopping

SLACK = 2.0  # mm: a picture of the art has pixels of up to about this size


def find(seen: Seen) -> Iterator[Finding]:
    least, over_cut = seen.number("bleed-missing", "least"), seen.number("bleed-missing", "over_cut")
    for one in seen.all.laid:
        if one.laid.fits in (None, "frame"):
            continue
        for panel in one.laid.target.panels:
            short = [
                band
                for band in (one.bands or {}).get(panel.number, ())
                if band.reach is not None and band.reach < band.needed
            ]
            told = {stop.edge for stop in stopping(one, panel)}
            short = [band for band in short if band.needed - (band.reach or 0.0) > SLACK and band.edge not in told]
            if "fold" in lines_left(one, panel.number):  # that line's own ink is no ground
                short = [band for band in short if (band.reach or 0.0) >= least]
            if not short:
                continue
            worst = min(short, key=lambda band: ((band.reach or 0.0) - panel.edges[band.edge].allowance, band.edge))
            reach = worst.reach or 0.0
            severity: Severity = "note"
            if reach < least:
                severity = "error"
            elif reach < panel.edges[worst.edge].allowance + over_cut - SLACK:
                severity = "warning"
            yield Finding(
                "bleed-missing",
                severity,
                panel=panel.number,
                file=one.laid.claim.file,
                page=one.laid.claim.page,
                where=None if len(short) == len(panel.edges) else _strip(panel.visible, worst.edge, worst.needed),
                evidence={
                    "reach_mm": round(reach, 1),
                    "needed_mm": worst.needed,
                    "edges": [panel.edges[band.edge].name for band in short],
                    "every_edge": len(short) == len(panel.edges),
                    "panels": [panel.number],
                    "scale": one.laid.scale,
                },
            )


def _strip(outline: tuple[tuple[float, float], ...], edge: int, deep: float) -> tuple[float, float, float, float]:
    """The band beyond an edge's fold line, as an upright box."""
    (x0, y0), (x1, y1) = outline[edge], outline[(edge + 1) % len(outline)]
    length = ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5
    ox, oy = (y1 - y0) / length * deep, (x0 - x1) / length * deep
    xs, ys = (x0, x1, x0 + ox, x1 + ox), (y0, y1, y0 + oy, y1 + oy)
    return round(min(xs), 2), round(min(ys), 2), round(max(xs) - min(xs), 2), round(max(ys) - min(ys), 2)


RULE = Rule(
    "bleed-missing",
    "error",
    "client",
    "fit",
    find,
    needs=("bands",),
    numbers=(
        Number("least", 5.0, "mm", "ours"),  # past the fold line: less shows white cloth once fitted
        Number("over_cut", 3.0, "mm", "ours"),  # past the cut: what a cutter needs
    ),
)
