"""Readings to a fabric profile, and the sheets. Expected values: (measured − printed) / printed, after ISO 5077; length ×
0.5 / reading for what a reading of half a millimetre can spoil; page sizes read back by pdfplumber."""

import tomllib
from pathlib import Path

import attrs
import pdfplumber
import pytest
from click.testing import CliRunner, Result
from hypothesis import given
from hypothesis import strategies as st

from artgen import profiles
from artgen.calibration import READING_ERROR, SIDE, Readings, fabric_toml, panel_error
from artgen.cli import main
from artgen.profiles import Fabric
from artgen.words import words

MM = 72 / 25.4


def artgen(*args: object) -> Result:
    return CliRunner().invoke(main, [str(arg) for arg in args])


def readings(across: tuple[str, ...] = ("988.5 mm",), along: tuple[str, ...] = ("991 mm",)) -> list[str]:
    return [part for flag, texts in (("--across", across), ("--along", along)) for t in texts for part in (flag, t)]


def test_measured_change_in_a_profile_that_is_read_back(tmp_path: Path) -> None:
    file = tmp_path / "lot-17.toml"
    given_ = readings(("988.5 mm", "988 mm", "988.4 mm"), ("991 mm", "39 in"))
    result = artgen("calibrate", *given_, "--lot", '17 "blue"', "--out", file)
    assert result.exit_code == 0 and result.stdout == ""
    made, base = profiles.read(Fabric, file), profiles.load(Fabric, "display-knit")
    assert made.change_across.share == pytest.approx((988.5 + 988 + 988.4) / 3 / 1000 - 1, abs=5e-7)
    assert made.change_along.share == pytest.approx((991 + 39 * 25.4) / 2 / 1000 - 1, abs=5e-7)
    same = [f.name for f in attrs.fields(Fabric) if f.name not in ("name", "title", "sources")]
    for key in same:
        if not key.startswith("change"):
            assert (getattr(made, key), made.sources[key]) == (getattr(base, key), base.sources[key])
    assert made.title == 'Display knit, may be turned on the roll, measured: 17 "blue"'
    assert "988.5, 988, 988.4" in made.sources["change_across"] and '17 "blue"' in made.sources["change_across"]


@given(st.floats(901, 1099), st.floats(901, 1099))
def test_any_reading_is_read_back(across: float, along: float) -> None:
    made = Readings(SIDE, (across,), (along,))
    text = fabric_toml(profiles.load(Fabric, "light-knit"), made, "", words())
    tables = tomllib.loads(text)
    assert float(tables["change_across"]["value"].rstrip("% ")) / 100 == pytest.approx(across / SIDE - 1, abs=6e-7)
    assert tables["stretch_across"]["value"] == "10 mm"


def test_what_half_a_millimetre_of_reading_spoils() -> None:
    # a panel of 3 m made for a reading of 988, where the truth was 988.5
    read, truth, length = 988.0, 988.5, 3000.0
    printed = length / (1 + (read / SIDE - 1))
    assert panel_error(length, (read,)) == pytest.approx(printed * truth / SIDE - length, abs=1e-9)
    assert truth - read == READING_ERROR
    result = artgen("calibrate", *readings(("988 mm",), ("991 mm",)))
    assert f"3 m ± {3000 * 0.5 / 988:.2f} mm" in result.stderr and f"5 m ± {5000 * 0.5 / 991:.2f} mm" in result.stderr
    assert result.stdout.startswith("title = ")


def test_another_side_and_another_base() -> None:
    result = artgen("calibrate", *readings(("495 mm",), ("497.5 mm",)), "--side", "500 mm", "--fabric", "block-weave")
    assert result.exit_code == 0
    tables = tomllib.loads(result.stdout)
    assert (tables["change_across"]["value"], tables["change_along"]["value"]) == ("-1 %", "-0.5 %")
    assert tables["seam_allowance"]["value"] == "12 mm"  # the base's


def test_readings_that_lie_apart_are_told() -> None:
    assert "Measure again" not in artgen("calibrate", *readings()).stderr
    result = artgen("calibrate", *readings(("985 mm", "990 mm")))
    assert "5 mm apart: measure again" in result.stderr and result.exit_code == 0


@pytest.mark.parametrize(
    ("args", "says"),
    [
        ([], ["--across: expected at least one reading", "--along: expected at least one reading"]),
        (readings(("988",)), ["--across: expected a length with its unit"]),
        (readings(("88 mm",)), ["--across: expected about 1000 mm"]),
        (readings(("-3 mm",)), ["--across: expected a length over 0"]),
        ([*readings(), "--side", "0 mm"], ["--side: expected a length over 0"]),
        ([*readings(), "--fabric", "display-nit"], ["--fabric: no fabric profile", "did you mean 'display-knit'"]),
    ],
)
def test_wrong_readings_are_2_with_every_fault(args: list[str], says: list[str]) -> None:
    result = artgen("calibrate", *args)
    assert (result.exit_code, result.stdout) == (2, "")
    assert all(part in result.stderr for part in says)


def test_the_sheets(tmp_path: Path) -> None:
    assert artgen("calibrate", "--sheets", tmp_path / "a").exit_code == 0
    assert artgen("calibrate", "--sheets", tmp_path / "b").exit_code == 0
    names = ["measuring-sheet.pdf", "test-piece.pdf"]
    assert sorted(path.name for path in (tmp_path / "a").iterdir()) == names
    for name in names:  # same input, same bytes
        assert (tmp_path / "a" / name).read_bytes() == (tmp_path / "b" / name).read_bytes()
    with pdfplumber.open(tmp_path / "a" / "measuring-sheet.pdf") as pdf:
        (page,) = pdf.pages
        text = page.extract_text()
        assert (page.width, page.height) == pytest.approx((210 * MM, 297 * MM), abs=0.01)
    for key in ("setback", "seat_depth", "width", "thickness", "turn_in", "gap", "depth", "reveal", "lamp_bar_width"):
        assert key in text


def test_crosses_stand_as_far_apart_as_they_say(tmp_path: Path) -> None:
    artgen("calibrate", "--sheets", tmp_path)
    with pdfplumber.open(tmp_path / "test-piece.pdf") as pdf:
        page = pdf.pages[0]
        short = [line for line in page.lines if abs(line["x1"] - line["x0"]) + abs(line["bottom"] - line["top"]) < 86]
        level = sorted({round((a["x0"] + a["x1"]) / 2, 2) for a in short if abs(a["bottom"] - a["top"]) < 0.01})
        width = page.width
    # arms of 30 mm whose middles stand 500 mm apart; ISO 3759: 350 mm and more apart, 50 mm and more off the edge
    assert [x / MM for x in level] == pytest.approx([60.0, 560.0, 1060.0], abs=0.02)
    assert width / MM == pytest.approx(1120.0, abs=0.01)
    assert level[-1] / MM - level[0] / MM == pytest.approx(SIDE, abs=0.02)
