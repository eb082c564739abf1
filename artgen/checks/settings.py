"""What an order and a shop change of the rules: numbers, severities, rules switched off, findings silenced."""

from collections.abc import Mapping
from typing import Literal

from attrs import evolve, field, frozen

from ..order import RuleSettings, Silence
from .finding import SEVERITIES, Finding, Severity


@frozen
class Settings:
    """``numbers`` by rule and name, in the number's unit; ``names`` = lists of words by rule and name; ``severities`` by rule;
    ``set_in`` = the file that set a rule's severity; ``silences`` with their numbers in the order, from 1."""

    numbers: Mapping[tuple[str, str], float] = field(factory=dict)
    names: Mapping[tuple[str, str], tuple[str, ...]] = field(factory=dict)
    severities: Mapping[str, Severity | Literal["off"]] = field(factory=dict)
    set_in: Mapping[str, str] = field(factory=dict)
    silences: tuple[tuple[int, Silence], ...] = ()


def settings(
    *tables: tuple[str, Mapping[str, RuleSettings]], silences: tuple[tuple[int, Silence], ...] = ()
) -> Settings:
    """Settings of (file's name, what it sets) pairs; a later one wins."""
    numbers: dict[tuple[str, str], float] = {}
    names: dict[tuple[str, str], tuple[str, ...]] = {}
    severities: dict[str, Severity | Literal["off"]] = {}
    set_in: dict[str, str] = {}
    for name, rules in tables:
        for rule, found in rules.items():
            numbers |= {(rule, number): value for number, value in found.numbers.items()}
            names |= {(rule, each): words for each, words in found.names.items()}
            if found.severity is not None:
                severities[rule], set_in[rule] = found.severity, name
    return Settings(numbers, names, severities, set_in, silences)


def graded(finding: Finding, worst: Severity, asked: Severity) -> Finding:
    """A finding under a severity that an order asks for its rule: the rule's gravest get it, milder ones never more."""
    if finding.severity == worst:
        return evolve(finding, severity=asked)
    return evolve(finding, severity=max(finding.severity, asked, key=SEVERITIES.index))
