"""The command line as people and programs use it: exit codes (0 done, 1 errors found, 2 could not run), what goes to stdout
and what to stderr, files whole or not at all, the same bytes from the same input. Keys and codes are those of the contract
in `docs/formats.md`; numbers are the worked example's.
"""

import csv
import hashlib
import io
import json
import os
import signal
import subprocess
import sys
import time
import tomllib
from pathlib import Path

import art_made
import pikepdf
import pytest
import quick
import zoo
from art_made import Lettering
from click.testing import CliRunner, Result
from PIL import Image

from artgen import __version__
from artgen.cli import COMMANDS, main
from artgen.resources import resource
from artgen.structure.kinds import KINDS

ARTGEN = Path(sys.executable).with_name("artgen")
HEAD = 'schema = 1\nname = "Moor"\n'
WALL = HEAD + '[[structure]]\nname = "wall"\nkind = "wall"\nheight = "500 mm"\nbays = ["600 mm", "600 mm"]\n'
ART = (676.0, 576.0)


def artgen(*args: object) -> Result:
    return CliRunner().invoke(main, [str(arg) for arg in args])


def shell(*args: object, cwd: Path | None = None, **env: str) -> "subprocess.CompletedProcess[bytes]":
    command = [str(ARTGEN), *(str(arg) for arg in args)]
    return subprocess.run(command, capture_output=True, cwd=cwd, env=quick.environment(**env), timeout=120)


@pytest.fixture
def order(tmp_path: Path) -> Path:
    """A wall of two panels with good art."""
    folder = tmp_path / "moor"
    for number in (1, 2):
        art_made.pdf(
            folder / "art" / f"panel-{number}.pdf", ART, [Lettering("peat", 200, 250, 60)], ground=(0, 0, *ART)
        )
    (folder / "order.toml").write_text(WALL, encoding="utf-8")
    return folder


def broken(folder: Path, text: str) -> Path:
    folder.mkdir(exist_ok=True)
    (folder / "order.toml").write_text(text, encoding="utf-8")
    return folder


def files_below(folder: Path) -> dict[str, str]:
    return {
        path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


# exit codes


def test_done_is_0(order: Path, tmp_path: Path) -> None:
    for args in (["size", order], ["template", order, "--as", "svg"], ["check", order], ["proof", order]):
        result = artgen(*args)
        assert result.exit_code == 0, (args, result.output)
    assert artgen("new", tmp_path / "n", "--kind", "box").exit_code == 0
    assert artgen("size", order / "order.toml").exit_code == 0  # the file itself will do
    assert artgen("--version").output == f"artgen, version {__version__}\n"


def test_errors_found_is_1_and_warnings_are_0(order: Path) -> None:
    word = Lettering("peat", 10, 250, 60)  # into the tuck on the left
    art_made.pdf(order / "art" / "panel-1.pdf", ART, [word], ground=(0, 0, *ART))
    for command in ("check", "proof"):
        assert artgen(command, order).exit_code == 1
    word = Lettering("peat", 60, 250, 60)  # shows whole, outside safe
    art_made.pdf(order / "art" / "panel-1.pdf", ART, [word], ground=(0, 0, *ART))
    result = artgen("check", order)
    assert result.exit_code == 0
    assert "text-outside-safe" in result.stdout
    (order / "art" / "panel-1.pdf").unlink()
    assert artgen("check", order).exit_code == 1
    assert artgen("check", order, "--panel", 2).exit_code == 0


@pytest.mark.parametrize("command", ["size", "template", "check", "proof"])
def test_no_order_is_2(command: str, tmp_path: Path) -> None:
    result = artgen(command, tmp_path / "none")
    assert (result.exit_code, result.stdout) == (2, "")
    assert "none: there is no such order" in result.stderr
    result = artgen(command, broken(tmp_path / "b", "schema = 1\nname ="))
    assert (result.exit_code, result.stdout) == (2, "")
    assert "order.toml: not valid TOML" in result.stderr
    assert list((tmp_path / "b").iterdir()) == [tmp_path / "b" / "order.toml"]
    assert artgen(command).exit_code == 2
    assert artgen(command, tmp_path, "--nonsense").exit_code == 2


FIVE = """
schema = 1
name = "Moor"
nmae = "Moor"
[defaults]
fabric = "display-nit"
[[structure]]
name = "tower"
kind = "box"
width = "1000"
depth = "800 mm"
height = "3300 mm"
colour = "green"
[[wrap]]
panels = [1, 1]
file = "a.pdf"
"""


@pytest.mark.parametrize("command", ["size", "template", "check", "proof"])
def test_every_fault_of_an_order_is_named_at_once(command: str, tmp_path: Path) -> None:
    result = artgen(command, broken(tmp_path, FIVE))
    assert (result.exit_code, result.stdout) == (2, "")
    lines = result.stderr.splitlines()
    assert len(lines) == 5, result.stderr
    assert all(line.startswith("order.toml: ") for line in lines)
    for path, hint in (
        ("nmae", "did you mean 'name'?"),
        ("defaults, fabric", "did you mean 'display-knit'?"),
        ("structure 1, width", "unit"),
        ("structure 1, colour", "unknown key"),
        ("wrap 1, panels", "two or more different panels"),
    ):
        (line,) = [line for line in lines if line.startswith(f"order.toml: {path}: ")]
        assert hint in line


def test_faults_that_only_the_geometry_shows_come_together(tmp_path: Path) -> None:
    extra = '[[art]]\npanel = 9\nfile = "a.pdf"\n[[wrap]]\npanels = [1, 8]\nfile = "b.pdf"\n'
    result = artgen("check", broken(tmp_path, WALL + extra))
    assert (result.exit_code, result.stdout) == (2, "")
    assert len(result.stderr.splitlines()) == 2
    assert "panel 9" in result.stderr
    assert "panel 8" in result.stderr


@pytest.mark.parametrize(
    ("args", "says"),
    [
        (["chek", "x"], "did you mean 'check'?"),
        (["new", "x", "--kind", "hungcube"], "did you mean 'hung-cube'?"),
        (["new", "x", "--kind", "box", "--edge", "3 m"], "a box has none; it takes --width, --depth, --height"),
        (["new", "x", "--kind", "box", "--width", "3"], "unit"),
        (["new", "x", "--kind", "box", "--width", "-3 mm"], "over 0"),
        (["new", "x"], "--kind"),
        (["new", "x", "--kind", "column", "--count", "2"], "count: expected 3 to 12 sides, got 2"),
        (["new", "x", "--kind", "column", "--count", "six"], "--count: expected a whole number"),
        (["new", "x", "--kind", "run", "--length", "2 m", "--length", "1 m"], "one at each post, got 0"),
        (["new", "x", "--kind", "run", "--length", "2 m", "--angle", "left"], "--angle: expected degrees"),
        (["new", "x", "--kind", "custom", "--width", "3 m"], "a custom has none; its shape is written into the order"),
        (["template", "x", "--scale", "1:7"], "1:8"),
        (["template", "x", "--as", "jpg"], "svg, pdf, png"),
        (["template", "x", "--as", ","], "svg, pdf, png"),
        (["check", "x", "--panel", "two"], "--panel"),
    ],
)
def test_what_can_not_run_is_2_with_a_way_on(
    args: list[str], says: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    broken(Path("x2"), WALL)
    result = artgen(*args)
    assert (result.exit_code, result.stdout) == (2, "")
    assert says in result.stderr
    assert [path.name for path in Path().iterdir()] == ["x2"]


def test_a_panel_that_is_not_there(order: Path) -> None:
    result = artgen("check", order, "--panel", 7)
    assert (result.exit_code, result.stdout) == (2, "")
    assert "no panel 7" in result.stderr


# what goes where


def test_a_dash_writes_json_alone_to_stdout(order: Path) -> None:
    for command, top in (("size", "structures"), ("check", "findings")):
        done = shell(command, order, "--json", "-")
        assert done.returncode == 0
        table = json.loads(done.stdout)
        assert table["schema"] == 1
        assert top in table
        assert done.stderr == b""
        told = artgen(command, order, "--json", order / "out.json")
        assert json.loads((order / "out.json").read_text(encoding="utf-8")) == table
        assert told.stdout != ""  # the table for people is still shown
    done = shell("size", order, "--csv", "-")
    assert len(list(csv.DictReader(io.StringIO(done.stdout.decode())))) == 2


def test_size_json_holds_nets_and_keep_outs(tmp_path: Path) -> None:
    body = (
        zoo.BOX
        + '[[structure.panel]]\npanel = 1\nkeep_out = [{at = ["0 mm", "0 mm"], size = ["1 m", "2 m"], name = "door"}]\n'
    )
    (structure,) = json.loads(artgen("size", broken(tmp_path, HEAD + body), "--json", "-").stdout)["structures"]
    (door,) = structure["panels"][0]["keep_out"]
    assert (door["name"], door["hole"], len(door["polygon"])) == ("door", False, 4)
    assert structure["net"]["whole"] is True
    assert [p["number"] for p in structure["net"]["panels"]] == [1, 2, 3, 4, 5, 6]
    assert sorted(j["panels"] for j in structure["net"]["joined"]) == [[1, 2], [1, 5], [1, 6], [2, 3], [3, 4]]
    assert structure["by_sight"][-2:] == [5, 6]


def test_new_writes_sizes_as_they_were_given(tmp_path: Path) -> None:
    args = ["--length", "6' 6 3/4\"", "--length", "1.20 m", "--angle", "-45.50", "--height", "98in"]
    assert artgen("new", tmp_path / "n", "--kind", "run", *args).exit_code == 0
    (made,) = tomllib.loads((tmp_path / "n" / "order.toml").read_text(encoding="utf-8"))["structure"]
    assert (made["lengths"], made["angles"], made["height"]) == (["6' 6 3/4\"", "1.20 m"], [-45.5], "98in")


def test_size_json_holds_all_that_the_contract_names(tmp_path: Path) -> None:
    table = json.loads(artgen("size", broken(tmp_path, HEAD + zoo.BOX), "--json", "-").stdout)
    (structure,) = table["structures"]
    assert {"name", "kind", "overall_mm", "standing_mm", "panels"} <= set(structure)
    assert structure["overall_mm"] == [1000, 800, 3300]
    panel_keys = (
        "number face bay frame_mm visible_mm finished_mm cut_mm art_mm sewn_mm printed_cut_mm print_sheet_mm print_factor "
        "upright_deg visible_outline cut_outline edges drops seams shadows turned sight"
    )
    edge_keys = "from to neighbour reveal_mm setback_mm allowance_mm strip_mm"
    for panel in structure["panels"]:
        assert set(panel_keys.split()) <= set(panel)
        assert panel["drops"]
        for edge in panel["edges"]:
            assert set(edge_keys.split()) <= set(edge)
            for met in edge["neighbour"]:
                assert {"panel", "edge", "from_mm", "to_mm"} <= set(met)
        for drop in panel["drops"]:
            assert {"number", "axis", "from_mm", "to_mm", "sheet_mm"} <= set(drop)
            assert isinstance(drop["number"], str)
        assert set(panel["sight"]) == {"height_mm", "tilt_deg", "seen"}
    front = structure["panels"][0]
    assert (front["number"], front["face"], front["bay"], front["upright_deg"]) == (1, "front", [1, 1], 0)
    # the worked example
    for key, expected in (
        ("frame_mm", (1000, 3300)),
        ("visible_mm", (988, 3288)),
        ("finished_mm", (1018, 3318)),
        ("cut_mm", (1026, 3326)),
        ("art_mm", (1076, 3376)),
        ("sewn_mm", (1010.1429, 3304.8924)),
        ("printed_cut_mm", (1030.5090, 3342.9792)),
        ("print_sheet_mm", (1080.7287, 3393.2345)),
    ):
        assert front[key] == pytest.approx(expected, abs=6e-5), key
    assert front["print_factor"] == pytest.approx((1.004395, 1.005105), abs=6e-7)
    assert sum(edge["strip_mm"] for edge in front["edges"]) == pytest.approx(8486.1183, abs=6e-5)


def test_seams_and_drops_in_json(tmp_path: Path) -> None:
    """Worked example: two balanced drops of 2859.940 on cloth that may not be turned."""
    wide = zoo.WALL.replace("3000", "5600") + 'fabric = "brushed-knit"\n'
    table = json.loads(artgen("size", broken(tmp_path, HEAD + wide), "--json", "-").stdout)
    (panel,) = table["structures"][0]["panels"]
    assert [drop["number"] for drop in panel["drops"]] == ["1a", "1b"]
    assert [drop["sheet_mm"][0] for drop in panel["drops"]] == pytest.approx([2859.940] * 2, abs=6e-4)
    (seam,) = panel["seams"]
    assert (seam["axis"], seam["at_mm"]) == ("x", 25 + 5626 / 2)
    low, high = seam["range_mm"]
    assert low < seam["at_mm"] < high


def test_csv_has_a_row_a_drop(tmp_path: Path) -> None:
    wide = zoo.WALL.replace("3000", "5600") + 'fabric = "brushed-knit"\n'
    artgen("size", broken(tmp_path, HEAD + zoo.BOX + wide), "--csv", tmp_path / "out.csv")
    rows = list(csv.DictReader((tmp_path / "out.csv").read_text(encoding="utf-8").splitlines()))
    assert [row["drop"] for row in rows] == ["1", "2", "3", "4", "5", "6", "7a", "7b"]
    assert float(rows[0]["art_width_mm"]) == pytest.approx(1076)
    assert float(rows[0]["print_sheet_height_mm"]) == pytest.approx(3393.2345, abs=6e-5)
    assert {row["turned"] for row in rows} <= {"true", "false"}


def test_check_json_has_the_contract_s_keys(order: Path) -> None:
    word = Lettering("peat", 10, 250, 60)
    art_made.pdf(order / "art" / "panel-1.pdf", ART, [word], ground=(0, 0, *ART))
    (order / "art" / "notes.txt").write_text("peat", encoding="utf-8")
    done = shell("check", order, "--json", "-")
    assert done.returncode == 1
    table = json.loads(done.stdout)
    assert set(table) == {"schema", "findings", "not_examined"}
    keys = {"rule", "severity", "audience", "panel", "file", "page", "where_mm", "message", "advice", "evidence"}
    assert all(set(finding) == keys for finding in table["findings"])
    assert all(set(one) == {"what", "why"} for one in table["not_examined"])
    assert table["not_examined"]
    tuck = table["findings"][0]
    assert (tuck["rule"], tuck["severity"], tuck["audience"], tuck["panel"]) == ("text-in-tuck", "error", "client", 1)
    assert (tuck["file"], tuck["page"]) == ("panel-1.pdf", 1)
    assert "peat" in tuck["message"]
    assert "mm right" in tuck["advice"]
    assert "{" not in tuck["message"] + tuck["advice"]
    assert table["findings"][-1]["rule"] == "art-extra"


# new


@pytest.mark.parametrize("kind", KINDS)
def test_new_writes_an_order_that_works_as_it_is(kind: str, tmp_path: Path) -> None:
    folder = tmp_path / 'moor "A" \\ 1'
    assert artgen("new", folder, "--kind", kind).exit_code == 0
    assert sorted(path.name for path in folder.iterdir()) == ["art", "order.toml"]
    text = (folder / "order.toml").read_text(encoding="utf-8")
    assert text.count("#") > 10  # commented
    assert tomllib.loads(text)["name"] == folder.name
    table = json.loads(artgen("size", folder, "--json", "-").stdout)
    assert table["structures"][0]["kind"] == kind
    assert artgen("check", folder).exit_code == 1  # no art yet
    before = files_below(folder)
    again = artgen("new", folder, "--kind", kind)
    assert again.exit_code == 2
    assert "not written over" in again.stderr
    assert files_below(folder) == before


@pytest.mark.parametrize(
    ("args", "overall"),
    [
        (["--kind", "box", "--width", "36in", "--depth", "2' 6\"", "--height", "3.66 m"], [914.4, 762, 3660]),
        (["--kind", "wall", "--width", "5600 mm", "--height", "2500 mm"], [5600, 100, 2500]),
        (["--kind", "hung-cube", "--edge", "1500 mm"], [2449.490, 2121.320, 2598.076]),
        (["--kind", "column", "--count", "4", "--width", "2 ft", "--height", "8 ft"], [609.6, 609.6, 2438.4]),
        (
            ["--kind", "run", "--length", "2 m", "--length", "1 m", "--angle", "90", "--height", "2 m"],
            [2000, 1000, 2000],
        ),
        (
            # to the left by 90°, then to the right: 2 m, 1 m away, 500 mm on
            [
                "--kind",
                "run",
                "--length",
                "2 m",
                "--length",
                "1 m",
                "--length",
                "500 mm",
                "--angle",
                "90",
                "--angle",
                "-90",
            ],
            [2500, 1100, 2400],  # and the last one's frame stands 100 mm deep behind its front
        ),
        (["--kind", "run", "--length", "3 m"], [3000, 100, 2400]),
        # 3 : 4 : 5 with the right angle between the first two sides; the others are atan(3/4) and atan(4/3)
        (
            [
                "--kind",
                "column",
                "--width",
                "3m",
                "--width",
                "4m",
                "--width",
                "5m",
                "--angle",
                "90",
                "--angle",
                "36.87",
                "--angle",
                "53.13",
                "--height",
                "2m",
            ],
            [3000, 4000, 2000],
        ),
    ],
)
def test_new_takes_sizes(args: list[str], overall: list[float], tmp_path: Path) -> None:
    """A cube of edge a on its tip: a √3 high, its hexagon from above a √8/√3 across its vertices, a √2 across its sides."""
    assert artgen("new", tmp_path / "n", *args).exit_code == 0
    table = json.loads(artgen("size", tmp_path / "n", "--json", "-").stdout)
    found = table["structures"][0]["overall_mm"]
    if "hung-cube" in args:
        assert sorted(found[:2]) == pytest.approx(sorted(overall[:2]), abs=6e-4)
        assert found[2] == pytest.approx(overall[2], abs=6e-4)
    else:
        assert found == pytest.approx(overall)


@pytest.mark.parametrize(
    ("args", "told"),
    [
        ("--kind box --width 1m --width 2m", "box is not given by --width (2 times); it takes --width, --depth"),
        ("--kind column --count 3 --width 1m --width 2m", "it takes --count, --width, --height; or --width repeated"),
        ("--kind column --count 3 --angle 60", "by --count and --angle; it takes"),
        ("--kind wall --angle 60", "--angle: a wall has none; it takes --width, --height"),
        ("--kind custom --width 1m", "--width: a custom has none; its shape is written into the order"),
        ("--kind column --width 1m --width 1m --width 1m", "angles: expected as many angles as widths (3), got 0"),
        ("--kind column --width 1m --width 1m --width 1m --angle 60 --angle 60 --angle 50", "the sides don't close"),
        ("--kind column --angle x", "--angle: expected degrees, such as 90 or -45.5, got 'x'"),
    ],
)
def test_new_says_which_flags_go_together(args: str, told: str, tmp_path: Path) -> None:
    result = artgen("new", tmp_path / "n", *args.split())
    assert result.exit_code == 2
    assert told in result.stderr
    assert not (tmp_path / "n").exists()


# templates


def test_templates_in_every_format(order: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    result = artgen("template", order, "--as", "svg, PDF,png", "--scale", "1:4", "--out", out)
    assert result.exit_code == 0
    panels = [f"panel-{n}.{k}" for n in (1, 2) for k in ("pdf", "png", "svg")]
    assert sorted(path.name for path in out.iterdir()) == ["index.html", "net.pdf", *panels, "previews", "spec.pdf"]
    with pikepdf.open(out / "panel-1.pdf") as pdf:
        box = [float(v) for v in pdf.pages[0].obj["/MediaBox"]]
    assert [v * 25.4 / 72 for v in box[2:]] == pytest.approx([676 / 4, 576 / 4], abs=0.01)  # ISO 32000-1 8.3.2.3
    assert 'width="169' in (out / "panel-1.svg").read_text(encoding="utf-8")
    with Image.open(out / "panel-1.png") as picture:
        assert picture.width / picture.height == pytest.approx(676 / 576, rel=0.01)
    assert not (order / "templates").exists()
    artgen("template", order, "--as", "svg")
    assert sorted(path.name for path in (order / "templates").glob("panel-*")) == ["panel-1.svg", "panel-2.svg"]


def test_a_template_sent_back_is_taken_for_its_panel(order: Path) -> None:
    """A template file keeps the panel's number in its name, and its page is the art size."""
    for file in (order / "art").iterdir():
        file.unlink()
    artgen("template", order, "--as", "pdf", "--out", order / "art")
    found = json.loads(artgen("check", order, "--json", "-").stdout)["findings"]
    assert not {f["rule"] for f in found} & {"art-missing", "page-wrong-size", "page-turned"}


# what goes wrong outside


def test_an_output_that_can_not_be_written(order: Path, tmp_path: Path) -> None:
    """The way to it leads through a file (which stops even a user who may write anywhere)."""
    (tmp_path / "file").write_text("peat", encoding="utf-8")
    below = tmp_path / "file" / "x"
    for args in (
        ["template", order, "--out", below],
        ["proof", order, "--out", below],
        ["size", order, "--json", below],
        ["size", order, "--csv", below],
        ["check", order, "--json", below],
        ["new", below, "--kind", "box"],
    ):
        before = files_below(tmp_path)
        result = artgen(*args)
        assert (result.exit_code, result.stdout) == (2, ""), args
        assert "could not be written" in result.stderr
        assert "Traceback" not in result.stderr
        assert files_below(tmp_path) == before


def test_nothing_is_left_half_written(order: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The disk is full at the last step: the old file stays, no part file stays."""
    artgen("template", order, "--as", "svg")
    before = files_below(order)

    def full(handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("artgen.cli.work.os.fsync", full)
    result = artgen("template", order, "--as", "svg", "--scale", "1:2")
    assert result.exit_code == 2
    assert "No space left on device" in result.stderr
    assert files_below(order) == before


def test_tracebacks_on_request_only(tmp_path: Path) -> None:
    plain = shell("size", tmp_path / "none")
    debug = shell("size", tmp_path / "none", ARTGEN_DEBUG="1")
    assert (plain.returncode, debug.returncode) == (2, 2)
    assert b"Traceback" not in plain.stderr
    assert b"Traceback" in debug.stderr
    assert debug.stderr.endswith(plain.stderr)


def test_names_that_steer_a_terminal_are_spelt_out(order: Path) -> None:
    """ANSI escapes, a faked line, a turned reading direction, and braces that a format string would take."""
    name = "panel-1\x1b[31m\u202e\nPanel 9: {0} {panel}.pdf"
    (order / "art" / "panel-1.pdf").rename(order / "art" / name)
    out = shell("check", order).stdout.decode()
    assert "\x1b" not in out and "\u202e" not in out
    assert "\nPanel 9" not in out
    shown = artgen("proof", order)
    assert shown.exit_code == 0, shown.stderr


def test_names_that_are_no_text_are_a_finding(order: Path) -> None:
    (order / "art" / "panel-1.pdf").rename(os.fsdecode(os.fsencode(order / "art") + b"/panel-1_\xfc.pdf"))
    for args in (["check", order], ["proof", order]):
        done = shell(*args)
        assert done.returncode == 1, done.stderr
        assert b"Traceback" not in done.stderr
    found = json.loads(shell("check", order, "--json", "-").stdout)["findings"]
    assert [(f["rule"], f["panel"]) for f in found] == [("file-damaged", 1)]


def test_names_that_no_file_can_have(order: Path) -> None:
    for name in ("a" * 1000, "a\\u0000b", "."):
        (order / "order.toml").write_text(WALL + f'[[art]]\npanel = 1\nfile = "{name}"\n', encoding="utf-8")
        assert {f["rule"] for f in json.loads(artgen("check", order, "--json", "-").stdout)["findings"]} == {
            "art-missing",
            "art-extra",
        }
    (order / "order.toml").write_text(WALL + '[[art]]\npanel = 1\nfile = " "\n', encoding="utf-8")
    result = artgen("check", order)
    assert result.exit_code == 2 and "art 1, file" in result.stderr


def test_a_terminal_that_lacks_the_letters(order: Path) -> None:
    (order / "art" / "panel-1.pdf").rename(order / "art" / "panel-1 泥炭.pdf")
    (order / "art" / "泥炭.txt").write_text("peat", encoding="utf-8")
    done = shell("check", order, PYTHONIOENCODING="latin-1")
    assert done.returncode == 0, done.stderr
    assert b"\\u6ce5" in done.stdout


def test_a_fault_of_our_own_is_told_without_a_traceback(order: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(*_: object, **__: object) -> None:
        raise ZeroDivisionError("planted")

    monkeypatch.setattr("artgen.job.run", fail)
    result = artgen("check", order)
    assert (result.exit_code, result.stdout) == (2, "")
    assert "artgen itself failed" in result.stderr and "ARTGEN_DEBUG=1" in result.stderr
    assert "Traceback" not in result.stderr

    def stop(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("artgen.job.run", stop)
    assert artgen("check", order).exit_code == 2


@pytest.mark.parametrize("stop", [signal.SIGINT, signal.SIGTERM, signal.SIGHUP])
def test_asked_to_stop_it_leaves_nothing(order: Path, tmp_path: Path, stop: signal.Signals) -> None:
    """In the middle of a check: no child goes on, no temporary folder stays, exit code 2."""
    temporary = tmp_path / "temporary"
    temporary.mkdir()
    environment = {**os.environ, "TMPDIR": str(temporary)}
    running = subprocess.Popen(
        [ARTGEN, "check", resource("sample_art") / "first"],
        env=environment,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
    )
    end = time.monotonic() + 30
    while not any(path.name.startswith("artgen-") for path in temporary.iterdir()) and time.monotonic() < end:
        time.sleep(0.02)
    running.send_signal(stop)
    _, said = running.communicate(timeout=30)
    assert (running.returncode, said) == (2, b"stopped; files that were written are whole\n")
    while any(temporary.iterdir()) and time.monotonic() < end:
        time.sleep(0.05)  # the fork server tidies up behind itself
    assert list(temporary.iterdir()) == []


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="this system has no /dev/full")
def test_a_full_disk_under_standard_output(order: Path) -> None:
    for args in (["size", order], ["size", order, "--json", "-"]):
        with Path("/dev/full").open("wb") as full:
            done = subprocess.run([ARTGEN, *args], stdout=full, stderr=subprocess.PIPE, timeout=60)
        assert done.returncode == 2
        assert b"No space left" in done.stderr
        assert b"artgen itself" not in done.stderr and b"Traceback" not in done.stderr


def test_pipes_links_orders_and_client_files_are_not_replaced(order: Path, tmp_path: Path) -> None:
    before = files_below(order)
    for target in (order / "order.toml", order / "art" / "panel-1.pdf"):
        assert artgen("size", order, "--json", target).exit_code == 2
    assert files_below(order) == before
    real, link = tmp_path / "real.json", tmp_path / "link.json"
    real.write_text("old", encoding="utf-8")
    link.symlink_to(real)
    assert artgen("size", order, "--json", link).exit_code == 0
    assert link.is_symlink() and json.loads(real.read_text(encoding="utf-8"))["schema"] == 1
    assert artgen("size", order, "--json", os.devnull).exit_code == 0
    assert Path(os.devnull).is_char_device()


def test_one_panel_asked_is_one_panel_told(order: Path) -> None:
    for file in (order / "art").iterdir():
        file.unlink()
    found = json.loads(artgen("check", order, "--panel", 2, "--json", "-").stdout)["findings"]
    assert {f["panel"] for f in found} == {2}


def test_a_wall_of_two_sides_names_the_bays_of_both(tmp_path: Path) -> None:
    result = artgen("size", broken(tmp_path / "two", WALL + "faces = 2\n"))
    assert result.exit_code == 2 and "structure 1, bays" in result.stderr and "bays.back" in result.stderr


def test_a_reader_that_goes_away(order: Path) -> None:
    done = subprocess.run(
        f"'{ARTGEN}' size '{order}' | true; echo ${{PIPESTATUS[0]}}",
        shell=True,
        executable="/bin/bash",
        capture_output=True,
        timeout=60,
    )
    assert done.stdout.strip() == b"0"
    assert b"Traceback" not in done.stderr


# quick


@pytest.mark.parametrize("args", [["--help"], ["--version"], ["nonsense"]])
def test_help_loads_nothing_heavy(args: list[str]) -> None:
    heavy = ("numpy", "shapely", "pikepdf", "PIL", "pypdfium2", "pyvips", "cairosvg", "fontTools", "artgen.sizing")
    code = (
        "import sys\n"
        "from artgen.cli import main\n"
        f"try: main({args!r})\n"
        "except SystemExit: pass\n"
        f"print('loaded', [name for name in {heavy!r} if name in sys.modules])\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, timeout=60)
    assert done.stdout.splitlines()[-1] == "loaded []"


def test_sizes_of_walls_and_boxes_load_nothing_heavy(order: Path) -> None:
    code = (
        "import sys\n"
        "from artgen.cli import main\n"
        f"try: main(['size', {str(order)!r}])\n"
        "except SystemExit as end: print('code', end.code)\n"
        "print('loaded', [name for name in ('numpy', 'shapely', 'artgen.confined') if name in sys.modules])\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, timeout=60)
    assert done.stdout.splitlines()[-2:] == ["code 0", "loaded []"]


def test_help_lists_every_command_and_none_hides() -> None:
    shown = artgen("--help").stdout
    for name in COMMANDS:
        assert f"  {name}" in shown
        assert artgen(name, "--help").exit_code == 0


# the same bytes


DRIVE = """
import sys
from artgen.cli import main
order, out = sys.argv[1:]
for args in (["size", order, "--json", out + "/size.json", "--csv", out + "/size.csv"],
             ["template", order, "--as", "svg,pdf,png", "--out", out + "/templates"],
             ["check", order, "--json", out + "/check.json"],
             ["proof", order, "--out", out + "/proofs"]):
    try:
        main(args)
    except SystemExit as end:
        assert end.code in (0, 1), (args, end.code)
"""


@pytest.mark.slow
def test_the_same_bytes_from_anywhere(tmp_path: Path) -> None:
    """Again from other folders, with other spellings of the path, in other locales; without fonts, with another hash seed,
    home and time zone."""
    folder = tmp_path / "moor"
    word = Lettering("peat", 10, 250, 60, 12)
    art_made.pdf(folder / "art" / "panel-1.pdf", ART, [word], ground=(0, 0, *ART), nested=True)
    art_made.svg(folder / "art" / "panel-2.svg", ART, Lettering("moor", 100, 200, 80), outlined=True)
    (folder / "art" / "Grüße.txt").write_text("peat", encoding="utf-8")
    rest_open = "".join(f"[[structure.panel]]\npanel = {n}\nopen = true\n" for n in range(4, 9))
    broken(folder, WALL + zoo.HUNG_CUBE.replace("1500", "400") + rest_open)
    places = {
        "first": (tmp_path, str(folder), {"PYTHONHASHSEED": "1"}),
        "c": (folder, ".", {"LC_ALL": "C", "FONTCONFIG_FILE": os.devnull, "HOME": str(tmp_path)}),
        "german": (
            folder / "art",
            "../order.toml",
            {"LC_ALL": "de_DE.UTF-8", "LANG": "de_DE.UTF-8", "PYTHONHASHSEED": "2", "TZ": "Pacific/Auckland"},
        ),
    }
    written = {}
    for name, (cwd, order, env) in places.items():
        out = tmp_path / f"out-{name}"
        done = subprocess.run(
            [sys.executable, "-c", DRIVE, order, str(out)],
            cwd=cwd,
            env=quick.environment(**env),
            capture_output=True,
            timeout=120,
        )
        assert done.returncode == 0, done.stderr
        (folder / "record.jsonl").unlink()  # or the next would find that nothing has changed
        (out / "proofs" / "A" / "mail.eml").unlink()  # it is dated, and names its entry
        written[name] = (files_below(out), done.stdout)
    # two sewn-way templates of the wall, two of the cube's panel, in three formats; their previews, spec sheet,
    # net sheet and page; two size files, findings
    others = [file for file in written["first"][0] if not file.startswith("proofs")]
    assert len(others) == 4 * (3 + 1) + 3 + 3
    assert "proofs/A/proof.pdf" in written["first"][0]
    for name, found in written.items():
        assert found == written["first"], name
    everything = b"".join(path.read_bytes() for path in (tmp_path / "out-first").rglob("*") if path.is_file())
    assert str(tmp_path).encode() not in everything  # no machine's paths
