"""Words of one line of text: told as one where they are wrong by the same, and moved as one. On the worked example's box, alone
and in a wrap; fold lines at 44, safe from 84, panels of 988 and 788 with reveals of 12."""

import math

import pytest
import zoo
from art_made import Ink, observed, target_of, turned_word, upright_word

from artgen.checks import Finding, check
from artgen.checks.lines import Lines, box_along
from artgen.checks.wording import sentences
from artgen.survey import PlacedWord
from artgen.words import words

FRONT = target_of(zoo.BOX, 1)
ROUND = target_of(zoo.BOX, wrap='[[wrap]]\npanels = [1, 2, 3, 4]\nfile = "a.pdf"\n')
SAY = words()


def line(x: float, y: float, *texts: str, high: float = 60.0, gap: float = 30.0, wide: float = 150.0) -> list[Ink]:
    """Words of one height side by side."""
    return [upright_word(x + n * (wide + gap), y, wide, high, text=text) for n, text in enumerate(texts)]


def found(inks: list[Ink], on: tuple = FRONT) -> list[Finding]:  # type: ignore[type-arg]
    kept = ("text-crosses-corner", "text-crosses-seam", "text-in-tuck", "text-outside-safe")
    return [finding for finding in check(observed(*on, inks)).findings if finding.rule in kept]


def advice(finding: Finding) -> str:
    return sentences(finding, SAY).advice


def test_a_headline_moves_as_one_line() -> None:
    """OPEN ALL YEAR from 30, its first word over the left fold line at 44: 54 to the safe line at 84."""
    (finding,) = found(line(30, 1500, "OPEN", "ALL", "YEAR"))
    assert (finding.rule, finding.evidence["text"], finding.evidence["line"]) == (
        "text-in-tuck",
        "OPEN",
        "OPEN ALL YEAR",
    )
    assert finding.evidence["move_mm"] == [54, 0]
    assert advice(finding).startswith("Move the whole line “OPEN ALL YEAR” 54 mm right")


def test_the_move_minds_the_line_s_other_end() -> None:
    """Of 740 mm in 908 of safe width: the first word alone could go down or right by 54; the line's end has room for 168."""
    (finding,) = found(line(30, 1500, "OPEN", "ALL", "YEAR", "ROUND"))
    assert finding.evidence["move_mm"] == [54, 0]
    # 5 words, 870 mm, begin 38 left of the safe line and would end inside: 44 + 988 − 40 = 992
    (finding,) = found(line(46, 1500, "OPEN", "ALL", "YEAR", "ROUND", "NOW"))
    assert (finding.rule, finding.evidence["move_mm"]) == ("text-outside-safe", [38, 0])


def test_words_of_a_line_over_the_same_line_are_one_finding() -> None:
    """The whole line hangs 10 mm over the foot's fold line."""
    (finding,) = found(line(200, 34, "OPEN", "ALL", "YEAR"))
    assert finding.rule == "text-in-tuck"
    assert finding.evidence["text"] == "OPEN ALL YEAR"
    assert "line" not in finding.evidence
    assert finding.where == (200, 34, 510, 60)
    assert finding.evidence["move_mm"] == [0, 50]
    assert advice(finding).startswith("Move it 50 mm up")


def test_two_lines_are_two_findings() -> None:
    findings = found([*line(30, 1500, "OPEN", "ALL", "YEAR"), *line(30, 1400, "COME", "AND", "SEE")])
    assert sorted(finding.evidence["line"] for finding in findings) == ["COME AND SEE", "OPEN ALL YEAR"]


def test_over_different_lines_they_are_different_findings() -> None:
    """Over the left fold line at its beginning, in the safe margin at its end."""
    findings = found(line(30, 1500, "OPEN", "ALL", "YEAR", "ROUND", "TODAY", wide=170))
    assert sorted((finding.rule, finding.evidence["text"]) for finding in findings) == [
        ("text-in-tuck", "OPEN"),
        ("text-outside-safe", "TODAY"),
    ]


def test_what_the_same_move_clears_is_not_said_twice() -> None:
    """A runs over the fold line at 44, BOG begins at 75, before the safe line at 84: both go right by 64."""
    inks = [upright_word(20, 1500, 40, 60, text="A"), upright_word(75, 1500, 150, 60, text="BOG")]
    (finding,) = found(inks)
    assert (finding.rule, finding.evidence["text"], finding.evidence["move_mm"]) == ("text-in-tuck", "A", [64, 0])
    assert [f.evidence["text"] for f in found(inks[1:])] == ["BOG"]


def test_a_line_too_long_for_its_panel_is_broken() -> None:
    """Words of 1230 mm from 200 on the front, whose safe width is 908: 73.8 %. The fifth stands from 920 to 1070 over the corner
    at 1032 to 1044, and must end at 992."""
    texts = ("PEAT", "THE", "SLOW", "FOREST", "OF", "ALL", "TIME")
    (finding,) = found(line(200, 1500, *texts), ROUND)
    assert (finding.rule, finding.evidence["text"]) == ("text-crosses-corner", "OF")
    assert finding.evidence["move_mm"] == [-78, 0]
    assert 0.736 <= finding.evidence["line_fits_at"] <= 908 / 1230
    assert "make it 73 % of that, or break it. “OF” must go 78 mm left" in advice(finding)


def test_what_makes_a_line() -> None:
    def of(*inks: Ink) -> list[list[str]]:
        seen = [PlacedWord(ink.text, ink.quad, ink.capital or 60.0, 0.0) for ink in inks]
        lines = Lines(seen)
        return [[word.text for word in lines.of(word)] for word in seen]

    three = line(100, 500, "a", "b", "c")
    assert of(*three) == [["a", "b", "c"]] * 3
    assert of(*reversed(three)) == [["a", "b", "c"]] * 3
    assert of(*line(100, 500, "a", "b", gap=71)) == [["a", "b"]] * 2
    assert of(*line(100, 500, "a", "b", gap=73)) == [["a"], ["b"]]  # 1.2 capitals apart: columns
    low, high = upright_word(100, 500, 150, 60, text="a"), upright_word(280, 531, 150, 60, text="b")
    assert of(low, high) == [["a"], ["b"]]  # overlap less than half
    assert of(low, upright_word(280, 529, 150, 60, text="b")) == [["a", "b"]] * 2
    assert of(low, upright_word(280, 500, 150, 151, text="b")) == [["a"], ["b"]]  # more than 2.5 times as high
    assert of(low, low) == [["a"], ["a"]]  # one over the other
    assert of(*three, *line(100, 430, "d", "e", "f"))[3] == ["d", "e", "f"]


def test_lines_at_an_angle() -> None:
    c, s = math.cos(math.radians(30)), math.sin(math.radians(30))
    inks = [turned_word(500 + 180 * n * c, 1000 + 180 * n * s, 150, 60, 30) for n in range(3)]
    seen = [PlacedWord(str(n), ink.quad, 60.0, 30.0) for n, ink in enumerate(inks)]
    assert [word.text for word in Lines(seen).of(seen[1])] == ["0", "1", "2"]
    quad = box_along(seen)
    assert math.dist(quad[0], quad[1]) == pytest.approx(150 + 2 * 180)
    assert math.dist(quad[1], quad[2]) == pytest.approx(60)
