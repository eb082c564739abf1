"""What an order changes of the rules, as findings show it: severities, numbers, rules without what they need, silences.
Words stand on the front of the worked example's box (1076 × 3376 mm of art, fold lines at 44)."""

import hashlib
from pathlib import Path

import art_made
import pytest
import zoo
from art_made import Lettering, observed, target_of, upright_word
from attrs import evolve

from artgen.art.facts import FileFault
from artgen.checks import Checked, Observations, Settings, check, settings
from artgen.checks.wording import not_examined, silence_said
from artgen.order import RuleSettings, Silence
from artgen.words import words

SIZING, TARGET = target_of(zoo.BOX, 1)
TUCK = upright_word(30, 500, 300, 50, text="Moor")  # 14 mm past the left fold line
HIGHER = upright_word(30, 900, 300, 50, text="Bog")
HASH = hashlib.sha256(b"art").hexdigest()
SAY = words()


def seen(*inks: art_made.Ink) -> Observations:
    return evolve(observed(SIZING, TARGET, inks or (TUCK, HIGHER)), hashes={"art.pdf": HASH})


def asked(**rules: RuleSettings) -> Settings:
    return settings(("order.toml", {name.replace("_", "-"): one for name, one in rules.items()}))


def quiet(*silences: Silence) -> Checked:
    return check(seen(), settings(silences=tuple(enumerate(silences, start=1))))


def said(checked: Checked) -> list[tuple[str, str, str]]:
    return [(f.rule, f.severity, f.evidence["text"]) for f in checked.findings]


# severities and numbers


def test_the_severity_that_an_order_asks() -> None:
    beyond = upright_word(5, 1500, 30, 20, text="hidden")  # wholly beyond: a note
    for severity, expected in (
        (None, ["error", "note"]),
        ("error", ["error", "note"]),
        ("warning", ["warning", "note"]),
        ("note", ["note", "note"]),
        ("off", []),
    ):
        found = check(seen(TUCK, beyond), asked(text_in_tuck=RuleSettings(severity)))  # type: ignore[arg-type]
        assert [f.severity for f in found.findings] == expected, severity


def test_a_milder_rule_can_be_made_graver() -> None:
    near = upright_word(60, 500, 300, 50)  # 16 mm inside the fold line; 40 are safe
    assert said(check(seen(near))) == [("text-outside-safe", "warning", "Moor")]
    graver = asked(text_outside_safe=RuleSettings("error"))
    assert said(check(seen(near), graver)) == [("text-outside-safe", "error", "Moor")]


@pytest.mark.parametrize(("over", "rule"), [(13.9, "text-in-tuck"), (14.1, "text-outside-safe")])
def test_what_counts_as_over_a_line_is_a_number(over: float, rule: str) -> None:
    found = check(seen(TUCK), settings(("order.toml", {"all": RuleSettings(numbers={"over": over})})))
    assert [f.rule for f in found.findings] == [rule]


# rules that had nothing to judge by


def test_a_rule_that_is_switched_off_is_said() -> None:
    (one,) = (u for u in check(seen(), asked(text_in_tuck=RuleSettings("off"))).unexamined if u.off)
    told = not_examined(one, SAY)
    assert (told.what, told.why) == ("text runs into the frame", "switched off in order.toml")


def test_a_rule_without_what_it_needs_is_never_silent() -> None:
    """The page of `observed` has no edge bands: nobody looked at its paint."""
    (one,) = check(seen()).unexamined
    assert {"bleed-missing", "art-repeated"} <= set(one.rules)
    assert (one.file, one.panels, one.why) == ("art.pdf", (1,), "")
    (laid,) = seen().laid
    why = evolve(seen(), laid=(evolve(laid, fault=FileFault("damaged", "it is damaged")),))
    told = [not_examined(one, SAY) for one in check(why).unexamined]
    (damaged,) = (one for one in told if one.why == "it is damaged")
    assert damaged.what.startswith("art.pdf: ")
    assert "bleed missing" in damaged.what
    whole = check(evolve(seen(), laid=(evolve(laid, bands={}),))).unexamined
    assert not any("bleed-missing" in one.rules for one in whole)


# silences


@pytest.mark.parametrize("words_", ["Moor", "moor", "the Moor  of old"])
def test_a_silence_by_words(words_: str) -> None:
    checked = quiet(Silence("text-in-tuck", "so wanted", 1, words=words_, art=HASH[:8]))  # type: ignore[arg-type]
    assert said(checked) == [("text-in-tuck", "error", "Bog")]
    (one,) = checked.silenced
    assert (one.evidence["text"], one.silenced) == ("Moor", "so wanted")
    assert silence_said(checked.silences[0], SAY) == ""


@pytest.mark.parametrize(
    ("area", "count"),
    [
        ((30.0, 500.0, 300.0, 50.0), 1),  # as the report says it
        ((31.0, 500.0, 299.0, 50.0), 1),  # in whole mm
        ((32.1, 500.0, 299.0, 50.0), 0),
        ((0.0, 0.0, 1076.0, 3376.0), 2),
    ],
)
def test_a_silence_by_area(area: tuple[float, ...], count: int) -> None:
    checked = quiet(Silence("text-in-tuck", "so wanted", 1, area=area, art=HASH))  # type: ignore[arg-type]
    assert len(checked.silenced) == count
    assert len(checked.findings) == 2 - count
    assert checked.silences[0].state == ("used" if count else "unused")


@pytest.mark.parametrize(
    "silence",
    [
        Silence("text-outside-safe", "another rule", 1),  # type: ignore[arg-type]
        Silence("text-in-tuck", "another panel", 2),  # type: ignore[arg-type]
        Silence("text-in-tuck", "files alone", None),  # type: ignore[arg-type]
        Silence("text-in-tuck", "part of the word", 1, words="Moo"),  # type: ignore[arg-type]
    ],
)
def test_a_silence_that_fits_nothing_is_said(silence: Silence) -> None:
    checked = quiet(silence)
    assert len(checked.findings) == 2
    assert "fits no finding" in silence_said(checked.silences[0], SAY)


def test_a_silence_lapses_when_the_art_changes() -> None:
    checked = quiet(Silence("text-in-tuck", "so wanted", 1, words="Moor", art="0" * 8))  # type: ignore[arg-type]
    assert len(checked.findings) == 2
    told = silence_said(checked.silences[0], SAY)
    assert told.startswith("silence 1 (text-in-tuck, panel 1) has lapsed: art.pdf is not the file")
    assert f'art = "{HASH[:12]}"' in told


def test_a_silence_that_is_bound_to_no_file_holds_and_gives_the_line_to_paste() -> None:
    checked = quiet(Silence("text-in-tuck", "so wanted", 1, words="Moor"))  # type: ignore[arg-type]
    assert said(checked) == [("text-in-tuck", "error", "Bog")]
    assert f'art = "{HASH[:12]}"' in silence_said(checked.silences[0], SAY)


def test_a_finding_is_silenced_once() -> None:
    one = Silence("text-in-tuck", "first", 1, art=HASH)  # type: ignore[arg-type]
    checked = quiet(one, evolve(one, reason="second"))
    assert [f.silenced for f in checked.silenced] == ["first", "first"]
    assert [state.state for state in checked.silences] == ["used", "unused"]


def test_through_the_whole_command(tmp_path: Path) -> None:
    """A word over the edge, silenced; then the art changes by one letter elsewhere."""
    from click.testing import CliRunner

    from artgen.cli import main

    order = 'schema = 1\nname = "x"\n[[structure]]\nname = "w"\nkind = "wall"\nwidth = "600 mm"\nheight = "500 mm"\n'
    quiet = '[[silence]]\nrule = "text-in-tuck"\npanel = 1\nwords = "Moor"\nreason = "cut off on purpose"\n'
    made = art_made.pdf(tmp_path / "art" / "p1.pdf", (676, 576), [Lettering("Moor", 20, 200, 60)], (0, 0, 676, 576))

    def run(text: str) -> tuple[int, str]:
        (tmp_path / "order.toml").write_text(order + text, encoding="utf-8")
        result = CliRunner().invoke(main, ["check", str(tmp_path)])
        return result.exit_code, " ".join(result.output.split())

    digits = hashlib.sha256(made.read_bytes()).hexdigest()[:12]
    code, text = run("")
    assert code == 1
    code, text = run(quiet)
    assert code == 0
    assert "Silenced by the order" in text
    assert "Reason: cut off on purpose" in text
    assert f'art = "{digits}"' in text
    code, text = run(quiet + f'art = "{digits}"\n')
    assert code == 0
    assert "Bind it" not in text
    art_made.pdf(made, (676, 576), [Lettering("Moor", 20, 200, 60), Lettering("x", 300, 200, 60)], (0, 0, 676, 576))
    code, text = run(quiet + f'art = "{digits}"\n')
    assert code == 1
    assert "has lapsed: p1.pdf" in text
