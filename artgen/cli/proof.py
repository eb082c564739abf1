"""`artgen proof`: the paper that the client signs, as a revision of its own."""

from pathlib import Path

import click

from .. import job as jobs
from ..job import Job
from ..order import Order
from ..proof import WEIGHTS, Weight
from ..revisions import Revision, revise
from ..sizing.panel import Sizing
from ..words import words
from .work import DONE, ERRORS_FOUND, ORDER, guarded, open_order, out_option, progress, tell


@click.command()
@ORDER
@click.option(
    "--weight",
    type=click.Choice(WEIGHTS),
    default="full",
    show_default=True,
    help="How large the pictures may be: light for a mailbox, full for a printer.",
)
@out_option("proofs/ beside the order")
@guarded
def command(order: Path, weight: Weight, out: Path | None) -> int:
    """Check the art and make the next revision of the proof: A, B, C … each in a folder of its own that is never written over.

    Where nothing has changed since the last one, none is made. Each is put on record.
    """
    loaded, sizing = open_order(order)
    say = words(loaded.language)
    made = revise(loaded, sizing, lambda: _job(loaded, sizing), say, out=out, weight=weight, tell=tell)
    for note in made.notes:
        tell(note)
    for line in told(made, loaded):
        tell(line)
    return ERRORS_FOUND if made.errors else DONE


def _job(order: Order, sizing: Sizing) -> Job:
    show = progress()
    job = jobs.run(order, sizing, show)
    show("")
    return job


def told(made: Revision, order: Order) -> list[str]:
    """What was made, or that nothing was, and what is still to be done."""
    say = words(order.language)
    if not made.new:
        lines = [say("proofed.same", revision=made.name, folder=str(made.folder))]
    else:
        lines = [say("proofed.made", revision=made.name, folder=str(made.folder)), say("proofed.files")]
        if not order.mail.to:
            lines.append(say("proofed.no-address"))
        if not order.mail.answer_by:
            lines.append(say("proofed.no-date"))
    if made.errors:
        lines.append(say("proofed.errors.one") if made.errors == 1 else say("proofed.errors", n=made.errors))
    return lines
