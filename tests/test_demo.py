"""The sample orders through the whole tool: exactly the planted faults in one, none in the other. Planted faults are data
(`sample_art/first/planted.toml`), written by the script that drew them."""

import json
import shutil
import tomllib
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

import artgen.cli.demo
from artgen import job
from artgen.cli import main
from artgen.cli.work import open_order
from artgen.resources import resource

SAMPLES = resource("sample_art")


def demo(folder: Path) -> Result:
    return CliRunner().invoke(main, ["demo", str(folder)])


@pytest.fixture
def samples(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A copy of the samples with one small panel's worth of art, in the place where the demo looks for them."""
    copy = tmp_path / "samples"
    for name in ("first", "mended"):
        (copy / name / "art").mkdir(parents=True)
        order = 'schema = 1\nname = "moss"\n[[structure]]\nname = "cube"\nkind = "hung-cube"\nedge = "1500 mm"\n'
        blanks = "".join(f"[[structure.panel]]\npanel = {n}\nopen = true\n" for n in (1, 3, 4, 5, 6))
        (copy / name / "order.toml").write_text(order + blanks, encoding="utf-8")
    shutil.copy(SAMPLES / "first" / "art" / "Quillmere_raindrop_p11.pdf", copy / "first" / "art" / "p2.pdf")
    shutil.copy(SAMPLES / "mended" / "art" / "Quillmere_raindrop_p11.pdf", copy / "mended" / "art" / "p2.pdf")
    plant(copy, panel=2)
    monkeypatch.setattr(artgen.cli.demo, "resource", lambda _: copy)
    return copy


def plant(samples: Path, panel: int) -> None:
    fault = f'[[fault]]\nrule = "bleed-missing"\npanel = {panel}\nseverity = "error"\nwhat = "no bleed"\n'
    (samples / "first" / "planted.toml").write_text("schema = 1\n" + fault, encoding="utf-8")


def test_the_demo_is_done_when_exactly_the_planted_faults_are_found(samples: Path, tmp_path: Path) -> None:
    result = demo(tmp_path / "demo")
    assert result.exit_code == 0, result.output
    assert "1 of 1 planted faults found, 0 others" in result.output
    for name in ("first", "mended"):
        for file in ("templates/panel-2.svg", "report/size.csv", "report/check.json", "proofs/A/proof.pdf"):
            assert (tmp_path / "demo" / name / file).stat().st_size > 0


def test_the_demo_makes_true_revisions_and_can_be_run_again(samples: Path, tmp_path: Path) -> None:
    for _ in range(2):
        assert demo(tmp_path / "demo").exit_code == 0
        for name in ("first", "mended"):
            told = CliRunner().invoke(main, ["record", str(tmp_path / "demo" / name), "--verify"])
            assert told.exit_code == 0 and "1 entry" in told.output
            assert sorted(p.name for p in (tmp_path / "demo" / name / "proofs").glob("[!.]*")) == ["A"]


def test_a_fault_that_is_not_found_fails_the_demo(samples: Path, tmp_path: Path) -> None:
    plant(samples, panel=4)
    result = demo(tmp_path / "demo")
    assert result.exit_code == 1
    assert "MISSED" in result.output
    assert "UNPLANTED" in result.output


def test_a_fault_that_nobody_planted_fails_the_demo(samples: Path, tmp_path: Path) -> None:
    (samples / "first" / "planted.toml").unlink()
    result = demo(tmp_path / "demo")
    assert result.exit_code == 1
    assert "UNPLANTED" in result.output


def test_a_planted_place_must_be_met(samples: Path, tmp_path: Path) -> None:
    """The finding stands on the whole panel, far from what is planted beside it."""
    planted = samples / "first" / "planted.toml"
    planted.write_text(planted.read_text(encoding="utf-8") + "near_mm = [9000.0, 0.0, 1.0, 1.0]\n", encoding="utf-8")
    assert demo(tmp_path / "demo").exit_code == 1


@pytest.mark.slow
def test_the_samples_that_ship_hold_exactly_their_planted_faults(tmp_path: Path) -> None:
    result = demo(tmp_path / "demo")
    assert result.exit_code == 0, result.output
    planted = tomllib.loads((SAMPLES / "first" / "planted.toml").read_text(encoding="utf-8"))["fault"]
    found = json.loads((tmp_path / "demo" / "first" / "report" / "check.json").read_text(encoding="utf-8"))["findings"]
    wrong = sorted((f["rule"], f["panel"]) for f in found if f["severity"] != "note")
    assert wrong == sorted((fault["rule"], fault["panel"]) for fault in planted)
    mended = json.loads((tmp_path / "demo" / "mended" / "report" / "check.json").read_text(encoding="utf-8"))
    assert [f for f in mended["findings"] if f["severity"] == "error"] == []


def test_the_planted_faults_are_found_in_one_panel_of_the_sample() -> None:
    """The web address over the lowest tip of the hung cube: read from a reading-way page at 1:5."""
    order, sizing = open_order(SAMPLES / "first")
    found = [f for f in job.run(order, sizing, only=13).findings if f.severity == "error"]
    fault = next(
        f
        for f in tomllib.loads((SAMPLES / "first" / "planted.toml").read_text(encoding="utf-8"))["fault"]
        if f["panel"] == 13
    )
    assert [(f.rule, f.evidence["text"]) for f in found] == [(fault["rule"], fault["text"])]
    assert found[0].where == pytest.approx(fault["near_mm"], abs=0.5)


@pytest.mark.slow
def test_the_samples_are_drawn_by_their_script(tmp_path: Path) -> None:
    """The same words at the same places: `draw.py` run anew gives the planted faults that ship."""
    import subprocess
    import sys

    script = SAMPLES / "draw.py"
    if not script.is_file():
        pytest.skip("the script that draws the samples is in a checkout only, not in a wheel")
    subprocess.run([sys.executable, script, "--out", tmp_path], check=True, capture_output=True, timeout=600)
    for name in ("first/planted.toml", "first/art/Quillmere_raindrop_panel-14.svg"):
        assert (tmp_path / name).read_bytes() == (SAMPLES / name).read_bytes()
