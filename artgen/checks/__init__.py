"""Observations to findings: pure rules over plain records. No file is opened, nothing printed.

`check` runs every rule; `wording` turns what it gives into sentences.
"""

from collections.abc import Iterator

from attrs import evolve, frozen

from ..sizing.outline import size
from ..survey import LaidSeen
from .finding import SEVERITIES, Finding, NotExamined, Observations, Unexamined
from .guides import clients_words_alone
from .rule import FAMILIES, SHARED, Family, Number, Rule, Seen
from .rules import RULES
from .settings import Settings, graded, settings
from .silences import SilenceState, silenced
from .text import wrong_words

__all__ = [
    "FAMILIES",
    "RULES",
    "SEVERITIES",
    "SHARED",
    "Checked",
    "Family",
    "Finding",
    "LaidSeen",
    "NotExamined",
    "Number",
    "Observations",
    "Rule",
    "Seen",
    "Settings",
    "SilenceState",
    "Unexamined",
    "check",
    "numbers_of",
    "rule_of",
    "settings",
    "wrong_words",
]

_BY_NAME = {rule.name: rule for rule in RULES}
_ORDER = {rule.name: index for index, rule in enumerate(RULES)}
_DEFAULTS = {
    (name, number.name): number.value
    for name, numbers in (("all", SHARED), *((rule.name, rule.numbers) for rule in RULES))
    for number in numbers
}


@frozen
class Checked:
    """What the rules say. Each ends in one of three: nothing, ``findings``, or ``unexamined``. ``silenced`` findings count
    nowhere; ``silences`` = what became of each of the order's, in its order."""

    findings: tuple[Finding, ...]
    unexamined: tuple[Unexamined, ...] = ()
    silenced: tuple[Finding, ...] = ()
    silences: tuple[SilenceState, ...] = ()


def rule_of(name: str) -> Rule:
    return _BY_NAME[name]


def numbers_of() -> dict[str, dict[str, str]]:
    """Names of rules → names of their numbers → units, as an order is read with; "all" holds what several rules share. Lists of
    words have the unit "names"."""
    units = {
        rule.name: {number.name: number.unit for number in rule.numbers} | dict.fromkeys(rule.lists, "names")
        for rule in RULES
    }
    return {"all": {number.name: number.unit for number in SHARED}} | units


def check(observations: Observations, asked: Settings | None = None) -> Checked:
    """All findings: by panel, worst first, then by rule and place. The order does not depend on anything else."""
    observations = clients_words_alone(observations)
    asked = asked or Settings()
    seen = Seen(observations, _DEFAULTS, asked)
    found: list[Finding] = []
    for rule in RULES:
        severity = asked.severities.get(rule.name, "off" if rule.off else rule.severity)
        if severity != "off":
            found += [_placed(graded(one, rule.severity, severity), observations) for one in rule.find(seen)]
    found.sort(key=_place)
    left, quiet, states = silenced(found, asked.silences, observations)
    return Checked(tuple(left), tuple(_unexamined(observations, asked)), tuple(quiet), tuple(states))


def _unexamined(seen: Observations, asked: Settings) -> Iterator[Unexamined]:
    """Rules that an order or a shop switched off, and rules without what they need, those of one cause together."""
    running = []
    for rule in RULES:
        if asked.severities.get(rule.name) == "off":
            yield Unexamined((rule.name,), off=asked.set_in[rule.name])
        elif not rule.off or rule.name in asked.severities:
            running.append(rule)
    together: dict[tuple[str, tuple[int, ...], str], list[str]] = {}
    for rule in running:
        for need in rule.needs:
            if hasattr(seen, need):
                if need in seen.missing or getattr(seen, need) is None:
                    together.setdefault(("", (), seen.missing.get(need, "")), []).append(rule.name)
                continue
            for one in seen.laid:
                if need in one.missing or getattr(one, need) is None:
                    key = (one.laid.claim.file, one.laid.target.numbers, one.missing.get(need, ""))
                    together.setdefault(key, []).append(rule.name)
    for (file, panels, why), rules in together.items():
        yield Unexamined(tuple(dict.fromkeys(rules)), file, panels, why)


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
