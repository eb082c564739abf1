"""`artgen new`: a commented order for one structure."""

import re
import tomllib
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import click

from ..order import from_tables
from ..structure.kinds import KINDS
from ..structure.kinds.kind import Flag, Form, Kind
from ..typed import MOST_TITLE, TableError, nearest
from ..units import LengthError, parse_length
from .work import guarded, tell, write

_ORDER = """\
# An order for artgen. Lengths carry their unit: "1000 mm", "3.66 m", "36in", "12' 6 1/2\\"".
schema = 1
name = {name}
number = ""              # your order number
client = ""
# date = "2026-03-02"    # of the order; papers show this date, never today's
language = "en"

[defaults]
frame = "standard"       # profiles: how the metal, strip, cloth and printer measure
strip = "flat-14"
fabric = "display-knit"
roll = "wide-3200"
# bleed = "25 mm"        # these three come from the profiles unless given
# safe = "40 mm"
# seam_clearance = "30 mm"
reading_distance = "3 m" # how far the nearest reader stands
eye_height = "1600 mm"
paper = "a4"             # or "letter"

[[structure]]
name = {name}
kind = "{kind}"
{lines}lit = "none"             # or "inside"

# The client's files go into art/ beside this file. A file whose name holds "panel-3" (or "p3") is taken for panel 3.
# A file with another name is named here:
# [[art]]
# panel = 1
# file = "their file.pdf"
#
# One page across neighbouring panels:
# [[wrap]]
# panels = [1, 2]
# file = "round the corner.pdf"
# behind = "on"          # the art runs on behind the metal; "closed" = closed up
"""


def _flags(command: Callable[..., Any]) -> Callable[..., Any]:
    """Every kind's sizes as options; a flag of several kinds says what it is for each."""
    named: dict[str, list[tuple[str, Flag]]] = {}
    for kind in KINDS.values():
        for flag in (flag for form in kind.forms for flag in form.flags):
            named.setdefault(flag.name, []).append((kind.name, flag))
    for name, uses in reversed(named.items()):
        meanings: dict[str, list[str]] = {}
        for kind_name, flag in uses:
            meanings.setdefault(flag.help, []).append(kind_name)
        words = "; ".join(f"{', '.join(dict.fromkeys(kinds))}: {what}" for what, kinds in meanings.items())
        many = any(isinstance(flag.default, tuple) for _, flag in uses)
        command = click.option(f"--{name}", multiple=many, help=f"{words}.")(command)
    return command


@click.command()
@click.argument("folder", type=click.Path(path_type=Path, file_okay=False), metavar="DIR")
@click.option("--kind", required=True, help=f"What it is: {', '.join(KINDS)}.")
@_flags
@guarded
def command(folder: Path, kind: str, **sizes: Any) -> int:
    """Write DIR/order.toml, commented, for one structure."""
    faults: list[tuple[str, str]] = []
    if kind not in KINDS:
        raise TableError("new", [("--kind", f"no kind named {kind!r}" + nearest(kind, KINDS))])
    given = {name: _texts(value) for name, value in sizes.items() if value not in (None, ())}
    form = _form(KINDS[kind], given)
    values = {}
    listed = any(isinstance(flag.default, tuple) for flag in form.flags if flag.name in given)
    for flag in form.flags:
        # lists that belong together are given together, or not at all
        several = isinstance(flag.default, tuple)
        texts = given.get(flag.name, () if listed and several else _texts(flag.default))
        shown = [_value(flag, text, faults) for text in texts]
        values[flag.name] = f"[{', '.join(shown)}]" if several else shown[0]
    path = folder / "order.toml"
    if path.exists():
        faults.append((str(path), "is there already and is not written over; choose another folder"))
    if faults:
        raise TableError("new", faults)
    name = _quoted(folder.resolve().name[:MOST_TITLE])
    text = _ORDER.format(name=name, kind=kind, lines=form.lines.format(**values))
    _try(text, folder)
    write(path, text.encode())
    (folder / "art").mkdir(exist_ok=True)
    tell(f"{path} written. Next: artgen size {folder}")
    return 0


def _texts(value: str | tuple[str, ...]) -> tuple[str, ...]:
    return value if isinstance(value, tuple) else (value,)


def _form(kind: Kind, given: Mapping[str, tuple[str, ...]]) -> Form:
    """The first form of the kind that takes all that was given, as often as it was. Raises `TableError`, with what each takes."""
    for form in kind.forms:
        most = {
            flag.name: len(given[flag.name]) if isinstance(flag.default, tuple) else 1
            for flag in form.flags
            if flag.name in given
        }
        if all(len(texts) <= most.get(name, 0) for name, texts in given.items()):
            return form
    forms = [
        ", ".join(f"--{flag.name}" + (" repeated" if isinstance(flag.default, tuple) else "") for flag in form.flags)
        for form in kind.forms
    ]
    takes = f"it takes {'; or '.join(forms)}" if any(forms) else "its shape is written into the order"
    known = {flag.name for form in kind.forms for flag in form.flags}
    faults = [(f"--{name}", f"a {kind.name} has none; {takes}") for name in given if name not in known]
    together = " and ".join(
        f"--{name}" + (f" ({len(texts)} times)" if len(texts) > 1 else "") for name, texts in given.items()
    )
    raise TableError("new", faults or [("", f"a {kind.name} is not given by {together}; {takes}")])


def _value(flag: Flag, text: str, faults: list[tuple[str, str]]) -> str:
    """The flag's text as TOML, unchanged; what is wrong with it goes to ``faults``."""
    path = f"--{flag.name}"
    if flag.what == "count":
        if not re.fullmatch(r"[1-9][0-9]{0,3}", text):
            faults.append((path, f"expected a whole number, got {text!r}"))
        return text
    if flag.what == "angle":
        if not re.fullmatch(r"[+-]?(0|[1-9][0-9]{0,3})(\.[0-9]+)?", text):
            faults.append((path, f"expected degrees, such as 90 or -45.5, got {text!r}"))
        return text
    try:
        if parse_length(text) <= 0:
            faults.append((path, f"expected a length over 0, got {text!r}"))
    except LengthError as error:
        faults.append((path, str(error)))
    return _quoted(text)


def _try(text: str, folder: Path) -> None:
    """Raises `TableError` where the sizes make no such structure; nothing is written then."""
    try:
        from_tables(tomllib.loads(text), KINDS, folder, "new")
    except TableError as error:
        raise TableError("new", [(path.removeprefix("structure 1, "), what) for path, what in error.faults]) from None


def _quoted(text: str) -> str:
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'
