"""What the entries mean: proofs that were made, decisions on them, and what is released for print. Pure.

The record may have been edited by anyone: what has not the shape that artgen writes is passed over here, and `proving` says so.
"""

from collections.abc import Iterable, Mapping
from typing import Any, Literal, cast

from attrs import frozen

from .entry import Entry
from .proving import hashes

Say = Literal["approved", "as-noted", "redo"]
SAYS: tuple[Say, ...] = ("approved", "as-noted", "redo")


@frozen
class ProofMade:
    """A revision. ``folder`` beside the order; ``order`` = the order file's SHA-256; ``art`` and ``files`` = SHA-256 by name, of
    the client's files and of the revision's own; ``panels`` = the art files of each panel."""

    entry: Entry
    revision: str
    folder: str
    order: str
    art: Mapping[str, str]
    files: Mapping[str, str]
    panels: Mapping[int, tuple[str, ...]]
    errors: int

    def art_of(self, panel: int) -> dict[str, str]:
        """The SHA-256 of every art file of a panel."""
        return {name: self.art[name] for name in self.panels.get(panel, ()) if name in self.art}


@frozen
class Decision:
    """What ``by`` said of a revision, of all its panels or of one. ``evidence`` = SHA-256 by name."""

    entry: Entry
    by: str
    say: Say
    revision: str
    panel: int | None
    note: str
    evidence: Mapping[str, str]


def proofs(entries: Iterable[Entry]) -> tuple[ProofMade, ...]:
    return tuple(made for entry in entries if entry.what == "proof" and (made := _proof(entry)) is not None)


def decisions(entries: Iterable[Entry]) -> tuple[Decision, ...]:
    return tuple(made for entry in entries if entry.what == "decision" and (made := _decision(entry)) is not None)


def standing(entries: Iterable[Entry]) -> dict[int, Decision]:
    """For each panel the last decision about it, whether it named the panel or all of its revision. A decision about a revision
    that the record did not know then counts for nothing."""
    shown: dict[str, ProofMade] = {}
    last: dict[int, Decision] = {}
    for entry in entries:
        for made in proofs([entry]):
            shown[made.revision] = made
        for decision in decisions([entry]):
            panels = shown[decision.revision].panels if decision.revision in shown else {}
            for number in panels:
                if decision.panel in (None, number):
                    last[number] = decision
    return dict(sorted(last.items()))


def released(entries: Iterable[Entry]) -> dict[int, ProofMade]:
    """What may be printed: for each panel whose last decision is an approval, the revision that was approved. "As noted" asks
    for a new revision and releases nothing. Whoever prints must see that the art still has the hashes of that revision."""
    listed = list(entries)
    shown = {made.revision: made for made in proofs(listed)}
    return {
        number: shown[decision.revision] for number, decision in standing(listed).items() if decision.say == "approved"
    }


def approved(entries: Iterable[Entry]) -> dict[int, dict[str, str]]:
    """Of each released panel the art that was approved: SHA-256 by the file's name below ``art/``, or beside the order."""
    return {
        number: {name.removeprefix("art/"): digest for name, digest in made.art_of(number).items()}
        for number, made in released(entries).items()
    }


def _proof(entry: Entry) -> ProofMade | None:
    facts = entry.facts
    revision, folder, order = (facts.get(key) for key in ("revision", "folder", "order"))
    if not (isinstance(revision, str) and isinstance(folder, str) and isinstance(order, str)):
        return None
    return ProofMade(
        entry,
        revision,
        folder,
        order,
        hashes(facts.get("art")),
        hashes(facts.get("files")),
        dict(_panels(facts.get("panels"))),
        errors if type(errors := facts.get("errors")) is int else 0,
    )


def _panels(value: Any) -> Iterable[tuple[int, tuple[str, ...]]]:
    for number, names in value.items() if isinstance(value, Mapping) else ():
        if isinstance(number, str) and number.isdecimal() and len(number) < 10 and isinstance(names, list):
            yield int(number), tuple(name for name in names if isinstance(name, str))


def _decision(entry: Entry) -> Decision | None:
    facts = entry.facts
    by, said, revision = (facts.get(key) for key in ("by", "say", "revision"))
    panel, note = facts.get("panel"), facts.get("note", "")
    sound = isinstance(by, str) and said in SAYS and isinstance(revision, str) and isinstance(note, str)
    if not sound or not (panel is None or type(panel) is int):
        return None
    evidence = hashes(facts.get("evidence"))
    return Decision(entry, cast(str, by), cast(Say, said), cast(str, revision), panel, cast(str, note), evidence)
