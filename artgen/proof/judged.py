"""What a client must know of each panel: its findings numbered, its state, and the sums over all panels.

Takes a `Job`; only findings meant for clients count. One cause on one panel is one numbered item.
"""

from attrs import frozen

from ..checks import Finding
from ..checks.wording import grouped, worst_first
from ..job import Job
from ..job.standing import State, place_of, state_of
from ..sizing.panel import Panel

__all__ = [
    "Item",
    "State",
    "Summary",
    "absence",
    "for_client",
    "items",
    "place_of",
    "state",
    "summary",
]


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


def items(job: Job, number: int) -> list[Item]:
    """The numbered items of a panel, the gravest first."""
    mine = worst_first(finding for finding in for_client(job) if number in finding.panels)
    return _numbered(mine)


def _numbered(findings: list[Finding]) -> list[Item]:
    return [Item(number, group.finding, group.members) for number, group in enumerate(grouped(findings), start=1)]


def state(job: Job, panel: Panel) -> State:
    """What is to be done about a panel."""
    return state_of(job, panel, for_client(job))


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
        touched = {n for finding in findings if finding.severity == severity for n in finding.panels}
        return tuple(sorted(touched))

    missing = tuple(number for number, one in states.items() if one == "no-art")
    return Summary(count["error"], count["warning"], count["note"], with_any("error"), with_any("warning"), missing)
