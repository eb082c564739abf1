"""`artgen rules`: the list, and that what it says to write into an order is what an order takes."""

import tomllib
from pathlib import Path

import pytest
import zoo
from click.testing import CliRunner, Result

from artgen import order as orders
from artgen.checks import FAMILIES, RULES, Rule, numbers_of
from artgen.cli import main
from artgen.structure.kinds import KINDS
from artgen.words import words

SAY = words()


def run(*args: str) -> Result:
    return CliRunner().invoke(main, ["rules", *args])


def test_the_list_holds_every_rule_once_under_its_family() -> None:
    lines = run().output.splitlines()
    heads = [lines.index(SAY(f"family.{family}")) for family in FAMILIES if any(r.family == family for r in RULES)]
    assert heads == sorted(heads)
    for rule in RULES:
        (at,) = (i for i, line in enumerate(lines) if line.split()[:1] == [rule.name])
        family = max(i for i in heads if i < at)
        assert lines[family] == SAY(f"family.{rule.family}")
        assert ("off" if rule.off else rule.severity) in lines[at]
        assert SAY(f"rule.{rule.name}") in lines[at]
        assert ("shop only" in lines[at]) == (rule.audience == "shop")


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.name)
def test_a_rule_is_explained_and_its_lines_can_be_written(rule: Rule) -> None:
    output = run(rule.name).output
    for what in ("finds", "why", "do"):
        assert SAY(f"{what}.{rule.name}") in " ".join(output.split())
    for number in rule.numbers:
        assert f"({number.owner})" in output
    lines = [line.strip() for line in output.splitlines()]
    change = lines[lines.index(f"[checks.{rule.name}]") :]
    change = change[: change.index("")]
    quiet = lines[lines.index("[[silence]]") :]
    text = "\n".join(["schema = 1", 'name = "x"', zoo.BOX, *change, *quiet]).replace('art = "…"', 'art = "01234567"')
    made = orders.from_tables(tomllib.loads(text), KINDS, Path("order"), "order.toml", numbers_of)
    assert made.checks[rule.name].numbers == {number.name: number.value for number in rule.numbers}
    assert made.checks[rule.name].severity not in (None, None if rule.off else rule.severity)
    assert made.silences[0].rule == rule.name


def test_the_shop_s_own_numbers_are_shown_as_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "checks.toml").write_text(
        'schema = 1\n[checks.bleed-missing]\nseverity = "warning"\nleast = "6 mm"\n[checks.all]\nover = "2 mm"\n',
        encoding="utf-8",
    )
    monkeypatch.setenv("ARTGEN_PROFILES", str(tmp_path))
    output = run("bleed-missing").output
    assert "warning (in the shop's checks.toml)" in output
    assert "6 mm  paint must go so far past the fold line (checks.toml)" in output
    assert "2 mm" in run().output


def test_an_unknown_rule_names_the_nearest() -> None:
    result = run("bleed-mising")
    assert result.exit_code == 2
    assert "did you mean 'bleed-missing'?" in result.output
