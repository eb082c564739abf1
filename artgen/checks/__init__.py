"""Observations to findings: pure rules over plain records. No file is opened, nothing printed.

`check` runs every rule; `wording` turns a finding into sentences.
"""

from attrs import evolve

from ..sizing.outline import size
from ..survey import LaidSeen
from .finding import SEVERITIES, Finding, NotExamined, Observations
from .rule import Rule, Seen
from .rules import RULES
from .text import judge, wrong_words

__all__ = [
    "RULES",
    "SEVERITIES",
    "Finding",
    "LaidSeen",
    "NotExamined",
    "Observations",
    "Rule",
    "check",
    "judge",
    "wrong_words",
]

_ORDER = {rule.name: index for index, rule in enumerate(RULES)}


def check(observations: Observations) -> tuple[Finding, ...]:
    """All findings: by panel, worst first, then by rule and place. The order does not depend on anything else."""
    seen = Seen(observations)
    found = [_placed(finding, observations) for rule in RULES for finding in rule.find(seen)]
    return tuple(sorted(found, key=_place))


def _placed(finding: Finding, observations: Observations) -> Finding:
    """A finding about a whole panel stands on all of its art size."""
    if finding.panel is None or finding.where is not None:
        return finding
    w, h = size(observations.sizing.panel(finding.panel).art)
    return evolve(finding, where=(0.0, 0.0, w, h))


def _place(finding: Finding) -> tuple[int, int, int, str, tuple[float, ...]]:
    panel = finding.panel if finding.panel is not None else 10**9
    return (
        panel,
        SEVERITIES.index(finding.severity),
        _ORDER[finding.rule],
        finding.file or "",
        finding.where or (),
    )
