"""`artgen size`: the sizing table, for people and for programs."""

from pathlib import Path

import click

from ..order import Order
from ..sizing.names import where
from ..sizing.outline import size
from ..sizing.panel import Panel, SizedStructure, Sizing
from ..typed import TableError
from ..units import inch_text, mm_text
from ..words import Words, words
from .work import ORDER, guarded, json_bytes, open_order, write

_COLUMNS = ("panel", "where", "shows", "page", "page-inches", "sewn", "sheet", "drops", "strip-length")


@click.command()
@ORDER
@click.option("--json", "json_file", help="Write the sizes as JSON to FILE (- for standard output).", metavar="FILE")
@click.option("--csv", "csv_file", help="Write the table as CSV to FILE (- for standard output).", metavar="FILE")
@click.option(
    "--explain", type=int, help="Write out the sums of one panel, with where each number comes from.", metavar="PANEL"
)
@guarded
def command(order: Path, json_file: str | None, csv_file: str | None, explain: int | None) -> int:
    """Show every panel's sizes: what shows, the art page, sewn, print sheet and drops."""
    loaded, sizing = open_order(order)
    if explain is not None and explain not in [panel.number for panel in sizing.panels]:
        raise TableError("size", [("--explain", f"this order has no panel {explain}")])
    if json_file or csv_file:
        from .size_files import as_csv, as_json

        if json_file:
            write(json_file, json_bytes(as_json(sizing)))
        if csv_file:
            write(csv_file, as_csv(loaded, sizing).encode())
    if "-" not in (json_file, csv_file):
        if explain is None:
            click.echo(as_table(loaded, sizing), nl=False)
        else:
            from .explain import explained

            click.echo(explained(loaded, sizing, explain), nl=False)
    return 0


def as_table(order: Order, sizing: Sizing) -> str:
    """The table that a person reads: mm, and the page in inches too."""
    say = words(order.language)
    head = tuple(say(f"size.{column}") for column in _COLUMNS)
    lines = [say("size.title", order=order.name), ""]
    for structure in sizing.structures:
        x, y, z = (mm_text(length) for length in structure.overall)
        known = {"name": structure.name, "kind": structure.kind, "high": mm_text(structure.standing)}
        key = "size.structure.copies" if structure.copies > 1 else "size.structure"
        lines.append(say(key, x=x, y=y, z=z, copies=structure.copies, **known))
        rows = [head, *(_row(structure, panel, say) for panel in structure.panels)]
        wide = [max(len(row[i]) for row in rows) for i in range(len(head))]
        lines += ["  ".join(cell.ljust(w) for cell, w in zip(row, wide, strict=True)).rstrip() for row in rows]
        rip = order.structures[structure.index].settings.compensate == "rip"
        seen = _seen(structure, say, order.structures[structure.index].settings.reading_distance)
        lines += [*_notes(structure, say, rip), seen, ""]
    lengths = [say("size.strip.one", name=name, metres=f"{mm / 1000:.2f}") for name, mm in sizing.strips.items()]
    if lengths:
        lines += [say("size.strip", lengths=", ".join(lengths)), ""]
    return "\n".join(lines)


def _notes(structure: SizedStructure, say: Words, rip: bool) -> list[str]:
    """What the rows have no room for."""
    found = []
    if rip:
        factors = (
            say("size.rip.one", panel=panel.number, x=f"{panel.factor[0]:.6f}", y=f"{panel.factor[1]:.6f}")
            for panel in structure.panels
        )
        found.append(say("size.rip", factors=", ".join(factors)))
    for panel in structure.panels:
        if panel.old_panel:
            sewn = f"{mm_text(panel.old_panel[0])} × {mm_text(panel.old_panel[1])}"
            found.append(say("size.old-panel", panel=panel.number, sewn=sewn, frame=_pair(size(panel.frame))))
        if panel.safe is None:
            found.append(say("size.no-safe", panel=panel.number, mm=mm_text(panel.safe_lacks)))
    unknown = [str(panel.number) for panel in structure.panels if structure.lit and not panel.stands]
    if unknown:
        found.append(say("size.no-shadows", panels=", ".join(unknown)))
    treatments = dict.fromkeys(panel.strip.corner for panel in structure.panels)
    return found + [say(f"size.corner.{corner}") for corner in treatments if corner != "folded"]


def _seen(structure: SizedStructure, say: Words, distance: float) -> str:
    """Panels as the reader sees them, the best first; those that can't be seen, last."""
    groups: dict[str, list[str]] = {}
    for panel in structure.by_sight:
        sight = panel.sight
        key = "size.seen.not" if sight.seen <= 0 else "size.seen.hidden" if sight.hidden > 0 else "size.seen.share"
        share = say(key, share=f"{sight.share:.0%}", hidden=f"{sight.hidden:.0%}")
        groups.setdefault(share, []).append(str(panel.number))
    shown = "; ".join(f"{', '.join(numbers)}: {share}" for share, numbers in groups.items())
    return say("size.seen", distance=mm_text(distance), shown=shown)


def _row(structure: SizedStructure, panel: Panel, say: Words) -> tuple[str, ...]:
    art = size(panel.art)
    drops = "1" if len(panel.drops) == 1 else " + ".join(_pair(drop.sheet) for drop in panel.drops)
    return (
        str(panel.number),
        where(structure, panel, say),
        _pair(size(panel.visible)),
        _pair(art),
        f"{inch_text(art[0])} × {inch_text(art[1])}",
        _pair(panel.sewn_size),
        _pair(panel.print_sheet),
        say("size.turned", drops=drops) if panel.turned else drops,
        mm_text(panel.strip_total),
    )


def _pair(pair: tuple[float, float]) -> str:
    return f"{mm_text(pair[0])} × {mm_text(pair[1])}"
