"""A revision read back from its folder, as long as it is what the record says it is."""

from pathlib import Path

from ..comparing import Kept, read_manifest
from ..comparing.kept import picture_name
from ..record import ProofMade, RecordError, file_hash, proofs
from ..record.entry import Entry

MANIFEST = "revision.json"


def revision_named(entries: tuple[Entry, ...], name: str) -> ProofMade:
    """Raises `RecordError` for one that is not on record."""
    shown = proofs(entries)
    for made in shown:
        if made.revision == name.strip().upper():
            return made
    known = ", ".join(made.revision for made in shown) or "none"
    raise RecordError(f"there is no proof '{name}' of this order on record; on record: {known}")


def kept(folder: Path, made: ProofMade) -> Kept:
    """What a revision kept of itself. ``folder`` holds the order. Raises `RecordError` where a file is gone or was changed."""
    home = folder / made.folder
    for name, digest in made.files.items():
        try:
            same = file_hash(home / name) == digest
        except (OSError, ValueError):
            same = False
        if not same:
            raise RecordError(f"{made.folder}/{name} is not what was recorded: changed, or gone")
    if MANIFEST not in made.files:
        raise RecordError(f"{made.folder} holds no {MANIFEST}")
    manifest = read_manifest((home / MANIFEST).read_bytes(), f"{made.folder}/{MANIFEST}")
    shown = {panel.number: picture_name(panel.number) for panel in manifest.panels if panel.picture}
    return Kept(manifest, {n: (home / name).read_bytes() for n, name in shown.items() if name in made.files})
