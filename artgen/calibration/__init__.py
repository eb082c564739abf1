"""Measuring frame and cloth: a test piece's readings to a fabric profile, and the sheets to print, measure and write on."""

import json
from collections.abc import Sequence
from statistics import fmean
from typing import Any

import attrs
from attrs import frozen

from ..profiles import Fabric
from ..typed import Give
from ..words import Words, plain
from .measuring_sheet import measuring_sheet
from .test_piece import SIDE, test_piece

__all__ = ["READING_ERROR", "SIDE", "Readings", "fabric_toml", "measuring_sheet", "panel_error", "test_piece"]

READING_ERROR = 0.5  # mm: how well a tape is read


@frozen
class Readings:
    """A test piece: ``side`` mm between its marks as printed, and what was measured between them after heat."""

    side: float
    across: tuple[float, ...]
    along: tuple[float, ...]

    def change(self, readings: Sequence[float]) -> Give:
        """Dimensional change as ISO 5077 signs it, of the mean reading: shrink is negative. To 1e-6, a hundredth of what
        a reading can tell."""
        return Give(share=round(fmean(readings) / self.side - 1, 6))


def panel_error(length: float, readings: Sequence[float]) -> float:
    """mm by which a panel ``length`` mm long (sewn cut) comes out wrong if the readings are all `READING_ERROR` out.

    Printed = length / (1 + c), and the heat then leaves printed × (1 + c ± error / side): off by length × error / reading.
    """
    return length * READING_ERROR / fmean(readings)


def fabric_toml(base: Fabric, readings: Readings, lot: str, say: Words) -> str:
    """A fabric profile as TOML: ``base`` with the changes that were measured."""
    key = "calibrate.title" if lot else "calibrate.title.plain"
    lines = [f"title = {_text(say(key, base=base.title, lot=lot))}"]
    measured = {"change_across": readings.across, "change_along": readings.along}
    for field in attrs.fields(Fabric):
        if field.name in ("name", "title", "sources"):
            continue
        value, source = getattr(base, field.name), base.sources[field.name]
        if field.name in measured:
            read = measured[field.name]
            value = readings.change(read)
            shown = ", ".join(f"{reading:.10g}" for reading in read)
            key = "calibrate.source.lot" if lot else "calibrate.source"
            source = say(key, side=f"{readings.side:.10g}", readings=shown, lot=lot)
        lines += ["", f"[{field.name}]", f"value = {_value(value)}", f"source = {_text(source)}"]
    return "\n".join(lines) + "\n"


def _value(value: Any) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, Give):
        return _text(f"{value.mm:.10g} mm" if value.mm else f"{value.share * 100:.10g} %")
    return _text(f"{value:.10g} mm")


def _text(text: str) -> str:
    return json.dumps(plain(text), ensure_ascii=False)  # a JSON string without control characters is a TOML one
