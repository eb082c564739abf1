"""Pictures of each structure with the art on it, as PNG files: for mails, for slides, for who won't open a PDF."""

import io
import re
import unicodedata
from collections.abc import Iterator

from PIL import Image

from ..job import Job
from ..sizing.panel import SizedStructure
from ..words import Words
from .issue import Issue, Weight
from .pictures import axonometry
from .views import NamedView, named_views

_SIDES: dict[Weight, int] = {"light": 900, "full": 1600}  # pixels, the longer side; ours


def view_files(job: Job, say: Words, issue: Issue) -> Iterator[tuple[str, bytes]]:
    """(name, PNG) of each view that shows something new, the first of the first structure first."""
    side = _SIDES[issue.weight]
    stems = file_stems(job)
    for structure in job.sizing.structures:
        for view in named_views(structure):
            yield view_name(stems[structure.index], view), _png(job, structure, view, side)


def view_name(stem: str, view: NamedView) -> str:
    return f"views/{'-'.join(part for part in (stem, view.name) if part)}.png"


def file_stems(job: Job) -> dict[int, str]:
    """A word for each structure by its index, safe in file names; none where there is one structure alone."""
    structures = job.sizing.structures
    if len(structures) == 1:
        return {structures[0].index: ""}
    plain = {one.index: _plain(one.name) for one in structures}
    twice = {word for word in plain.values() if not word or list(plain.values()).count(word) > 1}
    return {i: f"{word}-{i + 1}".lstrip("-") if word in twice else word for i, word in plain.items()}


def _plain(name: str) -> str:
    """Small letters a to z and figures, joined by hyphens, 40 at most."""
    letters = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    return "-".join(re.findall(r"[a-z0-9]+", letters))[:40].strip("-")


def _png(job: Job, structure: SizedStructure, view: NamedView, side: int) -> bytes:
    eyes = job.order.structures[structure.index].settings.eye_height
    seen = axonometry(structure, job.pictures, view.view, side, side, eyes)
    file = io.BytesIO()
    Image.frombytes("RGB", (seen.width, seen.height), seen.rgb).save(file, "PNG")
    return file.getvalue()
