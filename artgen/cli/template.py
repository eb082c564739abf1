"""`artgen template`: all that a designer is sent: a template per panel, as SVG, PDF or PNG."""

import re
from collections.abc import Iterator
from pathlib import Path

import click
from attrs import frozen

from .. import pool
from ..drawing.marks import Drawing
from ..drawing.pdf import write_pdf
from ..drawing.png import render_pdf
from ..drawing.svg import write_svg
from ..order import Order
from ..sizing.panel import Panel, Sizing
from ..sizing.resolution import needed_ppi
from ..sizing.ways import Way, ways
from ..template import MAX_PAGE, SCALES, Head, default_scale, template
from ..typed import TableError
from ..words import words
from .work import ORDER, guarded, open_order, out_option, progress, tell, write

FORMATS = ("svg", "pdf", "png")
_PNG_SIDE = 2000  # px: the longer side of a picture


@click.command()
@ORDER
@click.option("--scale", metavar="1:N", help="Scale of the pages; default: the largest at which all stay under 2.5 m.")
@click.option("--as", "formats", default="svg,pdf", show_default=True, help="svg, pdf, png: one or more, with commas.")
@click.option("--margin", is_flag=True, help="Add a margin round the art size, with sizes and a title block.")
@out_option("templates/ beside the order")
@guarded
def command(order: Path, scale: str | None, formats: str, margin: bool, out: Path | None) -> int:
    """Write a template per panel: page = art size, guides on layers of their own above an empty art layer."""
    wanted = [name.strip().lower() for name in formats.split(",") if name.strip()]
    faults = [
        ("--as", f"no format named {name!r}; known: {', '.join(FORMATS)}") for name in wanted if name not in FORMATS
    ]
    asked = _scale(scale, faults)
    if faults or not wanted:
        raise TableError("template", faults or [("--as", f"expected one of {', '.join(FORMATS)}")])
    loaded, sizing = open_order(order)
    folder = out if out is not None else loaded.folder / "templates"
    show, count = progress(after=1.0), 0
    for name, data in templates(loaded, sizing, wanted, asked, margin=margin):
        write(folder / name, data)
        show(name)
        count += 1
    show("")
    tell(f"{count} files in {folder}")
    return 0


def _scale(text: str | None, faults: list[tuple[str, str]]) -> int | None:
    if text is None:
        return None
    match = re.fullmatch(r"\s*1\s*:\s*(\d{1,3})\s*", text)
    if match is None or int(match[1]) not in SCALES:
        faults.append(("--scale", f"expected one of {', '.join(f'1:{s}' for s in SCALES)}, got {text!r}"))
        return None
    return int(match[1])


@frozen
class Page:
    """One template to be made. ``asked`` = the scale that it should have; it gets the next that a PDF page can have."""

    stem: str
    panel: int
    way: Way
    asked: int
    place: str


@frozen
class Asked:
    """What all pages of one run share."""

    order: Order
    sizing: Sizing
    formats: tuple[str, ...]
    margin: bool

    def panel(self, number: int) -> tuple[int, Panel]:
        """A panel, and the index of its structure."""
        return next((s.index, p) for s in self.sizing.structures for p in s.panels if p.number == number)


def templates(
    order: Order,
    sizing: Sizing,
    wanted: list[str],
    asked: int | None,
    *,
    margin: bool = False,
    workers: int | None = None,
) -> Iterator[tuple[str, bytes]]:
    """(file name, content) of every template. Panels of one structure share a scale."""
    shared = Asked(order, sizing, tuple(wanted), margin)
    pages = _pages(order, sizing, asked)
    for files, told in pool.each(make_page, shared, pages, workers):
        for line in told:
            tell(line)
        yield from files


def _pages(order: Order, sizing: Sizing, asked: int | None) -> list[Page]:
    say = words(order.language)
    digits = len(str(max(panel.number for panel in sizing.panels)))
    found: list[tuple[str, int, Way, int]] = []
    for structure in sizing.structures:
        if not structure.panels:
            continue
        scale = asked if asked is not None else default_scale(structure.panels)
        for panel in structure.panels:
            for way in ways(panel):
                stem = f"panel-{panel.number:0{digits}d}" + ("" if way == "sewn" else "_reading-way")
                found.append((stem, panel.number, way, scale))
    return [Page(*one, say("block.of", n=n, m=len(found))) for n, one in enumerate(found, start=1)]


def make_page(shared: Asked, page: Page) -> tuple[list[tuple[str, bytes]], list[str]]:
    """The files of one page, and what to tell."""
    order = shared.order
    index, panel = shared.panel(page.panel)
    structure = next(s for s in shared.sizing.structures if s.index == index)
    head = Head(order.name, order.number, order.client, order.date or "") if shared.margin else None
    ppi = needed_ppi(order.structures[index].settings.reading_distance)
    for scale in SCALES[SCALES.index(page.asked) :]:
        drawing = template(
            panel,
            structure,
            words(order.language),
            scale,
            page.way,
            ppi=ppi,
            asked=page.asked,
            margin=head,
            place=page.place,
        )
        if max(drawing.width, drawing.height) <= MAX_PAGE:
            break
    told = []
    if scale != page.asked:
        told = [
            f"panel {panel.number}: 1:{page.asked} is over a PDF page's {MAX_PAGE:g} mm, so it is drawn at 1:{scale}"
        ]
    return files_of(page.stem, drawing, shared.formats, order.language), told


def files_of(stem: str, drawing: Drawing, formats: tuple[str, ...], language: str) -> list[tuple[str, bytes]]:
    """The drawing in each format."""
    made = []
    pdf = write_pdf([drawing], title=drawing.title, language=language) if {"pdf", "png"} & set(formats) else b""
    for kind in formats:
        if kind == "svg":
            made.append((f"{stem}.svg", write_svg(drawing)))
        elif kind == "pdf":
            made.append((f"{stem}.pdf", pdf))
        else:
            wide = round(_PNG_SIDE * min(1.0, drawing.width / drawing.height))
            made.append((f"{stem}.png", render_pdf(pdf, width=max(wide, 1))))
    return made
