"""`artgen new`: a commented order for one structure."""

from pathlib import Path
from typing import Any

import click

from ..structure.kinds import KINDS
from ..typed import MOST_TITLE, TableError, nearest
from ..units import LengthError, parse_length
from .work import guarded, tell, write

# What each size is when no flag gives it: a plausible thing to start from
_DEFAULTS = {"width": "1000 mm", "depth": "800 mm", "height": "2400 mm", "edge": "1500 mm"}

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


@click.command()
@click.argument("folder", type=click.Path(path_type=Path, file_okay=False), metavar="DIR")
@click.option("--kind", required=True, help=f"What it is: {', '.join(KINDS)}.")
@click.option("--width", help="box, wall: outer width of the metal.")
@click.option("--depth", help="box: outer depth.")
@click.option("--height", help="box, wall: height of the metal, without feet.")
@click.option("--edge", help="hung-cube: outer length of an edge.")
@guarded
def command(folder: Path, kind: str, **sizes: Any) -> int:
    """Write DIR/order.toml, commented, for one structure."""
    faults: list[tuple[str, str]] = []
    if kind not in KINDS:
        raise TableError("new", [("--kind", f"no kind named {kind!r}" + nearest(kind, KINDS))])
    for flag, text in sizes.items():
        if text is None:
            continue
        if flag not in KINDS[kind].sizes:
            faults.append(
                (f"--{flag}", f"a {kind} has none; it takes {', '.join('--' + s for s in KINDS[kind].sizes)}")
            )
            continue
        try:
            if parse_length(text) <= 0:
                faults.append((f"--{flag}", f"expected a length over 0, got {text!r}"))
        except LengthError as error:
            faults.append((f"--{flag}", str(error)))
    path = folder / "order.toml"
    if path.exists():
        faults.append((str(path), "is there already and is not written over; choose another folder"))
    if faults:
        raise TableError("new", faults)
    values = {key: _escaped(sizes[key] or _DEFAULTS[key]) for key in KINDS[kind].sizes}
    name = '"' + _escaped(folder.resolve().name[:MOST_TITLE]) + '"'
    text = _ORDER.format(name=name, kind=kind, lines=KINDS[kind].lines.format(**values))
    write(path, text.encode())
    (folder / "art").mkdir(exist_ok=True)
    tell(f"{path} written. Next: artgen size {folder}")
    return 0


def _escaped(text: str) -> str:
    return text.replace("\\", "\\\\").replace('"', '\\"')
