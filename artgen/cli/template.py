"""`artgen template`: a template per panel, as SVG, PDF or PNG."""

import re
from pathlib import Path

import click

from ..drawing.marks import Drawing
from ..drawing.pdf import write_pdf
from ..drawing.png import render_pdf
from ..drawing.svg import write_svg
from ..order import Order
from ..sizing.panel import Panel, Sizing
from ..template import MAX_PAGE, SCALES, default_scale, sheet_of, template, ways
from ..typed import TableError
from ..words import words
from .work import ORDER, guarded, open_order, out_option, tell, write

FORMATS = ("svg", "pdf", "png")
_PNG_SIDE = 2000  # px: the longer side of a preview


@click.command()
@ORDER
@click.option("--scale", metavar="1:N", help="Scale of the pages; default: the largest at which all stay under 2.5 m.")
@click.option("--as", "formats", default="svg,pdf", show_default=True, help="svg, pdf, png: one or more, with commas.")
@out_option("templates/ beside the order")
@guarded
def command(order: Path, scale: str | None, formats: str, out: Path | None) -> int:
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
    count = 0
    for name, data in templates(loaded, sizing, wanted, asked):
        write(folder / name, data)
        count += 1
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


def templates(order: Order, sizing: Sizing, wanted: list[str], asked: int | None) -> list[tuple[str, bytes]]:
    """(file name, content) of every template. Panels of one structure share a scale."""
    made: list[tuple[str, bytes]] = []
    say = words(order.language)
    digits = len(str(max(panel.number for panel in sizing.panels)))
    for structure in sizing.structures:
        if not structure.panels:
            continue
        scale = asked if asked is not None else default_scale(structure.panels)
        for panel in structure.panels:
            fitting = _fitting(panel, scale)
            if fitting != scale:
                tell(
                    f"panel {panel.number}: 1:{scale} is over a PDF page's {MAX_PAGE:g} mm, so it is drawn at 1:{fitting}"
                )
            for way in ways(panel):
                stem = f"panel-{panel.number:0{digits}d}" + ("" if way == "sewn" else "_reading-way")
                made += _files(stem, template(panel, structure, say, fitting, way), wanted, order.language)
    return made


def _fitting(panel: Panel, scale: int) -> int:
    for trial in SCALES[SCALES.index(scale) :]:
        if all(
            max(sheet_of(panel, trial, way).width, sheet_of(panel, trial, way).height) <= MAX_PAGE
            for way in ways(panel)
        ):
            return trial
    return SCALES[-1]


def _files(stem: str, drawing: Drawing, wanted: list[str], language: str) -> list[tuple[str, bytes]]:
    made = []
    pdf = write_pdf([drawing], title=drawing.title, language=language) if {"pdf", "png"} & set(wanted) else b""
    for kind in wanted:
        if kind == "svg":
            made.append((f"{stem}.svg", write_svg(drawing)))
        elif kind == "pdf":
            made.append((f"{stem}.pdf", pdf))
        else:
            wide = round(_PNG_SIDE * min(1.0, drawing.width / drawing.height))
            made.append((f"{stem}.png", render_pdf(pdf, width=max(wide, 1))))
    return made
