"""Findings as a reader takes them: one cause once, the worst first within its panel, each with a number of its own and the
places where it stands on every panel that it touches.

Takes a `Job`; gives `Item`s. Numbers run through the whole report, so that two people can talk about "number 7".
"""

from collections.abc import Iterable
from typing import Literal, get_args

from attrs import frozen

from ..checks import Finding, rule_of
from ..checks.wording import Sentences, grouped, sentences, silence_said, title, worst_first
from ..job import Job
from ..job.standing import place_of
from ..sizing.outline import Outline
from ..sizing.panel import Panel
from ..words import Words

Copy = Literal["shop", "client"]
COPIES: tuple[Copy, ...] = get_args(Copy)


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
        return tuple(dict.fromkeys(n for one in self.members for n in one.panels))


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


def places_of(job: Job, item: Item, panel: Panel) -> list[Outline]:
    """Where an item stands on a panel, in its sewn frame and on its art."""
    outlines = (place_of(job, finding, panel) for finding in item.members)
    return [outline for outline in outlines if outline is not None]
