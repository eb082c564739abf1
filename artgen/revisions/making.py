"""One revision: its folder, whole or not at all, and its entry in the record.

A maker holds the order's lock and that of the proofs' folder; another waits, and then finds that nothing has changed. The folder
is made beside its place under a hidden name, and renamed once all of it is on the disk.
"""

import hashlib
import os
import shutil
import tempfile
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import ExitStack, contextmanager, suppress
from datetime import UTC, datetime
from functools import partial
from pathlib import Path

from attrs import field, frozen
from filelock import FileLock, Timeout

from .. import record
from ..comparing import Between, Kept, compare, kept_of, manifest_bytes
from ..comparing.kept import picture_name
from ..comparing.saying import lines
from ..comparing.sheet import changes_sheet
from ..interrupts import CouldNotRun, held
from ..job import Job
from ..order import Order
from ..proof import Changes, Issue, Weight, proof_files
from ..proof.drawn import file_stems
from ..proof.mail import Bound, mail_bytes
from ..record import Entry, ProofMade, RecordError, Writer
from ..record.log import folder_to_disk, to_disk
from ..sizing.panel import Sizing
from ..words import Words
from .inputs import Inputs, inputs_of, place_of
from .letters import letters, place
from .reading import MANIFEST, kept

_LOCK = ".proofs.lock"
_MAKING = ".making-"
MAIL = "mail.eml"
Say = Callable[[str], None]


@frozen
class Revision:
    """``new`` is False where nothing had changed. ``between`` = what changed since the one before, if that could be read;
    ``notes`` = what a person should know."""

    name: str
    folder: Path
    errors: int
    new: bool
    between: Between | None = None
    notes: tuple[str, ...] = field(factory=tuple)


def revise(
    order: Order, sizing: Sizing, job_of: Callable[[], Job], say: Words, *, out: Path | None, weight: Weight, tell: Say
) -> Revision:
    """The order's next revision, or the last where nothing has changed since. ``out`` = where revisions' folders lie; None:
    ``proofs/`` beside the order. Raises `CouldNotRun`; then no revision was made and nothing recorded."""
    home = out if out is not None else order.folder / "proofs"
    try:
        home.mkdir(parents=True, exist_ok=True)
        with _alone(order, home, say, tell):
            return _revise(order, sizing, job_of, say, home, weight)
    except OSError as error:
        raise CouldNotRun(
            f"{home}: the proof could not be written ({error.strerror or error}); none was left half-made. Free some space, or "
            "choose another place with --out."
        ) from None


@contextmanager
def _alone(order: Order, home: Path, say: Words, tell: Say) -> Iterator[None]:
    """No other maker of this order's proofs, wherever it puts them, and none in this folder, whatever its order is."""
    with ExitStack() as locks:
        for folder in (order.folder, home):
            lock = FileLock(folder / _LOCK)
            try:
                lock.acquire(timeout=0)
            except Timeout:
                tell(say("proofed.wait"))
                lock.acquire()
            locks.callback(lock.release)
        for left in home.glob(f"{_MAKING}*"):  # of a maker that was killed: while we hold the lock there is no other
            shutil.rmtree(left, ignore_errors=True)
        yield


def _revise(
    order: Order, sizing: Sizing, job_of: Callable[[], Job], say: Words, home: Path, weight: Weight
) -> Revision:
    with record.writing(order.folder) as log:  # a record that can't be added to is known before the work begins
        shown = record.proofs(log.entries)
    last = shown[-1] if shown else None
    inputs = inputs_of(order, sizing, {"weight": weight})
    notes = _unknown(order, home, shown, say)
    before: Kept | None = None
    if last is not None:
        try:
            before = kept(order.folder, last)
        except RecordError as error:
            notes.append(say("proofed.old-gone", revision=last.revision, why=str(error)))
        else:
            if before.manifest.inputs == inputs.as_json():
                return Revision(last.revision, order.folder / last.folder, last.errors, False, notes=tuple(notes))
    job = job_of()
    if inputs_of(order, sizing, inputs.options) != inputs:
        raise CouldNotRun(
            f"{order.folder}: the order or its art was changed while the proof was made, so nobody could say what it shows. No "
            "proof was made; run this again."
        )
    name = letters(
        1 + max([0, *(place(made.revision) for made in shown), *(place(one.name) for one in home.iterdir())])
    )
    return _make(job, name, inputs, before, home, say, tuple(notes))


def _unknown(order: Order, home: Path, shown: Sequence[ProofMade], say: Words) -> list[str]:
    known = {(order.folder / made.folder).resolve() for made in shown}
    found = sorted((one for one in home.iterdir() if place(one.name)), key=lambda one: place(one.name))
    return [say("proofed.unknown", folder=str(one)) for one in found if one.resolve() not in known]


def _make(
    job: Job, name: str, inputs: Inputs, before: Kept | None, home: Path, say: Words, notes: tuple[str, ...]
) -> Revision:
    now = kept_of(job, name, inputs.as_json(), say)
    between = compare(before, now) if before is not None else None
    issue = Issue(name, _weight(inputs), _changes(between, say))
    making = Path(tempfile.mkdtemp(prefix=_MAKING, dir=home))
    try:
        files: dict[str, str] = {}
        views: dict[str, bytes] = {}
        pdf = b""
        for file, data in _files(job, issue, now, say):
            files[file] = _write(making / file, data)
            if file.startswith("views/"):
                views[file] = data
            if file == "proof.pdf":
                pdf = data
        with record.writing(job.order.folder) as log:
            entry = log.next("proof", _facts(job, name, inputs, files, home), when := datetime.now(UTC))
            bound = Bound(when.replace(microsecond=0), files["proof.pdf"], entry.number, entry.sha256)
            _write(making / MAIL, mail_bytes(job, issue, pdf, _first_views(job, views), bound, say))
            _settle(making, home / name, log, entry)
    except BaseException:
        with held():
            shutil.rmtree(making, ignore_errors=True)
        raise
    return Revision(name, home / name, job.errors, True, between, notes)


def _weight(inputs: Inputs) -> Weight:
    return "light" if inputs.options["weight"] == "light" else "full"


def _changes(between: Between | None, say: Words) -> Changes | None:
    if between is None:
        return None
    told = between.for_client()
    return Changes(between.since, partial(changes_sheet, between=told, say=say), lines(told, say))


def _files(job: Job, issue: Issue, now: Kept, say: Words) -> Iterator[tuple[str, bytes]]:
    yield from proof_files(job, say, issue)
    yield MANIFEST, manifest_bytes(now.manifest)
    for number, png in now.pictures.items():
        yield picture_name(number), png


def _write(path: Path, data: bytes) -> str:
    """On the disk; its SHA-256."""
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("wb") as file:
        file.write(data)
        file.flush()
        to_disk(file.fileno())
    return hashlib.sha256(data).hexdigest()


def _facts(job: Job, name: str, inputs: Inputs, files: Mapping[str, str], home: Path) -> dict[str, object]:
    panels: dict[str, list[str]] = {str(panel.number): [] for panel in job.sizing.panels}
    for claim in job.observations.claims.claims:
        for number in claim.target.numbers:
            panels[str(number)].append(place_of(job.order.folder, claim.file))
    return {
        "revision": name,
        "folder": Path(os.path.relpath(home / name, job.order.folder)).as_posix(),
        "artgen": inputs.artgen,
        "errors": job.errors,
        "order": inputs.order,
        "art": dict(inputs.art),
        "panels": panels,
        "files": dict(sorted(files.items())),
    }


def _first_views(job: Job, views: Mapping[str, bytes]) -> list[bytes]:
    """Of each display, its first picture."""
    found = []
    for stem in file_stems(job).values():
        mine = [data for file, data in views.items() if file.startswith(f"views/{stem}")]
        found += mine[:1]
    return found


def _settle(making: Path, final: Path, log: Writer, entry: Entry) -> None:
    """The folder gets its name, and the record its entry: both or neither, but for a power cut between them, after which the
    folder is said to be unknown."""
    umask = os.umask(0)
    os.umask(umask)
    making.chmod(0o777 & ~umask)
    for folder in {path.parent for path in making.rglob("*")}:
        folder_to_disk(folder)
    with held():
        making.rename(final)
        folder_to_disk(final.parent)
        try:
            log.add(entry)
        except BaseException:
            with suppress(OSError):
                final.rename(making)  # whoever made it takes it away
            raise
