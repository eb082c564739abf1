"""`artgen compare`: what changed from one revision to another."""

from pathlib import Path

import click

from .. import record
from ..comparing import compare
from ..comparing.saying import report
from ..comparing.web_page import web_page
from ..record import RecordError
from ..record.story import fault_line
from ..revisions import kept, revision_named
from ..words import words
from .work import DONE, ORDER, guarded, order_folder, tell, write


@click.command()
@ORDER
@click.argument("before", metavar="A")
@click.argument("after", metavar="B")
@click.option(
    "--html", "html", metavar="FILE", help="Write it with pictures as a page to FILE (- for standard output)."
)
@guarded
def command(order: Path, before: str, after: str, html: str | None) -> int:
    """Say what changed from proof A to proof B: panels, words, findings. --html shows both and where they differ.

    Both are read from their folders; the old art is not needed.
    """
    say = words()
    folder = order_folder(order)
    log = record.read(folder)
    faults = record.log_faults(log.lines)
    if faults:
        raise RecordError(f"the record is not as it was written: {fault_line(faults[0], say)}")
    old, new = (kept(folder, revision_named(log.entries, name)) for name in (before, after))
    between = compare(old, new)
    name, number = new.manifest.name, new.manifest.number
    if html:
        write(html, web_page(between, name, number, "en", say))
        if html != "-":
            tell(say("change.written", file=html))
    if html != "-":
        click.echo("\n".join(report(between, say, name, number)))
    return DONE
