"""The graphics state of a content stream, as far as facts need it, and what parameter dictionaries set in it.

ISO 32000-1 8.4. Colours are kept as they were set, and looked at only when something asks.
"""

from typing import Any

import pikepdf
from attrs import define, frozen

from .clipping import Region
from .facts import ColourSpace
from .mapping import Matrix
from .naming import said

BLACK = ColourSpace("DeviceGray", parts=1)


@define
class State:
    """``fill``, ``stroke`` = operands of the current colours; ``clip`` None = nothing clips."""

    ctm: Matrix
    clip: Region | None = None
    fill_space: ColourSpace = BLACK
    stroke_space: ColourSpace = BLACK
    fill: Any = (0,)
    stroke: Any = (0,)
    fill_alpha: float = 1.0
    stroke_alpha: float = 1.0
    over_fill: bool = False
    over_stroke: bool = False
    mode: int = 0
    blend: str = "Normal"
    masked: bool = False
    text_mode: int = 0
    text_size: float = 0.0
    special: bool = False

    def copy(self) -> "State":
        return State(
            self.ctm,
            self.clip,
            self.fill_space,
            self.stroke_space,
            self.fill,
            self.stroke,
            self.fill_alpha,
            self.stroke_alpha,
            self.over_fill,
            self.over_stroke,
            self.mode,
            self.blend,
            self.masked,
            self.text_mode,
            self.text_size,
            self.special,
        )

    def apply(self, settings: "Settings") -> None:
        """Takes over what a parameter dictionary states; ``special`` = something in it needs a look at each paint."""
        for name, value in settings.values:
            setattr(self, name, value)
        self.special = (
            self.over_fill
            or self.over_stroke
            or self.masked
            or self.blend != "Normal"
            or self.fill_alpha < 1
            or self.stroke_alpha < 1
        )


@frozen
class Settings:
    """What a graphics state parameter dictionary sets, as (field of `State`, value) pairs."""

    values: tuple[tuple[str, Any], ...]

    @classmethod
    def of(cls, table: Any) -> "Settings":
        found: dict[str, Any] = {}
        if not isinstance(table, pikepdf.Dictionary):
            return cls(())
        for key, name in (("/CA", "stroke_alpha"), ("/ca", "fill_alpha")):
            if number(table.get(key)) is not None:
                found[name] = min(max(number(table[key]) or 0.0, 0.0), 1.0)
        if isinstance(table.get("/OP"), bool):
            # table 58: without an entry of its own, fills follow strokes
            found["over_stroke"] = found["over_fill"] = table["/OP"]
        if isinstance(table.get("/op"), bool):
            found["over_fill"] = table["/op"]
        if isinstance(table.get("/OPM"), int):
            found["mode"] = 1 if table["/OPM"] == 1 else 0
        if "/BM" in table:
            found["blend"] = _blend(table["/BM"])
        if "/SMask" in table:
            found["masked"] = isinstance(table["/SMask"], pikepdf.Dictionary)
        return cls(tuple(found.items()))


def number(value: Any) -> float | None:
    """A number of a PDF; None for anything else."""
    try:
        return None if isinstance(value, bool) else float(value)
    except (TypeError, ValueError):
        return None


def numbers(values: Any) -> list[float]:
    """The numbers among ``values``, within what a page can hold."""
    found = [number(value) for value in values]
    return [value for value in found if value is not None and abs(value) < 1e12]


def matrix_of(values: Any) -> Matrix | None:
    """Six numbers as a mapping; None if they are none."""
    found = (
        numbers(values) if values is not None and not isinstance(values, pikepdf.Dictionary | pikepdf.Stream) else []
    )
    return (found[0], found[1], found[2], found[3], found[4], found[5]) if len(found) == 6 else None


def _blend(value: Any) -> str:
    first = value[0] if isinstance(value, pikepdf.Array) and len(value) else value
    name = said(first) if isinstance(first, pikepdf.Name) else "Normal"
    return "Normal" if name == "Compatible" else name
