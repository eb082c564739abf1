"""What runs in the child process, one function a question. Each takes (file, plain arguments, folder for what it leaves)
and gives a plain table: ``{"facts": …}`` or ``{"fault": …}``, in the shape of the records of `facts`.
"""

import time
from pathlib import Path
from typing import Any

import cattrs
from attrs import evolve

from . import pdf, pdf_pixels, raster, raster_pixels, svg
from .facts import FileFacts, PageFacts
from .faults import ArtFault
from .formats import HEAD_BYTES, recognise
from .layers import hidden_layers
from .mapping import Matrix, apply_rect, then
from .words import page_words

MAX_FILE_WORDS = 50_000  # ours: words taken from one file
WORD_SECONDS = 40.0  # ours: time for the words of one file; the rest is named as not seen
CONVERTED, PIXELS = "page.pdf", "pixels.rgba"
Table = dict[str, Any]


def read_task(file: Path, args: Table, out: Path) -> Table:
    """Facts of a client's file. An SVG comes without words, and as PDF in ``out / CONVERTED``."""
    try:
        format = recognise(_head(file))
        if format == "pdf":
            return _facts(_read_pdf(file, None))
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
        return _facts(_read_pdf(file, (args["frame"][0], args["frame"][1])))
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


def _read_pdf(file: Path, frame: tuple[float, float] | None) -> FileFacts:
    """Facts of a PDF with its words; in the page frame of size ``frame`` (width, height) if given."""
    stated, repaired = pdf.page_facts(file)
    start, left, pages = time.monotonic(), MAX_FILE_WORDS, []
    document = pdf_pixels.open_pdfium(file)
    try:
        with pdf.opened(file) as structure:
            for number, page in enumerate(stated):
                if time.monotonic() - start > WORD_SECONDS or left <= 0:
                    limit = f"limits {WORD_SECONDS:.0f} s and {MAX_FILE_WORDS} words a file"
                    pages.append(evolve(page, not_seen=(*page.not_seen, f"its live text ({limit})")))
                    continue
                with_words = _with_words(document, structure, number, page, frame)
                left -= len(with_words.words)
                pages.append(with_words)
    finally:
        document.close()
    return FileFacts("pdf", tuple(pages), repaired=repaired)


def _with_words(
    document: Any, structure: Any, number: int, page: PageFacts, frame: tuple[float, float] | None
) -> PageFacts:
    to_frame, media, crop, _ = pdf.page_geometry(structure.pages[number])
    if frame is not None:
        shown = apply_rect(to_frame, media)
        to_frame = then(to_frame, (frame[0] / shown[2], 0.0, 0.0, frame[1] / shown[3], 0.0, 0.0))
    with pdf_pixels.opened_page(document, number) as opened:
        words, not_seen = page_words(opened.raw, to_frame, crop, hidden_layers(structure))
    return evolve(page, words=words, not_seen=(*page.not_seen, *not_seen))


def _head(file: Path) -> bytes:
    with file.open("rb") as stream:
        return stream.read(HEAD_BYTES)


def _facts(facts: FileFacts) -> Table:
    return {"facts": cattrs.unstructure(facts)}


def _fault(fault: ArtFault) -> Table:
    return {"fault": cattrs.unstructure(fault.fault)}
