"""The report on a terminal: by panel, worst first, one cause once; then what was not examined, and the sum.

Takes a job, gives text. What comes from files and orders can't steer the terminal: `words.plain` has spelt it out.
"""

import textwrap

import click

from ..checks import SEVERITIES
from ..job import Job
from ..sizing.names import where
from ..words import Words, plain, words
from .items import Copy, Item, items_of, meant_for, more_of, silenced_of

_COLOURS = {"error": "red", "warning": "yellow", "note": "cyan"}
_INDENT = " " * 11
_WIDEST = 110  # ours: longer lines are hard to read


def as_text(job: Job, copy: Copy = "shop", *, colour: bool = False, width: int | None = None) -> str:
    """The whole report. ``width`` = columns to wrap at; None: a sentence a line."""
    say = words(job.order.language)
    look = _Look(colour, min(width, _WIDEST) if width else None)
    lines: list[str] = []
    heading: int | None = -1
    for item in items_of(meant_for(copy, job.findings), say):
        if item.finding.panel != heading:
            heading = item.finding.panel
            lines += ([""] if lines else []) + [look.bold(_heading(job, heading, say)), ""]
        lines += _lines(item, copy, look, say)
    lines += [""] if lines else []
    lines += _silences(job, copy, look, say)
    if job.assumed:
        lines += [look.bold(say("report.assumed")), ""]
        lines += [look.wrapped(text, "  ", "    ") for text in job.assumed] + [""]
    if job.not_examined:
        lines += [look.bold(say("report.not-examined")), ""]
        lines += [look.wrapped(f"{plain(one.what)}: {plain(one.why)}", "  ", "    ") for one in job.not_examined] + [""]
    counted = meant_for(copy, job.findings)
    counts = {severity: sum(f.severity == severity for f in counted) for severity in SEVERITIES}
    lines.append(say("report.counts" if copy == "shop" else "report.counts.client", **counts))
    return "\n".join(lines) + "\n"


def _silences(job: Job, copy: Copy, look: "_Look", say: Words) -> list[str]:
    quiet, said = silenced_of(job, copy, say)
    if not quiet and not said:
        return []
    lines = [look.bold(say("report.silenced" if copy == "shop" else "report.silenced.client")), ""]
    for item in quiet:
        lines += _lines(item, copy, look, say)
        lines.append(look.wrapped(say("report.reason", reason=item.finding.silenced), _INDENT, _INDENT))
    return [*lines, *(look.wrapped(text, "  ", "    ") for text in said), ""]


class _Look:
    def __init__(self, colour: bool, width: int | None) -> None:
        self.colour, self.width = colour, width

    def styled(self, text: str, **style: object) -> str:
        return click.style(text, **style) if self.colour else text  # type: ignore[arg-type]

    def bold(self, text: str) -> str:
        return self.styled(text, bold=True)

    def wrapped(self, text: str, first: str, then: str) -> str:
        if self.width is None:
            return first + text
        wide = max(self.width, len(then) + 20)
        return textwrap.fill(text, wide, initial_indent=first, subsequent_indent=then, break_on_hyphens=False)


def _heading(job: Job, number: int | None, say: Words) -> str:
    if number is None:
        return say("report.files")
    for structure in job.sizing.structures:
        for panel in structure.panels:
            if panel.number == number:
                return say("report.panel", panel=number, where=where(structure, panel, say))
    raise KeyError(number)


def _lines(item: Item, copy: Copy, look: _Look, say: Words) -> list[str]:
    finding = item.finding
    word = say(f"severity.{finding.severity}" if copy == "shop" else f"weight.{finding.severity}")
    tag = look.styled(f"{word:<8}", fg=_COLOURS[finding.severity], bold=True)
    # the tag's colour counts for no columns: the text is wrapped round as many blanks
    first = _INDENT if len(word) <= 8 else f"  {word} "
    message = look.wrapped(f"{item.said.message} {more_of(item, say)}".strip(), first, _INDENT)
    lines = [f"  {tag} " + message[len(first) :]]
    if item.said.advice:
        lines.append(look.wrapped(item.said.advice, _INDENT, _INDENT))
    lines.append(look.styled(look.wrapped(_source(item, copy, say), _INDENT, _INDENT), dim=True))
    return lines


def _source(item: Item, copy: Copy, say: Words) -> str:
    """What it goes by: the rule, the file, the page, the place."""
    finding = item.finding
    parts = [finding.rule if copy == "shop" else item.title]
    if finding.file:
        parts.append(plain(finding.file))
    if finding.page and finding.page > 1:
        parts.append(say("report.page", page=finding.page))
    if finding.where:
        x, y, w, h = (f"{value:.0f}" for value in finding.where)
        parts.append(say("report.where", x=x, y=y, w=w, h=h))
    return ", ".join(parts)
