"""`artgen check`: findings, for people and for programs."""

from pathlib import Path
from typing import Any

import click

from .. import job as jobs
from .. import record
from ..checks import SEVERITIES, Finding
from ..checks.wording import grouped, sentences, silence_said, worst_first
from ..job import Job
from ..order import Order
from ..record.story import fault_line
from ..sizing.names import where
from ..sizing.panel import Panel, SizedStructure
from ..typed import TableError
from ..words import Words, plain, words
from .work import DONE, ERRORS_FOUND, ORDER, guarded, json_bytes, open_order, progress, write

_COLOURS = {"error": "red", "warning": "yellow", "note": "cyan"}


@click.command()
@ORDER
@click.option("--panel", type=int, help="Only this panel.")
@click.option("--json", "json_file", help="Write the findings as JSON to FILE (- for standard output).", metavar="FILE")
@guarded
def command(order: Path, panel: int | None, json_file: str | None) -> int:
    """Check the client's art: text over corners, joins and seams, sizes, bleed, missing and damaged files."""
    loaded, sizing = open_order(order)
    if panel is not None and panel not in [p.number for p in sizing.panels]:
        raise TableError("check", [("--panel", f"this order has no panel {panel}")])
    job = jobs.run(loaded, sizing, progress(), only=panel, approved=_approved(loaded))
    if json_file:
        write(json_file, json_bytes(as_json(job)))
    if json_file != "-":
        click.echo(as_text(job), nl=False)
    return ERRORS_FOUND if job.errors else DONE


def _approved(order: Order) -> jobs.Approved | str:
    """What the art is held against; of a record that was changed nothing is believed."""
    log = record.read(order.folder)
    faults = record.log_faults(log.lines)
    return fault_line(faults[0], words(order.language)) if faults else record.approved(log.entries)


def as_json(job: Job) -> dict[str, Any]:
    """Findings for programs; the schema is in docs/formats.md."""
    say = words(job.order.language)
    quiet = [_finding(finding, say) | {"reason": finding.silenced} for finding in job.silenced]
    return {
        "schema": 1,
        "findings": [_finding(finding, say) for finding in job.findings],
        **({"silenced": quiet} if quiet else {}),
        "not_examined": [{"what": one.what, "why": one.why} for one in job.not_examined],
    }


def _finding(finding: Finding, say: Words) -> dict[str, Any]:
    said = sentences(finding, say)
    return {
        "rule": finding.rule,
        "severity": finding.severity,
        "audience": finding.audience,
        "panel": finding.panel,
        "file": finding.file,
        "page": finding.page,
        "where_mm": list(finding.where) if finding.where else None,
        "message": said.message,
        "advice": said.advice,
        "evidence": finding.evidence,
    }


def as_text(job: Job) -> str:
    """The report that a person reads: by panel, worst first, one line a cause; then what was not examined."""
    say = words(job.order.language)
    lines: list[str] = []
    named = {panel.number: (s, panel) for s in job.sizing.structures for panel in s.panels}
    by_panel: dict[int | None, list[Finding]] = {}
    for finding in job.findings:
        by_panel.setdefault(finding.panel, []).append(finding)
    for number, findings in by_panel.items():
        lines += [_heading(number, named, say), ""]
        for group in grouped(worst_first(findings)):
            lines += _lines(group.finding, group.count, say)
        lines.append("")
    lines += _silences(job, say)
    if job.not_examined:
        lines += [say("report.not-examined"), ""]
        lines += [f"  {plain(one.what)}: {plain(one.why)}" for one in job.not_examined] + [""]
    counts = {severity: sum(f.severity == severity for f in job.findings) for severity in SEVERITIES}
    lines.append(say("report.counts", **counts))
    return "\n".join(lines) + "\n"


def _silences(job: Job, say: Words) -> list[str]:
    """Findings that the order silences, each with its reason, and silences that ask for something."""
    said = [text for text in (silence_said(state, say) for state in job.silences) if text]
    if not job.silenced and not said:
        return []
    lines = [say("report.silenced"), ""]
    for finding in job.silenced:
        lines += _lines(finding, 1, say)
        lines.append(f"           {say('report.reason', reason=finding.silenced)}")
    return [*lines, *(f"  {text}" for text in said), ""]


def _heading(number: int | None, named: dict[int, tuple[SizedStructure, Panel]], say: Words) -> str:
    if number is None:
        return say("report.files")
    structure, panel = named[number]
    return say("report.panel", panel=number, where=where(structure, panel, say))


def _lines(finding: Finding, count: int, say: Words) -> list[str]:
    said = sentences(finding, say)
    tag = click.style(f"{say('severity.' + finding.severity):<8}", fg=_COLOURS[finding.severity], bold=True)
    more = " " + say("report.more", count=count - 1) if count > 1 else ""
    place = ""
    if finding.where:
        x, y, w, h = finding.where
        place = say("report.where", x=f"{x:.0f}", y=f"{y:.0f}", w=f"{w:.0f}", h=f"{h:.0f}")
    of = f", {plain(finding.file)}" if finding.file else ""
    page = say("report.page", page=finding.page) if finding.page and finding.page > 1 else ""
    lines = [f"  {tag} {said.message}{more}"]
    if said.advice:
        lines.append(f"           {said.advice}")
    lines.append(click.style(f"           {finding.rule}{of}{page}{', ' + place if place else ''}", dim=True))
    return lines
