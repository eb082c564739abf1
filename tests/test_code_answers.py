"""What a child says of codes and of images' detail is checked like foreign data."""

import math

import pytest

from artgen.art.answers import checked_details
from artgen.art.codes import MOST, MOST_TEXT, _checked
from artgen.art.facts import FileFault

GOOD = ["QRCode", "moss", [0, 0, 10, 0, 10, 10, 0, 10], 3]


def test_what_makes_sense_is_taken() -> None:
    ((code,),) = _checked([[GOOD]], 1)
    assert (code.format, code.text, code.version, code.quad[2]) == ("QRCode", "moss", 3, (10.0, 10.0))
    assert checked_details({"details": [[300, 200, 0.5], [100, 100, None]]}) == {(300, 200): 0.5, (100, 100): None}


@pytest.mark.parametrize(
    "answer",
    [
        None,
        {},
        [],
        [[GOOD], [GOOD]],
        [["QRCode"]],
        [[["QRCode", 5, GOOD[2], 3]]],
        [[["QRCode", "x", [0] * 7, 3]]],
        [[["QRCode", "x", [math.nan] * 8, 3]]],
        [[["QRCode", "x", [1e9] * 8, 3]]],
        [[["QRCode", "x" * (MOST_TEXT + 1), GOOD[2], 3]]],
        [[["Q" * 41, "x", GOOD[2], 3]]],
        [[["QRCode", "x", GOOD[2], "3"]]],
    ],
)
def test_nonsense_about_codes_is_refused(answer: object) -> None:
    with pytest.raises((ValueError, TypeError)):
        _checked(answer, 1)


def test_too_many_codes_and_odd_versions_are_cut() -> None:
    (codes,) = _checked([[["QRCode", "x", GOOD[2], 99]] * (MOST + 5)], 1)
    assert len(codes) == MOST
    assert {code.version for code in codes} == {0}


@pytest.mark.parametrize(
    "answer",
    [None, [], {}, {"details": 5}, {"details": [[1, 2]]}, {"details": [[1, 2, 3.0]]}, {"details": [[0, 2, 0.5]]},
     {"details": [["1", 2, 0.5]]}, {"details": [[1, 2, math.nan]]}, {"facts": {}}, {"fault": 3}],
)  # fmt: skip
def test_nonsense_about_detail_is_refused(answer: object) -> None:
    assert isinstance(checked_details(answer), FileFault)


def test_short_barcodes_are_left_out() -> None:
    """Stripes read as a few signs now and then."""
    assert _checked([[["Code39", "A1", GOOD[2], 0], ["Code39", "A1B2", GOOD[2], 0]]], 1)[0][0].text == "A1B2"
