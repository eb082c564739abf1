"""A checked job to the proof that a client opens, understands and signs: a PDF, a page for the screen, pictures.

Takes a `Job` and an `Issue` (revision, weight, what changed); gives names and bytes, and writes nothing. Only pixels of
the client's art go in, nothing of the files themselves.
"""

from collections.abc import Iterator
from itertools import islice

from ..drawing.paper import Paper
from ..drawing.pdf import write_pdf
from ..drawing.title_block import TitleBlock, TitleBlockWords
from ..job import Job
from ..words import Words
from . import closing, cover
from .all_found import all_found
from .drawn import Flat, Seen, drawn, file_stems
from .flat_view import flat_views
from .issue import WEIGHTS, Changes, Issue, Weight
from .page import Still, proof_page, view_words
from .panel_page import panel_page
from .views import NamedView
from .wrap_page import wrap_page

__all__ = ["WEIGHTS", "Changes", "Issue", "Weight", "file_stems", "proof_files", "proof_paper", "proof_pdf"]

FIRST = Issue()


def proof_files(job: Job, say: Words, issue: Issue = FIRST, workers: int | None = None) -> Iterator[tuple[str, bytes]]:
    """(name, bytes) of every file of a revision: ``proof.pdf``, ``proof.html``, ``views/*.png``. Same job and issue, same
    bytes. ``workers`` = processes, None: as many as there are processors."""
    drawing = drawn(job, issue, workers)
    made = list(islice(drawing, 1))  # others are drawn meanwhile, on machines with several processors
    yield "proof.pdf", proof_pdf(job, say, issue)
    made += drawing
    seen = [one for one in made if isinstance(one, Seen)]
    views: dict[int, list[NamedView]] = {one.index: [] for one in job.sizing.structures}
    stills: dict[int, list[Still]] = {one.index: [] for one in job.sizing.structures}
    for one in seen:
        views[one.structure].append(one.view)
        alt = say("screen.still", name=job.sizing.structures[one.structure].name, view=view_words(one.view, say))
        stills[one.structure].append(Still(one.still, *one.size, alt))
    pictures = {one.number: one.picture for one in made if isinstance(one, Flat)}
    yield "proof.html", proof_page(job, say, issue, views, stills, pictures)
    yield from ((one.name, one.png) for one in seen)


def proof_pdf(job: Job, say: Words, issue: Issue = FIRST) -> bytes:
    """The proof as a PDF."""
    title = say(
        "proof.title", order=job.order.number or say("proof.none"), name=job.order.name, revision=issue.revision
    )
    return write_pdf(proof_paper(job, say, issue).pages(), title=title, language=job.order.language)


def proof_paper(job: Job, say: Words, issue: Issue = FIRST) -> Paper:
    """The proof's sheets: cover, what changed, table, all that was found, sides laid flat, a page for each panel and for each
    wrap, limits and cautions, decision."""
    paper = Paper(_title_block(job, say, issue), sheet=job.order.settings.paper)
    cover.cover(paper, job, say, issue)
    if issue.changes is not None:
        issue.changes.draw(paper)
    paper.new_page()
    cover.panel_table(paper, job, say)
    all_found(paper, job, say)
    flat_views(paper, job, say, issue)
    for structure in job.sizing.structures:
        for panel in structure.panels:
            for wrap in job.sizing.wraps:
                if panel.number == min(wrap.panels):
                    wrap_page(paper, job, wrap, say, issue)
            panel_page(paper, job, structure, panel, say, issue)
    closing.limits(paper, job, say)
    closing.decision(paper, job, say, issue)
    return paper


def _title_block(job: Job, say: Words, issue: Issue) -> TitleBlock:
    order = job.order
    words = TitleBlockWords(
        owner=say("proof.block.owner"),
        creator=say("proof.block.creator"),
        approver=say("proof.block.approver"),
        title=say("proof.block.title"),
        document_type=say("proof.block.type"),
        identification=say("proof.block.number"),
        revision=say("proof.block.revision"),
        date_of_issue=say("proof.block.date"),
        sheet=say("proof.block.sheet"),
        of=say("proof.block.of", n="{n}", m="{m}"),
    )
    return TitleBlock(
        owner="",
        creator=order.mail.sender,
        title=order.name,
        supplementary_title=order.client,
        document_type=say("proof.type"),
        identification=order.number,
        revision=issue.revision,
        date_of_issue=order.date or "",
        words=words,
    )
