"""The record in words: entries in, lines for a person out."""

from collections.abc import Iterator, Sequence

from ..words import Words
from .decisions import Decision, ProofMade, decisions, proofs, released
from .entry import Entry
from .proving import Fault, hashes

_INDENT = "   "


def story(entries: Sequence[Entry], say: Words) -> list[str]:
    """What happened, a line or a few each, and what is released now."""
    if not entries:
        return [say("record.none")]
    lines = [line for entry in entries for line in _told(entry, say)]
    return [*lines, "", *release_lines(entries, say), "", head_line(entries[-1], say), say("record.head.keep")]


def head_line(last: Entry, say: Words) -> str:
    return say("record.head", number=last.number, sha256=last.sha256)


def _told(entry: Entry, say: Words) -> Iterator[str]:
    made, decided = proofs([entry]), decisions([entry])
    if made:
        yield _proof(made[0], say)
    elif decided:
        yield from _decision(decided[0], say)
    else:
        yield say("record.other", number=entry.number, time=entry.time, what=entry.what)
    for file in hashes(entry.facts.get("set_aside")):
        yield _INDENT + say("record.set-aside", file=file)


def _proof(made: ProofMade, say: Words) -> str:
    return say(
        "record.proof",
        number=made.entry.number,
        time=made.entry.time,
        revision=made.revision,
        panels=_counted("record.panels", len(made.panels), say),
        files=_counted("record.art", len(made.art), say),
        errors=say("record.proof.errors.none")
        if not made.errors
        else _counted("record.proof.errors", made.errors, say),
    )


def _counted(key: str, n: int, say: Words) -> str:
    return say(f"{key}.one") if n == 1 else say(key, n=n)


def _decision(decided: Decision, say: Words) -> Iterator[str]:
    yield say(
        "record.decision",
        number=decided.entry.number,
        time=decided.entry.time,
        by=decided.by,
        revision=decided.revision,
        what=what_of(decided.panel, say),
        say=say(f"decision.{decided.say}"),
    )
    first, *rest = decided.note.splitlines() or [""]
    if decided.note.strip():
        yield _INDENT + say("record.note", note=first)
        yield from (2 * _INDENT + say("record.note.more", note=line) for line in rest)
    for file in decided.evidence:
        yield _INDENT + say("record.evidence", file=file)


def what_of(panel: int | None, say: Words) -> str:
    return say("record.decision.all") if panel is None else say("panels.one", numbers=panel)


def release_lines(entries: Sequence[Entry], say: Words) -> list[str]:
    """Which panels may be printed, by which revision, and which may not."""
    free = released(entries)
    by_revision: dict[str, list[int]] = {}
    for number, made in free.items():
        by_revision.setdefault(made.revision, []).append(number)
    lines = [
        say("record.released", panels=numbered(numbers, say), revision=revision)
        for revision, numbers in by_revision.items()
    ]
    shown = proofs(entries)
    still = sorted(set(shown[-1].panels) - set(free)) if shown else []
    if lines and still:
        lines.append(say("record.open", panels=numbered(still, say)))
    return lines or [say("record.released.none")]


def numbered(numbers: Sequence[int], say: Words) -> str:
    """ "panel 3", "panels 1–4, 7"."""
    runs: list[list[int]] = []
    for number in sorted(numbers):
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    text = ", ".join(
        f"{run[0]}–{run[-1]}" if len(run) > 2 else ", ".join(str(number) for number in run) for run in runs
    )
    return say("panels.one" if len(numbers) == 1 else "panels.many", numbers=text)


def fault_line(fault: Fault, say: Words) -> str:
    return say(
        f"record.fault.{fault.why}", entry=fault.entry, number=fault.number, expected=fault.expected, file=fault.file
    )
