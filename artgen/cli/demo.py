"""`artgen demo`: the sample orders, copied and run; ends by listing what was found against what was planted."""

import shutil
import tomllib
from pathlib import Path
from typing import Any

import click
from attrs import frozen

from .. import job as jobs
from ..checks import Finding
from ..checks.wording import sentences
from ..job import Job
from ..report import as_html, as_json, as_text
from ..resources import resource
from ..revisions import revise
from ..words import Words, words
from .size import as_table
from .size_files import as_csv
from .template_folder import folder_files
from .work import DONE, ERRORS_FOUND, OutputError, guarded, json_bytes, open_order, progress, tell, write

_NEAR = 1.0  # mm: a found place and a planted one must meet to within this


@frozen
class Planted:
    """A fault that was put into the sample art on purpose. ``near`` = x, y, w, h in the panel's sewn frame, or none."""

    rule: str
    panel: int
    severity: str
    what: str
    near: tuple[float, float, float, float] | None
    text: str | None

    def is_found_by(self, finding: Finding) -> bool:
        if (finding.rule, finding.panel, finding.severity) != (self.rule, self.panel, self.severity):
            return False
        if self.text is not None and finding.evidence.get("text") != self.text:
            return False
        if self.near is None or finding.where is None:
            return True
        (x, y, w, h), (a, b, c, d) = self.near, finding.where
        return a <= x + w + _NEAR and x <= a + c + _NEAR and b <= y + h + _NEAR and y <= b + d + _NEAR


@click.command()
@click.argument("folder", type=click.Path(path_type=Path, file_okay=False), default="demo", metavar="[DIR]")
@guarded
def command(folder: Path) -> int:
    """Copy the sample orders to DIR (default demo/), run size, template, check and proof on them, say where to look."""
    say = words()
    right = True
    for name in ("first", "mended"):
        order = folder / name
        try:
            shutil.copytree(resource("sample_art") / name, order, dirs_exist_ok=True)
        except OSError as error:
            raise OutputError(
                f"{order}: could not be written ({error}); choose another place: artgen demo DIR"
            ) from None
        click.echo(say("demo.running", order=order))
        job = _run(order)
        planted = _planted(order / "planted.toml")
        lines, good = _compare(job, planted, say)
        click.echo("\n".join(lines))
        right = right and good
    click.echo(say("demo.look", folder=folder))
    return DONE if right else ERRORS_FOUND


def _run(order: Path) -> Job:
    loaded, sizing = open_order(order)
    write(order / "report" / "size.txt", as_table(loaded, sizing).encode())
    write(order / "report" / "size.csv", as_csv(loaded, sizing).encode())
    for file, data, _ in folder_files(loaded, sizing, ["svg", "pdf", "png"], None):
        write(order / "templates" / file, data)
    job = jobs.run(loaded, sizing, progress())
    write(order / "report" / "check.txt", as_text(job).encode())
    write(order / "report" / "check.json", json_bytes(as_json(job)))
    write(order / "report" / "check.html", as_html(job))
    write(order / "report" / "check-client.html", as_html(job, "client"))
    # a demo that is run again in the same folder finds its proofs unchanged, and makes none
    revise(loaded, sizing, lambda: job, words(loaded.language), out=None, weight="full", tell=tell)
    return job


def _planted(path: Path) -> list[Planted]:
    if not path.is_file():
        return []
    faults: list[dict[str, Any]] = tomllib.loads(path.read_text(encoding="utf-8"))["fault"]
    return [
        Planted(
            fault["rule"],
            fault["panel"],
            fault["severity"],
            fault["what"],
            tuple(fault["near_mm"]) if "near_mm" in fault else None,
            fault.get("text"),
        )
        for fault in faults
    ]


def _compare(job: Job, planted: list[Planted], say: Words) -> tuple[list[str], bool]:
    """What was found, against what was planted: every planted fault once, and no other error or warning."""
    found = [finding for finding in job.findings if finding.severity != "note"]
    lines, missed = [], []
    for fault in planted:
        match = next((finding for finding in found if fault.is_found_by(finding)), None)
        if match is None:
            missed.append(fault)
            continue
        found.remove(match)
        lines.append(say("demo.found", rule=match.rule, panel=match.panel, message=sentences(match, say).message))
    lines += [say("demo.missed", rule=f.rule, panel=f.panel, what=f.what) for f in missed]
    lines += [say("demo.unplanted", rule=f.rule, panel=f.panel, message=sentences(f, say).message) for f in found]
    notes = sum(finding.severity == "note" for finding in job.findings)
    lines.append(say("demo.sum", found=len(planted) - len(missed), planted=len(planted), other=len(found), notes=notes))
    lines += [say("demo.blind", what=one.what, why=one.why) for one in job.not_examined]
    return ["  " + line for line in lines], not missed and not found
