"""`artgen size`: the sizing table, for people and for programs."""

import csv
import io
from pathlib import Path
from typing import Any

import click

from ..order import Order
from ..sizing.corners import corner_cuts
from ..sizing.names import where
from ..sizing.outline import bounds, size
from ..sizing.panel import Panel, SizedStructure, Sizing
from ..structure.net import net
from ..typed import TableError
from ..units import inch_text, mm_text
from ..words import plain, words
from .explain import explained
from .work import ORDER, guarded, json_bytes, open_order, write


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
    if json_file:
        write(json_file, json_bytes(as_json(sizing)))
    if csv_file:
        write(csv_file, as_csv(loaded, sizing).encode())
    if "-" not in (json_file, csv_file):
        table = as_table(loaded, sizing) if explain is None else explained(loaded, sizing, explain)
        click.echo(table, nl=False)
    return 0


def as_table(order: Order, sizing: Sizing) -> str:
    """The table that a person reads: mm, and the page in inches too."""
    say = words(order.language)
    head = ("panel", "where", "shows", "art page", "art page, inches", "sewn", "print sheet", "drops", "strip")
    lines = [f"{plain(order.name)}: all in mm, width × height in the sewn frame"]
    lines.append("")
    for structure in sizing.structures:
        x, y, z = structure.overall
        copies = f", {structure.copies} copies" if structure.copies > 1 else ""
        lines.append(
            f"{plain(structure.name)} ({structure.kind}{copies}): metal {mm_text(x)} × {mm_text(y)} × {mm_text(z)} mm, "
            f"highest point {mm_text(structure.standing)} mm above the floor"
        )
        rows = [head, *(_row(structure, panel, say) for panel in structure.panels)]
        wide = [max(len(row[i]) for row in rows) for i in range(len(head))]
        lines += ["  ".join(cell.ljust(w) for cell, w in zip(row, wide, strict=True)).rstrip() for row in rows]
        rip = order.structures[structure.index].settings.compensate == "rip"
        seen = _seen(structure, say, order.structures[structure.index].settings.reading_distance)
        lines += [*_notes(structure, say, rip), seen, ""]
    lengths = [say("size.strip.one", name=name, metres=f"{mm / 1000:.2f}") for name, mm in strips(sizing).items()]
    if lengths:
        lines += [say("size.strip", lengths=", ".join(lengths)), ""]
    return "\n".join(lines)


def _notes(structure: SizedStructure, say: Any, rip: bool) -> list[str]:
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
    treatments = dict.fromkeys(panel.strip.corner for panel in structure.panels)
    return found + [say(f"size.corner.{corner}") for corner in treatments if corner != "folded"]


def strips(sizing: Sizing) -> dict[str, float]:
    """Millimetres of strip in all by strip profile, copies counted."""
    found: dict[str, float] = {}
    for structure in sizing.structures:
        for panel in structure.panels:
            name = panel.strip.name
            found[name] = found.get(name, 0.0) + panel.strip_total * structure.copies
    return found


def _seen(structure: SizedStructure, say: Any, distance: float) -> str:
    """Panels as the reader sees them, the best first; those that can't be seen, last."""
    groups: dict[str, list[str]] = {}
    for panel in structure.by_sight:
        key = "size.seen.not" if panel.sight.seen <= 0 else "size.seen.share"
        share = say(key, share=f"{panel.sight.seen:.0%}")
        groups.setdefault(share, []).append(str(panel.number))
    shown = "; ".join(f"{', '.join(numbers)}: {share}" for share, numbers in groups.items())
    return str(say("size.seen", distance=mm_text(distance), shown=shown))


def _row(structure: SizedStructure, panel: Panel, say: Any) -> tuple[str, ...]:
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
        drops + (", turned" if panel.turned else ""),
        mm_text(panel.strip_total),
    )


def _pair(pair: tuple[float, float]) -> str:
    return f"{mm_text(pair[0])} × {mm_text(pair[1])}"


def as_csv(order: Order, sizing: Sizing) -> str:
    """One row a drop; lengths in mm, unrounded."""
    say = words(order.language)
    out = io.StringIO()
    table = csv.writer(out, lineterminator="\n")
    zones = (
        "frame",
        "visible",
        "finished",
        "cut",
        "art",
        "sewn",
        "sewn_cut",
        "printed_cut",
        "print_sheet",
        "drop_sheet",
    )
    names = [f"{zone}_{side}_mm" for zone in zones for side in ("width", "height")]
    table.writerow(["structure", "panel", "drop", "where", *names, "strip_mm", "upright_deg", "turned"])
    for structure in sizing.structures:
        for panel in structure.panels:
            for drop in panel.drops:
                pairs = [size(getattr(panel, zone)) for zone in zones[:5]]
                pairs += [panel.sewn_size, panel.sewn_cut_size, panel.printed_cut_size, panel.print_sheet, drop.sheet]
                values = [repr(v) for pair in pairs for v in pair]
                table.writerow(
                    [
                        structure.name,
                        panel.number,
                        drop.number,
                        where(structure, panel, say),
                        *values,
                        repr(panel.strip_total),
                        panel.upright_deg,
                        str(panel.turned).lower(),
                    ]
                )
    return out.getvalue()


def as_json(sizing: Sizing) -> dict[str, Any]:
    """Sizes for programs; the schema is in docs/formats.md."""
    return {
        "schema": 1,
        "structures": [
            {
                "name": s.name,
                "kind": s.kind,
                "copies": s.copies,
                "overall_mm": list(s.overall),
                "standing_mm": s.standing,
                "panels": [_panel(panel) for panel in s.panels],
                "by_sight": [panel.number for panel in s.by_sight],
                "net": _net(s),
            }
            for s in sizing.structures
        ],
        "strips": [{"profile": name, "length_mm": length} for name, length in strips(sizing).items()],
        "wraps": [
            {"panels": list(w.panels), "art_mm": _wrap_size(sizing, w), "behind": w.behind, "file": w.file}
            for w in sizing.wraps
        ],
    }


def _net(structure: SizedStructure) -> dict[str, Any]:
    """All faces in one plane; panels by their numbers."""
    flat = net(structure.bays)
    return {
        "whole": flat.whole,
        "panels": [
            {"number": number, "metal_outline": [list(p) for p in outline]}
            for number, outline in zip(structure.numbers, flat.outlines, strict=True)
        ],
        "joined": [
            {"panels": [structure.numbers[j.bay], structure.numbers[j.other]], "from": list(j.start), "to": list(j.end)}
            for j in flat.joined
        ],
    }


def _wrap_size(sizing: Sizing, wrap: Any) -> list[float]:
    from ..sizing.panel import placed

    reach = [bounds(placed(m, sizing.panel(n).art)) for n, m in zip(wrap.panels, wrap.places, strict=True)]
    return [max(r[2] for r in reach), max(r[3] for r in reach)]


def _panel(panel: Panel) -> dict[str, Any]:
    return {
        "number": panel.number,
        "face": panel.bay.face.name,
        "bay": [panel.bay.row, panel.bay.column],
        **{f"{zone}_mm": list(size(getattr(panel, zone))) for zone in ("frame", "visible", "finished", "cut", "art")},
        "sewn_mm": list(panel.sewn_size),
        "printed_cut_mm": list(panel.printed_cut_size),
        "print_sheet_mm": list(panel.print_sheet),
        "print_factor": list(panel.factor),
        "upright_deg": panel.upright_deg,
        "visible_outline": [list(p) for p in panel.visible],
        "cut_outline": [list(p) for p in panel.cut],
        "edges": [
            {
                "name": edge.name,
                "from": list(edge.start),
                "to": list(edge.end),
                "neighbour": [
                    {
                        "panel": m.panel,
                        "edge": m.edge + 1,
                        "from_mm": m.start,
                        "to_mm": m.end,
                        "joint": m.joint,
                        "reveal_mm": m.reveal,
                    }
                    for m in edge.met
                ],
                "reveal_mm": edge.reveal,
                "setback_mm": edge.setback,
                "allowance_mm": edge.allowance,
                "strip_mm": edge.strip,
            }
            for edge in panel.edges
        ],
        "strip": {
            "profile": panel.strip.name,
            "method": panel.strip.method,
            "length_mm": panel.strip_total,
            "corner": panel.strip.corner,
            "corner_cuts": [[list(p) for p in line] for line in corner_cuts(panel)],
        },
        "drops": [
            {
                "number": d.number,
                "axis": d.axis,
                "from_mm": d.start,
                "to_mm": d.end,
                "sheet_mm": list(d.sheet),
                "reach_mm": list(d.reach),
            }
            for d in panel.drops
        ],
        "seams": [{"axis": s.axis, "at_mm": s.at, "range_mm": [s.low, s.high]} for s in panel.seams],
        "shadows": [{"kind": s.kind, "polygon": [list(p) for p in s.outline]} for s in panel.shadows],
        "keep_out": [
            {"name": k.name, "hole": k.hole, "polygon": [list(p) for p in k.outline]} for k in panel.keep_outs
        ],
        "turned": panel.turned,
        "old_panel_mm": list(panel.old_panel) or None,
        "safe_lacks_mm": panel.safe_lacks,
        "blank": panel.blank,
        "sight": {"height_mm": panel.sight.height, "tilt_deg": panel.sight.tilt, "seen": panel.sight.seen},
    }
