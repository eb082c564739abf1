"""What a child process says, checked. Takes its plain tables, gives records; a child may have been taken over by the file
that it read, so types, counts and sizes are all tested."""

import re
from typing import Any

from attrs import evolve, frozen

from ..typed import TableError, make_converter, structure
from .content import MAX_IMAGES
from .facts import FileFacts, FileFault, Image, PageFacts, Word
from .faults import ABSURD_MM
from .fills import MAX_BLACK
from .lines import MAX_THIN
from .pdf import MAX_PAGES
from .pictures import MAX_SIDE
from .tasks import MAX_FILE_WORDS
from .walk import MAX_SPACES, MAX_WHITE
from .word_table import unpacked
from .words import MAX_HULLS, MAX_WORDS

_BOXES = {"media", "crop", "bleed", "trim"}
_MAX_TEXT = 10_000  # ours: characters of one text
MAX_LISTED = 200  # ours: entries of a short list of one page
MAX_FILE_LISTED = 100_000  # ours: entries of a list of one file
_CONTROL = re.compile("[\x00-\x1f\x7f-\x9f\ud800-\udfff]+")  # what a terminal would obey or no encoding takes


@frozen
class _Answer:
    facts: FileFacts | None = None
    fault: FileFault | None = None


def _text(value: object, _: Any) -> str:
    if not isinstance(value, str) or len(value) > _MAX_TEXT:
        raise ValueError("expected a short text")
    return _CONTROL.sub(" ", value)


def _mm(value: object, _: Any) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise ValueError("expected a number")
    if not abs(value) <= 100 * ABSURD_MM:  # so worded, it refuses NaN too
        raise ValueError("expected a number within bounds")
    return float(value)


_converter = make_converter()
_converter.register_structure_hook(str, _text)
_converter.register_structure_hook(float, _mm)


def checked(table: object) -> FileFacts | FileFault:
    """The record in ``table``; a `FileFault` "damaged" if it holds none that makes sense."""
    try:
        if not isinstance(table, dict):
            raise ValueError("expected a table")
        if isinstance(table.get("facts"), dict):
            table, words = _without_words(table)
        answer = structure(_converter, table, _Answer, "answer")
        if answer.fault is not None and answer.facts is None:
            return answer.fault
        if answer.facts is None or answer.fault is not None:
            raise ValueError("expected facts or a fault")
        _check(answer.facts)
        pages = zip(answer.facts.pages, words, strict=True)
        return evolve(answer.facts, pages=tuple(evolve(page, words=found) for page, found in pages))
    except (TableError, ValueError, TypeError) as error:
        return nonsense(str(error).splitlines()[0][:200])


def _without_words(table: dict[str, Any]) -> tuple[dict[str, Any], list[tuple[Word, ...]]]:
    """The table without the words of its pages, which travel in a form of their own, and these words."""
    facts = table["facts"]
    pages = facts.get("pages")
    if not isinstance(pages, list) or not all(isinstance(page, dict) for page in pages):
        raise ValueError("expected pages")
    words, left, hulls_left = [], MAX_FILE_WORDS + MAX_WORDS, MAX_HULLS
    for page in pages:
        words.append(unpacked(page.get("words"), _text))
        left -= len(words[-1])
        hulls_left -= len(page["words"]["hulled"])
        if left < 0 or hulls_left < 0:
            raise ValueError("too many words")
    bare = [{key: value for key, value in page.items() if key != "words"} for page in pages]
    return table | {"facts": facts | {"pages": bare}}, words


def checked_details(table: object) -> dict[tuple[int, int], float | None] | FileFault:
    """What the child found of images' detail: share by width and height, None where an image does not tell."""
    if isinstance(table, dict) and "fault" in table:
        told = checked(table)
        return told if isinstance(told, FileFault) else nonsense("facts came for details")
    found: dict[tuple[int, int], float | None] = {}
    listed = table.get("details") if isinstance(table, dict) else None
    for one in listed if isinstance(listed, list) else [None]:
        if not (isinstance(one, list) and len(one) == 3 and all(type(side) is int for side in one[:2])):
            return nonsense("the detail of images")
        a_share = one[2] is None or (type(one[2]) is float and 0 < one[2] <= 1)
        if not a_share or min(one[:2]) < 1:
            return nonsense("the detail of images")
        found[one[0], one[1]] = one[2]
    return found


def nonsense(what: str) -> FileFault:
    """The fault for an answer that can't be true."""
    detail = f"Reading the file gave an impossible answer ({what}), so nothing in it is trusted. Save it anew."
    return FileFault("damaged", detail)


def _check(facts: FileFacts) -> None:
    if not 1 <= len(facts.pages) <= MAX_PAGES:
        raise ValueError(f"{len(facts.pages)} pages")
    lists = (
        facts.repaired,
        facts.blocked,
        facts.stand_in_fonts,
        facts.profiles,
        facts.layers,
        facts.extras,
        facts.intents,
        facts.broken,
    )
    if any(len(listed) > MAX_FILE_LISTED for listed in lists):
        raise ValueError("more than is ever listed")
    if any(not all(0 <= count <= 1 << 31 for count in one.pixels) for one in facts.broken):
        raise ValueError("the pixels of a broken image")
    for layer in facts.layers:
        if not all(0 < number <= len(facts.pages) for number in layer.pages):
            raise ValueError("the pages of a layer")
    for page in facts.pages:
        _check_page(page)


def _check_page(page: PageFacts) -> None:
    if not (0 < page.width <= ABSURD_MM and 0 < page.height <= ABSURD_MM and page.rounding >= 0):
        raise ValueError(f"a page of {page.width} × {page.height} mm")
    if "media" not in page.boxes or not set(page.boxes) <= _BOXES:
        raise ValueError("page boxes")
    if any(box[0] >= box[2] or box[1] >= box[3] for box in page.boxes.values()):
        raise ValueError("a page box without area")
    if page.pixels is not None and not all(count > 0 for count in page.pixels):
        raise ValueError("pixels")
    if len(page.images) > MAX_IMAGES or len(page.lines.thinnest) > MAX_THIN or len(page.ink.spaces) > 2 * MAX_SPACES:
        raise ValueError("more images, lines or colour spaces than are ever listed")
    if len(page.ink.text) > MAX_SPACES or any(one.least < 0 or one.count < 1 for one in page.ink.text):
        raise ValueError("the inks of text")
    if page.user_unit <= 0 or page.rotate not in (0, 90, 180, 270) or not 0 <= page.transparency.alpha <= 1:
        raise ValueError("a page's turn, unit or alpha")
    for image in page.images:
        _check_image(image)
    counts = (page.lines.strokes, page.lines.fills, page.overprint.fills, page.overprint.strokes, page.overprint.white)
    if any(count < 0 for count in counts) or any(thin.width < 0 for thin in page.lines.thinnest):
        raise ValueError("a count or a width below 0")
    if any(one.area < 0 for one in page.ink.black) or len(page.ink.black) > MAX_BLACK:
        raise ValueError("black fills")
    if len(page.overprint.white_at) > MAX_WHITE or len(page.not_seen) > MAX_LISTED:
        raise ValueError("more than is ever listed")


def _check_image(image: Image) -> None:
    if not all(0 < count <= MAX_SIDE for count in image.pixels) or min(image.ppi) < 0 or not 0 <= image.bits <= 64:
        raise ValueError("an image's pixels, resolution or bits")
    if image.clip is not None and len(image.clip) > MAX_LISTED:
        raise ValueError("the clip of an image")
