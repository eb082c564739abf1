"""Parts of faces and panels as an order writes them: rows of bays, keep-outs and openings. TOML values to typed records.

Takes plain values and a converter of `artgen.typed`; gives records in millimetres, or raises what the converter raises.
"""

from typing import Any

from attrs import frozen
from cattrs import BaseValidationError, Converter

from .typed import Fault, Faults, Length, Size, flatten

_LONGEST_NAME = 40  # characters: it is written into the area


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


def bay_rows(converter: Converter, value: Any) -> tuple[BayRow, ...]:
    """Rows of one face, top row first: a list of widths is one row, a list of lists or tables is one row each."""
    if not isinstance(value, list) or not value:
        raise Fault(f"expected a list of widths, or of rows, got {value!r}")
    if not any(isinstance(item, list | dict) for item in value):
        return (BayRow(converter.structure(value, tuple[Size, ...])),)
    faults: list[tuple[str, str]] = []
    rows = []
    for number, item in enumerate(value, start=1):
        try:
            rows.append(_row(converter, item))
        except (BaseValidationError, Fault) as error:
            faults += flatten(error, f"row {number}")
    if faults:
        raise Faults(faults)
    return tuple(rows)


def _row(converter: Converter, item: Any) -> BayRow:
    if isinstance(item, dict):
        return converter.structure(item, BayRow)
    if not isinstance(item, list) or not item:
        raise Fault(f"expected a list of widths, got {item!r}")
    return BayRow(converter.structure(item, tuple[Size, ...]))


def keep_out(keep: KeepOut) -> KeepOut:
    """``keep`` if it makes sense. Raises `Faults`."""
    wrong = []
    if len(keep.at) != 2:
        wrong.append(("at", "expected two lengths: to the right, up, from the lower left of what shows"))
    if bool(keep.size) == (keep.diameter is not None):
        wrong.append(("size", "expected either size (two lengths: width, height) or diameter"))
    elif keep.size and len(keep.size) != 2:
        wrong.append(("size", "expected two lengths: width, height"))
    if len(keep.name) > _LONGEST_NAME:
        wrong.append(("name", f"expected at most {_LONGEST_NAME} characters, got {len(keep.name)}"))
    if wrong:
        raise Faults(wrong)
    return keep
