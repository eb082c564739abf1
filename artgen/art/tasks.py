"""What runs in the child process, one function a question. Each takes (file, plain arguments, folder for what it leaves)
and gives a plain table: ``{"facts": …}`` or ``{"fault": …}``, in the shape of the records of `facts`.
"""

import time
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

import cattrs
import pikepdf
from attrs import define, evolve, field, frozen

from . import pdf, pdf_pixels, raster, raster_pixels, svg
from .colours import Colours
from .content import page_content
from .detail import pdf_details, raster_detail
from .extras import file_extras, output_intents, outside_streams
from .facts import Extra, FileFacts, Layer, PageFacts, Rect
from .faults import ArtFault
from .formats import HEAD_BYTES, recognise
from .glyphs import GlyphReader
from .layer_states import Id, LayerStates
from .lines import page_lines
from .mapping import Matrix, apply_rect, inverse, then
from .masking import Size
from .unseen import on_hidden_forms, tell_unseen
from .word_table import packed
from .words import MAX_HULLS, no_words, page_words

MAX_FILE_WORDS = 300_000  # ours: words taken from one file
FILE_SECONDS = 60.0  # ours: time for the pages of one file; the rest is named as not seen
CONVERTED, PIXELS = "page.pdf", "pixels-{}.rgba"  # the window's number from 0
Table = dict[str, Any]
T = TypeVar("T")


def read_task(file: Path, args: Table, out: Path) -> Table:
    """Facts of a client's file. An SVG comes without words, and as PDF in ``out / CONVERTED``."""
    try:
        format = recognise(_head(file))
        if format == "pdf":
            return _read_pdf(file, None)
        if format == "svg":
            found = svg.scan(file)
            (out / CONVERTED).write_bytes(svg.convert(found, out))
            links = tuple(Extra("link", link) for link in found.links)
            facts = FileFacts(
                "svg",
                (found.page,),
                blocked=found.blocked,
                stand_in_fonts=found.stand_in_fonts,
                layers=found.layers,
                extras=links,
                broken=found.broken,
            )
            return _facts(facts)
        header = raster.header(file, format)
        profiles = (header.profile,) if header.profile is not None else ()
        return _facts(FileFacts(format, (raster.page_facts(header),), profiles=profiles))
    except ArtFault as fault:
        return _fault(fault)


def converted_task(file: Path, args: Table, out: Path) -> Table:
    """Facts of the PDF made from an SVG, in the page frame of size ``args["frame"]``."""
    try:
        return _read_pdf(file, (args["frame"][0], args["frame"][1]))
    except ArtFault as fault:
        return _fault(fault)


def windows_task(file: Path, args: Table, out: Path) -> Table:
    """Each window's pixels into a file of its own (`PIXELS`) in ``out``. ``args``: page, windows (8 numbers each: the window,
    width and height of the output), frame (2, or None).

    For an SVG the answer is ``{"svg": True}``: it must be converted first.
    """
    windows: list[tuple[Matrix, Size]] = [((a, b, c, d, e, f), (w, h)) for a, b, c, d, e, f, w, h in args["windows"]]
    try:
        format = recognise(_head(file))
        if format == "svg":
            return {"svg": True}
        if format == "pdf":
            frame = (args["frame"][0], args["frame"][1]) if args["frame"] else None
            drawn = pdf_pixels.pdf_windows(file, args["page"], windows, frame)
        elif args["page"] != 0:
            raise ArtFault("damaged", f"Page {args['page'] + 1} was asked for; the image has one.", format)
        else:
            header = raster.header(file, format)
            drawn = raster_pixels.raster_windows(file, header, windows)
        for number, rows in enumerate(drawn):
            (out / PIXELS.format(number)).write_bytes(rows)
    except ArtFault as fault:
        return _fault(fault)
    return {}


def detail_task(file: Path, args: Table, out: Path) -> Table:
    """How fine the detail of a page's largest images is: ``{"details": [[width, height, share], …]}``. ``args``: page."""
    try:
        format = recognise(_head(file))
        if format == "svg":
            return {"svg": True}
        if format == "pdf":
            return {"details": pdf_details(file, args["page"])}
        header = raster.header(file, format)
        return {"details": [[header.width, header.height, raster_detail(file, header)]]}
    except ArtFault as fault:
        return _fault(fault)


def _read_pdf(file: Path, frame: tuple[float, float] | None) -> Table:
    """Facts of a PDF as a table; in the page frame of size ``frame`` (width, height) if given."""
    stated, repaired, broken = pdf.page_facts(file)
    tables: list[tuple[PageFacts, Table]] = []
    document = pdf_pixels.open_pdfium(file)
    try:
        with pdf.opened(file) as structure, pdf_pixels.leafed(document) as turn_to:
            reading = _Reading(structure, turn_to)
            for number, page in enumerate(stated):
                tables.append(reading.page(number, page, frame))
            rest = reading.of_file()
            if reading.not_seen:
                last, words = tables.pop()
                tables.append((evolve(last, not_seen=(*last.not_seen, *reading.not_seen)), words))
            facts = FileFacts("pdf", tuple(page for page, _ in tables), repaired=repaired, broken=broken, **rest)
    finally:
        document.close()
    table = cattrs.unstructure(facts)
    for page_table, (_, words_table) in zip(table["pages"], tables, strict=True):
        page_table["words"] = words_table
    return {"facts": table}


@define
class _Reading:
    """One PDF being read: what its pages share, and what is left of the limits."""

    structure: Any
    turn_to: Callable[[int], Any]
    reader: GlyphReader = field(factory=GlyphReader)
    colours: Colours = field(factory=Colours)
    layers: LayerStates = field(init=False)
    marked: dict[Id, list[int]] = field(factory=dict)
    outside: dict[str, None] = field(factory=dict)
    not_seen: list[str] = field(factory=list)
    words_left: int = MAX_FILE_WORDS
    hulls_left: int = MAX_HULLS
    start: float = field(factory=time.monotonic)

    def __attrs_post_init__(self) -> None:
        self.layers = self._or(LayerStates.of, LayerStates(), "layers")

    def page(self, number: int, page: PageFacts, frame: tuple[float, float] | None) -> tuple[PageFacts, Table]:
        """(facts of page ``number`` (from 0), table of its words)."""
        if time.monotonic() - self.start > FILE_SECONDS or self.words_left <= 0:
            limit = f"limits {FILE_SECONDS:.0f} s and {MAX_FILE_WORDS:,} words a file"
            return evolve(page, not_seen=(*page.not_seen, f"its live text, images and colours ({limit})")), packed(
                no_words()
            )
        place = _Place.of(self.structure.pages[number], frame)
        opened = self.turn_to(number)
        off = self.layers.hidden_names
        words, not_seen = page_words(opened.raw, place.to_frame, place.crop, off, self.reader, self.hulls_left)
        to_plane = then(inverse(place.to_frame), place.shown)
        stop_at = self.start + FILE_SECONDS
        not_judged = tell_unseen(opened.raw, words, to_plane, place.shown, place.size, stop_at)
        self.words_left -= len(words)
        self.hulls_left -= len(words.hulls)
        lines, no_lines = page_lines(opened.raw, place.to_frame)
        found = page_content(self.structure.pages[number], place.to_frame, self.colours, self.layers)
        on_hidden_forms(words, found.hidden)
        for layer in found.layers:
            self.marked.setdefault(layer, []).append(number + 1)
        self.outside.update(found.outside)
        seen = evolve(page, lines=lines, not_seen=(*page.not_seen, *not_seen, *not_judged, *no_lines))
        return found.onto(seen), packed(words)

    def _or(self, read: Callable[[Any], T], otherwise: T, what: str) -> T:
        """What ``read`` makes of the document; ``otherwise``, and a word about it, where that part of it is broken."""
        try:
            return read(self.structure)
        except (pikepdf.PdfError, ValueError, TypeError, KeyError, AttributeError, RecursionError):
            self.not_seen.append(f"its {what}: that part of the file is damaged")
            return otherwise

    def of_file(self) -> dict[str, Any]:
        """What belongs to no page: fields of `FileFacts`."""
        none: tuple[str, ...] = ()
        intents = self._or(lambda structure: output_intents(structure, self.colours), none, "output intents")
        nothing: list[str] = []
        streams = self._or(outside_streams, nothing, "references to outside files")
        off, unprinted = self.layers.off, self.layers.unprinted
        layers = tuple(
            Layer(name, key not in off, key not in unprinted, tuple(self.marked.get(key, ())))
            for key, name in self.layers.names.items()
        )
        return {
            "blocked": tuple(dict.fromkeys([*self.outside, *streams])),
            "profiles": tuple(self.colours.profiles.values()),
            "layers": layers,
            "extras": tuple(self._or(file_extras, [], "scripts, attachments, comments and links")),
            "intents": intents,
        }


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
