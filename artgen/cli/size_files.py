"""The sizing table as files for other programs: CSV and JSON (docs/formats.md)."""

import csv
import io
from typing import Any

from ..order import Order
from ..sizing.corners import corner_cuts
from ..sizing.names import where
from ..sizing.outline import bounds, size
from ..sizing.panel import Panel, SizedStructure, Sizing, Wrap, placed
from ..structure.net import net
from ..words import words


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
        "strips": [{"profile": name, "length_mm": length} for name, length in sizing.strips.items()],
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


def _wrap_size(sizing: Sizing, wrap: Wrap) -> list[float]:
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
        "hidden": panel.sight.hidden,
    }
