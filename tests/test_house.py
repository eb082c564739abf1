"""The house: which way imports run, where the inch and the point live, how long things may get.

Each guard is a function over source text, shown to fail on a planted fault, then run over the whole package.
"""

import ast
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

import artgen

PACKAGE = Path(artgen.__file__).parent
# in the order in which the data flows: a module imports from its own room or earlier ones
ROOMS = (
    "units",
    "interrupts",
    "pool",
    "typed",
    "resources",
    "profiles",
    "words",
    "order",
    "structure",
    "sizing",
    "drawing",
    "template",
    "calibration",
    "record",
    "cache",
    "confined",
    "art",
    "placing",
    "survey",
    "checks",
    "seams",
    "job",
    "report",
    "comparing",
    "proof",
    "revisions",
    "printing",
    "installing",
    "cli",
)
FUNCTION_LINES, FILE_LINES = 90, 450
SOURCES = {path.relative_to(PACKAGE.parent).as_posix(): path for path in sorted(PACKAGE.rglob("*.py"))}


@cache
def parsed(source: str) -> ast.Module:
    return ast.parse(source)


def room_of(module: str) -> str:
    """ "artgen/sizing/sums.py" and "artgen/units.py" stand in the rooms "sizing" and "units"."""
    first = module.split("/")[1].removesuffix(".py")
    return {"__init__": "", "__main__": "cli"}.get(first, first)


def imported(source: str, module: str) -> Iterator[tuple[int, str]]:
    """(line, room) of every import from this package, at any depth of the code."""
    package = module.split("/")[:-1]
    for node in ast.walk(parsed(source)):
        if isinstance(node, ast.Import):
            names = [alias.name.split(".") for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            base = package[: len(package) - node.level + 1] if node.level else []
            base = base + (node.module.split(".") if node.module else [])
            # "from . import x" at the top names rooms; deeper, the module named tells the room
            names = [[*base, alias.name] for alias in node.names]
        else:
            continue
        for parts in names:
            if parts[0] == "artgen" and len(parts) > 1 and not parts[1].startswith("__"):
                yield node.lineno, parts[1]


def import_faults(source: str, module: str) -> list[str]:
    own = room_of(module)
    found = []
    for line, room in imported(source, module):
        if room not in ROOMS:
            found.append(f"{module}:{line} imports from a room that the house does not have: {room}")
        elif own == "" or ROOMS.index(room) > ROOMS.index(own):
            found.append(f"{module}:{line} imports from a later room: {room}")
    return found


@pytest.mark.parametrize("module", SOURCES)
def test_imports_run_one_way(module: str) -> None:
    assert room_of(module) in (*ROOMS, ""), f"{module} stands in no room of the house"
    assert import_faults(SOURCES[module].read_text(encoding="utf-8"), module) == []


@pytest.mark.parametrize(
    ("module", "line"),
    [
        ("artgen/sizing/sums.py", "from ..checks import rules"),
        ("artgen/sizing/sums.py", "from .. import checks"),
        ("artgen/sizing/sums.py", "from ..art.facts import Facts"),
        ("artgen/sizing/sums.py", "import artgen.cli"),
        ("artgen/sizing/sums.py", "from artgen.cli import main"),
        ("artgen/sizing/sums.py", "from artgen import cli"),
        ("artgen/sizing/sums.py", "def late():\n    from ..proof import pages"),
        ("artgen/structure/kinds/box.py", "from ...sizing import size_order"),
        ("artgen/structure/kinds/box.py", "from ... import drawing as pictures"),
        ("artgen/units.py", "from .typed import Size"),
        ("artgen/units.py", "from . import order"),
        ("artgen/__init__.py", "from . import units"),
        ("artgen/__init__.py", "from .cli import main"),
        ("artgen/sizing/sums.py", "from ..helpers import anything"),
    ],
)
def test_a_planted_import_is_found(module: str, line: str) -> None:
    assert len(import_faults(line, module)) == 1


@pytest.mark.parametrize(
    ("module", "line"),
    [
        ("artgen/sizing/sums.py", "from ..structure.bays import Bay"),
        ("artgen/sizing/sums.py", "from .panel import Panel"),
        ("artgen/sizing/sums.py", "from . import drops"),
        ("artgen/sizing/sums.py", "from .. import order as orders"),
        ("artgen/sizing/sums.py", "import numpy as np\nfrom pathlib import Path"),
        ("artgen/cli/__init__.py", "from artgen import __version__"),
        ("artgen/__main__.py", "from .cli import main"),
    ],
)
def test_a_fair_import_is_not(module: str, line: str) -> None:
    assert import_faults(line, module) == []


def conversion_faults(source: str) -> list[int]:
    """Lines with an inch in mm or cm or m anywhere, or with a 72 or a 1/72 that something is multiplied or divided by."""

    def number(node: ast.AST, *values: float) -> bool:
        return isinstance(node, ast.Constant) and type(node.value) in (int, float) and node.value in values

    found = []
    for node in ast.walk(parsed(source)):
        inch = number(node, 25.4, 2.54, 0.0254)
        points = (
            isinstance(node, ast.BinOp)
            and isinstance(node.op, ast.Mult | ast.Div | ast.FloorDiv)
            and (number(node.left, 72) or number(node.right, 72))
        )
        if inch or points:
            found.append(node.lineno)
    return found


@pytest.mark.parametrize("module", SOURCES)
def test_inch_and_point_live_in_units_only(module: str) -> None:
    if module != "artgen/units.py":
        assert conversion_faults(SOURCES[module].read_text(encoding="utf-8")) == []


@pytest.mark.parametrize(
    "line", ["x = y * 25.4", "INCH = 25.4", "x = y / 72", "x = 72.0 * y", "x = 72 / (2 * y)", "f(a, 72 / 2.54)"]
)
def test_a_planted_conversion_is_found(line: str) -> None:
    assert conversion_faults(line)


@pytest.mark.parametrize("line", ["size = 72", "dash = (72, 4)", "x = y * 720", "text = '25.4 / 72'", "x = y + 72"])
def test_other_numbers_are_none_of_its_business(line: str) -> None:
    assert conversion_faults(line) == []


def length_faults(source: str) -> list[str]:
    found = []
    lines = len(source.splitlines())
    if lines > FILE_LINES:
        found.append(f"the file has {lines} lines")
    for node in ast.walk(parsed(source)):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            assert node.end_lineno is not None
            long = node.end_lineno - node.lineno + 1
            if long > FUNCTION_LINES:
                found.append(f"{node.name} has {long} lines")
    return found


@pytest.mark.parametrize("module", SOURCES)
def test_nothing_grows_too_long(module: str) -> None:
    assert length_faults(SOURCES[module].read_text(encoding="utf-8")) == []


def test_what_is_planted_too_long_is_found() -> None:
    body = "    x = 1\n"
    assert length_faults("def f():\n" + body * (FUNCTION_LINES - 1)) == []
    assert length_faults("def f():\n" + body * FUNCTION_LINES) == [f"f has {FUNCTION_LINES + 1} lines"]
    assert length_faults("class C:\n    async def f(self):\n" + ("    " + body) * FUNCTION_LINES) != []
    assert length_faults("x = 1\n" * FILE_LINES) == []
    assert length_faults("x = 1\n" * (FILE_LINES + 1)) == [f"the file has {FILE_LINES + 1} lines"]
