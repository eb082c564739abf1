"""Is the record as it was written? Lines and files in, faults out, each at its entry.

What a chain of hashes can't show: an entry at the end that is gone, or a whole record written anew. Against that stand the
heads that people keep (each mail carries one) and the folders on the disk, which the record must know.
"""

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path, PurePosixPath
from typing import Literal

from attrs import frozen

from .entry import NOTHING, SHA256, Broken, Entry, entry_of, file_hash

Why = Literal[
    "unreadable", "changed", "number", "chain", "file-changed", "file-gone", "file-unreadable", "unknown-file"
]
EVIDENCE = "evidence"
TORN = "record.torn-"


@frozen
class Fault:
    """``entry`` = the place in the record, from 1; 0: it is about a file that no entry knows. ``number`` = what the entry calls
    itself, ``expected`` what stands to be there."""

    entry: int
    why: Why
    file: str = ""
    number: int = 0
    expected: int = 0


def log_faults(lines: Sequence[bytes]) -> tuple[Fault, ...]:
    """What is wrong with the entries themselves and with the way they follow one another."""
    found = []
    number, head = 0, NOTHING
    for place, line in enumerate(lines, start=1):
        number += 1
        try:
            entry = entry_of(line)
        except Broken as error:
            found.append(Fault(place, error.trouble))
            head = ""  # what follows a changed entry is bound to what it was: that can't be known
            continue
        if entry.number != number:
            found.append(Fault(place, "number", number=entry.number, expected=number))
        elif head and entry.before != head:
            found.append(Fault(place, "chain", number=entry.number))
        number, head = entry.number, entry.sha256
    return tuple(found)


def disk_faults(folder: Path, entries: Sequence[Entry]) -> tuple[Fault, ...]:
    """Files that the record binds and that are not as they were, and revisions and evidence that it doesn't know, which points to
    a record that was cut at its end."""
    found = []
    known: set[str] = set()
    for place, entry in enumerate(entries, start=1):
        for name, digest in bound_files(entry).items():
            known.add(name)
            why = _checked(folder / name, digest)
            if why is not None:
                found.append(Fault(place, why, file=name))
    found += [Fault(0, "unknown-file", file=name) for name in _beside(folder) if name not in known]
    return tuple(found)


def bound_files(entry: Entry) -> dict[str, str]:
    """The files that an entry binds by hash, by their place beside the order. The client's art is not among them: it is there to
    change, and `check` says when it does."""
    found = dict(hashes(entry.facts.get("set_aside")))
    found |= hashes(entry.facts.get("evidence"))
    base = entry.facts.get("folder")
    if entry.what == "proof" and isinstance(base, str):
        found |= {f"{base}/{name}": digest for name, digest in hashes(entry.facts.get("files")).items()}
    return found


def hashes(value: object) -> dict[str, str]:
    """Names with their SHA-256, as an entry may hold them; what is none is left out."""
    if not isinstance(value, Mapping):
        return {}
    return {
        name: digest
        for name, digest in value.items()
        if isinstance(name, str) and isinstance(digest, str) and SHA256.fullmatch(digest)
    }


def _checked(path: Path, digest: str) -> Why | None:
    try:
        return None if file_hash(path) == digest else "file-changed"
    except FileNotFoundError:
        return "file-gone"
    except (OSError, ValueError):
        return "file-unreadable"


def _beside(folder: Path) -> Iterator[str]:
    """Proofs, evidence and torn lines that lie beside the order."""
    for path in sorted(folder.glob("proofs/*/proof.pdf")):
        yield str(PurePosixPath("proofs", path.parent.name, path.name))
    for path in sorted(folder.glob(f"{EVIDENCE}/*")):
        if not path.name.startswith("."):
            yield str(PurePosixPath(EVIDENCE, path.name))
    for path in sorted(folder.glob(f"{TORN}*")):
        yield path.name
