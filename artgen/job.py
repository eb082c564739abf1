"""The one chain from order to findings: claims, facts, placing, survey, checks.

Takes an order and its sizing; opens every wanted file once (in confined children), gives a `Job` that reports, proofs
and prints are made from. Progress is told through a callback; nothing is printed here.
"""

import hashlib
import os
from collections.abc import Callable, Mapping
from math import ceil
from pathlib import Path

import numpy as np
from attrs import evolve, field, frozen
from PIL import Image

from . import checks
from .art import FileFacts, FileFault, read
from .art.facts import ExtraKind
from .art.folder import Listing, lies_within, listing
from .checks import Finding, LaidSeen, NotExamined, Observations, SilenceState, judge
from .checks.wording import not_examined
from .confined import is_machines, machine_fault, shortcomings
from .order import SHOP_FILE, Order, shop_settings
from .placing import Claim, Claims, Laid, claim, lay, pages_asked
from .sizing.panel import Sizing
from .survey import (
    CONTRAST,
    EdgeBand,
    Lettering,
    Marks,
    PlacedWord,
    Preview,
    edge_bands,
    find_lettering,
    look,
    marks_seen,
    placed_words,
    preview,
    read_lettering,
    reading_available,
)
from .words import words as words_of

SHOWN_PIXELS = 1_500_000  # ours: a panel's picture in a proof
_SAID = 20  # ours: things of one kind that a report names of one file

Progress = Callable[[str], None]


@frozen
class Picture:
    """A panel's art over its whole art size as a client sees it: RGB rows from the top, white where nothing is painted."""

    width: int
    height: int
    rgb: bytes = field(repr=False)


@frozen
class Job:
    """An order that has been checked. ``pictures`` by panel number; panels without art that could be shown have none.
    ``silenced`` findings count nowhere; ``silences`` = what became of each of the order's."""

    order: Order
    sizing: Sizing
    observations: Observations
    findings: tuple[Finding, ...]
    not_examined: tuple[NotExamined, ...]
    pictures: Mapping[int, Picture] = field(factory=dict, repr=False)
    silenced: tuple[Finding, ...] = ()
    silences: tuple[SilenceState, ...] = ()

    @property
    def errors(self) -> int:
        return sum(finding.severity == "error" for finding in self.findings)


def art_files(order: Order) -> Listing:
    """The files below the order's ``art/``. Raises `MachineFault` where that can't be listed."""
    try:
        return listing(order.folder / "art")
    except OSError as error:
        raise machine_fault(
            "the order's folder art/ can't be listed, so nothing is known of its files", error
        ) from None


def run(order: Order, sizing: Sizing, tell: Progress = lambda _: None, only: int | None = None) -> Job:
    """Check an order's art. ``only`` = one panel's number: the others are left alone (a wrap goes with its panel)."""
    listed = art_files(order)
    claims = _only(claim(order, sizing, listed.names), only)
    unjudged = () if listed.whole else claims.missing
    claims = evolve(claims, missing=claims.missing if listed.whole else ())
    files: dict[str, FileFacts | FileFault] = {}
    hashes: dict[str, str] = {}
    for name in pages_asked(claims.claims):
        path = _path(order, name)
        if path is not None:
            tell(name)
            files[name] = _read(path, order)
            hashes |= _hash(name, path, order)
    laid, no_page = _lay(claims, files)
    seen: list[LaidSeen] = []
    pictures: dict[int, Picture] = {}
    blind: list[NotExamined] = []
    smallest = 0.0
    for one in laid:
        path = _path(order, one.claim.file)
        bands: dict[int, tuple[EdgeBand, ...]] = {}
        looks: dict[int, str] = {}
        missing: dict[str, str] = {}
        previews: dict[int, Preview] = {}
        for panel in one.target.panels:
            tell(f"{one.claim.file}: panel {panel.number}")
            found = preview(path, one, panel) if path is not None else FileFault("damaged", "gone")
            if isinstance(found, FileFault):
                # its facts could be read, its paint can't: the file is at fault all the same
                files[one.claim.file] = found
                missing |= dict.fromkeys(("bands", "looks", "guides", "stops", "crop_marks", "codes"), found.detail)
                continue
            bands[panel.number] = edge_bands(panel, found)
            looks[panel.number] = look(found)
            pictures[panel.number] = _picture(found)
            previews[panel.number] = found
        marks = marks_seen(path, one, previews) if path is not None else Marks()
        words = placed_words(one)
        if bands and path is not None and reading_available():
            tell(f"{one.claim.file}: lettering")
            found_more = lettering(path, one, words)
            if isinstance(found_more, FileFault):
                blind.append(NotExamined(f"{one.claim.file}: text in its pixels", found_more.detail))
            else:
                words += found_more.words
                smallest = max(smallest, found_more.smallest)
        kept = (marks.guides, marks.stops, marks.crop_marks, marks.codes, marks.details)
        seen.append(LaidSeen(one, words, bands, looks, *kept, {**missing, **marks.missing}))
    observations = Observations(sizing, claims, files, tuple(seen), tuple(no_page), hashes)
    checked = checks.check(observations, _settings(order, only, claims))
    blind = [
        *_not_listed(listed, unjudged),
        *_not_examined(claims, files),
        *blind,
        *(not_examined(one, words_of(order.language)) for one in checked.unexamined),
        *([_limits(smallest)] if laid else []),
    ]
    shown = _of_panel(checked.findings, only), _of_panel(checked.silenced, only)
    return Job(order, sizing, observations, shown[0], tuple(blind), pictures, shown[1], checked.silences)


def _settings(order: Order, only: int | None, claims: Claims) -> checks.Settings:
    """What the order and the shop change of the rules. Of one panel alone, other panels' silences are not judged."""
    silences = tuple(enumerate(order.silences, start=1))
    if only is not None:
        near = {only, *(number for one in claims.claims for number in one.target.numbers)}
        silences = tuple((number, one) for number, one in silences if one.panel in near)
    shop = shop_settings(checks.numbers_of)
    return checks.settings((SHOP_FILE, shop), ("order.toml", order.checks), silences=silences)


def _of_panel(findings: tuple[Finding, ...], only: int | None) -> tuple[Finding, ...]:
    return tuple(one for one in findings if only is None or only in _panels(one))


def lettering(path: Path, laid: Laid, live: tuple[PlacedWord, ...]) -> Lettering | FileFault:
    """What is lettering without being live text; what would stand wrongly is read, the rest needs no reading."""
    found = find_lettering(path, laid, live)
    if isinstance(found, FileFault):
        return found
    wrong = {word for verdict in judge(LaidSeen(laid, found.words)) for word in verdict.words}
    return evolve(found, words=read_lettering(found, wrong))


def _limits(smallest: float) -> NotExamined:
    """What of text that is not live was not seen. ``smallest`` = mm of em from which the detector finds it; 0: it did not
    run."""
    if not reading_available():
        what = "text turned to outlines or flattened into pixels, in all artwork"
        return NotExamined(what, "artgen[reading] is not installed, so only live text was found: look at the proof")
    return NotExamined(
        "some text turned to outlines or flattened into pixels",
        f"it was looked for in all artwork, but letters under about {ceil(smallest)} mm (their em), letters that differ "
        f"from their ground by less than {CONTRAST} of 255 levels, and lone letters are missed: look at the proof",
    )


def _panels(finding: Finding) -> set[int | None]:
    return {finding.panel, *finding.evidence.get("panels", ())}


def _only(claims: Claims, panel: int | None) -> Claims:
    if panel is None:
        return claims
    return Claims(
        tuple(one for one in claims.claims if panel in one.target.numbers),
        tuple(n for n in claims.missing if n == panel),
        tuple((n, files) for n, files in claims.ambiguous if n == panel),
    )


def _path(order: Order, name: str) -> Path | None:
    """The file below ``art/``, or beside the order; None if there is none."""
    for path in (order.folder / "art" / name, order.folder / name):
        try:
            if path.is_file():
                return path
        except (OSError, ValueError):  # a name that no file can have
            continue
    return None


def _hash(name: str, path: Path, order: Order) -> dict[str, str]:
    """SHA-256 of a file's bytes by its name; none where it can't or may not be read."""
    if not lies_within(path, order.folder):
        return {}
    try:
        with path.open("rb") as file:
            return {name: hashlib.file_digest(file, "sha256").hexdigest()}
    except (OSError, ValueError):  # the file's own fault is told by `_read`
        return {}


def _read(path: Path, order: Order) -> FileFacts | FileFault:
    if not lies_within(path, order.folder):
        return FileFault(
            "unsupported",
            "it is a link that leads out of the order's folder, and what lies there is not read; put the file itself into art/",
        )
    try:
        os.fspath(path).encode()
    except UnicodeEncodeError:
        return FileFault("unsupported", "its name holds bytes that are no text; give it a plain name")
    if not os.access(path, os.R_OK):
        return FileFault("damaged", "this user may not read it: its permissions forbid that")
    try:
        return read(path)
    except OSError as error:
        if is_machines(error):
            raise machine_fault(f"{path.name} could not be opened", error) from None
        return FileFault("damaged", f"it could not be opened ({error.strerror or error})")


def _lay(claims: Claims, files: Mapping[str, FileFacts | FileFault]) -> tuple[list[Laid], list[Claim]]:
    laid: list[Laid] = []
    no_page: list[Claim] = []
    for one in claims.claims:
        facts = files.get(one.file)
        if isinstance(facts, FileFacts):
            if one.page <= len(facts.pages):
                laid.append(lay(one, facts.pages[one.page - 1]))
            else:
                no_page.append(one)
    return laid, no_page


def _picture(seen: Preview) -> Picture:
    """Composited on white, then averaged over whole blocks: colours as a client's screen shows them."""
    rows, columns = seen.rgba.shape[:2]
    step = max(1, int(np.ceil((rows * columns / SHOWN_PIXELS) ** 0.5)))
    art = Image.frombuffer("RGBA", (columns, rows), seen.rgba, "raw", "RGBA", 0, 1)
    white = Image.new("RGB", art.size, "white")
    white.paste(art, mask=art.getchannel("A"))
    small = white.reduce(step)
    return Picture(small.width, small.height, small.tobytes())


def _not_listed(listed: Listing, unjudged: tuple[int, ...]) -> list[NotExamined]:
    """What of art/ was not looked into, and the panels whose file may lie there."""
    found = [NotExamined(what, why) for what, why in listed.left_out]
    if unjudged:
        numbers = ", ".join(map(str, unjudged))
        found.append(
            NotExamined(
                f"whether there is artwork for panel {numbers}", "none was found, but art/ could not be listed in full"
            )
        )
    return found


_BESIDE: dict[ExtraKind, str] = {
    "script": "scripts, which are not run",
    "attachment": "attached files, which are not opened",
    "form-field": "form fields, which are not drawn",
    "comment": "comments, which are not drawn",
    "link": "links out of it, which are not followed",
    "media": "media, which are not played",
    "action": "actions, which are not done",
}


def _beside(name: str, facts: FileFacts) -> list[NotExamined]:
    """What a file holds beside its pages, a line a kind; links inside it (without a name) lead nowhere on cloth."""
    found = []
    for kind, what in _BESIDE.items():
        mine = [one for one in facts.extras if one.kind == kind and (one.name or kind != "link")]
        if mine:
            names = [one.name for one in mine if one.name]
            said = ", ".join(_first(tuple(dict.fromkeys(names)))) or str(sum(one.count for one in mine))
            found.append(NotExamined(f"{name}: {what}", said))
    return found


def _first(items: tuple[str, ...]) -> list[str]:
    """The first so many, and how many more there are."""
    return [*items[:_SAID], *([f"and {len(items) - _SAID:,} more"] if len(items) > _SAID else [])]


def _not_examined(claims: Claims, files: Mapping[str, FileFacts | FileFault]) -> list[NotExamined]:
    """What this check could not look at; always said, never passed over."""
    found = [NotExamined("limits", text) for text in shortcomings()]
    for number, rivals in claims.ambiguous:
        found.append(NotExamined(", ".join(rivals), f"each claims panel {number}, so none was read"))
    for name, facts in sorted(files.items()):
        if isinstance(facts, FileFault):
            if facts.kind == "needs-cairo":
                found.append(NotExamined(name, facts.detail))
            continue
        found += [
            NotExamined(name, f"not read, since it lies outside the file: {item}") for item in _first(facts.blocked)
        ]
        found += _beside(name, facts)
        if facts.stand_in_fonts:
            fonts = ", ".join(facts.stand_in_fonts)
            found.append(
                NotExamined(f"{name}: its lettering in {fonts}", "the font did not come with it; a stand-in was drawn")
            )
        for page in facts.pages:
            found += [NotExamined(name, text) for text in page.not_seen]
        asked = {one.page for one in claims.claims if one.file == name}
        if len(facts.pages) > len(asked):
            rest = ", ".join(str(n) for n in range(1, len(facts.pages) + 1) if n not in asked)
            found.append(NotExamined(f"{name}: page {rest}", "no panel takes it"))
    return found
