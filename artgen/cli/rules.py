"""`artgen rules`: the rules by family; one of them explained, with its numbers and how to change or silence it."""

import textwrap
from collections.abc import Mapping

import click

from ..checks import FAMILIES, RULES, Rule, numbers_of, rule_of
from ..checks.explained import Explained, ExplainedNumber, explained, shared
from ..order import SHOP_FILE, RuleSettings, shop_settings
from ..typed import TableError, nearest
from ..words import Words, words
from .work import guarded

_WIDE = 100  # characters


@click.command()
@click.argument("name", required=False, metavar="[RULE]")
@guarded
def command(name: str | None) -> int:
    """List what is checked; with RULE, explain it: why it matters, what to do, its numbers, how to change or silence it."""
    say = words()
    shop = shop_settings(numbers_of)
    if name is None:
        click.echo("\n".join(_listed(shop, say)))
        return 0
    known = [rule.name for rule in RULES]
    if name not in known:
        raise TableError("rules", [("", f"no rule named {name!r}" + nearest(name, known))])
    rule = rule_of(name)
    click.echo("\n".join(_explained(rule, explained(rule, say, shop, SHOP_FILE), say)))
    return 0


def _listed(shop: Mapping[str, RuleSettings], say: Words) -> list[str]:
    every = [explained(rule, say, shop, SHOP_FILE) for rule in RULES]
    wide = max(len(one.name) for one in every)
    high = max(len(one.severity) for one in every)
    lines: list[str] = []
    for family in FAMILIES:
        mine = [(rule, one) for rule, one in zip(RULES, every, strict=True) if one.family == family]
        if not mine:
            continue
        lines.append(say(f"family.{family}"))
        for rule, one in mine:
            of_shop = say("rules.shop-only") if rule.audience == "shop" else ""
            lines.append(f"  {one.name:<{wide}}  {one.severity:<{high}}  {one.title}{of_shop}")
        lines.append("")
    lines += [say("rules.shared"), *_numbers(shared(say, shop, SHOP_FILE)), ""]
    return [*lines, say("rules.more")]


def _explained(rule: Rule, one: Explained, say: Words) -> list[str]:
    lines = [f"{one.name}: {one.title}"]
    worst = say("rules.off", severity=say(f"severity.{rule.severity}")) if rule.off else one.severity
    lines += [say("rules.severity", severity=worst, audience=one.audience, family=say(f"family.{one.family}")), ""]
    for key, text in (("finds", one.finds), ("why", one.why), ("do", one.do)):
        lines += _paragraph(say(f"rules.{key}"), text)
    if one.numbers or one.lists:
        lines += ["", say("rules.numbers"), *_numbers((*one.numbers, *one.lists))]
    lines += ["", say("rules.change", file=SHOP_FILE), f"  [checks.{one.name}]"]
    first, *others = [each for each in ("note", "warning", "error", "off") if each != rule.severity or rule.off]
    lines.append(
        f'  severity = "{first}"{say("rules.or", others=", ".join(f"{each!r}" for each in others))}'.replace("'", '"')
    )
    lines += [f"  {_as_written(rule, number)}" for number in one.numbers]
    lines += [f'  {each.name} = ["…", "…"]' for each in one.lists]
    lines += ["", say("rules.silence"), *(f"  {line}" for line in silence_lines(rule, say))]
    return lines


def silence_lines(rule: Rule, say: Words) -> list[str]:
    """A ``[[silence]]`` as an order writes it."""
    scope = ["panel = 3"]
    if rule.family == "text":
        scope.append(f'words = "…"{say("rules.or-area")}')
    return [
        "[[silence]]",
        f'rule = "{rule.name}"',
        *scope,
        f'reason = "…"{say("rules.reason")}',
        f'art = "…"{say("rules.art")}',
    ]


def _as_written(rule: Rule, number: ExplainedNumber) -> str:
    length = next(each.unit for each in rule.numbers if each.name == number.name) == "mm"
    return f'{number.name} = "{number.value}"' if length else f"{number.name} = {number.value.split()[0]}"


def _numbers(numbers: tuple[ExplainedNumber, ...]) -> list[str]:
    if not numbers:
        return []
    name, value = (max(len(getattr(one, key)) for one in numbers) for key in ("name", "value"))
    return [f"  {one.name:<{name}}  {one.value:>{value}}  {one.what} ({one.owner})" for one in numbers]


def _paragraph(head: str, text: str) -> list[str]:
    return textwrap.wrap(text, _WIDE, initial_indent=f"{head:<9}", subsequent_indent=" " * 9)
