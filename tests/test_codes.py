"""QR codes made by segno, and barcodes written out from their standard's table, are found, read back and measured."""

from pathlib import Path

import codes_made
import numpy as np
import pytest
import zoo
from art_made import target_of
from codes_made import MODULES, TEXT, ean13, pdf_with, picture_with, qr
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import array_shapes, arrays

from artgen.art import read
from artgen.art.facts import FileFacts, FileFault
from artgen.placing import Claim, Target, lay
from artgen.survey import Preview, preview
from artgen.survey.codes import Code, _boxes, find_codes
from artgen.survey.sheets import sheet_of

_, TOP = target_of(zoo.BOX, 5)
SIZE = (1076.0, 876.0)


def codes_in(file: Path, target: Target = TOP) -> tuple[Code, ...]:
    facts = read(file)
    assert isinstance(facts, FileFacts), facts
    laid = lay(Claim(target, file.name, 1), facts.pages[0])
    assert laid.fits == "art"
    seen = {panel.number: preview(file, laid, panel) for panel in target.panels}
    assert all(isinstance(one, Preview) for one in seen.values())
    found = find_codes(file, laid, sheet_of(laid, seen))  # type: ignore[arg-type]
    assert isinstance(found, tuple), found
    return found


def the(found: tuple[Code, ...]) -> Code:
    (code,) = found
    return code


def box(code: Code) -> tuple[float, float, float, float]:
    xs, ys = zip(*code.quad, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


@pytest.mark.parametrize("side", [20.0, 35.0, 60.0, 150.0, 600.0])
@pytest.mark.parametrize("scale", [1.0, 10.0])
def test_a_qr_code_reads_back_at_every_size(side: float, scale: float, tmp_path: Path) -> None:
    file = pdf_with(tmp_path / "a.pdf", SIZE, [qr(200, 130, side)], scale)
    code = the(codes_in(file))
    assert (code.format, code.text, code.decodes) == ("QRCode", TEXT, True)
    assert box(code) == pytest.approx((200, 130, 200 + side, 130 + side), abs=max(1.0, side / MODULES / 2))
    assert code.module == pytest.approx(side / MODULES, rel=0.06)
    assert code.needs == pytest.approx((4 * side / MODULES,) * 4, rel=0.06)  # ISO/IEC 18004: 4 modules
    assert code.quiet == pytest.approx(code.needs, abs=0.6 * side / MODULES)


@pytest.mark.parametrize("angle", [12.0, 45.0, 90.0, 180.0])
def test_a_turned_code_reads_back(angle: float, tmp_path: Path) -> None:
    code = the(codes_in(pdf_with(tmp_path / "a.pdf", SIZE, [qr(500, 400, 140, angle=angle)])))
    assert (code.text, code.decodes) == (TEXT, True)
    assert min(code.quiet) == pytest.approx(4 * 140 / MODULES, abs=0.6 * 140 / MODULES)


def test_a_raster_s_code_reads_back(tmp_path: Path) -> None:
    code = the(codes_in(picture_with(tmp_path / "a.png", SIZE, [qr(300, 300, 100)], per=2.0)))
    assert (code.text, code.decodes, code.format) == (TEXT, True, "QRCode")


@pytest.mark.parametrize(("quiet", "short"), [(0.0, 4.0), (1.0, 3.0), (2.0, 2.0), (3.0, 1.0), (4.5, 0.0)])
def test_the_quiet_zone_is_measured_in_modules(quiet: float, short: float, tmp_path: Path) -> None:
    code = the(codes_in(pdf_with(tmp_path / "a.pdf", SIZE, [qr(300, 300, 150, quiet=quiet)])))
    for has, needs in zip(code.quiet, code.needs, strict=True):
        assert (needs - has) / code.module == pytest.approx(short, abs=0.55)


def test_a_light_ground_of_the_page_is_quiet_zone_too(tmp_path: Path) -> None:
    code = the(codes_in(pdf_with(tmp_path / "a.pdf", SIZE, [qr(300, 300, 150, quiet=0)], ground=(1, 0.98, 0.9))))
    assert code.quiet == pytest.approx(code.needs)


@pytest.mark.parametrize("width", [60.0, 200.0])
def test_a_barcode_reads_back(width: float, tmp_path: Path) -> None:
    """Check digit by GS1's rule: 4006381333931, 3·(0+6+8+3+3+9)+(4+0+3+1+3+3) = 87+14 = 101, and 101 + … ends in 0 with … 1."""
    digits = "4006381333931"
    assert (sum(int(d) for d in digits[0:12:2]) + 3 * sum(int(d) for d in digits[1:12:2]) + int(digits[12])) % 10 == 0
    code = the(codes_in(pdf_with(tmp_path / "a.pdf", SIZE, [ean13(digits, 300, 300, width, width / 2)])))
    assert (code.format, code.text, code.decodes) == ("EAN13", digits, True)
    assert code.module == pytest.approx(width / 95, rel=0.08)
    assert (code.needs[0], code.needs[2]) == pytest.approx((11 * width / 95, 7 * width / 95), rel=0.08)
    assert code.quiet[0] == pytest.approx(code.needs[0], abs=width / 95)


def test_a_code_whose_middle_is_covered_is_found_and_does_not_decode(tmp_path: Path) -> None:
    code = the(codes_in(picture_with(tmp_path / "a.png", SIZE, [qr(300, 300, 175)], per=1.0, spoil=True)))
    assert (code.format, code.text, code.decodes) == ("QRCode", "", False)
    assert box(code) == pytest.approx((300, 300, 475, 475), abs=5)


def test_several_codes_are_each_found_once(tmp_path: Path) -> None:
    marks = [
        qr(100, 100, 30),
        qr(400, 100, 90),
        qr(700, 500, 200, text="moss"),
        ean13("4006381333931", 100, 500, 250, 120),
    ]
    found = codes_in(pdf_with(tmp_path / "a.pdf", SIZE, marks))
    assert sorted(code.text for code in found) == sorted([TEXT, TEXT, "moss", "4006381333931"])


def test_plain_art_has_none(tmp_path: Path) -> None:
    assert codes_in(pdf_with(tmp_path / "a.pdf", SIZE, [])) == ()


def test_a_code_across_the_corner_of_a_wrap_is_whole_in_the_wrap_s_plane(tmp_path: Path) -> None:
    """Two panels of 1076 and 876 mm at a corner with 12 mm of frame: the wrap is 1076 + 876 − 2·44 + 12 = 1876 wide."""
    _, target = target_of(zoo.BOX, wrap='[[wrap]]\npanels = [1, 2]\nfile = "a.pdf"\n')
    size = (1876.0, 3376.0)
    file = pdf_with(tmp_path / "a.pdf", size, [qr(1032 - 100, 1500, 200)], 10)
    code = the(codes_in(file, target))
    assert (code.text, code.decodes) == (TEXT, True)
    assert box(code) == pytest.approx((932, 1500, 1132, 1700), abs=4)


def test_a_closer_look_that_fails_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A code of 20 mm needs one; without it nobody may say that there is none."""
    fault = FileFault("over-limit", "It was stopped.")
    monkeypatch.setattr("artgen.survey.codes.seen_through", lambda *_: fault)
    file = pdf_with(tmp_path / "a.pdf", SIZE, [qr(200, 130, 20.0)], 10.0)
    facts = read(file)
    assert isinstance(facts, FileFacts)
    laid = lay(Claim(TOP, file.name, 1), facts.pages[0])
    seen = preview(file, laid, TOP.panels[0])
    assert isinstance(seen, Preview)
    assert find_codes(file, laid, sheet_of(laid, {TOP.panels[0].number: seen})) == fault


def test_foreign_text_is_cleaned(tmp_path: Path) -> None:
    code = the(codes_in(pdf_with(tmp_path / "a.pdf", SIZE, [qr(300, 300, 150, text="red\x1b[31m\nmoss")])))
    assert code.text == "red [31m moss"


def test_the_made_codes_have_the_modules_that_the_standard_gives() -> None:
    assert len(codes_made.qr(0, 0, 1).rows) == MODULES


@given(arrays(np.bool_, array_shapes(min_dims=2, max_dims=2, max_side=12)), st.integers(1, 12))
def test_busy_blocks_are_boxed_as_a_plain_flood_boxes_them(busy: np.ndarray, most: int) -> None:
    free = {(int(y), int(x)) for y, x in np.argwhere(busy)}
    boxes = []
    while free:
        piece = [free.pop()]
        for y, x in piece:
            near = {(v, u) for v, u in free if max(abs(v - y), abs(u - x)) <= 2}
            free -= near
            piece += near
        ys, xs = zip(*piece, strict=True)
        boxes.append((min(ys), min(xs), max(ys) + 1, max(xs) + 1))
    expected = [box for box in boxes if max(box[2] - box[0], box[3] - box[1]) <= most]
    assert sorted(_boxes(busy, most)) == sorted(expected)
