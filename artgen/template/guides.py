"""Guides of one panel: its zones as line layers, in page millimetres. The same outlines that the checks test."""

from collections.abc import Iterable, Sequence
from math import hypot

from ..drawing.inks import GUIDE_WHITE, Guide, guide_stroke
from ..drawing.marks import Layer, Mark, Path, Point, ProcessingStep, Stroke
from ..drawing.pieces import hatch
from ..sizing.corners import corner_cuts
from ..sizing.outline import Outline, bounds, reach_between
from ..sizing.panel import Panel, PanelEdge, Seam
from ..words import Words
from .sheet import Sheet
from .tags import tab_place, tag_place

_ANGLES: dict[Guide, tuple[float, ...]] = {"shadow": (45.0,), "keep-out": (45.0, -45.0), "frame": (-45.0,)}
_UNDER = 1.6  # how much wider the white under a line is than a thin line, each side half of it


def seam_line(panel: Panel, seam: Seam) -> tuple[Point, Point]:
    """The seam across the art size, in the sewn frame."""
    x0, y0, x1, y1 = bounds(panel.art)
    return ((seam.at, y0), (seam.at, y1)) if seam.axis == "x" else ((x0, seam.at), (x1, seam.at))


def seam_bands(panel: Panel, seam: Seam, by: float) -> tuple[tuple[Point, Point], ...]:
    """Lines ``by`` mm to either side of a seam, as far as the safe area (or what shows) reaches there."""
    within = panel.safe or panel.visible
    axis = 0 if seam.axis == "x" else 1
    low, high = bounds(within)[axis], bounds(within)[axis + 2]
    found: list[tuple[Point, Point]] = []
    for at in (seam.at - by, seam.at + by):
        if low < at < high:
            a, b = reach_between(within, axis, at, at)
            found.append(((at, a), (at, b)) if axis == 0 else ((a, at), (b, at)))
    return tuple(found)


def _ring(sheet: Sheet, outline: Outline, guide: Guide) -> Path:
    return Path((sheet.outline(outline),), guide_stroke(guide, sheet.line))


def _straight(sheet: Sheet, a: Point, b: Point, guide: Guide, width: float = 1.0) -> Path:
    return Path(((sheet.at(a), sheet.at(b)),), guide_stroke(guide, sheet.line * width), closed=False)


def hatched(ring: Outline, guide: Guide, line: float, spacing: float) -> list[Path]:
    """An area of hardware or of something kept out: its outline, hatched one way or both."""
    fine = guide_stroke(guide, line * 0.6)
    return [
        *(hatch([ring], spacing, angle, fine) for angle in _ANGLES[guide]),
        Path((ring,), guide_stroke(guide, line)),
    ]


def _seams(panel: Panel, sheet: Sheet) -> list[Path]:
    """Each seam across the art size, and fine lines to either side as far as its allowance is sewn in."""
    marks: list[Path] = []
    for seam in panel.seams:
        marks.append(_straight(sheet, *seam_line(panel, seam), "seam"))
        for a, b in seam_bands(panel, seam, panel.fabric.seam_allowance):
            stroke = Stroke(guide_stroke("seam", 1.0).ink, sheet.line * 0.6)
            marks.append(Path(((sheet.at(a), sheet.at(b)),), stroke, closed=False))
    return marks


def _safe(panel: Panel, sheet: Sheet) -> list[Path]:
    """The safe outline, and how far text keeps from seams inside it."""
    if panel.safe is None:
        return []
    marks = [_ring(sheet, panel.safe, "safe")]
    for seam in panel.seams:
        marks += [_straight(sheet, a, b, "safe") for a, b in seam_bands(panel, seam, panel.seam_clearance)]
    return marks


def _stretches(edge: PanelEdge) -> list[tuple[float, float]]:
    """Where an edge is met, neighbours end to end as one stretch."""
    found: list[tuple[float, float]] = []
    for met in edge.met:  # in order along the edge
        if found and met.start <= found[-1][1] + 1e-3:
            found[-1] = (found[-1][0], max(found[-1][1], met.end))
        else:
            found.append((met.start, met.end))
    return found


def _neighbours(panel: Panel, sheet: Sheet) -> list[Path]:
    """The outer edge of the metal wherever another panel's metal meets it."""
    marks: list[Path] = []
    for i, edge in enumerate(panel.edges):
        (x0, y0), (x1, y1) = panel.frame[i], panel.frame[(i + 1) % len(panel.frame)]
        length = hypot(x1 - x0, y1 - y0)
        for start, end in _stretches(edge):
            a, b = ((x0 + (x1 - x0) * at / length, y0 + (y1 - y0) * at / length) for at in (start, end))
            marks.append(_straight(sheet, a, b, "neighbour"))
    return marks


def guide_layers(panel: Panel, sheet: Sheet, say: Words) -> list[Layer]:
    """Line layers in painting order: shadow, keep-out, art edge, cut, fold, safe, seam, neighbour. Empty ones are left out."""
    spacing = 14 * sheet.line
    corners: list[Path] = [
        Path((sheet.outline(line),), guide_stroke("cut", sheet.line), closed=False) for line in corner_cuts(panel)
    ]
    families: list[tuple[str, list[Path], ProcessingStep | None]] = [
        (
            "shadow",
            [m for band in panel.shadows for m in hatched(sheet.outline(band.outline), "shadow", sheet.line, spacing)],
            None,
        ),
        (
            "keep-out",
            [
                m
                for keep in panel.keep_outs
                for m in hatched(sheet.outline(keep.outline), "keep-out", sheet.line, spacing)
            ],
            None,
        ),
        ("art-edge", [_ring(sheet, panel.art, "art edge")], ProcessingStep("Structural", "Bleed")),
        ("cut", [_ring(sheet, panel.cut, "cut"), *corners], ProcessingStep("Structural", "Cutting")),
        ("fold", [_ring(sheet, panel.visible, "fold")], ProcessingStep("Structural", "Folding")),
        ("safe", _safe(panel, sheet), ProcessingStep("Positions", "ContentArea")),
        ("seam", _seams(panel, sheet), None),
        ("neighbour", _neighbours(panel, sheet), None),
    ]
    return [guide(name, marks, say, step) for name, marks, step in families if marks]


def tab_layer(panel: Panel, sheet: Sheet, say: Words) -> Layer:
    """Where the pull tab and the number tag are sewn on."""
    return guide("tab", [_ring(sheet, tab_place(panel), "notes"), _ring(sheet, tag_place(panel), "notes")], say)


def guide(name: str, marks: Sequence[Mark], say: Words, step: ProcessingStep | None = None) -> Layer:
    """A guide layer: locked, and not for print."""
    return Layer(f"guide-{name}", say(f"template.layer.{name}"), tuple(marks), prints=False, locked=True, step=step)


def under(marks: Iterable[Mark], line: float) -> list[Path]:
    """White under the lines and arrowheads of marks, so that they are seen on dark art. Fine lines, as of hatches, go without."""
    made: list[Path] = []
    for mark in marks:
        if not isinstance(mark, Path):
            continue
        if mark.stroke is None:
            if mark.fill is not None and mark.fill != GUIDE_WHITE:
                made.append(Path(mark.subpaths, Stroke(GUIDE_WHITE, _UNDER * line)))
        elif mark.stroke.width > 0.7 * line:
            made.append(Path(mark.subpaths, Stroke(GUIDE_WHITE, mark.stroke.width + _UNDER * line), closed=mark.closed))
    return made
