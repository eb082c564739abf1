"""Only the readers of our formats are used, in whatever way the file asks for another: the rest of libvips's are shut."""

from collections.abc import Callable
from pathlib import Path

import bad_art
import pytest
import pyvips
from PIL import Image

from artgen.art import FileFacts, FileFault, read
from artgen.art.loaders import opened

FORMATS = {"tiff": "TIFF", "jpeg": "JPEG", "png": "PNG", "webp": "WEBP"}


def others(folder: Path) -> dict[str, Path]:
    """Files of kinds that libvips reads and we don't."""
    picture = Image.new("RGB", (8, 6), (9, 99, 9))
    texts = {
        "a.csv": "1,2,3\n4,5,6\n",
        "a.mat": "2 2\n1 2\n3 4\n",
        "a.svg": '<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"/>',
    }
    found = {}
    for name, text in texts.items():
        (folder / name).write_text(text)
        found[name] = folder / name
    picture.save(folder / "a.gif")
    pyvips.Image.black(8, 6).vipssave(str(folder / "a.v"))
    return found | {"a.gif": folder / "a.gif", "a.v": folder / "a.v"}


def test_libvips_reads_nothing_but_our_formats(tmp_path: Path) -> None:
    """Not even where it is asked to find the reader itself, or for one by its name."""
    loads: dict[str, Callable[[str], pyvips.Image]] = {
        "a.csv": pyvips.Image.csvload,
        "a.mat": pyvips.Image.matrixload,
        "a.svg": pyvips.Image.svgload,
        "a.gif": pyvips.Image.gifload,
        "a.v": pyvips.Image.vipsload,
    }
    for name, file in others(tmp_path).items():
        for load in (pyvips.Image.new_from_file, loads[name]):
            with pytest.raises(pyvips.Error):
                load(str(file)).avg()
    for format, name in FORMATS.items():
        Image.new("RGB", (8, 6)).save(tmp_path / "b", name)
        assert opened(tmp_path / "b", format).width == 8


@pytest.mark.parametrize("format", FORMATS)
def test_a_format_is_read_as_that_and_as_no_other(tmp_path: Path, format: str) -> None:
    Image.new("RGB", (8, 6)).save(tmp_path / "a", FORMATS[format])
    for other in FORMATS:
        if other != format:
            with pytest.raises(pyvips.Error):
                opened(tmp_path / "a", other).avg()


@pytest.mark.parametrize("name", ["panel-1.png", "panel-1.svg", "panel-1.v", "panel-1.csv", "panel-1.mat", "panel-1"])
def test_content_counts_and_not_the_name(tmp_path: Path, name: str) -> None:
    (tmp_path / name).write_bytes(bad_art.clean_pdf())
    facts = read(tmp_path / name)
    assert isinstance(facts, FileFacts) and facts.format == "pdf"
    Image.new("RGB", (8, 6)).save(tmp_path / name, "JPEG")
    facts = read(tmp_path / name)
    assert isinstance(facts, FileFacts) and facts.format == "jpeg"


@pytest.mark.parametrize("name", ["panel 1 [2]", "panel-1[page=3]", "panel-1.png[shrink=8]", "p1.tif[unlimited]"])
def test_brackets_in_a_name_are_a_name(tmp_path: Path, name: str) -> None:
    """libvips takes what stands in them for options of reading."""
    Image.new("RGB", (80, 60)).save(tmp_path / name, "PNG")
    facts = read(tmp_path / name)
    assert isinstance(facts, FileFacts), facts
    assert facts.pages[0].pixels == (80, 60)


@pytest.mark.parametrize("name", ["a.gif", "a.v", "a.csv", "a.mat"])
def test_other_kinds_are_refused_by_content(tmp_path: Path, name: str) -> None:
    fault = read(others(tmp_path)[name].rename(tmp_path / "panel-1.png"))
    assert isinstance(fault, FileFault)
    assert fault.kind == "unsupported"
