"""What the text rules share: a verdict on words to a finding."""

from collections.abc import Iterable, Iterator

from ...survey import PlacedWord
from ..finding import Finding, Severity
from ..rule import Seen
from ..text import Kind, Verdict, Way


def findings(seen: Seen, rule: str, kinds: dict[Kind, tuple[Severity, str]]) -> Iterator[Finding]:
    """Findings of the verdicts of some kinds; ``kinds`` gives each its severity and its sentence. One in doubt is a warning
    at most, and says so."""
    for verdict in seen.words:
        if verdict.kind in kinds and verdict.words[0].read:
            severity, say = kinds[verdict.kind]
            if verdict.doubt and severity == "error":
                severity, say = "warning", "doubt"
            yield finding(verdict, rule, severity, say)


def finding(verdict: Verdict, rule: str, severity: Severity, say: str) -> Finding:
    """A verdict on words of one line as a finding of one rule."""
    laid, words = verdict.seen.laid, verdict.words
    evidence: dict[str, object] = {
        "text": quoted(words),
        "source": words[0].source,
        "depth_mm": round(verdict.depth, 2),
        "panels": list(verdict.panels),
        "scale": laid.scale,
        "capital_mm": round(max(word.capital for word in words), 1),
        "quad_mm": [[round(x, 3), round(y, 3)] for x, y in verdict.quad],
    }
    if len(words) < len(verdict.line):
        evidence["line"] = quoted(verdict.line)
    if words[0].source == "seen":
        evidence["read"], evidence["confidence"] = words[0].read, min(word.confidence for word in words)
        evidence["within_mm"] = round(max(word.slack for word in words), 2)
    if verdict.name:
        evidence["name"] = verdict.name
    if verdict.seam is not None:
        evidence["seam_at_mm"], evidence["seam_range_mm"] = verdict.seam[0], list(verdict.seam[1:])
    return Finding(
        rule,
        severity,
        panel=verdict.panel,
        file=laid.claim.file,
        page=laid.claim.page,
        where=verdict.where,
        evidence=evidence | (_way(verdict.way) if verdict.way is not None else {}),
        say=say,
    )


def quoted(words: Iterable[PlacedWord]) -> str:
    """What words say together; those that could not be read say nothing."""
    return " ".join(word.text for word in words if word.text)


def _way(way: Way) -> dict[str, object]:
    found: dict[str, object] = {}
    if way.move is not None:
        found["move_mm"] = [round(way.move.dx, 6), round(way.move.dy, 6)]
        found["move_on_page_mm"] = [way.move.page_dx, way.move.page_dy]
    if way.broken:
        found["line_fits_at"] = round(way.shrink or 0.0, 3)
    elif way.shrink is not None:
        found["fits_at"] = round(way.shrink, 3)
    return found
