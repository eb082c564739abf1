"""Evidence as sentences take it: lengths to 0.1 mm, pairs as w × h, lists with commas, and what follows from several of them."""

from math import ceil, floor, log
from typing import Any

from ..placing import SCALES
from ..units import mm_text
from ..words import Words

_LONGEST_LINE = 60  # characters of a quoted line, ours


def values_of(evidence: dict[str, Any], say: Words) -> dict[str, Any]:
    """What the sentences of a finding may name."""
    values = {key: _plain(key, value) for key, value in evidence.items()}
    for part in (_fitting, _words, _images, _lines, _files, _marks):
        values |= part(evidence, say)
    values["way_out"] = _way_out(evidence, say)
    return values


def _plain(key: str, value: Any) -> Any:
    if key.endswith("_mm") and isinstance(value, int | float):
        return mm_text(value)
    if key.endswith("_mm") and isinstance(value, list) and len(value) == 2 and not isinstance(value[0], list):
        return _by(value)
    if isinstance(value, list):
        return ", ".join(str(item) for item in value)
    return (
        value.rstrip(".") if key in ("detail", "why") and isinstance(value, str) else value
    )  # it ends inside our sentence


def _by(pair: list[float]) -> str:
    return f"{mm_text(pair[0])} × {mm_text(pair[1])}"


def _fitting(evidence: dict[str, Any], say: Words) -> dict[str, Any]:
    found: dict[str, Any] = {}
    if isinstance(evidence.get("short_mm"), list):
        found["short"] = mm_text(max(evidence["short_mm"]))
    if "scale" in evidence:
        found["at"] = f"1:{evidence['scale']:g}"
    if "fill_scale" in evidence:
        found["fill"] = _fill(evidence, say)
    if "seam_range_mm" in evidence:
        low, high = evidence["seam_range_mm"]  # whole mm inside the range, so that nobody asks for what can't be
        found["seam_low"], found["seam_high"] = str(ceil(low)), str(floor(high))
    return found


def _fill(evidence: dict[str, Any], say: Words) -> str:
    """At how much of its size a page would fill the panel, and what that cuts off; taken as the scale that one of its sides comes
    nearest to."""
    page, wanted, cuts = (evidence[key] for key in ("page_mm", "wanted_mm", "fill_cuts_mm"))
    scale = min(SCALES, key=lambda s: min(abs(log(side * s / want)) for side, want in zip(page, wanted, strict=True)))
    percent = mm_text(evidence["scale"] * evidence["fill_scale"] / scale * 100)
    size = say("fill.at", percent=percent) if scale == 1 else say("fill.at-scale", percent=percent, scale=scale)
    axis = 0 if cuts[0] >= cuts[1] else 1
    if cuts[axis] < 1.0:
        return say("fill.whole", size=size)
    return say(f"fill.cuts-{'width' if axis == 0 else 'height'}", size=size, mm=mm_text(cuts[axis]))


def _words(evidence: dict[str, Any], say: Words) -> dict[str, Any]:
    count = evidence.get("count", 1)
    found: dict[str, Any] = {"more_words": say("words.more", count=count - 1) if count > 1 else ""}
    if "reading_distance_mm" in evidence:
        found["reading_m"] = f"{evidence['reading_distance_mm'] / 1000:g}"
    if "needed_mm" in evidence and "capital_mm" in evidence:
        found["enlarge"] = f"{ceil(evidence['needed_mm'] / evidence['capital_mm'] * 10 - 1e-9) / 10:g}"
    if "angle_deg" in evidence:
        angle = evidence["angle_deg"]
        found["angle_deg"] = abs(angle)
        found["angle_back"] = say("turn.clockwise" if angle > 0 else "turn.anticlockwise", deg=abs(angle))
    return found


def _images(evidence: dict[str, Any], _: Words) -> dict[str, Any]:
    found: dict[str, Any] = {}
    if "pixels" in evidence:
        found["pixels_by"] = " × ".join(f"{count:,}" for count in evidence["pixels"])
    if "ppi" in evidence:
        ppi = evidence["ppi"]
        axis = 0 if ppi[0] <= ppi[1] * 1.05 else 1  # rows, unless columns are plainly coarser
        found["least_ppi"] = floor(min(ppi))
        found["needed_across"] = f"{evidence['needed_pixels'][axis]:,}"
        found["has_across"] = f"{evidence['pixels'][axis]:,}"
        found["sharp_percent"] = floor(evidence["sharp_at"] * 100)
    return found


def _lines(evidence: dict[str, Any], say: Words) -> dict[str, Any]:
    if "width_mm" not in evidence:
        return {}
    scale, least = evidence["scale"], evidence["least_mm"]
    on_page = say("on-page.least", mm=f"{least / scale:.3g}", scale=f"{scale:g}") if scale != 1 else ""
    return {"width_fine": f"{evidence['width_mm']:.2g}", "least_fine": f"{least:.2g}", "on_page_least": on_page}


def _files(evidence: dict[str, Any], say: Words) -> dict[str, Any]:
    if "extras" not in evidence:
        return {}
    return {"extras_said": ", ".join(say(f"extras.{kind}", count=count) for kind, count in evidence["extras"].items())}


_CODES = ("QRCode", "MicroQRCode", "DataMatrix", "Aztec", "PDF417")  # those with a name that a client knows


def _marks(evidence: dict[str, Any], say: Words) -> dict[str, Any]:
    found: dict[str, Any] = {}
    if "guide_lines" in evidence:
        found["guides_said"] = ", ".join(say(f"guide.{kind}") for kind in evidence["guide_lines"])
    if "code" in evidence:
        found["code_said"] = say(f"code.{evidence['code']}" if evidence["code"] in _CODES else "code.other")
        found["code_reads"] = say("code.reads", text=evidence["text"]) if evidence["text"] else ""
    return found


# the way out


def _way_out(evidence: dict[str, Any], say: Words) -> str:
    """ "Move it 38 mm left", on the page and at full size; or how small it must get."""
    line = evidence.get("line", "")
    short = line if len(line) <= _LONGEST_LINE else line[:_LONGEST_LINE].rsplit(" ", 1)[0] + " …"
    if "move_on_page_mm" in evidence:
        move = _move(evidence, say)
        if "line_fits_at" not in evidence:
            return say("way-out.line", move=move, line=short) if line else say("way-out.move", move=move)
        percent = int(evidence["line_fits_at"] * 100)
        key = "way-out.broken" if percent >= 5 else "way-out.broken-only"
        return say(key, move=move, text=evidence["text"], percent=percent)
    fits = evidence.get("fits_at")
    if fits is None:
        return ""
    return say("way-out.shrink", percent=int(fits * 100)) if fits >= 0.05 else say("way-out.none")


def _move(evidence: dict[str, Any], say: Words) -> str:
    full = _directions(evidence["move_on_page_mm"], say)
    scale = evidence.get("scale", 1.0)
    if abs(scale - 1.0) < 1e-6:
        return full
    on_page = _directions([v / scale for v in evidence["move_on_page_mm"]], say)
    return say("way.scaled", full=full, on_page=on_page, scale=f"{scale:g}")


def _directions(move: list[float], say: Words) -> str:
    dx, dy = move
    parts = []
    if abs(dx) >= 0.05:
        parts.append(say("way.right" if dx > 0 else "way.left", mm=_step(abs(dx))))
    if abs(dy) >= 0.05:
        parts.append(say("way.up" if dy > 0 else "way.down", mm=_step(abs(dy))))
    return say("way.and", first=parts[0], second=parts[1]) if len(parts) == 2 else "".join(parts)


def _step(mm: float) -> str:
    """Small moves on a scaled page are given to 0.01 mm, or they would not clear at full size."""
    return mm_text(mm) if abs(mm - round(mm, 1)) < 1e-9 else f"{ceil(mm * 100 - 1e-6) / 100:.2f}"
