"""Faulty client files end in a fault or are read and say so; they are never changed and never hang the parent."""

import hashlib
import struct
import time
from collections.abc import Callable
from pathlib import Path

import bad_art
import pytest

from artgen.art import FileFacts, FileFault, read, reading


def facts_of(file: Path) -> FileFacts:
    found = read(file)
    assert isinstance(found, FileFacts), found
    return found


def fault_of(file: Path) -> FileFault:
    found = read(file)
    assert isinstance(found, FileFault), found
    return found


@pytest.mark.parametrize(
    ("make", "kind", "format", "said"),
    [
        (bad_art.empty, "empty", None, "0 bytes"),
        (bad_art.cut_pdf, "damaged", "pdf", "Send it again"),
        (bad_art.locked_pdf, "locked", "pdf", "password"),
        (bad_art.huge_png, "over-limit", "png", "50,000 × 50,000 = 2,500 megapixels; the limit is 1,000 megapixels"),
        (bad_art.entity_bomb_svg, "over-limit", "svg", "entity"),
        (bad_art.docx, "unsupported", None, "text document (DOCX)"),
        (bad_art.endless_tree_pdf, "damaged", "pdf", ""),
    ],
)
def test_faults(tmp_path: Path, make: Callable[[Path], Path], kind: str, format: str | None, said: str) -> None:
    file = make(tmp_path)
    before = hashlib.sha256(file.read_bytes()).hexdigest()
    fault = fault_of(file)
    assert (fault.kind, fault.format) == (kind, format), fault
    assert said in fault.detail
    assert str(tmp_path) not in fault.detail
    assert hashlib.sha256(file.read_bytes()).hexdigest() == before
    assert [path.name for path in tmp_path.iterdir()] == [file.name]


@pytest.mark.parametrize("format", ["JPEG", "PNG", "TIFF", "WebP"])
def test_cut_images_are_damaged(tmp_path: Path, format: str) -> None:
    fault = fault_of(bad_art.cut_image(tmp_path, format))
    assert (fault.kind, fault.format) == ("damaged", format.lower())


def test_an_image_of_a_million_pixels_a_side_is_over_the_limit(tmp_path: Path) -> None:
    """Without a resolution a pixel counts as 1 mm, and no page is longer than 1 km."""
    (tmp_path / "a.png").write_bytes(bad_art.png(1_000_001, 1, bytes(1_000_001)))
    fault = fault_of(tmp_path / "a.png")
    assert (fault.kind, fault.format) == ("over-limit", "png")
    (tmp_path / "a.png").write_bytes(bad_art.png(1_000_000, 1, bytes(1_000_000)))
    assert facts_of(tmp_path / "a.png").pages[0].pixels == (1_000_000, 1)


def test_offsets_past_every_file_are_damage(tmp_path: Path) -> None:
    """A BigTIFF whose directory stands at byte 2⁶³ + 8, where no file reaches: BigTIFF has offsets of 64 bits."""
    (tmp_path / "a.tif").write_bytes(b"II+\0" + struct.pack("<HHQ", 8, 0, (1 << 63) + 8) + bytes(40))
    fault = fault_of(tmp_path / "a.tif")
    assert (fault.kind, fault.format) == ("damaged", "tiff")
    assert "header" in fault.detail


def test_a_png_named_pdf_is_read_by_its_content(tmp_path: Path) -> None:
    facts = facts_of(bad_art.misnamed_png(tmp_path))
    assert (facts.format, facts.named) == ("png", "pdf")
    # 254 pixels an inch = 10 pixels a mm
    assert facts.pages[0].width == pytest.approx(40 / 10)
    assert facts.pages[0].height == pytest.approx(30 / 10)


def test_a_name_with_spaces_and_umlauts(tmp_path: Path) -> None:
    facts = facts_of(bad_art.odd_name(tmp_path))
    assert facts.named is None
    assert [word.text for word in facts.pages[0].words] == ["Peat"]


def test_a_password_for_changes_alone_does_not_lock(tmp_path: Path) -> None:
    assert [word.text for word in facts_of(bad_art.owner_locked_pdf(tmp_path)).pages[0].words] == ["Peat"]


def test_a_rebuilt_table_is_said(tmp_path: Path) -> None:
    facts = facts_of(bad_art.broken_xref_pdf(tmp_path))
    assert [word.text for word in facts.pages[0].words] == ["Peat"]
    assert facts.repaired
    assert not any(str(tmp_path) in line for line in facts.repaired)


def test_a_stream_that_unfolds_without_end(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(reading, "SECONDS", 1.5)
    file = bad_art.bomb_pdf(tmp_path)
    assert file.stat().st_size < 20_000
    start = time.monotonic()
    assert fault_of(file).kind in ("over-limit", "damaged")  # by time, or by pdfium's abort when memory runs out
    assert time.monotonic() - start < 15


@pytest.mark.slow
def test_a_million_pages(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(reading, "SECONDS", 1.5)
    file = bad_art.many_pages_pdf(tmp_path)
    assert file.stat().st_size < 20_000_000
    start = time.monotonic()
    assert fault_of(file).kind == "over-limit"
    assert time.monotonic() - start < 15


def test_outside_references_are_cut_and_listed(tmp_path: Path) -> None:
    facts = facts_of(bad_art.outside_svg(tmp_path))
    assert set(facts.blocked) == {
        "entity secret: file:///etc/passwd",
        "http://art.test/style.css",
        "photo.jpg",
        "other.svg#paint",
        "symbols.svg#leaf",
    }
    assert [word.text for word in facts.pages[0].words] == ["Peat"]
    assert facts.stand_in_fonts == ("Arial",)


def test_a_missing_file_is_an_os_error(tmp_path: Path) -> None:
    with pytest.raises(FileNotFoundError):
        read(tmp_path / "none.pdf")
