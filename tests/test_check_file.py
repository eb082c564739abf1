"""`artgen check FILE` without an order, through the program itself."""

import json
import subprocess
import sys
from pathlib import Path

import art_made
import jsonschema
import pytest
import quick
from art_made import Lettering

ARTGEN = Path(sys.executable).with_name("artgen")
SCHEMA = json.loads((Path(__file__).parents[1] / "docs" / "check.schema.json").read_text(encoding="utf-8"))
ART = (676.0, 576.0)  # of a frame of 600 × 500: 588 × 488 shows, and 44 a side
SIZE = ("--width", "600 mm", "--height", "500 mm")


def artgen(*args: object, folder: Path) -> subprocess.CompletedProcess[str]:
    env = quick.environment(PYTHONWARNINGS="error")
    return subprocess.run(
        [str(ARTGEN), *map(str, args)], capture_output=True, text=True, env=env, timeout=120, cwd=folder
    )


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "sent" / "front v3.pdf"
    art_made.pdf(path, ART, [Lettering("forest", 20, 250, 60)], (0, 0, *ART))
    return path


def test_the_same_findings_as_with_an_order(file: Path, tmp_path: Path) -> None:
    alone = artgen("check", file, *SIZE, "--json", "-", "--html", "page.html", folder=tmp_path)
    assert alone.returncode == 1 and alone.stderr == ""
    data = json.loads(alone.stdout)
    jsonschema.Draft202012Validator(SCHEMA).validate(data)
    order = tmp_path / "order"
    (order / "art").mkdir(parents=True)
    (order / "art" / file.name).write_bytes(file.read_bytes())
    (order / "order.toml").write_text(
        'schema = 1\nname = "front v3"\n[[structure]]\nname = "front v3"\nkind = "wall"\nwidth = "600 mm"\nheight = "500 mm"\n'
        f'[[art]]\npanel = 1\nfile = "{file.name}"\n'
    )
    ordered = json.loads(artgen("check", order, "--json", "-", folder=tmp_path).stdout)
    assert data["findings"] and any(one["rule"] == "text-in-tuck" for one in data["findings"])
    assert data["findings"] == ordered["findings"] and data["not_examined"] == ordered["not_examined"]
    assert "600 × 500 mm" in " ".join(data["assumed"]) and "assumed" not in ordered
    text = artgen("check", file, *SIZE, folder=tmp_path).stdout
    assert "Assumed" in text and "frame profile standard" in text
    assert "Assumed" in (tmp_path / "page.html").read_text(encoding="utf-8")


def test_other_profiles_give_other_zones(file: Path, tmp_path: Path) -> None:
    """The slim frame has its own setback: the page that fits the standard one no longer fits."""
    named = ("--frame", "slim", "--strip", "edge-10", "--fabric", "light-knit")
    data = json.loads(artgen("check", file, *SIZE, *named, "--json", "-", folder=tmp_path).stdout)
    assert any(one["rule"] == "page-wrong-size" for one in data["findings"])
    assert "frame profile slim" in " ".join(data["assumed"]) and "fabric light-knit" in " ".join(data["assumed"])


def test_it_is_this_file_and_no_other(file: Path, tmp_path: Path) -> None:
    """A folder art/ beside it holds a file of the same name, and one that calls itself panel 1."""
    art_made.pdf(file.parent / "art" / file.name, (600, 500), ground=(0, 0, 600, 500))
    art_made.pdf(file.parent / "art" / "panel-1.pdf", (600, 500), ground=(0, 0, 600, 500))
    found = json.loads(artgen("check", file.name, *SIZE, "--json", "-", folder=file.parent).stdout)["findings"]
    assert [one["rule"] for one in found] == ["text-in-tuck"]
    # a link that the user names is followed: it is no client's
    (tmp_path / "link.pdf").symlink_to(file)
    linked = json.loads(artgen("check", "link.pdf", *SIZE, "--json", "-", folder=tmp_path).stdout)["findings"]
    assert [one["rule"] for one in linked] == ["text-in-tuck"]


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (("FILE",), ["--width", "--height"]),
        (("FILE", "--width", "600 mm"), ["--height: is missing"]),
        (("FILE", "--frame", "slim"), ["--width: is missing", "--height: is missing"]),
        (("FILE", "--width", "wide", "--height", "500"), ["--width: expected a length", "--height: expected a length"]),
        (("FILE", *SIZE, "--frame", "slimm"), ["--frame: no frame profile named 'slimm'; did you mean 'slim'?"]),
        (("none.pdf", *SIZE), ["none.pdf: there is no such file"]),
        ((".", *SIZE), ["is a folder"]),
        (("FILE", *SIZE, "--panel", "2"), ["no panel 2"]),
        (("FILE", *SIZE, "--for", "nobody"), ["nobody"]),
    ],
)
def test_what_is_wrong_is_said_with_its_option(
    file: Path, tmp_path: Path, args: tuple[str, ...], said: list[str]
) -> None:
    done = artgen("check", *[file if arg == "FILE" else arg for arg in args], folder=tmp_path)
    assert done.returncode == 2 and done.stdout == ""
    for part in said:
        assert part in done.stderr


def test_a_damaged_file_is_a_finding(tmp_path: Path) -> None:
    (tmp_path / "cut.pdf").write_bytes(b"%PDF-1.7 and no more")
    done = artgen("check", "cut.pdf", *SIZE, "--html", "page.html", folder=tmp_path)
    assert done.returncode == 1 and "file-damaged" in done.stdout
    assert (tmp_path / "page.html").stat().st_size > 10_000
