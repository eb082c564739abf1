"""`artgen proof`: the paper that the client signs."""

from pathlib import Path

import click

from .. import job as jobs
from ..proof import proof_pdf
from ..words import words
from .work import DONE, ERRORS_FOUND, ORDER, guarded, open_order, out_option, progress, tell, write


@click.command()
@ORDER
@out_option("proofs/ beside the order")
@guarded
def command(order: Path, out: Path | None) -> int:
    """Check the art and write the proof: revision A, a draft, until revisions come."""
    loaded, sizing = open_order(order)
    job = jobs.run(loaded, sizing, progress())
    target = (out if out is not None else loaded.folder / "proofs") / "A" / "proof.pdf"
    write(target, proof_pdf(job, words(loaded.language)))
    tell(f"{target} written: {job.errors} errors found" if job.errors else f"{target} written")
    return ERRORS_FOUND if job.errors else DONE
