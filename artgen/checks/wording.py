"""Findings to sentences: what, where, by how much, what to do. All words come from the language's table."""

from collections.abc import Iterable

from attrs import frozen

from ..words import Words
from .finding import SEVERITIES, Finding, NotExamined, Unexamined
from .silences import SilenceState
from .values import values_of

MOST_WORDS = 4  # ours: more lines of text that are wrong by the same on one panel are one block, and one cause


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
    values = {**values_of(finding.evidence, say), "panel": finding.panel, "file": finding.file, "page": finding.page}
    values["panels"] = panel_list(finding.evidence.get("panels", []), say)
    if "others" in finding.evidence:
        values["others"] = panel_list(finding.evidence["others"], say)
    if finding.evidence.get("every_edge"):
        values["edges"] = say("edges.all")
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

    Lines of text are said one by one, since each has its own way out, up to `MOST_WORDS` of a kind; what is about files alone is
    one group for all of them.
    """
    groups: dict[tuple[object, ...], list[Finding]] = {}
    for finding in findings:
        file = finding.file if finding.panel is not None else None
        groups.setdefault((finding.rule, finding.severity, finding.say, finding.panel, file), []).append(finding)
    found: list[Group] = []
    for group in groups.values():
        if "text" in group[0].evidence and len(group) <= MOST_WORDS:
            found += [Group(one, (one,)) for one in sorted(group, key=_badness, reverse=True)]
        else:
            found.append(Group(max(group, key=_badness), tuple(group)))
    return found


def worst_first(findings: Iterable[Finding]) -> list[Finding]:
    return sorted(findings, key=lambda finding: SEVERITIES.index(finding.severity))


def panel_list(numbers: list[int], say: Words) -> str:
    """ "panel 1", "panels 1 and 2", "panels 1, 2 and 3"."""
    names = [str(number) for number in numbers]
    if len(names) <= 1:
        return say("panels.one", numbers="".join(names))
    return say("panels.many", numbers=say("panels.and", first=", ".join(names[:-1]), last=names[-1]))


def _badness(finding: Finding) -> float:
    """Deeper is worse; near a seam, nearer is; coarser; thinner."""
    evidence = finding.evidence
    if "ppi" in evidence:
        return -float(min(evidence["ppi"]))
    if "width_mm" in evidence:
        return -float(evidence["width_mm"])
    depth = float(evidence.get("depth_mm", 0.0))
    return -depth if finding.say == "near" else depth
