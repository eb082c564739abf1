"""`artgen decide`: what the client said of a revision, on record."""

from pathlib import Path

import click

from .. import record
from ..record import ProofMade, RecordError, Writer
from ..record.story import head_line, release_lines, what_of
from ..revisions.inputs import changed_since
from ..typed import TableError
from ..words import Words, words
from .work import DONE, ORDER, guarded, order_folder, tell

_MOST_NAME, _MOST_NOTE = 200, 10_000  # ours, letters


@click.command()
@ORDER
@click.option("--by", "by", required=True, metavar="NAME", help="Who decided, for the client.")
@click.option("--say", "said", required=True, type=click.Choice(record.SAYS), help="What was decided.")
@click.option("--revision", metavar="A", help="The revision that was decided on; default the latest.")
@click.option("--panel", type=int, metavar="N", help="Only this panel; default all that the revision shows.")
@click.option("--note", default="", metavar="TEXT", help="What was said with it.")
@click.option(
    "--attach",
    type=click.Path(path_type=Path, exists=True, dir_okay=False),
    multiple=True,
    metavar="FILE",
    help="Evidence, such as the client's mail: copied to evidence/ and bound by its hash. May be repeated.",
)
@guarded
def command(
    order: Path, by: str, said: record.Say, revision: str | None, panel: int | None, note: str, attach: tuple[Path, ...]
) -> int:
    """Record a decision on a proof. "approved" releases its panels for printing; "as-noted" and "redo" ask for a new one."""
    say = words()
    folder = order_folder(order)
    _sound(by, note)
    with record.writing(folder) as log:
        made = _revision(log, revision)
        _shown(made, folder, panel)
        evidence = dict(record.keep(folder, log.next_number, file) for file in attach)
        said_of = {"by": by.strip(), "say": said, "revision": made.revision, "panel": panel, "note": note}
        # what was seen and signed, again: this entry alone says which bytes the decision is about
        seen = {"proof": made.files["proof.pdf"], "order": made.order, "art": dict(made.art), "evidence": evidence}
        entry = log.next("decision", {**said_of, **seen})
        log.add(entry)
    if log.set_aside:
        tell(say("decide.torn", file=log.set_aside))
    what, saying = what_of(panel, say), say(f"decision.{said}")
    click.echo(say("decide.done", number=entry.number, by=by, revision=made.revision, what=what, say=saying))
    for line in _mind(log, made, said, folder, say):
        click.echo(line)
    for line in (*release_lines(log.entries, say), head_line(entry, say)):
        click.echo(line)
    return DONE


def _sound(by: str, note: str) -> None:
    faults = []
    if not by.strip() or len(by) > _MOST_NAME:
        faults.append(("--by", f"a name of 1 to {_MOST_NAME} letters is wanted: whoever decided"))
    if len(note) > _MOST_NOTE:
        faults.append(("--note", f"at most {_MOST_NOTE} letters; put the rest into a file and give it with --attach"))
    if faults:
        raise TableError("decide", faults)


def _revision(log: Writer, name: str | None) -> ProofMade:
    shown = record.proofs(log.entries)
    if not shown:
        raise RecordError(
            "no proof of this order is on record, so there is nothing to decide on: make one with artgen proof"
        )
    if name is None:
        return shown[-1]
    for made in shown:
        if made.revision == name.strip().upper():
            return made
    raise TableError(
        "decide", [("--revision", f"no revision {name!r}; on record: {', '.join(m.revision for m in shown)}")]
    )


def _shown(made: ProofMade, folder: Path, panel: int | None) -> None:
    """A decision is about what somebody saw: that must still be there to be shown."""
    if panel is not None and panel not in made.panels:
        numbers = ", ".join(map(str, made.panels))
        raise TableError(
            "decide", [("--panel", f"proof {made.revision} shows no panel {panel}; its panels: {numbers}")]
        )
    path = folder / made.folder / "proof.pdf"
    try:
        same = record.file_hash(path) == made.files.get("proof.pdf")
    except (OSError, ValueError):
        same = False
    if not same:
        raise RecordError(
            f"{path}: is not the proof that was recorded (changed, or gone), so what was decided on can't be shown any more. Put "
            "it back, from the mail that carried it or from a copy, and decide again."
        )


def _mind(log: Writer, made: ProofMade, said: record.Say, folder: Path, say: Words) -> list[str]:
    """What whoever enters the decision should know of it."""
    found = []
    latest = record.proofs(log.entries)[-1]
    if latest.revision != made.revision:
        found.append(say("decide.later", later=latest.revision, revision=made.revision))
    if said == "approved":
        if made.errors:
            key = "decide.open.one" if made.errors == 1 else "decide.open"
            found.append(say(key, n=made.errors, revision=made.revision))
        changed = changed_since(made, folder)
        if changed:
            found.append(say("decide.art-changed", revision=made.revision, files=", ".join(changed)))
    else:
        found.append(say("decide.again"))
    return found
