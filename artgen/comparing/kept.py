"""What a revision keeps of itself to be compared later: sizes, words, findings as JSON, each panel's picture as PNG.

A job in, records and bytes out, and back. Places are in the panel's sewn frame, full-size mm.
"""

import io
import json
from collections.abc import Iterator, Mapping
from typing import Any, Literal

import attrs
from attrs import field, frozen
from cattrs import Converter
from PIL import Image
from shapely import MultiPoint, Point, Polygon

from ..checks import Finding
from ..checks.wording import sentences
from ..job import Job
from ..sizing.names import where
from ..sizing.outline import Outline, bounds
from ..sizing.panel import Panel, inverse, placed
from ..typed import structure
from ..words import Words

Box = tuple[float, float, float, float]  # x, y, w, h
PICTURES = "panels"
_PIXELS = 800_000  # ours, of a kept picture: a pixel is 2 mm on a panel of 1 × 3.3 m
_MOST_WORDS = 2000  # ours, of one panel


@frozen
class KeptWord:
    text: str
    at: Box


@frozen
class KeptPanel:
    """``art`` = width and height of its art size, which the picture covers; ``picture``: whether it has one."""

    number: int
    where: str
    files: tuple[str, ...]
    art: tuple[float, float]
    visible: tuple[tuple[float, float], ...]
    upright_deg: float
    picture: bool
    words: tuple[KeptWord, ...] = ()


@frozen
class KeptFinding:
    """``text`` = the word that it is about, if it is about one."""

    rule: str
    severity: Literal["error", "warning", "note"]
    audience: Literal["client", "shop"]
    panel: int | None
    file: str | None
    page: int | None
    where_mm: Box | None
    message: str
    advice: str
    text: str
    say: str


@frozen
class Manifest:
    """``inputs`` = all that it was made from, by hash; see `artgen.revisions.inputs`."""

    schema: Literal[1]
    revision: str
    name: str
    number: str
    inputs: dict[str, Any]
    panels: tuple[KeptPanel, ...]
    findings: tuple[KeptFinding, ...]


@frozen
class Kept:
    """A revision as it was kept. ``pictures`` = PNG bytes by panel number."""

    manifest: Manifest
    pictures: Mapping[int, bytes] = field(repr=False)


def kept_of(job: Job, revision: str, inputs: Mapping[str, Any], say: Words) -> Kept:
    return Kept(manifest_of(job, revision, inputs, say), {n: data for n, _, data in picture_files(job)})


def manifest_of(job: Job, revision: str, inputs: Mapping[str, Any], say: Words) -> Manifest:
    words = _words(job)
    files: dict[int, list[str]] = {}
    for one in job.observations.claims.claims:
        for number in one.target.numbers:
            files.setdefault(number, []).append(one.file)
    panels = [
        KeptPanel(
            panel.number,
            where(structure, panel, say),
            tuple(dict.fromkeys(files.get(panel.number, ()))),
            _size(panel),
            tuple((round(x, 3), round(y, 3)) for x, y in panel.visible),
            panel.upright_deg,
            panel.number in job.pictures,
            tuple(words.get(panel.number, ())),
        )
        for structure in job.sizing.structures
        for panel in structure.panels
    ]
    findings = tuple(_finding(finding, say) for finding in job.findings)
    return Manifest(1, revision, job.order.name, job.order.number, dict(inputs), tuple(panels), findings)


def _size(panel: Panel) -> tuple[float, float]:
    x0, y0, x1, y1 = bounds(panel.art)
    return round(x1 - x0, 3), round(y1 - y0, 3)


def _words(job: Job) -> dict[int, list[KeptWord]]:
    """Each word that has letters, on the panel that its middle lies on."""
    found: dict[int, list[KeptWord]] = {}
    for seen in job.observations.laid:
        target = seen.laid.claim.target
        homes = [
            (p.number, inverse(place), Polygon(p.art)) for p, place in zip(target.panels, target.places, strict=True)
        ]
        for word in seen.words:
            if not word.text.strip():
                continue
            middle = MultiPoint(word.quad).centroid
            for number, back, home in homes:
                if home.contains(Point(placed(back, ((middle.x, middle.y),))[0])):
                    mine = found.setdefault(number, [])
                    if len(mine) < _MOST_WORDS:
                        mine.append(KeptWord(word.text, _box(placed(back, word.quad))))
                    break
    return found


def _box(outline: Outline) -> Box:
    x0, y0, x1, y1 = bounds(outline)
    return round(x0, 1), round(y0, 1), round(x1 - x0, 1), round(y1 - y0, 1)


def _finding(finding: Finding, say: Words) -> KeptFinding:
    said = sentences(finding, say)
    x = finding.where
    return KeptFinding(
        finding.rule,
        finding.severity,
        finding.audience,
        finding.panel,
        finding.file,
        finding.page,
        (round(x[0], 1), round(x[1], 1), round(x[2], 1), round(x[3], 1)) if x else None,
        said.message,
        said.advice,
        str(finding.evidence.get("text", "")),
        finding.say,
    )


def picture_files(job: Job) -> Iterator[tuple[int, str, bytes]]:
    """(panel, name, PNG) of every panel's picture over its art size, small enough to be kept."""
    for number, picture in sorted(job.pictures.items()):
        image = Image.frombytes("RGB", (picture.width, picture.height), picture.rgb)
        much = picture.width * picture.height / _PIXELS
        if much > 1:
            small = tuple(max(1, round(side / much**0.5)) for side in image.size)
            image = image.resize((small[0], small[1]), Image.Resampling.BOX)
        data = io.BytesIO()
        image.save(data, "PNG", optimize=False)
        yield number, picture_name(number), data.getvalue()


def picture_name(number: int) -> str:
    return f"{PICTURES}/{number}.png"


def manifest_bytes(manifest: Manifest) -> bytes:
    """UTF-8 JSON; names that are no text come as escapes."""
    text = json.dumps(attrs.asdict(manifest), indent=1, ensure_ascii=False)
    return (text + "\n").encode("utf-8", "backslashreplace")


def read_manifest(data: bytes, what: str) -> Manifest:
    """Raises `TableError` for what is no manifest."""
    try:
        tables = json.loads(data)
    except (ValueError, RecursionError):
        tables = None
    return structure(Converter(), tables if isinstance(tables, dict) else {}, Manifest, what)
