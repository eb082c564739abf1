"""`artgen template`: the folder for the designer: templates, spec sheet, net sheet, and a page that shows them all."""

import re
from pathlib import Path

import click

from ..template import SCALES
from ..typed import TableError
from .template_folder import FORMATS, folder_files
from .work import ORDER, guarded, open_order, out_option, progress, tell, write


@click.command()
@ORDER
@click.option("--scale", metavar="1:N", help="Scale of the pages; default: the largest at which all stay under 2.5 m.")
@click.option("--as", "formats", default="svg,pdf", show_default=True, help="svg, pdf, png: one or more, with commas.")
@click.option("--margin", is_flag=True, help="Add a margin round the art size, with sizes and a title block.")
@out_option("templates/ beside the order")
@guarded
def command(order: Path, scale: str | None, formats: str, margin: bool, out: Path | None) -> int:
    """Write a template per panel and per wrap (page = art size, guides on layers of their own above an empty art layer), a
    spec sheet, a net sheet, and a page that shows them all."""
    wanted = list(dict.fromkeys(name.strip().lower() for name in formats.split(",") if name.strip()))
    faults = [
        ("--as", f"no format named {name!r}; known: {', '.join(FORMATS)}") for name in wanted if name not in FORMATS
    ]
    asked = _scale(scale, faults)
    if faults or not wanted:
        raise TableError("template", faults or [("--as", f"expected one of {', '.join(FORMATS)}")])
    loaded, sizing = open_order(order)
    folder = out if out is not None else loaded.folder / "templates"
    show, count = progress(after=1.0), 0
    for name, data, told in folder_files(loaded, sizing, wanted, asked, margin=margin):
        write(folder / name, data)
        show(name)
        for line in told:
            tell(line)
        count += 1
    show("")
    tell(f"{count} files in {folder}; for the designer: {folder / 'index.html'}")
    return 0


def _scale(text: str | None, faults: list[tuple[str, str]]) -> int | None:
    if text is None:
        return None
    match = re.fullmatch(r"\s*1\s*:\s*(\d{1,3})\s*", text)
    if match is None or int(match[1]) not in SCALES:
        faults.append(("--scale", f"expected one of {', '.join(f'1:{s}' for s in SCALES)}, got {text!r}"))
        return None
    return int(match[1])
