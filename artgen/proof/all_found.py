"""One list of all that was found: what must change, what to look at, what is only noted. Each cause stands there once."""

from ..checks.wording import grouped, sentences
from ..drawing.paper import Paper
from ..job import Job
from ..words import Words
from . import judged


def all_found(paper: Paper, job: Job, say: Words) -> None:
    """On a sheet of its own; none where nothing was found."""
    findings = judged.for_client(job)
    if not findings:
        return
    paper.new_page()
    paper.heading(say("proof.found"), 1)
    paper.paragraph(say("proof.found.text"))
    for severity in ("error", "warning", "note"):
        rows = []
        for group in grouped(finding for finding in findings if finding.severity == severity):
            numbers = sorted({n for member in group.members for n in member.panels})
            words = sentences(group.finding, say)
            more = group.count - 1
            also = "" if not more else say("proof.found.more.one") if more == 1 else say("proof.found.more", n=more)
            where = ", ".join(map(str, numbers)) or say("proof.none")
            rows.append((numbers or [10**6], [where, f"{words.message} {also}".strip(), words.advice]))
        if rows:
            paper.heading(say(f"proof.found.{severity}"), 2)
            head = [say(f"proof.col.{key}") for key in ("panel", "found", "do")]
            paper.table(head, [row for _, row in sorted(rows, key=lambda row: row[0])], [0.1, 0.45, 0.45])
