"""Orders: what is accepted, and every fault at once with its path. Expected values are what each test writes."""

import os
import time
import tomllib
from pathlib import Path

import pytest
import zoo

from artgen import order as orders
from artgen.structure.kinds import KINDS
from artgen.typed import TableError

HEAD = 'schema = 1\nname = "Test piece"\n'


def faults(text: str) -> list[tuple[str, str]]:
    with pytest.raises(TableError) as caught:
        orders.from_tables(tomllib.loads(text), KINDS, folder=Path("order"), where="order.toml")
    lines = str(caught.value).splitlines()
    assert len(lines) == len(caught.value.faults), "one line for each fault"
    assert all(line.startswith("order.toml: ") for line in lines)
    return list(caught.value.faults)


def one_fault(text: str) -> tuple[str, str]:
    found = faults(text)
    assert len(found) == 1, found
    return found[0]


def test_a_whole_order() -> None:
    text = (
        'number = "17"\nclient = "Nobody"\ndate = 2026-03-02\ndue = "2026-04-01"\n'
        '[defaults]\nbleed = "1 in"\n[mail]\nto = "a"\nfrom = "b"\nanswer_by = 2026-03-09\n'
        + zoo.BOX
        + 'omit = ["bottom"]\nlit = "inside"\ncopies = 3\nfeet = "20 mm"\nlast_panel = 4\n'
        '[[structure.edge]]\npanel = 1\nedge = "left"\nsetback = "8 mm"\n'
        "[[structure.edge]]\npanel = 1\nedge = 2\n"
        '[[structure.panel]]\npanel = 2\nblank = true\nfabric = "brushed-knit"\n'
        '[[art]]\npanel = 1\nfile = "a.pdf"\nmove = ["-5 mm", "1/2 in"]\nturn = 90\nscale = 10\n'
        '[[wrap]]\npanels = [3, 4]\nfile = "b.pdf"\nbehind = "closed"\n'
    )
    order = zoo.order(text)
    structure = order.structures[0]
    assert (order.name, order.number, order.client) == ("Test piece", "17", "Nobody")
    assert (order.date, order.due, order.language) == ("2026-03-02", "2026-04-01", "en")
    assert order.mail == orders.Mail("a", "b", "2026-03-09")
    assert (structure.name, structure.kind, structure.lit, structure.copies) == ("tower", "box", "inside", 3)
    assert (structure.feet, structure.hang_height, structure.last_panel) == (20.0, None, 4)
    assert (structure.keys.width, structure.keys.depth, structure.keys.height) == (1000.0, 800.0, 3300.0)
    assert structure.keys.omit == ("bottom",)
    assert structure.edge[0] == orders.EdgeSettings(1, "left", setback=8.0)
    assert structure.edge[1] == orders.EdgeSettings(1, 2)
    assert structure.panel == (orders.PanelSettings(2, fabric="brushed-knit", blank=True),)
    assert structure.settings.bleed == 25.4  # 1 in
    assert order.art[0].panels == (1,)
    assert (order.art[0].move, order.art[0].turn, order.art[0].scale) == ((-5.0, 12.7), 90, 10.0)  # half of 25.4
    assert (order.wraps[0].panels, order.wraps[0].behind) == ((3, 4), "closed")


def test_what_is_left_out() -> None:
    order = zoo.order(zoo.BOX + zoo.HUNG_CUBE)
    box, cube = order.structures
    # the defaults that the order's language promises: 1600 mm, 3 m, a hung thing's lowest tip at 2500 mm
    assert (order.settings.eye_height, order.settings.reading_distance) == (1600.0, 3000.0)
    assert (box.hang_height, cube.hang_height) == (None, 2500.0)
    assert (box.copies, box.lit, box.feet) == (1, "none", 0.0)
    assert order.settings.bleed is None  # the roll profile's


def test_defaults_are_overridden_per_structure() -> None:
    first = zoo.BOX + 'fabric = "brushed-knit"\nbleed = "10 mm"\n'
    order = zoo.order('[defaults]\nbleed = "30 mm"\nsafe = "50 mm"\npaper = "letter"\n' + first + zoo.WALL)
    tower, wall = (structure.settings for structure in order.structures)
    assert (tower.bleed, tower.safe, tower.fabric, tower.paper) == (10.0, 50.0, "brushed-knit", "letter")
    assert (wall.bleed, wall.safe, wall.fabric, wall.paper) == (30.0, 50.0, "display-knit", "letter")
    assert order.settings.bleed == 30.0


def test_five_faults_are_five_messages() -> None:
    text = (
        HEAD
        + '[defaults]\npaper = "a3"\n'
        + '[[structure]]\nname = "a"\nkind = "box"\nwidth = "wide"\ndepth = 800\nheight = "3300 mm"\n'
        + '[[structure]]\nname = "b"\nkind = "bxo"\n'
        + '[[art]]\npanel = 1\nfile = "a.pdf"\npage = 0\n'
    )
    found = dict(faults(text))
    assert set(found) == {
        "defaults, paper",
        "structure 1, width",
        "structure 1, depth",
        "structure 2, kind",
        "art 1, page",
    }
    assert "'a4', 'letter'" in found["defaults, paper"] and "'a3'" in found["defaults, paper"]
    assert "'wide'" in found["structure 1, width"]
    assert "'800 mm'" in found["structure 1, depth"]
    assert "did you mean 'box'" in found["structure 2, kind"]


@pytest.mark.parametrize(
    ("text", "path", "meant"),
    [
        (HEAD + 'clinet = "x"\n' + zoo.BOX, "clinet", "client"),
        (HEAD + "[defualts]\n" + zoo.BOX, "defualts", "defaults"),
        (HEAD + '[defaults]\nfabrik = "display-knit"\n' + zoo.BOX, "defaults, fabrik", "fabric"),
        (HEAD + '[mail]\nfrm = "x"\n' + zoo.BOX, "mail, frm", "from"),
        (HEAD + zoo.BOX + 'widht = "1 m"\n', "structure 1, widht", "width"),
        (HEAD + zoo.BOX + 'fabrik = "display-knit"\n', "structure 1, fabrik", "fabric"),
        (HEAD + zoo.BOX + "copys = 2\n", "structure 1, copys", "copies"),
        (HEAD + zoo.BOX + 'bay = ["1 m"]\n', "structure 1, bay", "bays"),
        (
            HEAD + zoo.BOX + '[[structure.edge]]\npanel = 1\nedge = 1\nset_back = "1 mm"\n',
            "structure 1, edge 1, set_back",
            "setback",
        ),
        (
            HEAD + zoo.BOX + "[[structure.panel]]\npanel = 1\nblanc = true\n",
            "structure 1, panel 1, blanc",
            "blank",
        ),
        (HEAD + zoo.BOX + '[[art]]\npanel = 1\nfile = "a"\nscal = 2\n', "art 1, scal", "scale"),
        (HEAD + zoo.BOX + '[[wrap]]\npanels = [1, 2]\nfile = "a"\nbehnd = "on"\n', "wrap 1, behnd", "behind"),
    ],
)
def test_an_unknown_key_names_the_nearest(text: str, path: str, meant: str) -> None:
    where, what = one_fault(text)
    assert where == path
    assert what == f"unknown key; did you mean '{meant}'?"


def test_a_mail_is_from_somebody_by_one_key() -> None:
    where, what = one_fault(HEAD + '[mail]\nsender = "x"\n' + zoo.BOX)
    assert where == "mail, sender" and what.startswith("unknown key")
    found = dict(faults(HEAD + '[mail]\nfrom = 3\nanswer_by = "soon"\nto_ = "x"\n' + zoo.BOX))
    assert set(found) == {"mail, from", "mail, answer_by", "mail, to_"}


@pytest.mark.parametrize(
    ("text", "path", "says"),
    [
        ('name = "x"\n' + zoo.BOX, "schema", "missing"),
        ('schema = 2\nname = "x"\n' + zoo.BOX, "schema", "expected 1, got 2"),
        ('schema = true\nname = "x"\n' + zoo.BOX, "schema", "expected 1, got True"),
        ('schema = 1.0\nname = "x"\n' + zoo.BOX, "schema", "expected 1, got 1.0"),
        ("schema = 1\n" + zoo.BOX, "name", "missing"),
        ("schema = 1\nname = 7\n" + zoo.BOX, "name", "expected text"),
        (HEAD, "structure", "missing"),
        (HEAD + "structure = []", "structure", "at least one"),
        (HEAD + "structure = 3", "structure", "expected a list"),
        (HEAD + "structure = [3]", "structure 1", "expected a table"),
        (HEAD + 'date = "soon"\n' + zoo.BOX, "date", "expected a date"),
        (HEAD + "date = 2026-03-02T10:00:00\n" + zoo.BOX, "date", "expected a date"),
        (HEAD + 'language = "xx"\n' + zoo.BOX, "language", "'en'"),
        (HEAD + '[defaults]\nfabric = "display-nit"\n' + zoo.BOX, "defaults, fabric", "did you mean 'display-knit'"),
        (HEAD + '[defaults]\nbleed = "-1 mm"\n' + zoo.BOX, "defaults, bleed", "0 or more"),
        (HEAD + "[defaults]\nbleed = nan\n" + zoo.BOX, "defaults, bleed", "expected a length"),
        (HEAD + "[defaults]\nbleed = true\n" + zoo.BOX, "defaults, bleed", "expected a length"),
        (HEAD + '[defaults]\neye_height = "0 mm"\n' + zoo.BOX, "defaults, eye_height", "over 0"),
        (HEAD + "defaults = 3\n" + zoo.BOX, "defaults", "expected a table"),
        (HEAD + "mail = 3\n" + zoo.BOX, "mail", "expected a table"),
        (HEAD + '[[structure]]\nname = "a"\n', "structure 1, kind", "missing"),
        (HEAD + '[[structure]]\nname = "a"\nkind = 3\n', "structure 1, kind", "no kind named 3"),
        (HEAD + '[[structure]]\nname = "a"\nkind = "hung-cube"\n', "structure 1, edge", "missing"),
        (HEAD + zoo.HUNG_CUBE + 'front = "left"\n', "structure 1, front", "'upper', 'lower'"),
        (HEAD + zoo.HUNG_CUBE + 'bays = ["1 m"]\n', "structure 1, bays", "bays.f1"),
        (HEAD + zoo.BOX + "copies = 0\n", "structure 1, copies", "1 to 1000"),
        (HEAD + zoo.BOX + "copies = true\n", "structure 1, copies", "1 to 1000"),
        (HEAD + zoo.BOX + "copies = 2.0\n", "structure 1, copies", "1 to 1000"),
        (HEAD + zoo.BOX + 'lit = "outside"\n', "structure 1, lit", "'none', 'inside'"),
        (HEAD + zoo.BOX + 'omit = "bottom"\n', "structure 1, omit", "expected a list"),
        (HEAD + zoo.BOX + 'omit = ["floor"]\n', "structure 1, omit 1", "'bottom'"),
        (
            HEAD + zoo.BOX + 'omit = ["front", "right", "back", "left", "top", "bottom"]\n',
            "structure 1, omit",
            "no face at all",
        ),
        (HEAD + zoo.BOX + "feet = 20\n", "structure 1, feet", "'20 mm'"),
        (HEAD + zoo.BOX + 'bays = ["500 mm", 500]\n', "structure 1, bays 2", "'500 mm'"),
        (HEAD + zoo.BOX + "bays = []\n", "structure 1, bays", "list of widths, or of rows"),
        (HEAD + zoo.BOX + 'bays = [["1 m"], []]\n', "structure 1, bays, row 2", "list of widths"),
        (HEAD + zoo.BOX + 'bays = [["1 m"], "1 m"]\n', "structure 1, bays, row 2", "list of widths"),
        (HEAD + zoo.BOX + 'bays = [["1 m"], [5]]\n', "structure 1, bays, row 2 1", "'5 mm'"),
        (HEAD + zoo.BOX + 'bays = [{heigth = "1 m"}]\n', "structure 1, bays, row 1, heigth", "did you mean 'height'"),
        (HEAD + zoo.BOX + 'bays.rihgt = ["800 mm"]\n', "structure 1, bays", "did you mean 'right'"),
        (HEAD + '[[structure]]\nname = "a"\nkind = "wall"\nheight = "2 m"\n', "structure 1, width", "missing"),
        (HEAD + zoo.WALL + "faces = 3\n", "structure 1, faces", "expected one of 1, 2"),
        (HEAD + zoo.WALL + "faces = true\n", "structure 1, faces", "expected one of 1, 2"),
        (HEAD + zoo.BOX + '[[structure.edge]]\npanel = 1\nedge = "up"\n', "structure 1, edge 1, edge", "left, right"),
        (HEAD + zoo.BOX + "[[structure.edge]]\npanel = 1\nedge = 0\n", "structure 1, edge 1, edge", "from 1"),
        (HEAD + zoo.BOX + "[[structure.edge]]\npanel = 1\nedge = true\n", "structure 1, edge 1, edge", "from 1"),
        (
            HEAD + zoo.BOX + "[[structure.panel]]\npanel = 1\nblank = 1\n",
            "structure 1, panel 1, blank",
            "true or false",
        ),
        (HEAD + zoo.BOX + "[[structure.panel]]\nopen = true\n", "structure 1, panel 1, panel", "missing"),
        (HEAD + zoo.BOX + '[[art]]\npanels = []\nfile = "a"\n', "art 1, panels", "at least one"),
        (HEAD + zoo.BOX + '[[art]]\npanel = 1\npanels = [1]\nfile = "a"\n', "art 1, panel", "either"),
        (HEAD + zoo.BOX + '[[art]]\npanel = "1"\nfile = "a"\n', "art 1, panels 1", "whole number"),
        (HEAD + zoo.BOX + '[[art]]\npanel = 1\nfile = "a"\nscale = nan\n', "art 1, scale", "expected a number"),
        (HEAD + zoo.BOX + '[[art]]\npanel = 1\nfile = "a"\nscale = inf\n', "art 1, scale", "expected a number"),
        (HEAD + zoo.BOX + '[[art]]\npanel = 1\nfile = "a"\nscale = true\n', "art 1, scale", "expected a number"),
        (HEAD + zoo.BOX + '[[art]]\npanel = 1\nfile = "a"\nscale = -1\n', "art 1, scale", "how many times"),
        (HEAD + zoo.BOX + '[[art]]\npanel = 1\nfile = "a"\nturn = 45\n', "art 1, turn", "0, 90, 180, 270"),
        (HEAD + zoo.BOX + '[[art]]\npanel = 1\nfile = "a"\nmove = ["1 mm"]\n', "art 1, move", "two lengths"),
        (HEAD + zoo.BOX + '[[wrap]]\npanels = [1]\nfile = "a"\n', "wrap 1, panels", "two or more"),
        (HEAD + zoo.BOX + '[[wrap]]\npanels = [1, 2, 1]\nfile = "a"\n', "wrap 1, panels", "different"),
        (HEAD + zoo.BOX + "[[wrap]]\npanels = [1, 2]\n", "wrap 1, file", "missing"),
    ],
)
def test_one_fault_at_a_time(text: str, path: str, says: str) -> None:
    where, what = one_fault(text)
    assert where == path
    assert says in what


@pytest.mark.parametrize(
    "width", ["3000", "3000.0", "nan", "true", '"0 mm"', '"-3 m"', '"1 mile"', "[3]", "{ mm = 3 }"]
)
def test_widths_that_are_none(width: str) -> None:
    where, what = one_fault(HEAD + zoo.WALL.replace('"3000 mm"', width))
    assert where == "structure 1, width"
    assert what.startswith("expected a length")


def test_faults_of_the_defaults_are_said_once() -> None:
    assert [path for path, _ in faults(HEAD + '[defaults]\nbleed = "x"\nsave = 1\n' + zoo.BOX + zoo.WALL)] == [
        "defaults, bleed",
        "defaults, save",
    ]


@pytest.mark.parametrize(
    ("text", "path"),
    [
        (HEAD + '[defaults]\ncolour_profile = "x"\n' + zoo.BOX, "defaults, colour_profile"),
        (HEAD + zoo.BOX + 'colour_profile = "x"\n', "structure 1, colour_profile"),
    ],
)
def test_what_can_not_be_honoured_yet_is_refused(text: str, path: str) -> None:
    where, what = one_fault(text)
    assert where == path
    assert what.startswith("not supported yet")


def test_not_yet_comes_along_with_other_faults() -> None:
    found = faults(HEAD + "colour_profile = 1\n" + zoo.BOX.replace('"800 mm"', '"x"'))
    assert [path for path, _ in found] == ["structure 1, depth", "colour_profile"]


def test_from_a_folder_or_its_file(tmp_path: Path) -> None:
    (tmp_path / "order.toml").write_text(HEAD + zoo.BOX, encoding="utf-8")
    by_folder, by_file = (orders.load(where, KINDS) for where in (tmp_path, tmp_path / "order.toml"))
    assert by_folder == by_file
    assert by_folder.folder == tmp_path.resolve()


def test_files_that_are_no_order(tmp_path: Path) -> None:
    with pytest.raises(TableError, match=r"order.toml: there is no such order"):
        orders.load(tmp_path, KINDS)
    path = tmp_path / "order.toml"
    path.write_text("schema = \n", encoding="utf-8")
    with pytest.raises(TableError, match=r"order.toml: not valid TOML"):
        orders.load(tmp_path, KINDS)
    path.write_bytes(b'name = "\xff"')
    with pytest.raises(TableError, match=r"order.toml: this order can't be read"):
        orders.load(tmp_path, KINDS)


@pytest.mark.parametrize("name", ["", " ", "/etc/art.pdf", "../art.pdf", "art/../../art.pdf"])
def test_art_lies_in_the_order_s_folder(name: str) -> None:
    for table in (f'[[art]]\npanel = 1\nfile = "{name}"\n', f'[[wrap]]\npanels = [1, 2]\nfile = "{name}"\n'):
        with pytest.raises(TableError) as error:
            zoo.order(zoo.BOX + table)
        assert [path for path, _ in error.value.faults] == [("art" if "[[art]]" in table else "wrap") + " 1, file"]


@pytest.mark.parametrize(
    ("text", "path"),
    [
        ('number = "{}"\n' + zoo.BOX, "number"),
        ('client = "{}"\n' + zoo.BOX, "client"),
        ('[mail]\nto = "{}"\n' + zoo.BOX, "mail, to"),
        ('[mail]\nfrom = "{}"\n' + zoo.BOX, "mail, from"),
        (zoo.BOX.replace('"tower"', '"{}"'), "structure 1, name"),
    ],
)
def test_names_on_papers_have_at_most_200_characters(text: str, path: str) -> None:
    orders.from_tables(tomllib.loads(HEAD + text.format("ü" * 200)), KINDS, folder=Path("order"), where="order.toml")
    assert one_fault(HEAD + text.format("ü" * 20_000)) == (path, "expected at most 200 characters, got 20,000")


@pytest.mark.parametrize("table", ["[[art]]\npanel = 1\n", "[[wrap]]\npanels = [1, 2]\n"])
def test_names_of_files_have_at_most_1000_characters(table: str) -> None:
    text = HEAD + zoo.BOX + table + 'file = "{}"\n'
    orders.from_tables(tomllib.loads(text.format("a" * 1000)), KINDS, folder=Path("order"), where="order.toml")
    assert one_fault(text.format("a" * 20_000))[1] == "expected at most 1000 characters, got 20,000"


def test_the_name_of_the_order_too() -> None:
    assert one_fault('schema = 1\nname = "' + "n" * 201 + '"\n' + zoo.BOX)[0] == "name"


def test_a_wrong_value_of_any_length_is_told_in_brief() -> None:
    path, what = one_fault(HEAD + zoo.BOX.replace('"1000 mm"', '"' + "9" * 100_000 + '"'))
    assert path == "structure 1, width"
    assert len(what) < 500 and "…" in what
    path, what = one_fault(HEAD + "k" * 100_000 + " = 1\n" + zoo.BOX)
    assert len(path) < 500 and what.startswith("unknown key")


def refused(file: Path) -> str:
    with pytest.raises(TableError) as caught:
        orders.load(file, KINDS)
    return str(caught.value)


def test_an_order_file_has_a_size(tmp_path: Path) -> None:
    file = tmp_path / "order.toml"
    text = HEAD + zoo.BOX
    file.write_text(text + "#" * (4_000_000 - len(text)), encoding="utf-8")
    assert orders.load(tmp_path, KINDS).name == "Test piece"
    file.write_text(text + "#" * (4_000_001 - len(text)), encoding="utf-8")
    assert "more than 4 MB" in refused(tmp_path)
    with file.open("r+b") as sparse:
        sparse.truncate(1 << 40)
    assert "more than 4 MB" in refused(tmp_path)


def test_an_order_file_is_a_plain_file(tmp_path: Path) -> None:
    """A pipe that nobody writes to, and devices that never end: none is opened."""
    os.mkfifo(tmp_path / "order.toml")
    for file in (tmp_path, tmp_path / "order.toml", Path("/dev/zero"), Path("/dev/tty")):
        if file.exists():
            assert "is no plain file" in refused(file)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("a = " + "[" * 100_000 + "]" * 100_000, "too deeply"),
        ("a = " + "{a = " * 100 + "1" + "}" * 100, "too deeply"),
        ("a" + ".a" * 200_000 + " = 1", "too deeply"),  # the parser would take memory by the square of that
        ("[a" + ".a" * 200_000 + "]", "too deeply"),
        ("[a" + ' . "a b"' * 200 + "]", "too deeply"),
        ("a" + ".a" * 30 + " = 1", "too deeply"),
        ("a = " + "9" * 5000, "not valid TOML"),
    ],
)
def test_a_hostile_order_is_refused_in_words(tmp_path: Path, text: str, says: str) -> None:
    (tmp_path / "order.toml").write_text(HEAD + text + "\n", encoding="utf-8")
    start = time.monotonic()
    assert says in refused(tmp_path)
    assert time.monotonic() - start < 5


def test_dots_in_texts_are_not_keys(tmp_path: Path) -> None:
    (tmp_path / "order.toml").write_text(HEAD + 'client = "' + "a." * 100 + '"\n' + zoo.BOX, encoding="utf-8")
    assert orders.load(tmp_path, KINDS).client == "a." * 100
