"""Findings to sentences: what, where, by how much, what to do. All words come from the language's table."""

from collections.abc import Iterable
from math import ceil, floor
from typing import Any

from attrs import frozen

from ..units import mm_text
from ..words import Words
from .finding import SEVERITIES, Finding, NotExamined, Unexamined
from .silences import SilenceState

MOST_WORDS = 8  # ours: more words of one kind on one panel are one cause, not many


@frozen
class Sentences:
    """``message`` says what is wrong and by how much, ``advice`` what to do about it."""

    message: str
    advice: str


@frozen
class Group:
    """Findings that are said as one: ``finding`` is the worst, ``members`` are all of them."""

    finding: Finding
    members: tuple[Finding, ...]

    @property
    def count(self) -> int:
        return len(self.members)


def sentences(finding: Finding, say: Words) -> Sentences:
    """A finding in words."""
    key = f"{finding.rule}.{finding.say}" if finding.say else finding.rule
    values = {**_plain(finding.evidence), "panel": finding.panel, "file": finding.file, "page": finding.page}
    values["panels"] = panel_list(finding.evidence.get("panels", []), say)
    if finding.evidence.get("every_edge"):
        values["edges"] = say("edges.all")
    values["way_out"] = _way_out(finding.evidence, say)
    return Sentences(say(f"check.{key}", **values), say(f"advice.{key}", **values).strip())


def title(rule: str, say: Words) -> str:
    """The rule's name in words."""
    return say(f"rule.{rule}")


def not_examined(one: Unexamined, say: Words) -> NotExamined:
    """Rules that had nothing to judge by, in words."""
    rules = ", ".join(title(rule, say) for rule in one.rules)
    what = say("unexamined.where", file=one.file, rules=rules) if one.file else say("unexamined.what", rules=rules)
    return NotExamined(what, say("unexamined.off", file=one.off) if one.off else one.why or say("unexamined.unasked"))


def silence_said(state: SilenceState, say: Words) -> str:
    """What a person must know of a silence: it is bound to no file, has lapsed, or fits nothing; empty where all is well."""
    if state.state == "used":
        return ""
    silence = state.silence
    panel = "" if silence.panel is None else say("panels.one", numbers=str(silence.panel))
    key = "silence.scope" if panel else "silence.scope.file"
    scope = say(key, number=state.number, rule=silence.rule, panel=panel)
    return say(f"silence.{state.state}", scope=scope, file=state.file, art=state.art)


def grouped(findings: Iterable[Finding]) -> list[Group]:
    """Findings that are said as one, in the order of the findings: those of one rule, sentence, panel and file.

    Words are said one by one, since each has its own way out, up to `MOST_WORDS` of a kind; what is about files alone is
    one group for all of them.
    """
    groups: dict[tuple[object, ...], list[Finding]] = {}
    for finding in findings:
        file = finding.file if finding.panel is not None else None
        groups.setdefault((finding.rule, finding.severity, finding.say, finding.panel, file), []).append(finding)
    found: list[Group] = []
    for group in groups.values():
        if "text" in group[0].evidence and len(group) <= MOST_WORDS:
            found += [Group(one, (one,)) for one in sorted(group, key=_depth, reverse=True)]
        else:
            found.append(Group(max(group, key=_depth), tuple(group)))
    return found


def worst_first(findings: Iterable[Finding]) -> list[Finding]:
    return sorted(findings, key=lambda finding: SEVERITIES.index(finding.severity))


def panel_list(numbers: list[int], say: Words) -> str:
    """ "panel 1", "panels 1 and 2", "panels 1, 2 and 3"."""
    names = [str(number) for number in numbers]
    if len(names) <= 1:
        return say("panels.one", numbers="".join(names))
    return say("panels.many", numbers=say("panels.and", first=", ".join(names[:-1]), last=names[-1]))


def _depth(finding: Finding) -> float:
    """Deeper is worse; near a seam, nearer is worse."""
    depth = float(finding.evidence.get("depth_mm", 0.0))
    return -depth if finding.say == "near" else depth


def _plain(evidence: dict[str, Any]) -> dict[str, Any]:
    """Evidence as sentences take it: lengths to 0.1 mm, pairs as w × h, lists with commas."""
    plain: dict[str, Any] = {}
    for key, value in evidence.items():
        if key.endswith("_mm") and isinstance(value, int | float):
            plain[key] = mm_text(value)
        elif key.endswith("_mm") and isinstance(value, list) and len(value) == 2 and not isinstance(value[0], list):
            plain[key] = f"{mm_text(value[0])} × {mm_text(value[1])}"
        elif isinstance(value, list):
            plain[key] = ", ".join(str(item) for item in value)
        else:
            plain[key] = value.rstrip(".") if key == "detail" else value  # it ends inside our sentence
    if isinstance(evidence.get("short_mm"), list):
        plain["short"] = mm_text(max(evidence["short_mm"]))
    if "fill_scale" in evidence:
        plain["fill_percent"] = f"{evidence['fill_scale'] * 100:.1f}"
        plain["fill_cuts"] = mm_text(max(evidence["fill_cuts_mm"]))
    if "scale" in evidence:
        plain["at"] = f"1:{evidence['scale']:g}"
    if "seam_range_mm" in evidence:
        low, high = evidence["seam_range_mm"]  # whole mm inside the range, so that nobody asks for what can't be
        plain["seam_low"], plain["seam_high"] = str(ceil(low)), str(floor(high))
    return plain


def _way_out(evidence: dict[str, Any], say: Words) -> str:
    """ "Move it 38 mm left", on the page and at full size; or how small it must get."""
    if "move_on_page_mm" in evidence:
        full = _directions(evidence["move_on_page_mm"], say)
        scale = evidence.get("scale", 1.0)
        if abs(scale - 1.0) < 1e-6:
            return say("way-out.move", move=full)
        on_page = _directions([v / scale for v in evidence["move_on_page_mm"]], say)
        return say("way-out.move-scaled", move=full, on_page=on_page, scale=f"{scale:g}")
    fits = evidence.get("fits_at")
    if fits is None:
        return ""
    return say("way-out.shrink", percent=int(fits * 100)) if fits >= 0.05 else say("way-out.none")


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
