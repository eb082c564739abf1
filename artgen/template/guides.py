"""Guides of one panel: its zones as line layers, in page millimetres. The same outlines that the checks test."""

from math import hypot

from attrs import frozen

from ..drawing.inks import guide_stroke
from ..drawing.marks import Layer, Mark, Path, Point, ProcessingStep
from ..drawing.pieces import hatch
from ..sizing.corners import corner_cuts
from ..sizing.outline import Outline, bounds
from ..sizing.panel import Affine, Panel, PanelEdge, Seam, apply, placed
from ..words import Words


@frozen
class Sheet:
    """How a panel's sewn frame lies on the page: ``place`` maps sewn mm to page mm; ``line`` = width of a thin line."""

    width: float
    height: float
    place: Affine
    line: float
    scale: int

    def at(self, point: Point) -> Point:
        return apply(self.place, point)

    def outline(self, points: Outline) -> Outline:
        return placed(self.place, points)

    def mm(self, full: float) -> float:
        """Page millimetres of a full-size length."""
        return full / self.scale


def seam_line(panel: Panel, seam: Seam) -> tuple[Point, Point]:
    """The seam across the art size, in the sewn frame."""
    x0, y0, x1, y1 = bounds(panel.art)
    return ((seam.at, y0), (seam.at, y1)) if seam.axis == "x" else ((x0, seam.at), (x1, seam.at))


def _ring(sheet: Sheet, outline: Outline, guide: str) -> Mark:
    return Path((sheet.outline(outline),), guide_stroke(guide, sheet.line))  # type: ignore[arg-type]


def _hatched(sheet: Sheet, outline: Outline) -> list[Mark]:
    ring = sheet.outline(outline)
    fine = guide_stroke("shadow", sheet.line * 0.6)
    lines: list[Mark] = [hatch([ring], 14 * sheet.line, angle, fine) for angle in (45.0, -45.0)]
    return [*lines, Path((ring,), guide_stroke("shadow", sheet.line))]


def _stretches(edge: PanelEdge) -> list[tuple[float, float]]:
    """Where an edge is met, neighbours end to end as one stretch."""
    found: list[tuple[float, float]] = []
    for met in edge.met:  # in order along the edge
        if found and met.start <= found[-1][1] + 1e-3:
            found[-1] = (found[-1][0], max(found[-1][1], met.end))
        else:
            found.append((met.start, met.end))
    return found


def guide_layers(panel: Panel, sheet: Sheet, say: Words) -> list[Layer]:
    """Line layers in painting order: shadow, keep-out, art edge, cut, fold, safe, seam, neighbour. Empty ones are left out."""
    shadow = [mark for band in panel.shadows for mark in _hatched(sheet, band.outline)]
    keep_out = [mark for keep in panel.keep_outs for mark in _hatched(sheet, keep.outline)]
    seams: list[Mark] = []
    for seam in panel.seams:
        a, b = seam_line(panel, seam)
        seams.append(Path(((sheet.at(a), sheet.at(b)),), guide_stroke("seam", sheet.line), closed=False))
    neighbours: list[Mark] = []
    for i, edge in enumerate(panel.edges):
        (x0, y0), (x1, y1) = panel.frame[i], panel.frame[(i + 1) % len(panel.frame)]
        length = hypot(x1 - x0, y1 - y0)
        for start, end in _stretches(edge):
            a, b = ((x0 + (x1 - x0) * at / length, y0 + (y1 - y0) * at / length) for at in (start, end))
            neighbours.append(Path(((sheet.at(a), sheet.at(b)),), guide_stroke("neighbour", sheet.line), closed=False))
    corners: list[Mark] = [
        Path((sheet.outline(line),), guide_stroke("cut", sheet.line), closed=False) for line in corner_cuts(panel)
    ]
    families: list[tuple[str, list[Mark], ProcessingStep | None]] = [
        ("shadow", shadow, None),
        ("keep-out", keep_out, None),
        ("art-edge", [_ring(sheet, panel.art, "art edge")], ProcessingStep("Structural", "Bleed")),
        ("cut", [_ring(sheet, panel.cut, "cut"), *corners], ProcessingStep("Structural", "Cutting")),
        ("fold", [_ring(sheet, panel.visible, "fold")], ProcessingStep("Structural", "Folding")),
        ("safe", [_ring(sheet, panel.safe, "safe")] if panel.safe else [], ProcessingStep("Positions", "ContentArea")),
        ("seam", seams, None),
        ("neighbour", neighbours, None),
    ]
    return [
        Layer(f"guide-{name}", say(f"template.layer.{name}"), tuple(marks), prints=False, locked=True, step=step)
        for name, marks, step in families
        if marks
    ]
