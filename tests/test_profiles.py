"""Profiles: the shop's data, every number with its source. Expected values are what each test writes into the file."""

from pathlib import Path

import attrs
import pytest
import zoo
from click.testing import CliRunner

from artgen import profiles
from artgen.cli import main
from artgen.profiles import Fabric, Frame, Roll, Strip
from artgen.sizing import size_order
from artgen.structure.kinds import KINDS
from artgen.typed import Fault, TableError

ROLL = {
    "printable_width": ('"2000 mm"', '"measured"'),
    "bleed": ('"1 in"', '"measured"'),
}


def write(folder: Path, tables: dict[str, tuple[str, str]], extra: str = "", title: str = 'title = "Test"') -> Path:
    body = "".join(f"[{key}]\nvalue = {value}\nsource = {source}\n" for key, (value, source) in tables.items())
    path = folder / "test.toml"
    path.write_text(f"{title}\n{body}{extra}", encoding="utf-8")
    return path


def faults(family: type, path: Path) -> dict[str, str]:
    with pytest.raises(TableError) as caught:
        profiles.read(family, path)
    found = dict(caught.value.faults)
    assert len(found) == len(caught.value.faults), "a path is reported twice"
    assert all(f"{path.name}: " in line for line in str(caught.value).splitlines())
    return found


@pytest.mark.parametrize(
    ("family", "name"), [(cls, name) for key, cls in profiles.FAMILIES.items() for name in profiles.names(key)]
)
def test_every_packaged_profile_loads_and_names_its_sources(family: type, name: str) -> None:
    profile = profiles.load(family, name)
    given = {
        field.name
        for field in attrs.fields(family)
        if field.name not in ("name", "title", "sources") and getattr(profile, field.name) is not None
    }
    assert profile.name == name
    assert set(profile.sources) == given
    assert all(source.strip() for source in profile.sources.values())


def test_default_profiles_carry_the_worked_example() -> None:
    frame, strip = profiles.load(Frame, "standard"), profiles.load(Strip, "flat-14")
    fabric, roll = profiles.load(Fabric, "display-knit"), profiles.load(Roll, "wide-3200")
    assert (frame.setback, frame.seat_depth) == (zoo.S, zoo.T)
    assert (strip.width, strip.turn_in, strip.gap) == (zoo.W, zoo.H, zoo.G)
    assert (roll.bleed, roll.printable_width) == (zoo.B, zoo.ROLL)
    gives = (fabric.stretch_across, fabric.stretch_along, fabric.change_across, fabric.change_along)
    shares = (zoo.E_ACROSS, zoo.E_ALONG, zoo.C_ACROSS, zoo.C_ALONG)
    assert [give.share for give in gives] == pytest.approx(shares, abs=1e-15)
    assert [give.mm for give in gives] == [0.0] * 4
    assert fabric.seam_allowance == zoo.A
    assert fabric.safe >= fabric.sewing_tolerance + frame.fitting_shift  # the rule for a safe inset


def test_an_unknown_name_names_the_nearest() -> None:
    with pytest.raises(Fault, match="did you mean 'display-knit'"):
        profiles.known("fabric", "display-nit")
    with pytest.raises(TableError, match="did you mean 'standard'"):
        profiles.load(Frame, "standart")
    with pytest.raises(Fault, match="no roll profile named 3200"):
        profiles.known("roll", 3200)


def test_a_good_file(tmp_path: Path) -> None:
    roll = profiles.read(Roll, write(tmp_path, ROLL))
    assert (roll.name, roll.title, roll.printable_width, roll.bleed) == ("test", "Test", 2000.0, 25.4)  # 1 in
    assert roll.sources == {"printable_width": "measured", "bleed": "measured"}


@pytest.mark.parametrize(("text", "share"), [('"0.8 %"', 0.008), ("0.008", 0.008), ('"-1.2%"', -0.012), ("0", 0.0)])
def test_shares(tmp_path: Path, text: str, share: float) -> None:
    tables = fabric_tables() | {"stretch_across": (text, '"measured"')}
    # a percentage is a hundredth
    give = profiles.read(Fabric, write(tmp_path, tables)).stretch_across
    assert (give.share, give.mm) == (pytest.approx(share, abs=1e-15), 0.0)


def fabric_tables() -> dict[str, tuple[str, str]]:
    shares = ("stretch_across", "stretch_along", "change_across", "change_along")
    lengths = ("seam_allowance", "sewing_tolerance", "safe", "seam_clearance")
    tables = dict.fromkeys(shares, ('"0.5 %"', '"measured"')) | dict.fromkeys(lengths, ('"5 mm"', '"measured"'))
    return tables | {"may_turn": ("true", '"measured"')}


def test_all_faults_of_a_file_at_once(tmp_path: Path) -> None:
    tables = fabric_tables()
    tables["stretch_across"] = ('"much"', '"measured"')
    tables["change_along"] = ("0.7", '"measured"')
    tables["safe"] = ('"-4 mm"', '"measured"')
    tables["may_turn"] = ("1", '"measured"')
    tables["seam_clearance"] = ('"5 mm"', '" "')
    del tables["seam_allowance"]
    tables["sheen"] = ('"5 mm"', '"measured"')
    found = faults(Fabric, write(tmp_path, tables, extra='[sewing_tolerances]\nvalue = "3 mm"\n'))
    assert set(found) == {
        "stretch_across",
        "change_along",
        "safe",
        "may_turn",
        "seam_clearance",
        "seam_allowance",
        "sheen",
        "sewing_tolerances",
    }
    assert "percentage" in found["stretch_across"]
    assert "between -50 % and 50 %" in found["change_along"]
    assert "0 or more" in found["safe"]
    assert "true or false" in found["may_turn"]
    assert found["seam_allowance"] == "missing"
    assert "unknown key" in found["sheen"]
    assert "source" in found["seam_clearance"] and "source" in found["sewing_tolerances"]


@pytest.mark.parametrize(
    "table",
    [
        '[bleed]\nvalue = "25 mm"\n',
        '[bleed]\nvalue = "25 mm"\nsource = ""\n',
        '[bleed]\nsource = "measured"\n',
        '[bleed]\nvalue = "25 mm"\nsource = "measured"\nwho = "me"\n',
    ],
)
def test_a_number_without_its_source_is_a_fault(tmp_path: Path, table: str) -> None:
    found = faults(Roll, write(tmp_path, {"printable_width": ROLL["printable_width"]}, extra=table))
    assert found == {"bleed": "expected a table with 'value' and 'source'"}


def test_a_bare_number_is_a_fault(tmp_path: Path) -> None:
    path = write(tmp_path, {"printable_width": ROLL["printable_width"]}, title='title = "Test"\nbleed = "25 mm"')
    assert faults(Roll, path) == {"bleed": "expected a table with 'value' and 'source'"}


@pytest.mark.parametrize("value", ["25", "25.0", "true", '"25"', '["25 mm"]', "nan", '"-1 mm"', '"2000 km"'])
def test_wrong_lengths(tmp_path: Path, value: str) -> None:
    assert set(faults(Roll, write(tmp_path, ROLL | {"bleed": (value, '"measured"')}))) == {"bleed"}


@pytest.mark.parametrize("value", ["true", "nan", "inf", '"0.8"', '"x %"', '"nan %"', "0.5", "-0.5"])
def test_wrong_shares(tmp_path: Path, value: str) -> None:
    tables = fabric_tables() | {"change_across": (value, '"measured"')}
    assert set(faults(Fabric, write(tmp_path, tables))) == {"change_across"}


def test_an_unknown_key_names_the_nearest(tmp_path: Path) -> None:
    found = faults(Roll, write(tmp_path, ROLL | {"printable_widht": ('"1 m"', '"measured"')}))
    assert "did you mean 'printable_width'" in found["printable_widht"]


@pytest.mark.parametrize("key", ["name", "sources"])
def test_fields_that_no_file_sets(tmp_path: Path, key: str) -> None:
    assert faults(Roll, write(tmp_path, ROLL | {key: ('"x"', '"measured"')})) == {key: "unknown key"}


def test_a_title_is_needed_and_is_text(tmp_path: Path) -> None:
    assert faults(Roll, write(tmp_path, ROLL, title="")) == {"title": "missing"}
    assert set(faults(Roll, write(tmp_path, ROLL, title="title = 3"))) == {"title"}


def test_files_that_are_no_profile(tmp_path: Path) -> None:
    path = tmp_path / "test.toml"
    with pytest.raises(TableError, match="no such profile"):
        profiles.read(Roll, path)
    path.write_text("title = ", encoding="utf-8")
    with pytest.raises(TableError, match="not valid TOML"):
        profiles.read(Roll, path)
    path.write_bytes(b'title = "\xff"')
    with pytest.raises(TableError, match="can't be read"):
        profiles.read(Roll, path)


# --- the shop's own, and the command


def own_roll(folder: Path, name: str, width: str = "2000 mm") -> Path:
    path = folder / "roll" / f"{name}.toml"
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(
        'title = "Ours"\n'
        + "".join(
            f'[{key}]\nvalue = "{value}"\nsource = "measured"\n'
            for key, value in (("printable_width", width), ("bleed", "20 mm"))
        ),
        encoding="utf-8",
    )
    return path


def test_a_shops_own_come_first(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    shipped = profiles.load(Roll, "wide-3200")
    own_roll(tmp_path, "wide-3200")
    own_roll(tmp_path, "ours")
    assert "ours" not in profiles.names("roll")
    monkeypatch.setenv(profiles.OWN, str(tmp_path))
    assert profiles.names("roll") == ["narrow-1600", "ours", "wide-3200", "wide-5000"]
    assert profiles.load(Roll, "wide-3200").printable_width == 2000.0 != shipped.printable_width
    assert profiles.load(Frame, "standard").setback == zoo.S  # what the shop does not have still ships
    panel = zoo.order(zoo.BOX + 'roll = "ours"\n')
    assert size_order(panel, KINDS).panel(1).roll.printable_width == 2000.0
    result = CliRunner().invoke(main, ["profiles"])
    assert result.exit_code == 0 and str(tmp_path) in result.stdout
    assert [line.split()[0] for line in result.stdout.splitlines() if "the shop's own" in line] == ["ours", "wide-3200"]
    monkeypatch.delenv(profiles.OWN)
    assert profiles.load(Roll, "wide-3200") == shipped


def test_a_folder_that_is_not_there(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(profiles.OWN, str(tmp_path / "none"))
    for args in (["profiles"], ["profiles", "standard"]):
        result = CliRunner().invoke(main, args)
        assert result.exit_code == 2 and "ARTGEN_PROFILES: names no folder" in result.stderr


def test_a_bad_one_of_the_shops_is_told_whole(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = own_roll(tmp_path, "ours", width="wide")
    path.write_text(path.read_text(encoding="utf-8").replace('value = "20 mm"', "value = 20"), encoding="utf-8")
    monkeypatch.setenv(profiles.OWN, str(tmp_path))
    for args in (["profiles"], ["profiles", "ours"]):
        result = CliRunner().invoke(main, args)
        assert (result.exit_code, result.stdout) == (2, "")
        assert "printable_width: expected a length, got 'wide'" in result.stderr
        assert "bleed: expected a length with its unit, such as '20 mm'" in result.stderr


def test_joints_need_both_their_numbers(tmp_path: Path) -> None:
    keys = ("setback", "seat_depth", "depth", "fitting_shift", "brace_above", "brace_width", "lamp_bar_width")
    tables = dict.fromkeys((*keys, "upright_length"), ('"50 mm"', '"measured"'))
    assert faults(Frame, write(tmp_path, tables)).keys() == {"joint_width"}
    tables["joint_width"] = tables.pop("upright_length")
    assert faults(Frame, write(tmp_path, tables)).keys() == {"upright_length"}


@pytest.mark.parametrize(("text", "mm"), [('"8 mm"', 8.0), ('"-1/2 in"', -12.7), ('"0 mm"', 0.0)])
def test_give_in_mm(tmp_path: Path, text: str, mm: float) -> None:
    tables = fabric_tables() | {"change_along": (text, '"measured"')}
    give = profiles.read(Fabric, write(tmp_path, tables)).change_along
    assert (give.share, give.mm) == (0.0, mm)
    assert give.undone(1000.0) == 1000.0 - mm  # what it was, before it gave that much


def test_give_that_is_a_slip_of_the_pen(tmp_path: Path) -> None:
    assert (
        "at most 500 mm"
        in faults(Fabric, write(tmp_path, fabric_tables() | {"stretch_along": ('"1 m"', '"x"')}))["stretch_along"]
    )


def test_enough_of_each_family_ship() -> None:
    assert [len(profiles.names(family)) for family in ("frame", "strip", "fabric", "roll")] == [4, 3, 4, 3]
    assert {profiles.load(Strip, name).method for name in profiles.names("strip")} == {"flat", "folded", "edge"}
    for family, cls in profiles.FAMILIES.items():
        for name in profiles.names(family):
            for source in profiles.load(cls, name).sources.values():
                assert "common practice, no source" in source or source.startswith("ours")


@pytest.mark.parametrize(("family", "name"), [(f, name) for f in profiles.FAMILIES for name in profiles.names(f)])
def test_the_command_explains_every_value_with_its_source(family: str, name: str) -> None:
    result = CliRunner().invoke(main, ["profiles", name])
    assert result.exit_code == 0
    profile = profiles.load(profiles.FAMILIES[family], name)
    lines = result.stdout.splitlines()
    for key, source in profile.sources.items():
        at = next(i for i, line in enumerate(lines) if line.startswith(f"  {key} "))
        assert lines[at + 1].strip() == f"source: {source}"
    assert ("follows from the method" in result.stdout) == (getattr(profile, "turn_in", 0.0) is None)


def test_the_command_knows_no_other() -> None:
    result = CliRunner().invoke(main, ["profiles", "flat-13"])
    assert result.exit_code == 2 and "did you mean 'flat-14'" in result.stderr
