"""How a panel stands after a check, and where on it its findings are: what every report and proof draws by.

Takes a `Job`, a panel and findings; outlines are in the panel's sewn frame, full-size mm.
"""

from collections.abc import Iterable
from typing import Literal

from shapely import Polygon, box

from ..checks import Finding
from ..sizing.outline import Outline, bounds
from ..sizing.panel import Panel, inverse, placed
from . import Job

State = Literal["must-change", "no-art", "look-at", "not-shown", "blank", "ready"]
_SAME = 0.5  # mm


def state_of(job: Job, panel: Panel, findings: Iterable[Finding]) -> State:
    """What is to be done about a panel by those of ``findings`` that touch it."""
    mine = [finding for finding in findings if panel.number in finding.panels]
    if any(finding.rule == "art-missing" for finding in mine):
        return "no-art"
    if any(finding.severity == "error" for finding in mine):
        return "must-change"
    if any(finding.severity == "warning" for finding in mine):
        return "look-at"
    if panel.blank:
        return "blank"
    return "ready" if panel.number in job.pictures else "not-shown"


def place_of(job: Job, finding: Finding, panel: Panel, zone: Literal["art", "visible"] = "art") -> Outline | None:
    """Where a finding stands on a panel, inside a zone of it; None: on no place of it.

    A word's own outline is taken where there is one, so that a tilted word gets a tilted mark.
    """
    outline = _quad(job, finding, panel)
    if outline is None and finding.where is not None and finding.panel == panel.number:
        x, y, w, h = finding.where
        outline = tuple(box(x, y, x + w, y + h).exterior.coords[:-1])
    if outline is None:
        return None
    part = Polygon(outline).convex_hull.intersection(Polygon(getattr(panel, zone)))
    if not isinstance(part, Polygon) or part.area <= 0:
        return None
    return tuple((float(x), float(y)) for x, y in part.exterior.coords[:-1])


def _quad(job: Job, finding: Finding, panel: Panel) -> Outline | None:
    """The outline of a finding's word, in the panel's sewn frame; None where it is about no word."""
    quad, text = finding.evidence.get("quad_mm"), finding.evidence.get("text")
    if not quad and not (text and finding.where and finding.panel == panel.number):
        return None
    for seen in job.observations.laid:
        claim = seen.laid.claim
        if (claim.file, claim.page) == (finding.file, finding.page or 1) and panel.number in claim.target.numbers:
            back = inverse(claim.target.places[claim.target.numbers.index(panel.number)])
            if quad:
                return placed(back, tuple((float(x), float(y)) for x, y in quad))
            outlines = (placed(back, word.quad) for word in seen.words if word.text == text)
            return next((outline for outline in outlines if _fills(outline, finding)), None)
    return None


def _fills(outline: Outline, finding: Finding) -> bool:
    """Whether an outline has the finding's place as its bounds."""
    assert finding.where is not None
    x, y, w, h = finding.where
    return all(abs(a - b) < _SAME for a, b in zip(bounds(outline), (x, y, x + w, y + h), strict=True))
