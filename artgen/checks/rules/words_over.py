"""What the text rules share: a verdict on a word to a finding."""

from collections.abc import Iterator

from ..finding import Finding, Severity
from ..rule import Seen
from ..text import Kind, Verdict


def findings(seen: Seen, rule: str, kinds: dict[Kind, tuple[Severity, str]]) -> Iterator[Finding]:
    """Findings of the verdicts of some kinds; ``kinds`` gives each its severity and its sentence. One in doubt is a warning
    at most, and says so."""
    for verdict in seen.words:
        if verdict.kind in kinds and verdict.word.read:
            severity, say = kinds[verdict.kind]
            if verdict.doubt and severity == "error":
                severity, say = "warning", "doubt"
            yield finding(verdict, rule, severity, say)


def finding(verdict: Verdict, rule: str, severity: Severity, say: str) -> Finding:
    """A verdict on a word as a finding of one rule."""
    laid = verdict.seen.laid
    evidence: dict[str, object] = {
        "text": verdict.word.text,
        "source": verdict.word.source,
        "depth_mm": round(verdict.depth, 2),
        "panels": list(verdict.panels),
        "scale": laid.scale,
        "capital_mm": round(verdict.word.capital, 1),
        "quad_mm": [[round(x, 3), round(y, 3)] for x, y in verdict.word.quad],
    }
    if verdict.word.source == "seen":
        evidence["read"], evidence["confidence"] = verdict.word.read, verdict.word.confidence
        evidence["within_mm"] = round(verdict.word.slack, 2)
    if verdict.move is not None:
        evidence["move_mm"] = [round(verdict.move.dx, 6), round(verdict.move.dy, 6)]
        evidence["move_on_page_mm"] = [verdict.move.page_dx, verdict.move.page_dy]
    if verdict.shrink is not None:
        evidence["fits_at"] = round(verdict.shrink, 3)
    if verdict.seam is not None:
        evidence["seam_at_mm"], evidence["seam_range_mm"] = verdict.seam[0], list(verdict.seam[1:])
    return Finding(
        rule,
        severity,
        panel=verdict.panel,
        file=laid.claim.file,
        page=laid.claim.page,
        where=verdict.where,
        evidence=evidence,
        say=say,
    )
