"""What a client must know of each panel: its findings numbered, its state, and the sums over all panels.

Takes a `Job`; only findings meant for clients count. One cause on one panel is one numbered item.
"""

from typing import Literal

from attrs import frozen
from shapely import Polygon, box

from ..checks import Finding
from ..checks.wording import grouped, worst_first
from ..job import Job
from ..sizing.outline import Outline
from ..sizing.panel import Panel, inverse, placed

State = Literal["must-change", "no-art", "look-at", "not-shown", "blank", "ready"]


@frozen
class Item:
    """One numbered cause on a panel's page: the worst finding, and all of them."""

    number: int
    finding: Finding
    members: tuple[Finding, ...]


@frozen
class Summary:
    """How many things there are of each weight, and on which panels."""

    must_change: int
    look_at: int
    remarks: int
    panels_to_change: tuple[int, ...]
    panels_to_look_at: tuple[int, ...]
    panels_without_art: tuple[int, ...]


def for_client(job: Job) -> list[Finding]:
    return [finding for finding in job.findings if finding.audience == "client"]


def panels_of(finding: Finding) -> tuple[int, ...]:
    """Every panel that a finding touches, the named one first."""
    named = [finding.panel] if finding.panel is not None else []
    return tuple(dict.fromkeys([*named, *(n for n in finding.evidence.get("panels", []) if isinstance(n, int))]))


def items(job: Job, number: int) -> list[Item]:
    """The numbered items of a panel, the gravest first."""
    mine = worst_first(finding for finding in for_client(job) if number in panels_of(finding))
    return _numbered(mine)


def _numbered(findings: list[Finding]) -> list[Item]:
    return [Item(number, group.finding, group.members) for number, group in enumerate(grouped(findings), start=1)]


def state(job: Job, panel: Panel) -> State:
    """What is to be done about a panel."""
    mine = [finding for finding in for_client(job) if panel.number in panels_of(finding)]
    if any(finding.rule == "art-missing" for finding in mine):
        return "no-art"
    if any(finding.severity == "error" for finding in mine):
        return "must-change"
    if any(finding.severity == "warning" for finding in mine):
        return "look-at"
    if panel.blank:
        return "blank"
    return "ready" if panel.number in job.pictures else "not-shown"


def absence(job: Job, panel: Panel) -> str | None:
    """The key of the words for why a panel has no picture; None if it has one."""
    if panel.number in job.pictures:
        return None
    if panel.blank:
        return "proof.blank"
    return "proof.no-art" if state(job, panel) == "no-art" else "proof.no-picture"


def summary(job: Job) -> Summary:
    findings = [finding for finding in for_client(job) if finding.rule != "art-missing"]  # told by its panels
    count = {
        severity: len(grouped(finding for finding in findings if finding.severity == severity))
        for severity in ("error", "warning", "note")
    }
    states = {panel.number: state(job, panel) for panel in job.sizing.panels}

    def with_any(severity: str) -> tuple[int, ...]:
        touched = {n for finding in findings if finding.severity == severity for n in panels_of(finding)}
        return tuple(sorted(touched))

    missing = tuple(number for number, one in states.items() if one == "no-art")
    return Summary(count["error"], count["warning"], count["note"], with_any("error"), with_any("warning"), missing)


def place_of(job: Job, finding: Finding, panel: Panel, zone: Literal["art", "visible"] = "art") -> Outline | None:
    """Where a finding stands on a panel, in its sewn frame and inside a zone of it; None: on no place of it.

    A word's own outline is taken where the finding holds it, so that a tilted word gets a tilted mark.
    """
    outline = _quad(job, finding, panel)
    if outline is None and finding.where is not None and finding.panel == panel.number:
        x, y, w, h = finding.where
        outline = tuple(box(x, y, x + w, y + h).exterior.coords[:-1])
    if outline is None:
        return None
    part = Polygon(outline).convex_hull.intersection(Polygon(getattr(panel, zone)))
    if part.geom_type != "Polygon" or part.area <= 0:
        return None
    return tuple((float(x), float(y)) for x, y in part.exterior.coords[:-1])


def _quad(job: Job, finding: Finding, panel: Panel) -> Outline | None:
    quad = finding.evidence.get("quad_mm")
    if not quad:
        return None
    for seen in job.observations.laid:
        claim = seen.laid.claim
        if (claim.file, claim.page) == (finding.file, finding.page) and panel.number in claim.target.numbers:
            back = inverse(claim.target.places[claim.target.numbers.index(panel.number)])
            return placed(back, tuple((float(x), float(y)) for x, y in quad))
    return None
