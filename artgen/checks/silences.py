"""Findings that the order silences: kept with the reason, counted nowhere. A silence lapses when the art changes."""

from collections.abc import Iterable
from typing import Literal

from attrs import evolve, frozen

from ..order import Silence
from .finding import Finding, Observations

_TOUCH = 1.0  # mm: an area is copied from a report, which gives whole mm
DIGITS = 12  # of a file's hash, in the line that a report gives for pasting (ours); an order may give 8 or more

State = Literal["used", "unbound", "lapsed", "unused"]


@frozen
class SilenceState:
    """What became of the order's n-th ``[[silence]]``. ``unbound``: in force, but bound to no file, so it would go on when
    the art changes; ``lapsed``: bound to art that has changed since; ``unused``: there is nothing that it fits. ``count`` =
    findings that it silences, or would; ``file`` and ``art`` = the file that these are in and the first digits of its hash."""

    number: int
    silence: Silence
    state: State
    count: int = 0
    file: str = ""
    art: str = ""


def silenced(
    findings: Iterable[Finding], silences: Iterable[tuple[int, Silence]], seen: Observations
) -> tuple[list[Finding], list[Finding], list[SilenceState]]:
    """(findings that count, findings silenced, what became of each silence)."""
    left, quiet = list(findings), []
    states = []
    for number, silence in silences:
        meant = [finding for finding in left if _means(silence, finding)]
        hit = [finding for finding in meant if _same_art(silence, finding, seen)]
        left = [finding for finding in left if finding not in hit]
        quiet += [evolve(finding, silenced=silence.reason) for finding in hit]
        file = next((finding.file for finding in hit or meant if finding.file), "")
        art = seen.hashes.get(file, "")[:DIGITS]
        state: State = "unused" if not meant else "lapsed" if not hit else "used"
        if state == "used" and art and not silence.art:
            state = "unbound"
        states.append(SilenceState(number, silence, state, len(hit or meant), file, art))
    return left, quiet, states


def _means(silence: Silence, finding: Finding) -> bool:
    if silence.rule != finding.rule:
        return False
    if silence.panel is None:
        if finding.panel is not None:
            return False
    elif silence.panel not in (finding.panel, *finding.evidence.get("panels", ())):
        return False
    if silence.words and not _within(str(finding.evidence.get("text") or finding.file or ""), silence.words):
        return False
    return not silence.area or (silence.panel == finding.panel and _inside(finding, silence))


def _within(said: str, words: str) -> bool:
    """Whether all that a finding quotes stands in the silence's words, in one run: "OPEN ALL" in "open all year"."""
    part, whole = said.casefold().split(), words.casefold().split()
    return bool(part) and any(whole[i : i + len(part)] == part for i in range(len(whole) - len(part) + 1))


def _inside(finding: Finding, silence: Silence) -> bool:
    if finding.where is None:
        return False
    (x, y, w, h), (a, b, c, d) = finding.where, silence.area
    return a - _TOUCH <= x and b - _TOUCH <= y and x + w <= a + c + _TOUCH and y + h <= b + d + _TOUCH


def _same_art(silence: Silence, finding: Finding, seen: Observations) -> bool:
    return not silence.art or seen.hashes.get(finding.file or "", "").startswith(silence.art.lower())
