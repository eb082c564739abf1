"""An order in millimetres: the records that its tables become."""

from pathlib import Path
from typing import Any, Literal, NewType

from attrs import field, frozen

from ..profiles import FabricName, FrameName, RollName, StripName
from ..typed import Count, Inset, Length, Size, Title

Day = NewType("Day", str)  # ISO 8601 calendar date
Severity = Literal["error", "warning", "note", "off"]


@frozen
class BayRow:
    """A row of bays. ``widths``: left to right, empty = one bay as wide as the face. ``height`` None: an equal share of
    what the other rows leave."""

    widths: tuple[Size, ...] = ()
    height: Size | None = None


@frozen
class KeepOut:
    """An area of a panel that takes no art that matters: a rectangle (``at`` = its lower left, ``size``) or a circle (``at``
    = its middle, ``diameter``), from the lower left of what shows, in the sewn frame. ``hole``: the cloth is cut out."""

    at: tuple[Length, ...]
    size: tuple[Size, ...] = ()
    diameter: Size | None = None
    name: str = ""
    hole: bool = False


@frozen
class Settings:
    """What a structure is made of and judged by; ``[defaults]``, overridden per structure. None: the profile's value."""

    frame: FrameName = FrameName("standard")
    strip: StripName = StripName("flat-14")
    fabric: FabricName = FabricName("display-knit")
    roll: RollName = RollName("wide-3200")
    bleed: Inset | None = None
    safe: Inset | None = None
    seam_clearance: Inset | None = None
    reading_distance: Size = Size(3000.0)
    eye_height: Size = Size(1600.0)
    compensate: Literal["print", "rip"] = "print"
    paper: Literal["a4", "letter"] = "a4"


@frozen
class EdgeSettings:
    """``[[structure.edge]]``: one edge of one panel, named or numbered from 1 in its sewn frame."""

    panel: int
    edge: str | int
    setback: Inset | None = None
    seat_depth: Inset | None = None
    turn_in: Inset | None = None
    bleed: Inset | None = None
    safe: Inset | None = None


@frozen
class PanelSettings:
    """``[[structure.panel]]``. ``turn``: along or across the roll by hand; None leaves it to the sums. ``seams``: their places
    along the full-size page. ``sewn_size``: width, height of an old panel as sewn, in the sewn frame."""

    panel: int
    fabric: FabricName | None = None
    blank: bool = False
    open: bool = False
    turn: bool | None = None
    seams: tuple[Size, ...] = ()
    sewn_size: tuple[Size, ...] = ()
    keep_out: tuple[KeepOut, ...] = ()


@frozen(kw_only=True)
class Common:
    """The keys that every structure has, whatever its kind."""

    name: Title
    kind: str
    lit: Literal["none", "inside"] = "none"
    copies: Count = Count(1)
    feet: Inset = Inset(0.0)
    hang_height: Inset | None = None
    last_panel: int | None = None
    edge: tuple[EdgeSettings, ...] = ()
    edges: tuple[EdgeSettings, ...] = ()  # the same, also where a kind's own `edge` is a length
    panel: tuple[PanelSettings, ...] = ()


@frozen(kw_only=True)
class Structure(Common):
    """One ``[[structure]]``. ``keys`` = the kind's own keys; ``bays`` = rows by face name, top row first; ``set_in`` =
    where a setting was made, "structure" or "defaults"; one that is not there has the profile's or artgen's own value."""

    keys: Any
    settings: Settings
    bays: dict[str, tuple[BayRow, ...]] = field(factory=dict)
    set_in: dict[str, str] = field(factory=dict)

    @property
    def edge_tables(self) -> list[tuple[str, EdgeSettings]]:
        """(its path, table) of every table about one edge."""
        tables = (("edge", self.edge), ("edges", self.edges))
        return [(f"{key} {i}", table) for key, found in tables for i, table in enumerate(found, start=1)]


@frozen
class Art:
    """``[[art]]``: a file for one or more panels, and how it is laid where its size does not say."""

    panels: tuple[int, ...]
    file: str
    page: int = 1
    way: Literal["sewn", "reading"] | None = None
    fit: Literal["fill", "contain"] | None = None
    scale: float | None = None
    move: tuple[Length, ...] = ()
    turn: Literal[0, 90, 180, 270] | None = None


@frozen
class Wrap:
    """``[[wrap]]``: one page across a chain of panels. ``behind``: the art runs on behind the reveals, or is closed up."""

    panels: tuple[int, ...]
    file: str
    page: int = 1
    behind: Literal["on", "closed"] = "on"
    text_over_corners: bool = False


@frozen
class RuleSettings:
    """``[checks.RULE]``: another severity, other numbers by name, each in its own unit (lengths in mm), and lists of words."""

    severity: Severity | None = None
    numbers: dict[str, float] = field(factory=dict)
    names: dict[str, tuple[str, ...]] = field(factory=dict)


RuleTables = NewType("RuleTables", dict[str, RuleSettings])  # by rule


@frozen
class Silence:
    """``[[silence]]``: findings that do not count. ``panel`` None: those about a file alone. ``words``: those that quote
    nothing else; ``area``: those wholly in x, y, width, height of the panel's sewn frame; neither: all of the rule on that
    panel. ``art`` = first hex digits of the SHA-256 of the file that it was given for; it lapses when that changes."""

    rule: str
    reason: Title
    panel: int | None = None
    words: Title = Title("")
    area: tuple[Length, ...] = ()
    art: str = ""


@frozen
class Mail:
    to: Title = Title("")
    sender: Title = Title("")
    answer_by: Day | None = None


@frozen
class Order:
    """One piece of work. ``folder`` holds the order file; client art lies in its ``art/``."""

    folder: Path
    name: str
    structures: tuple[Structure, ...]
    settings: Settings
    number: str = ""
    client: str = ""
    date: Day | None = None
    due: Day | None = None
    language: Literal["en"] = "en"
    art: tuple[Art, ...] = ()
    wraps: tuple[Wrap, ...] = ()
    mail: Mail = field(factory=Mail)
    checks: RuleTables = field(factory=lambda: RuleTables({}))
    silences: tuple[Silence, ...] = ()


@frozen
class File:
    """The order file's own layout."""

    schema: Literal[1]
    name: Title
    structure: tuple[Structure, ...]
    number: Title = Title("")
    client: Title = Title("")
    date: Day | None = None
    due: Day | None = None
    language: Literal["en"] = "en"
    defaults: Settings = field(factory=Settings)
    mail: Mail = field(factory=Mail)
    art: tuple[Art, ...] = ()
    wrap: tuple[Wrap, ...] = ()
    checks: RuleTables = field(factory=lambda: RuleTables({}))
    silence: tuple[Silence, ...] = ()
