"""`[checks.RULE]`, `[[silence]]` and the shop's checks.toml: what is read of them, and every fault at its path."""

import tomllib
from pathlib import Path

import pytest
import zoo

from artgen import order as orders
from artgen.checks import RULES, SHARED, numbers_of, settings
from artgen.order import Order
from artgen.sizing import size_order
from artgen.structure.kinds import KINDS
from artgen.typed import TableError

HEAD = 'schema = 1\nname = "Test piece"\n'


def read(text: str) -> Order:
    return orders.from_tables(tomllib.loads(HEAD + zoo.BOX + text), KINDS, Path("order"), "order.toml", numbers_of)


def faults(text: str) -> list[tuple[str, str]]:
    with pytest.raises(TableError) as error:
        read(text)
    return list(error.value.faults)


def test_an_order_sets_severities_and_numbers() -> None:
    made = read('[checks.text-crosses-seam]\nseverity = "note"\ntall = "10 in"\n[checks.all]\nover = "1 mm"\n')
    assert made.checks["text-crosses-seam"].severity == "note"
    assert made.checks["text-crosses-seam"].numbers == {"tall": 254.0}
    assert made.checks["all"].numbers == {"over": 1.0}


@pytest.mark.parametrize("name", [rule.name for rule in RULES])
def test_every_rule_can_be_switched_off_and_every_number_be_set(name: str) -> None:
    (rule,) = (rule for rule in RULES if rule.name == name)
    lines = [f'{n.name} = "7 mm"' if n.unit == "mm" else f"{n.name} = 7" for n in rule.numbers]
    made = read(f'[checks.{name}]\nseverity = "off"\n' + "\n".join(lines) + "\n")
    assert made.checks[name].severity == "off"
    assert made.checks[name].numbers == {number.name: 7.0 for number in rule.numbers}


@pytest.mark.parametrize(
    ("text", "path", "what"),
    [
        ("[checks.text-in-tuk]\n", "checks, text-in-tuk", "no rule named 'text-in-tuk'; did you mean 'text-in-tuck'?"),
        (
            '[checks.bleed-missing]\nleas = "4 mm"\n',
            "checks, bleed-missing, leas",
            "unknown key; did you mean 'least'?",
        ),
        (
            "[checks.bleed-missing]\nleast = 4\n",
            "checks, bleed-missing, least",
            "expected a length with its unit, such as",
        ),
        ('[checks.bleed-missing]\nleast = "-4 mm"\n', "checks, bleed-missing, least", "expected from 0 to 1,000,000"),
        (
            '[checks.text-in-tuck]\nseverity = "loud"\n',
            "checks, text-in-tuck, severity",
            "expected one of 'error', 'warning'",
        ),
        ('[checks.all]\nseverity = "off"\n', "checks, all, severity", "unknown key"),
        ("checks = 3\n", "checks", "expected tables such as"),
        ("[checks]\ntext-in-tuck = 3\n", "checks, text-in-tuck", "expected a table"),
    ],
)
def test_faults_of_rule_tables(text: str, path: str, what: str) -> None:
    # a plain key must stand before the first table
    body = HEAD + text + zoo.BOX if text.startswith("checks =") else HEAD + zoo.BOX + text
    with pytest.raises(TableError) as error:
        orders.from_tables(tomllib.loads(body), KINDS, Path("order"), "order.toml", numbers_of)
    ((where, said),) = error.value.faults
    assert where == path
    assert said.startswith(what)


def test_all_faults_at_once() -> None:
    found = faults(
        '[checks.x]\n[checks.text-in-tuck]\nseverity = 1\ny = 2\n[[silence]]\nrule = "text-in-tuc"\nreason = ""\n'
        'area = ["1 mm"]\nwords = "Moor"\nart = "12"\n[[silence]]\nrule = "text-in-tuck"\n'
    )
    assert sorted(path for path, _ in found) == [
        "checks, text-in-tuck, severity",
        "checks, text-in-tuck, y",
        "checks, x",
        "silence 1, area",
        "silence 1, area",
        "silence 1, art",
        "silence 1, panel",
        "silence 1, reason",
        "silence 1, rule",
        "silence 2, reason",
    ]


def test_a_silence_names_a_panel_that_is_there() -> None:
    made = read('[[silence]]\nrule = "text-in-tuck"\nreason = "so wanted"\npanel = 99\n')
    with pytest.raises(TableError, match="silence 1, panel: there is no panel 99"):
        size_order(made, KINDS)


def test_a_silence_is_read_whole() -> None:
    (made,) = read(
        '[[silence]]\nrule = "text-in-tuck"\nreason = "so wanted"\npanel = 2\n'
        'area = ["1 in", "0 mm", "30 mm", "4 mm"]\nart = "0123abCD"\n'
    ).silences
    assert made == orders.Silence("text-in-tuck", "so wanted", 2, area=(25.4, 0.0, 30.0, 4.0), art="0123abCD")


def test_an_order_that_is_read_without_rules_takes_none() -> None:
    with pytest.raises(TableError, match="no rule named"):
        zoo.order(zoo.BOX + "[checks.text-in-tuck]\n")


# the shop's file


def shop(folder: Path, text: str, monkeypatch: pytest.MonkeyPatch) -> None:
    (folder / "checks.toml").write_text(text, encoding="utf-8")
    monkeypatch.setenv("ARTGEN_PROFILES", str(folder))


def test_the_order_wins_over_the_shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    shop(
        tmp_path,
        'schema = 1\n[checks.bleed-missing]\nseverity = "warning"\nleast = "6 mm"\n[checks.text-in-tuck]\nseverity = "off"\n',
        monkeypatch,
    )
    made = read('[checks.bleed-missing]\nleast = "7 mm"\n[checks.text-in-tuck]\nseverity = "note"\n')
    asked = settings(("checks.toml", orders.shop_settings(numbers_of)), ("order.toml", made.checks))
    assert asked.numbers == {("bleed-missing", "least"): 7.0}
    assert asked.severities == {"bleed-missing": "warning", "text-in-tuck": "note"}
    assert asked.set_in == {"bleed-missing": "checks.toml", "text-in-tuck": "order.toml"}


def test_faults_of_the_shop_s_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    shop(tmp_path, "[check.x]\n[checks.text-in-tuk]\n", monkeypatch)
    with pytest.raises(TableError) as error:
        orders.shop_settings(numbers_of)
    assert error.value.where == "checks.toml"
    assert [path for path, _ in error.value.faults] == ["check", "schema", "checks, text-in-tuk"]


def test_a_shop_without_the_file_sets_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert orders.shop_settings(numbers_of) == {}
    monkeypatch.setenv("ARTGEN_PROFILES", str(tmp_path))
    assert orders.shop_settings(numbers_of) == {}


def test_numbers_have_one_name_each_and_an_owner() -> None:
    for owner in (SHARED, *(rule.numbers for rule in RULES)):
        names = [number.name for number in owner]
        assert len(names) == len(set(names))
        assert all(number.owner and number.unit and number.name != "severity" for number in owner)
