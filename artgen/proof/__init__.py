"""A checked job to the proof that a client opens, understands and signs: one PDF.

Takes a `Job`; gives PDF bytes. Only pixels of the client's art go in, nothing of the files themselves. Until revisions
are kept, every proof says that it is revision A and a draft.
"""

from ..drawing.paper import Paper
from ..drawing.pdf import write_pdf
from ..drawing.title_block import TitleBlock, TitleBlockWords
from ..job import Job
from ..words import Words
from . import closing, cover
from .panel_page import panel_page
from .wrap_page import wrap_page

__all__ = ["proof_paper", "proof_pdf"]


def proof_pdf(job: Job, say: Words) -> bytes:
    """The proof as a PDF. Same job, same bytes."""
    title = say("proof.title", order=job.order.number or say("proof.none"), name=job.order.name)
    return write_pdf(proof_paper(job, say).pages(), title=title, language=job.order.language)


def proof_paper(job: Job, say: Words) -> Paper:
    """The proof's sheets: cover, table, a page for each panel and for each wrap, limits and cautions, decision."""
    paper = Paper(_title_block(job, say), sheet=job.order.settings.paper)
    cover.cover(paper, job, say)
    paper.new_page()
    cover.panel_table(paper, job, say)
    for structure in job.sizing.structures:
        for panel in structure.panels:
            for wrap in job.sizing.wraps:
                if panel.number == min(wrap.panels):
                    wrap_page(paper, job, wrap, say)
            panel_page(paper, job, structure, panel, say)
    closing.limits(paper, job, say)
    closing.decision(paper, job, say)
    return paper


def _title_block(job: Job, say: Words) -> TitleBlock:
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
        revision=say("proof.revision"),
        date_of_issue=order.date or "",
        words=words,
    )
