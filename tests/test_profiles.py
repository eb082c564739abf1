"""Profiles: the shop's data, every number with its source. Expected values are what each test writes into the file."""

from pathlib import Path

import attrs
import pytest
import zoo

from artgen import profiles
from artgen.profiles import Fabric, Frame, Roll, Strip
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
    assert (fabric.stretch_across, fabric.stretch_along) == pytest.approx((zoo.E_ACROSS, zoo.E_ALONG), abs=1e-15)
    assert (fabric.change_across, fabric.change_along) == pytest.approx((zoo.C_ACROSS, zoo.C_ALONG), abs=1e-15)
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
    assert profiles.read(Fabric, write(tmp_path, tables)).stretch_across == pytest.approx(share, abs=1e-15)


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
