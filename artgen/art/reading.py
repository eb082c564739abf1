"""The way to a client's file. Takes its path, gives records and pixels in the page frame (see `facts`), or a fault.

The file is opened only in a limited child process (`artgen.confined`) and never written. What the child gives back is
checked like any foreign data; so is what the cache kept of an earlier child's answer. An SVG is turned into a PDF once a process
and content, and that PDF is read.
"""

import hashlib
import math
import time
from collections import OrderedDict
from collections.abc import Mapping, Sequence
from contextlib import ExitStack
from itertools import accumulate
from pathlib import Path
from typing import Any

from attrs import evolve, field, frozen

from .. import confined
from ..cache import Kept
from ..confined import ConfinedFailure, Limits, Reply, Task, machine_fault, run
from ..interrupts import scratch_folder
from .answers import checked, checked_details, nonsense
from .facts import FileFacts, FileFault, Pixels
from .formats import promised
from .mapping import Matrix, inverse
from .svg import MAX_BYTES as MAX_SVG_BYTES
from .tasks import CONVERTED, PIXELS, converted_task, detail_task, read_task, windows_task
from .walk import PAGE_SECONDS

MAX_OUTPUT_PIXELS = 100_000_000  # ours: of one question; callers tile what is larger
SECONDS = 120.0  # ours: for one question to one file, or one window of it
_KEPT = 8  # ours: converted SVGs kept in memory
_LEAST_MEMORY_MB, _MOST_MEMORY_MB = 2048, 6144  # ours; a 1 GB PDF was measured to need about twice its size
Window = tuple[
    Matrix, int, int
]  # output pixels (x right, y down from the upper left) → page frame; width, height in pixels
_LIGHTER = "Flatten or simplify it, or save it anew as a PDF."


@frozen
class _Converted:
    """An SVG that was read: its facts with words, and the PDF made from it."""

    facts: FileFacts
    pdf: bytes = field(repr=False)


_converted: OrderedDict[str, _Converted] = OrderedDict()


def read(file: Path, kept: Kept | None = None) -> FileFacts | FileFault:
    """What ``file`` is, by its content whatever its name; `FileFacts.named` tells of a name that promises otherwise. ``kept`` =
    what the cache holds of it: answers are taken from there and put there.

    Faults come as a `FileFault`, never as an exception, but for `OSError` where the file can't be opened at all, and
    `MachineFault` where the machine is at fault.
    """
    return _named(file, _read(file, kept))


def get_ready() -> None:
    """For a caller that has something else to do before it calls `read`: see `artgen.confined.get_ready`."""
    confined.get_ready(read_task)


def recalled(file: Path, kept: Kept | None) -> FileFacts | None:
    """What `read` would give, if the cache holds all of it."""
    if kept is None:
        return None
    answer = _recall(kept, "read")
    if answer is None:
        return None
    facts = checked(answer.value)
    if isinstance(facts, FileFacts) and facts.format == "svg":
        drawn, pdf = _recall(kept, "converted"), answer.blobs.get(CONVERTED)
        if drawn is None or pdf is None:
            return None
        facts = _with_words(kept.digest, facts, pdf, drawn)
    named = _named(file, facts)
    return named if isinstance(named, FileFacts) else None


def _named(file: Path, facts: FileFacts | FileFault) -> FileFacts | FileFault:
    if isinstance(facts, FileFault):
        return facts
    suffix = promised(file)
    return evolve(facts, named=suffix if suffix != facts.format else None)


def pixels(file: Path, page: int, window: Matrix, width: int, height: int) -> Pixels | FileFault:
    """Page ``page`` (from 0) seen through ``window``, as straight 8-bit RGBA; alpha 0 where the file paints nothing.

    ``window`` maps output pixels (x right, y down from the upper left of the output) to the page frame: output (x, y) is
    (a x + c y + e, b x + d y + f) in mm; any rotation. Outside the page (its crop box) nothing is painted. Colours are
    sRGB; layers are drawn as a screen shows them. Raises `ValueError` for a window without area or over
    `MAX_OUTPUT_PIXELS`, `OSError` where the file can't be opened.
    """
    found = windows(file, page, [(window, width, height)])
    return found if isinstance(found, FileFault) else found[0]


def windows(file: Path, page: int, asked: Sequence[Window]) -> list[Pixels] | FileFault:
    """The same through several windows, the file opened as seldom as `MAX_OUTPUT_PIXELS` allow: a large raster is read once for
    all that are much coarser than it is."""
    for window, w, h in asked:
        if page < 0 or min(w, h) < 1 or w * h > MAX_OUTPUT_PIXELS:
            told = f"a window of {w} × {h} pixels of page {page}"
            raise ValueError(f"{told}: 1 to {MAX_OUTPUT_PIXELS} pixels can be asked for")
        if not all(math.isfinite(value) for value in window):
            raise ValueError(f"the window {window} holds numbers without bounds")
        inverse(window)
    found: list[Pixels] = []
    while len(found) < len(asked):
        sums = accumulate(w * h for _, w, h in asked[len(found) :])
        few = sum(total <= MAX_OUTPUT_PIXELS for total in sums)
        some = _windows(file, page, asked[len(found) : len(found) + few])
        if isinstance(some, FileFault):
            return some
        found += some
    return found


def _windows(file: Path, page: int, asked: Sequence[Window]) -> list[Pixels] | FileFault:
    """What one child process gives."""
    sizes = [(w, h) for _, w, h in asked]
    args = {"page": page, "windows": [[*window, w, h] for window, w, h in asked], "frame": None}
    seconds = SECONDS * len(asked)
    converted = _kept(file)
    if converted is None:
        answer = _ask(windows_task, file, args, seconds)
        if isinstance(answer, FileFault) or answer.value != {"svg": True}:
            return _as_pixels(answer, sizes)
        read_anew = _read(file)
        if isinstance(read_anew, FileFault):
            return read_anew
        converted = _kept(file)
        if converted is None:
            return nonsense("it was an SVG and is none")
    shown = converted.facts.pages[0]
    answer = _ask_pdf(windows_task, converted.pdf, {**args, "frame": (shown.width, shown.height)}, seconds)
    return _as_pixels(answer, sizes)


def details(file: Path, page: int) -> dict[tuple[int, int], float | None] | FileFault:
    """How fine the detail of the largest images of page ``page`` (from 0) is, by their width and height in pixels as stored: the
    share of what the pixels could hold, 1 to 1/16; None where an image does not tell. Images that were not measured are left
    out. Raises `OSError` as `pixels` does."""
    converted = _kept(file)
    if converted is None:
        answer = _ask(detail_task, file, {"page": page})
        if not isinstance(answer, FileFault) and answer.value == {"svg": True}:
            read_anew = _read(file)
            if isinstance(read_anew, FileFault):
                return read_anew
            converted = _kept(file)
            if converted is None:
                return nonsense("it was an SVG and is none")
    if converted is not None:
        answer = _ask_pdf(detail_task, converted.pdf, {"page": page})
    if isinstance(answer, FileFault):
        return answer
    return checked_details(answer.value)


def svg_to_pdf(file: Path) -> bytes | FileFault:
    """The PDF made from an SVG: one page of its proportions, to be scaled to `PageFacts.width` × ``height``.

    A client's data still: open it in a limited child process only. Raises `ValueError` if ``file`` is no SVG.
    """
    facts = _read(file)
    if isinstance(facts, FileFault):
        return facts
    converted = _kept(file)
    if converted is None:
        raise ValueError(f"{file.name} is no SVG")
    return converted.pdf


def _read(file: Path, kept: Kept | None = None) -> FileFacts | FileFault:
    before = _kept(file)
    if before is not None:
        return before.facts
    start = time.monotonic()
    answer = _ask(read_task, file, {})
    if isinstance(answer, FileFault):
        return answer
    facts = checked(answer.value)
    if isinstance(facts, FileFault):
        return facts
    if facts.format != "svg":
        _keep(kept, "read", answer, facts, start)
        return facts
    page, pdf = facts.pages[0], answer.blobs.get(CONVERTED, b"")
    drawn = _ask_pdf(converted_task, pdf, {"frame": (page.width, page.height)})
    if isinstance(drawn, FileFault):
        return evolve(drawn, format="svg")
    whole = _with_words(_digest(file), facts, pdf, drawn)
    if isinstance(whole, FileFacts):
        _keep(kept, "read", answer, whole, start)
        _keep(kept, "converted", drawn, whole, start)
    return whole


def _with_words(digest: str, facts: FileFacts, pdf: bytes, drawn: Reply) -> FileFacts | FileFault:
    """Facts of an SVG with what is seen in the PDF that was made from it; both stay in memory."""
    answer = checked(drawn.value)
    if isinstance(answer, FileFault):
        return evolve(answer, format="svg")
    page, made = facts.pages[0], answer.pages[0]
    seen = evolve(
        page,
        words=made.words,
        images=made.images,
        lines=made.lines,
        ink=made.ink,
        transparency=made.transparency,
        not_seen=(*page.not_seen, *made.not_seen),
    )
    facts = evolve(facts, pages=(seen,))
    _converted[digest] = _Converted(facts, pdf)
    while len(_converted) > _KEPT:
        _converted.popitem(last=False)
    return facts


def _recall(kept: Kept, question: str) -> Reply | None:
    entry = kept.get({"facts": question})
    return Reply(entry.value, dict(entry.blobs)) if entry is not None else None


def _keep(kept: Kept | None, question: str, answer: Reply, facts: FileFacts, start: float) -> None:
    """Keep an answer, unless a limit of time may have cut it short: another day it would be longer."""
    cut = any(page.not_seen for page in facts.pages) and time.monotonic() - start >= PAGE_SECONDS
    if kept is not None and not cut:
        # libraries leave files of their own beside it
        wanted = {name: data for name, data in answer.blobs.items() if name == CONVERTED}
        kept.put({"facts": question}, answer.value, wanted)


def _kept(file: Path) -> _Converted | None:
    """The conversion of an SVG with this content, if one is in memory."""
    return _converted.get(_digest(file)) if _converted and file.stat().st_size <= MAX_SVG_BYTES else None


def _digest(file: Path) -> str:
    with file.open("rb") as stream:
        return hashlib.file_digest(stream, "sha256").hexdigest()


def _ask(task: Task, file: Path, args: Mapping[str, Any], seconds: float = SECONDS) -> Reply | FileFault:
    """The child's reply, or the fault that its failure means."""
    size = file.stat().st_size / 1e6
    memory = min(_MOST_MEMORY_MB, max(_LEAST_MEMORY_MB, math.ceil(1024 + 2.5 * size)))
    try:
        return run(task, file, args, Limits(memory_mb=memory, seconds=seconds))
    except ConfinedFailure as failure:
        if failure.kind in ("memory", "time", "output"):
            return FileFault("over-limit", f"Reading the file was stopped: {failure.detail}. {_LIGHTER}")
        return FileFault("damaged", f"The file can't be read: {failure.detail}. Save it anew and send it again.")


def _ask_pdf(task: Task, pdf: bytes, args: Mapping[str, Any], seconds: float = SECONDS) -> Reply | FileFault:
    with ExitStack() as stack:
        try:
            file = stack.enter_context(scratch_folder()) / CONVERTED
            file.write_bytes(pdf)
        except OSError as error:
            raise machine_fault("a temporary file could not be written", error) from error
        return _ask(task, file, args, seconds)


def _as_pixels(answer: Reply | FileFault, sizes: Sequence[tuple[int, int]]) -> list[Pixels] | FileFault:
    if isinstance(answer, FileFault):
        return answer
    if answer.value != {}:
        told = checked(answer.value)
        return told if isinstance(told, FileFault) else nonsense("facts came for pixels")
    found = []
    for number, (w, h) in enumerate(sizes):
        rgba = answer.blobs.get(PIXELS.format(number), b"")
        if len(rgba) != w * h * 4:
            return nonsense(f"{len(rgba)} bytes came for {w} × {h} pixels")
        found.append(Pixels(w, h, rgba))
    return found
