"""What of a proof takes time to draw, made on all processors: pictures of each structure with the art on it, as PNG files and
smaller for the screen's page, and the panels' own pictures for that page."""

import base64
import io
import re
import unicodedata
from collections.abc import Iterator

from attrs import field, frozen
from PIL import Image

from .. import pool
from ..job import Job
from ..sizing.panel import SizedStructure
from ..survey import Picture
from .issue import Issue, Weight
from .pictures import axonometry
from .views import NamedView, named_views

_SIDES: dict[Weight, int] = {"light": 900, "full": 1600}  # pixels, the longer side; ours
_FLAT: dict[Weight, int] = {"light": 800, "full": 1500}
_PACKED = 4  # of 9: twice as fast as the library's 6, and some per cent larger
_STILL: dict[Weight, int] = {"light": 700, "full": 1100}


@frozen
class Seen:
    """A structure from one viewpoint. ``still`` = its smaller picture as an address, ``size`` of that in pixels."""

    structure: int
    view: NamedView
    name: str
    png: bytes = field(repr=False)
    still: str = field(repr=False)
    size: tuple[int, int]


@frozen
class Flat:
    """A panel's picture as an address, for the page."""

    number: int
    picture: str = field(repr=False)


def all_views(job: Job) -> list[tuple[SizedStructure, NamedView]]:
    """Every view that shows something new, the first of the first structure first."""
    return [(one, view) for one in job.sizing.structures if one.bays for view in named_views(one)]


def drawn(job: Job, issue: Issue, workers: int | None = None) -> Iterator[Seen | Flat]:
    """Each of those views, then every panel's picture; ``workers`` as in `pool.each`."""
    pieces: list[tuple[int, NamedView] | int] = [(structure.index, view) for structure, view in all_views(job)]
    pieces += list(job.pictures)
    yield from pool.each(_piece, (job, issue), pieces, workers)


def _piece(shared: tuple[Job, Issue], piece: tuple[int, NamedView] | int) -> Seen | Flat:
    job, issue = shared
    if isinstance(piece, int):
        return Flat(piece, data_uri(job.pictures[piece], issue))
    index, view = piece
    structure = next(one for one in job.sizing.structures if one.index == index)
    eyes = job.order.structures[index].settings.eye_height
    side = _SIDES[issue.weight]
    seen = axonometry(structure, job.pictures, view.view, side, side, eyes)
    image = Image.frombytes("RGB", (seen.width, seen.height), seen.rgb)
    file = io.BytesIO()
    image.save(file, "PNG", compress_level=_PACKED)
    image.thumbnail((_STILL[issue.weight],) * 2, Image.Resampling.LANCZOS)
    name = view_name(file_stems(job)[index], view)
    return Seen(index, view, name, file.getvalue(), jpeg_uri(image, issue), image.size)


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


def data_uri(picture: Picture, issue: Issue) -> str:
    """The picture as a JPEG inside an address."""
    image = Image.frombytes("RGB", (picture.width, picture.height), picture.rgb)
    image.thumbnail((_FLAT[issue.weight],) * 2, Image.Resampling.LANCZOS)
    return jpeg_uri(image, issue)


def jpeg_uri(image: Image.Image, issue: Issue) -> str:
    file = io.BytesIO()
    image.save(file, "JPEG", quality=issue.jpeg)
    return f"data:image/jpeg;base64,{base64.b64encode(file.getvalue()).decode()}"
