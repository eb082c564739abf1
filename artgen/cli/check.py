"""`artgen check`: findings, for people and for programs."""

import os
import shutil
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import click
from attrs import evolve

from .. import job as jobs
from .. import record
from ..order import Order
from ..record.story import fault_line
from ..report import COPIES, Copy, as_html, as_json, as_text
from ..typed import TableError
from ..words import words
from .lone_file import PROFILES, lone_order
from .work import DONE, ERRORS_FOUND, guarded, json_bytes, open_order, progress, write


def _profiles(command: Callable[..., Any]) -> Callable[..., Any]:
    for name in reversed(PROFILES):
        command = click.option(f"--{name}", metavar="NAME", help=f"Without an order: the {name} profile.")(command)
    return command


@click.command()
@click.argument("order", type=click.Path(path_type=Path), metavar="ORDER|FILE")
@click.option("--width", metavar="LENGTH", help="Without an order: the frame's width, outside.")
@click.option("--height", metavar="LENGTH", help="Without an order: the frame's height, outside.")
@_profiles
@click.option("--panel", type=int, help="Only this panel.")
@click.option("--json", "json_file", help="Write the findings as JSON to FILE (- for standard output).", metavar="FILE")
@click.option("--html", "html_file", help="Write the report with pictures as one HTML page to FILE.", metavar="FILE")
@click.option(
    "--for",
    "copy",
    type=click.Choice(COPIES),
    default="shop",
    show_default=True,
    help="Whose copy: the client's leaves out what only the shop must know, and says the rest plainly.",
)
@guarded
def command(
    order: Path,
    panel: int | None,
    json_file: str | None,
    html_file: str | None,
    copy: Copy,
    width: str | None,
    height: str | None,
    **named: str | None,
) -> int:
    """Check the client's art: text over corners, joins and seams, sizes, bleed, missing and damaged files.

    With --width and --height, one FILE is checked without an order, as the only panel of a wall.
    """
    lone = any(value is not None for value in (width, height, *named.values()))
    if not lone and order.is_file() and order.suffix.lower() != ".toml":
        text = "is no order; to check a file without one, give its frame's --width and --height"
        raise TableError("check", [(order.name, text)])
    assumed: tuple[str, ...] = ()
    if lone:
        loaded, sizing, assumed = lone_order(order, width, height, named)
    else:
        loaded, sizing = open_order(order)
    if panel is not None and panel not in [p.number for p in sizing.panels]:
        raise TableError("check", [("--panel", f"this order has no panel {panel}")])
    tell = progress()
    approved = {} if lone else _approved(loaded)
    wanted = html_file is not None
    job = jobs.run(loaded, sizing, tell, only=panel, pictures=wanted, alone=order if lone else None, approved=approved)
    job = evolve(job, assumed=assumed)
    tell("")
    if json_file:
        write(json_file, json_bytes(as_json(job, copy)))
    if html_file:
        write(html_file, as_html(job, copy))
    if "-" not in (json_file, html_file):
        click.echo(as_text(job, copy, colour=_coloured(), width=_columns()), nl=False, color=_coloured())
    return ERRORS_FOUND if job.errors else DONE


def _coloured() -> bool:
    """Only on a terminal that takes it, and not where the user says so (NO_COLOR)."""
    return sys.stdout.isatty() and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"


def _approved(order: Order) -> jobs.Approved | str:
    """What the art is held against; of a record that was changed nothing is believed."""
    log = record.read(order.folder)
    faults = record.log_faults(log.lines)
    return fault_line(faults[0], words(order.language)) if faults else record.approved(log.entries)


def _columns() -> int | None:
    return shutil.get_terminal_size().columns if sys.stdout.isatty() else None
