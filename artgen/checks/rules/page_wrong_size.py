"""`page-wrong-size`: a page that fits no box of its panel at any scale, or only the frame size.

The commonest mistake, a page built at frame size, is recognised and said once, its missing bleed folded in. A page
that gives proportions only and could be two sizes gets a warning that says which was taken.
"""

from collections.abc import Iterator

from ...placing import Claim, Laid, Target, lay, tolerance, zone_rect
from ...sizing.panel import Affine
from ..finding import Finding, Severity
from ..rule import Rule, Seen


def find(seen: Seen) -> Iterator[Finding]:
    for one in seen.all.laid:
        laid = one.laid
        if laid.by_hand:
            continue
        x0, y0, x1, y1 = laid.facts.boxes.get("trim", laid.facts.boxes.get("crop", laid.facts.boxes["media"]))
        page = (x1 - x0, y1 - y0) if laid.turn % 180 == 0 else (y1 - y0, x1 - x0)
        rect = zone_rect(laid.target, "art", laid.way)
        wanted = (rect[2] - rect[0], rect[3] - rect[1])
        full = (page[0] * laid.scale, page[1] * laid.scale)
        fill = max(w / f for w, f in zip(wanted, full, strict=True))
        evidence = {
            "page_mm": [round(v, 2) for v in page],
            "scale": round(laid.scale, 4),
            "full_mm": [round(v, 1) for v in full],
            "wanted_mm": [round(v, 1) for v in wanted],
            "short_mm": [round((w - f) / 2, 1) for w, f in zip(wanted, full, strict=True)],
            "ratio": [round(f / w, 4) for f, w in zip(full, wanted, strict=True)],
            "panels": list(laid.target.numbers),
            "sized": laid.facts.sized,
            # one uniform scale that covers the art size, and what it would cut off in all, either way
            "fill_scale": round(fill, 4),
            "fill_cuts_mm": [round(f * fill - w, 1) for f, w in zip(full, wanted, strict=True)],
        }
        severity: Severity = "error"
        say = "nothing"
        if laid.fits == "frame":
            say = "frame"
        elif laid.fits is None:
            others = _others(seen, laid)
            if others:
                say, evidence["others"] = "other", others
        else:
            if not laid.assumed:
                continue
            severity, say = "warning", "assumed"
            evidence |= {
                "taken": laid.fits,
                "instead": list(laid.assumed),
                "tolerance_mm": tolerance(laid.facts, laid.scale),
            }
        number = laid.target.numbers[0]
        yield Finding(
            "page-wrong-size",
            severity,
            panel=number,
            file=laid.claim.file,
            page=laid.claim.page,
            evidence=evidence,
            say=say,
        )


def _others(seen: Seen, laid: Laid) -> list[int]:
    """Panels whose art size or cut the page fits to the mm, unturned: of a page with a true size, that is no chance."""
    if not laid.facts.sized or laid.target.wrap is not None:
        return []
    alone: Affine = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)
    found = []
    for panel in seen.all.sizing.panels:
        if panel.number not in laid.target.numbers:
            other = lay(Claim(Target((panel,), (alone,)), laid.claim.file, laid.claim.page), laid.facts)
            if other.fits in ("art", "cut") and other.turn == 0:
                found.append(panel.number)
    return found


RULE = Rule("page-wrong-size", "error", "client", "fit", find)
