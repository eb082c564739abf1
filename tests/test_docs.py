"""Docs that can't drift: every command, option, rule, kind, profile and room stands in the docs, and no page is dead."""

import importlib.util
import re
from pathlib import Path
from typing import get_args

import attrs
import click
import pytest

from artgen import __version__, order, profiles
from artgen.art import facts
from artgen.checks import RULES
from artgen.cli import COMMANDS, main
from artgen.order.reading import NOT_YET
from artgen.structure.kinds import KINDS
from artgen.words import LANGUAGES

ROOT = Path(__file__).resolve().parents[1]
PAGES = {path.name: path.read_text(encoding="utf-8") for path in [*ROOT.glob("*.md"), *(ROOT / "docs").glob("*.md")]}


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_is_in_the_readme_or_docs_and_has_help(name: str) -> None:
    command = main.get_command(click.Context(main), name)
    assert command is not None and command.help
    assert f"artgen {name}" in "\n".join(PAGES.values())
    for option in command.params:
        if isinstance(option, click.Option):
            assert option.help, f"{name} {option.opts} has no help"


def test_the_rules_in_the_docs_are_those_of_the_registry() -> None:
    """Byte for byte: `make rules` changes nothing."""
    spec = importlib.util.spec_from_file_location("write_rules", ROOT / "docs" / "write_rules.py")
    assert spec is not None and spec.loader is not None
    writer = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(writer)
    assert writer.page(PAGES["checks.md"]) == PAGES["checks.md"]
    listed = re.findall(r"^\| `([a-z-]+)` \| (?:error|warning|note|off) \|", PAGES["checks.md"], re.MULTILINE)
    assert listed == [rule.name for rule in RULES]


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_rule_has_its_words(language: str) -> None:
    table = LANGUAGES[language]
    for rule in RULES:
        for what in ("rule", "finds", "why", "do"):
            assert table[f"{what}.{rule.name}"]
        for number in rule.numbers:
            assert table[f"number.{rule.name}.{number.name}"]
        keys = [key for key in table if re.fullmatch(rf"check\.{rule.name}(\.[a-z-]+)?", key)]
        assert keys
        for key in keys:
            assert key.replace("check.", "advice.", 1) in table


def test_every_key_of_an_order_is_in_its_page() -> None:
    classes = (
        order.Settings,
        order.Structure,
        order.EdgeSettings,
        order.PanelSettings,
        order.BayRow,
        order.KeepOut,
        order.Art,
        order.Wrap,
        order.Silence,
        *(kind.keys for kind in KINDS.values()),
    )
    inner = {"keys", "settings", "set_in"}
    for cls in classes:
        for field in attrs.fields(cls):
            if field.name not in inner:
                assert re.search(rf"\b{field.name}\b", PAGES["order.md"]), f"{cls.__name__}.{field.name}"
    for key in NOT_YET:
        assert f"`{key}`" in PAGES["order.md"]
    for kind in KINDS:
        assert kind in PAGES["order.md"]


def test_every_fact_is_in_its_page() -> None:
    page = PAGES["facts.md"]
    classes = [one for one in vars(facts).values() if isinstance(one, type) and attrs.has(one)]
    assert {facts.PageFacts, facts.FileFacts, facts.Image, facts.Word} <= set(classes)
    for cls in classes:
        for field in attrs.fields(cls):
            if cls not in (facts.FileFault, facts.Pixels):
                assert f"`{field.name}`" in page, f"{cls.__name__}.{field.name}"
    for why in get_args(facts.Unseen):
        assert why == "" or f"| `{why}` |" in page


def test_every_shipped_profile_loads_and_says_where_each_value_comes_from() -> None:
    for family, cls in profiles.FAMILIES.items():
        assert profiles.names(family)
        for name in profiles.names(family):
            profile = profiles.load(cls, name)
            values = {field.name for field in attrs.fields(cls)} - {"name", "title", "sources"}
            given = {key for key in values if getattr(profile, key) is not None}
            assert given == set(profile.sources)


def test_the_house_in_the_guide_is_the_house_that_stands() -> None:
    named = re.findall(r"^\| `([a-z_]+(?:\.py|/))`", PAGES["DEVELOPERS.md"], re.MULTILINE)
    named += re.findall(r"^\| `[a-z_]+\.py`, `([a-z_]+\.py)`", PAGES["DEVELOPERS.md"], re.MULTILINE)
    package = ROOT / "artgen"
    standing = [
        f"{path.name}/" for path in package.iterdir() if (path / "__init__.py").is_file() and path.name != "data"
    ]
    standing += [path.name for path in package.glob("*.py") if path.name != "__init__.py"]
    assert sorted(named) == sorted(standing)


def test_links_between_pages_lead_somewhere() -> None:
    for name, text in PAGES.items():
        folder = ROOT if (ROOT / name).is_file() else ROOT / "docs"
        for target in re.findall(r"\]\(([^)#]+)\)", text):
            if "://" not in target:
                assert (folder / target).exists(), f"{name}: {target}"


def test_the_changelog_has_a_place_for_what_comes_next() -> None:
    assert "## Unreleased" in PAGES["CHANGELOG.md"]
    assert re.fullmatch(r"\d+\.\d+\.\d+", __version__)


def test_nothing_but_words_and_commands_prints() -> None:
    for path in (ROOT / "artgen").rglob("*.py"):
        assert not re.search(r"(?<![\w.])print\(", path.read_text(encoding="utf-8")), path
