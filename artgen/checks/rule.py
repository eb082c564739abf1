"""What a rule is, and what it sees."""

from collections.abc import Callable, Iterable
from functools import cached_property

from attrs import define, frozen

from .finding import Audience, Finding, Observations, Severity
from .text import Verdict, judge


@define(slots=False)
class Seen:
    """The observations, and what several rules need of them, worked out once."""

    all: Observations

    @cached_property
    def words(self) -> list[Verdict]:
        """Every word that stands wrongly."""
        return [verdict for seen in self.all.laid for verdict in judge(seen)]


@frozen
class Rule:
    """``name`` is stable: people write it in orders. ``severity`` = the worst that it gives. ``find`` is pure."""

    name: str
    severity: Severity
    audience: Audience
    find: Callable[[Seen], Iterable[Finding]]
