"""Lengths as text. The inch is 25.4 mm exactly (international yard and pound agreement, 1959), the foot 12 inches."""

from contextlib import suppress
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from reportlab.lib import units as witness

from artgen.units import MM_PER_PT, PT_PER_MM, LengthError, inch_text, mm_text, parse_length

INCH = Fraction(254, 10)


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("1000 mm", 1000),
        ("914.4 mm", Fraction(9144, 10)),
        ("1000mm", 1000),
        ("  12 mm ", 12),
        ("250 cm", 2500),
        ("3.66 m", 3660),
        ("2 metres", 2000),
        ("2 meters", 2000),
        ("1 millimetre", 1),
        ("36in", 36 * INCH),
        ("36 IN", 36 * INCH),
        ("1 inch", INCH),
        ("2 inches", 2 * INCH),
        (".5 in", INCH / 2),
        ("5. in", 5 * INCH),
        ("3/4 in", INCH * 3 / 4),
        ('7/8"', INCH * 7 / 8),
        ('6 1/2"', INCH * 13 / 2),
        ("6-3/4 in", INCH * 27 / 4),
        ("6 - 3/4 in", INCH * 27 / 4),
        ("12'", 144 * INCH),
        ("5 feet", 60 * INCH),
        ("1 foot 1 inch", 13 * INCH),
        ("12' 6 1/2\"", (144 + Fraction(13, 2)) * INCH),
        ("12'6\"", 150 * INCH),
        ("12′ 6″", 150 * INCH),
        ("11 ft 6-3/4 in", (132 + Fraction(27, 4)) * INCH),
        ("11ft6in", 138 * INCH),
        ("1/3 in", INCH / 3),
        ("-5 mm", -5),
        ("- 1 ft 6 in", -18 * INCH),
        ("−5 mm", -5),
        ("0 mm", 0),
    ],
)
def test_lengths_are_exact(text: str, mm: Fraction | int) -> None:
    assert parse_length(text) == float(mm)  # equal, not near: one rounding, from the exact fraction to a float


@pytest.mark.parametrize(
    "text",
    [
        "",
        " ",
        "mm",
        "36",
        "36 1/2",
        "36 parsecs",
        "tall",
        "1 in 2 ft",
        "1 m 20 cm",
        "1 ft 2 ft",
        "1 ft 2 in 3 in",
        "1/0 in",
        "1 1/0 in",
        "1e3 mm",
        "nan mm",
        "inf mm",
        "1,000 mm",
        "1..5 mm",
        "12 6 1/2 in",
        "--5 mm",
        "1 ft -6 in",
        "5 mmx",
        "5 m m",
        "9" * 5000 + " mm",
        "9" * 400 + " mm",
        36,
        36.0,
        True,
        None,
        ["36 in"],
    ],
)
def test_what_is_no_length_is_refused(text: object) -> None:
    with pytest.raises(LengthError, match=r"^expected "):
        parse_length(text)


@pytest.mark.parametrize("text", ["36", 36])
def test_a_number_without_unit_is_shown_with_one(text: object) -> None:
    with pytest.raises(LengthError, match="'36 mm'"):
        parse_length(text)


@given(st.text(max_size=30))
def test_any_text_is_a_length_or_a_length_error(text: str) -> None:
    with suppress(LengthError):
        assert isinstance(parse_length(text), float)


@given(st.integers(-40_000, 40_000))
def test_sixteenths_come_back(sixteenths: int) -> None:
    mm = float(sixteenths * INCH / 16)
    assert parse_length(inch_text(mm)) == pytest.approx(mm, abs=1e-9)


@given(st.floats(-50_000, 50_000))
def test_reports_round_to_the_nearest_step(mm: float) -> None:
    assert abs(parse_length(inch_text(mm)) - mm) <= float(INCH / 32) + 1e-9  # half of 1/16 in
    assert abs(float(mm_text(mm)) - mm) <= 0.05 + 1e-9  # half of 0.1 mm
    assert mm_text(mm) != "-0"


@pytest.mark.parametrize(
    ("mm", "shown"),
    [(0.0, '0"'), (float(42 * INCH + INCH * 3 / 8), '42 3/8"'), (float(INCH / 2), '1/2"'), (float(-INCH), '-1"')],
)
def test_inches_in_lowest_terms(mm: float, shown: str) -> None:
    assert inch_text(mm) == shown  # 6/16 is written 3/8: fractions in lowest terms, as on a tape


def test_half_a_sixteenth_goes_to_the_even_one() -> None:
    assert [inch_text(float(n * INCH / 32)) for n in (1, 3, 5)] == ['0"', '1/8"', '1/8"']  # 0, 2 and 2 sixteenths


def test_millimetres_drop_a_trailing_zero() -> None:
    assert [mm_text(v) for v in (1000.0, 1000.04, 1010.1429, -0.01)] == ["1000", "1000", "1010.1", "0"]


def test_points() -> None:
    # ISO 32000-1 8.3.2.3: 72 units to the inch; a page-writing library has the same factor
    assert pytest.approx(float(INCH), abs=1e-12) == MM_PER_PT * 72
    assert pytest.approx(witness.mm, abs=1e-12) == PT_PER_MM
