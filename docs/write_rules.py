"""Writes the rules into docs/checks.md, from the registry and the words that `artgen rules` shows: `make rules`. What stands
outside the two marks is written by hand."""

from pathlib import Path

from artgen.checks import FAMILIES, RULES
from artgen.checks.explained import Explained, ExplainedNumber, explained, shared
from artgen.words import Words, words

PAGE = Path(__file__).parent / "checks.md"
BEGIN, END = "<!-- from here: make rules -->\n", "<!-- to here -->\n"


def page(text: str) -> str:
    """The page with its rules written anew."""
    before, rest = text.split(BEGIN)
    _, after = rest.split(END)
    return f"{before}{BEGIN}\n{rules(words())}\n{END}{after}"


def rules(say: Words) -> str:
    every = [(rule, explained(rule, say)) for rule in RULES]
    lines = []
    for family in FAMILIES:
        mine = [(rule, one) for rule, one in every if rule.family == family]
        if mine:
            lines += [f"### {say(f'family.{family}')}", "", "| rule | severity | title | finds |", "|---|---|---|---|"]
            lines += [_row(one, rule.audience == "shop", say) for rule, one in mine]
            lines.append("")
    lines += ["## Why, and what to do", ""]
    for _, one in every:
        lines += [f"- **`{one.name}`** {one.why} {one.do}"]
    lines += ["", "## The numbers", "", "| rule | number | default | what it is | owner |", "|---|---|---|---|---|"]
    for name, numbers in (("all", shared(say)), *((one.name, (*one.numbers, *one.lists)) for _, one in every)):
        lines += [_number(name, number) for number in numbers]
    return "\n".join(lines) + "\n"


def _row(one: Explained, shop: bool, say: Words) -> str:
    return f"| `{one.name}` | {one.severity} | {one.title}{say('rules.shop-only') if shop else ''} | {one.finds} |"


def _number(rule: str, number: ExplainedNumber) -> str:
    return f"| `{rule}` | `{number.name}` | {number.value} | {number.what} | {number.owner} |"


if __name__ == "__main__":
    PAGE.write_text(page(PAGE.read_text(encoding="utf-8")), encoding="utf-8")
