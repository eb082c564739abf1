"""Findings as a reader takes them: one cause once, the worst first within its panel, each with a number of its own and the
places where it stands on every panel that it touches.

Takes a `Job`; gives `Item`s. Numbers run through the whole report, so that two people can talk about "number 7".
"""

from collections.abc import Iterable
from typing import Literal, get_args

from attrs import frozen
from shapely import Polygon, box

from ..checks import Finding, rule_of
from ..checks.wording import Sentences, grouped, sentences, silence_said, title, worst_first
from ..job import Job
from ..sizing.outline import Outline, bounds
from ..sizing.panel import Panel, inverse, placed
from ..words import Words

Copy = Literal["shop", "client"]
COPIES: tuple[Copy, ...] = get_args(Copy)
_SAME = 0.5  # mm
State = Literal["must-change", "no-art", "look-at", "not-shown", "blank", "ready"]


@frozen
class Item:
    """One cause. ``finding`` = the worst of its ``members``; ``title`` = the rule in words; ``said`` = what and what to do."""

    number: int
    finding: Finding
    members: tuple[Finding, ...]
    title: str
    said: Sentences

    @property
    def family(self) -> str:
        return rule_of(self.finding.rule).family

    @property
    def more(self) -> int:
        """Members beside the one that is told."""
        return len(self.members) - 1

    @property
    def other_files(self) -> tuple[str, ...]:
        """Files of the members that are not told, where it is one cause in several files."""
        files = dict.fromkeys(one.file for one in self.members if one.file and one.file != self.finding.file)
        return tuple(files)

    @property
    def panels(self) -> tuple[int, ...]:
        """Every panel that it touches, the named one first."""
        return tuple(dict.fromkeys(n for one in self.members for n in panels_of(one)))


def panels_of(finding: Finding) -> tuple[int, ...]:
    """Every panel that a finding touches, the named one first."""
    named = [finding.panel] if finding.panel is not None else []
    return tuple(dict.fromkeys([*named, *(n for n in finding.evidence.get("panels", []) if isinstance(n, int))]))


def meant_for(copy: Copy, findings: Iterable[Finding]) -> list[Finding]:
    return [finding for finding in findings if copy == "shop" or finding.audience == "client"]


def items_of(findings: Iterable[Finding], say: Words, start: int = 1) -> list[Item]:
    """By panel in the order of the findings, what belongs to no panel last; the worst first within each."""
    by_panel: dict[int | None, list[Finding]] = {}
    for finding in findings:
        by_panel.setdefault(finding.panel, []).append(finding)
    found: list[Item] = []
    for mine in by_panel.values():
        for group in grouped(worst_first(mine)):
            one = group.finding
            found.append(Item(start + len(found), one, group.members, title(one.rule, say), sentences(one, say)))
    return found


def more_of(item: Item, say: Words) -> str:
    """What is said of the members that are not told one by one; empty where there are none."""
    if not item.more:
        return ""
    if item.other_files:
        return say("report.more.files", count=item.more, files=", ".join(item.other_files))
    return say("report.more", count=item.more)


def silenced_of(job: Job, copy: Copy, say: Words) -> tuple[list[Item], list[str]]:
    """Findings that the order silences, one by one, and for the shop, what a person must know of its silences."""
    quiet = [Item(0, one, (one,), title(one.rule, say), sentences(one, say)) for one in meant_for(copy, job.silenced)]
    said = [silence_said(state, say) for state in job.silences] if copy == "shop" else []
    return quiet, [text for text in said if text]


def state_of(job: Job, panel: Panel, items: Iterable[Item]) -> State:
    """What is to be done about a panel."""
    mine = [item for item in items if panel.number in item.panels]
    if any(item.finding.rule == "art-missing" for item in mine):
        return "no-art"
    for severity, state in (("error", "must-change"), ("warning", "look-at")):
        if any(item.finding.severity == severity for item in mine):
            return state  # type: ignore[return-value]
    if panel.blank:
        return "blank"
    return "ready" if panel.number in job.pictures else "not-shown"


def places_of(job: Job, item: Item, panel: Panel) -> list[Outline]:
    """Where an item stands on a panel, in its sewn frame and on its art; a word's own outline where the finding holds it."""
    found = []
    for finding in item.members:
        outline = _quad(job, finding, panel)
        if outline is None and finding.where is not None and finding.panel == panel.number:
            x, y, w, h = finding.where
            outline = tuple(box(x, y, x + w, y + h).exterior.coords[:-1])
        part = Polygon(outline).convex_hull.intersection(Polygon(panel.art)) if outline is not None else Polygon()
        if isinstance(part, Polygon) and part.area > 0:
            found.append(tuple((float(x), float(y)) for x, y in part.exterior.coords[:-1]))
    return found


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
