"""What runs in the child process, one function a question. Each takes (file, plain arguments, folder for what it leaves)
and gives a plain table: ``{"facts": …}`` or ``{"fault": …}``, in the shape of the records of `facts`.
"""

import time
from pathlib import Path
from typing import Any

import cattrs
from attrs import evolve, frozen

from . import pdf, pdf_pixels, raster, raster_pixels, svg
from .facts import FileFacts, Rect
from .faults import ArtFault
from .formats import HEAD_BYTES, recognise
from .glyphs import GlyphReader
from .layers import hidden_layers
from .mapping import Matrix, apply_rect, inverse, then
from .unseen import tell_unseen
from .word_table import packed
from .words import WordColumns, no_words, page_words

MAX_FILE_WORDS = 300_000  # ours: words taken from one file
WORD_SECONDS = 40.0  # ours: time for the words of one file; the rest is named as not seen
CONVERTED, PIXELS = "page.pdf", "pixels.rgba"
Table = dict[str, Any]


def read_task(file: Path, args: Table, out: Path) -> Table:
    """Facts of a client's file. An SVG comes without words, and as PDF in ``out / CONVERTED``."""
    try:
        format = recognise(_head(file))
        if format == "pdf":
            return _read_pdf(file, None)
        if format == "svg":
            found = svg.scan(file)
            (out / CONVERTED).write_bytes(svg.convert(found, out))
            facts = FileFacts("svg", (found.page,), blocked=found.blocked, stand_in_fonts=found.stand_in_fonts)
            return _facts(facts)
        return _facts(FileFacts(format, (raster.page_facts(raster.header(file, format)),)))
    except ArtFault as fault:
        return _fault(fault)


def converted_task(file: Path, args: Table, out: Path) -> Table:
    """Facts of the PDF made from an SVG, in the page frame of size ``args["frame"]``."""
    try:
        return _read_pdf(file, (args["frame"][0], args["frame"][1]))
    except ArtFault as fault:
        return _fault(fault)


def window_task(file: Path, args: Table, out: Path) -> Table:
    """A window's pixels into ``out / PIXELS``. ``args``: page, window (6 numbers), size (2), frame (2, or None).

    For an SVG the answer is ``{"svg": True}``: it must be converted first.
    """
    a, b, c, d, e, f = args["window"]
    window: Matrix = (a, b, c, d, e, f)
    size = (args["size"][0], args["size"][1])
    try:
        format = recognise(_head(file))
        if format == "svg":
            return {"svg": True}
        if format == "pdf":
            frame = (args["frame"][0], args["frame"][1]) if args["frame"] else None
            pixels = pdf_pixels.pdf_window(file, args["page"], window, size, frame)
        elif args["page"] != 0:
            raise ArtFault("damaged", f"Page {args['page'] + 1} was asked for; the image has one.", format)
        else:
            pixels = raster_pixels.raster_window(file, raster.header(file, format), window, size)
        (out / PIXELS).write_bytes(pixels)
    except ArtFault as fault:
        return _fault(fault)
    return {}


def _read_pdf(file: Path, frame: tuple[float, float] | None) -> Table:
    """Facts of a PDF with its words, as a table; in the page frame of size ``frame`` (width, height) if given."""
    stated, repaired = pdf.page_facts(file)
    start, left, tables = time.monotonic(), MAX_FILE_WORDS, []
    document = pdf_pixels.open_pdfium(file)
    try:
        with pdf.opened(file) as structure, pdf_pixels.leafed(document) as turn_to:
            hidden, reader = hidden_layers(structure), GlyphReader()
            for number, page in enumerate(stated):
                if time.monotonic() - start > WORD_SECONDS or left <= 0:
                    limit = f"limits {WORD_SECONDS:.0f} s and {MAX_FILE_WORDS} words a file"
                    page = evolve(page, not_seen=(*page.not_seen, f"its live text ({limit})"))
                    words = no_words()
                else:
                    place = _Place.of(structure.pages[number], frame)
                    words, not_seen = _words(turn_to(number), place, hidden, reader, start + WORD_SECONDS)
                    page = evolve(page, not_seen=(*page.not_seen, *not_seen))
                left -= len(words)
                tables.append((page, packed(words)))
    finally:
        document.close()
    table = cattrs.unstructure(FileFacts("pdf", tuple(page for page, _ in tables), repaired=repaired))
    for page_table, (_, words_table) in zip(table["pages"], tables, strict=True):
        page_table["words"] = words_table
    return {"facts": table}


@frozen
class _Place:
    """How a page lies: user space → page frame, → pdfium's plane, the size of that plane, the crop box in user space."""

    to_frame: Matrix
    shown: Matrix
    size: tuple[float, float]
    crop: Rect

    @classmethod
    def of(cls, page: Any, frame: tuple[float, float] | None) -> "_Place":
        to_frame, media, crop, rotate = pdf.page_geometry(page)
        if frame is not None:
            whole = apply_rect(to_frame, media)
            to_frame = then(to_frame, (frame[0] / whole[2], 0.0, 0.0, frame[1] / whole[3], 0.0, 0.0))
        shown = pdf.shown_by_pdfium(crop, rotate)
        _, _, width, height = apply_rect(shown, crop)
        return cls(to_frame, shown, (width, height), crop)


def _words(
    opened: Any, place: _Place, hidden: frozenset[str], reader: GlyphReader, stop_at: float
) -> tuple[WordColumns, list[str]]:
    words, not_seen = page_words(opened.raw, place.to_frame, place.crop, hidden, reader)
    to_plane = then(inverse(place.to_frame), place.shown)
    not_judged = tell_unseen(opened.raw, words, to_plane, place.shown, place.size, stop_at)
    return words, [*not_seen, *not_judged]


def _head(file: Path) -> bytes:
    with file.open("rb") as stream:
        return stream.read(HEAD_BYTES)


def _facts(facts: FileFacts) -> Table:
    table = cattrs.unstructure(facts)
    for page in table["pages"]:
        page["words"] = packed(no_words())
    return {"facts": table}


def _fault(fault: ArtFault) -> Table:
    return {"fault": cattrs.unstructure(fault.fault)}
