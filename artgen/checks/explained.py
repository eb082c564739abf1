"""Rules in words: what each finds, why it matters, what to do, its numbers. `artgen rules` and docs/checks.md show the same."""

from collections.abc import Mapping

from attrs import frozen

from ..order import RuleSettings
from ..words import Words
from .rule import SHARED, Family, Number, Rule


@frozen
class ExplainedNumber:
    """``value`` with its unit, as an order writes it too; ``owner`` = the source of the value."""

    name: str
    value: str
    what: str
    owner: str


@frozen
class Explained:
    """A rule in words. ``severity`` as its worst, or "off" with what it is once switched on."""

    name: str
    family: Family
    severity: str
    audience: str
    title: str
    finds: str
    why: str
    do: str
    numbers: tuple[ExplainedNumber, ...]
    lists: tuple[ExplainedNumber, ...] = ()


def explained(rule: Rule, say: Words, shop: Mapping[str, RuleSettings] | None = None, shop_file: str = "") -> Explained:
    """A rule in words; with what the shop's file sets of it, if that is given."""
    own = (shop or {}).get(rule.name)
    severity = say(f"severity.{rule.severity}")
    if own is not None and own.severity is not None:
        severity = say(f"severity.{own.severity}") + say("rules.by", file=shop_file)
    elif rule.off:
        severity = say("severity.off")
    return Explained(
        rule.name,
        rule.family,
        severity,
        say(f"audience.{rule.audience}"),
        say(f"rule.{rule.name}"),
        say(f"finds.{rule.name}"),
        say(f"why.{rule.name}"),
        say(f"do.{rule.name}"),
        tuple(_number(rule.name, number, say, own, shop_file) for number in rule.numbers),
        tuple(_list(rule.name, name, say, own, shop_file) for name in rule.lists),
    )


def shared(
    say: Words, shop: Mapping[str, RuleSettings] | None = None, shop_file: str = ""
) -> tuple[ExplainedNumber, ...]:
    """The numbers that several rules share, in words."""
    return tuple(_number("all", number, say, (shop or {}).get("all"), shop_file) for number in SHARED)


def _number(rule: str, number: Number, say: Words, own: RuleSettings | None, shop_file: str) -> ExplainedNumber:
    value, owner = number.value, number.owner
    if own is not None and number.name in own.numbers:
        value, owner = own.numbers[number.name], shop_file
    shown = f"{value:g} {number.unit}"
    return ExplainedNumber(number.name, shown, say(f"number.{rule}.{number.name}"), owner)


def _list(rule: str, name: str, say: Words, own: RuleSettings | None, shop_file: str) -> ExplainedNumber:
    given = own.names.get(name) if own is not None else None
    shown = ", ".join(given) if given else say("rules.none")
    return ExplainedNumber(name, shown, say(f"number.{rule}.{name}"), shop_file if given else say("rules.unset"))
