"""What checks take and give: observations in, findings out, both plain records.

Places are in the named panel's sewn frame, full-size mm. Words for people are added later (`wording`).
"""

from collections.abc import Mapping
from typing import Any, Literal

from attrs import field, frozen

from ..art.facts import FileFacts, FileFault
from ..placing import Claim, Claims
from ..sizing.panel import Sizing
from ..survey import LaidSeen

Severity = Literal["error", "warning", "note"]
Audience = Literal["client", "shop"]
Box = tuple[float, float, float, float]  # x, y, w, h
SEVERITIES: tuple[Severity, ...] = ("error", "warning", "note")


@frozen
class Observations:
    """All that the rules may know. ``no_page`` = claims of a page that their file lacks; ``hashes`` = SHA-256 of files, hex
    digits; ``approved`` = of each panel that was approved, SHA-256 by name of its files. ``missing`` as in `LaidSeen`."""

    sizing: Sizing
    claims: Claims
    files: Mapping[str, FileFacts | FileFault]
    laid: tuple[LaidSeen, ...]
    no_page: tuple[Claim, ...] = ()
    hashes: Mapping[str, str] = field(factory=dict)
    approved: Mapping[int, Mapping[str, str]] = field(factory=dict)
    missing: Mapping[str, str] = field(factory=dict)


@frozen
class Finding:
    """One fault at one place. ``panel`` None: the matter is a file's. ``evidence`` is plain data: numbers, words, names.

    ``say`` picks the sentence where a rule has several. ``silenced`` = the reason that the order gives for not counting it.
    """

    rule: str
    severity: Severity
    audience: Audience = "client"
    panel: int | None = None
    file: str | None = None
    page: int | None = None
    where: Box | None = None
    evidence: dict[str, Any] = field(factory=dict)
    say: str = ""
    silenced: str = ""

    @property
    def panels(self) -> tuple[int, ...]:
        """Every panel that it touches, the named one first."""
        named = [self.panel] if self.panel is not None else []
        return tuple(dict.fromkeys([*named, *(n for n in self.evidence.get("panels", []) if isinstance(n, int))]))


@frozen
class Unexamined:
    """Rules that had nothing to judge by. ``file`` and ``panels``: where; empty for the whole order. ``off`` = the file that
    switched them off; else ``why`` = what kept an observation from being made, empty where nobody asked for it."""

    rules: tuple[str, ...]
    file: str = ""
    panels: tuple[int, ...] = ()
    why: str = ""
    off: str = ""


@frozen
class NotExamined:
    """What could not be looked at, and why."""

    what: str
    why: str
