"""What a rule is, and what it sees."""

from collections.abc import Callable, Iterable
from functools import cached_property
from typing import Literal

from attrs import define, field, frozen

from ..survey import words_off_page
from .finding import Audience, Finding, Observations, Severity
from .settings import Settings
from .text import Verdict, judge_lines

Family = Literal["fit", "text", "cut", "image", "colour", "across", "file"]
FAMILIES: tuple[Family, ...] = ("fit", "text", "cut", "image", "colour", "across", "file")


@frozen
class Number:
    """A number that a rule judges by. ``unit``: "mm" (an order writes it as a length), "ppi", "%", "°" …; ``owner`` = the
    source that it comes from, or "ours"."""

    name: str
    value: float
    unit: str
    owner: str


@frozen
class Rule:
    """``name`` is stable: people write it in orders. ``severity`` = the worst that it gives. ``find`` is pure.

    ``needs`` = names of what `LaidSeen` and `Observations` hold, without which it has nothing to judge by. ``lists`` = names of
    its lists of words, which are empty unless an order gives them. ``off``: only an order or a shop that sets its severity
    switches it on.
    """

    name: str
    severity: Severity
    audience: Audience
    family: Family
    find: Callable[["Seen"], Iterable[Finding]]
    needs: tuple[str, ...] = ()
    numbers: tuple[Number, ...] = ()
    lists: tuple[str, ...] = ()
    off: bool = False


# numbers that several rules share; an order sets them under [checks.all]
SHARED = (Number("over", 0.5, "mm", "ours"),)


@define(slots=False)
class Seen:
    """The observations, the numbers to judge by, and what several rules need of both, worked out once."""

    all: Observations
    defaults: dict[tuple[str, str], float]
    settings: Settings = field(factory=Settings)

    def number(self, rule: str, name: str) -> float:
        """A number of a rule in its unit: the order's, the shop's, or its default. Raises `KeyError` for an unknown one."""
        default = self.defaults[rule, name]
        return self.settings.numbers.get((rule, name), default)

    def names(self, rule: str, name: str) -> tuple[str, ...]:
        """A list of words of a rule, as the order or the shop gives it."""
        return self.settings.names.get((rule, name), ())

    @cached_property
    def words(self) -> list[Verdict]:
        """Words that stand wrongly, those of one line together."""
        over, tall = self.number("all", "over"), self.number("text-crosses-seam", "tall")
        return [
            verdict for seen in self.all.laid for verdict in judge_lines(seen, over, tall, words_off_page(seen.laid))
        ]
