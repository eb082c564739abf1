"""Single tables of an order: plain values to records, and what the values of one table must be together.

What is wrong raises `Fault` or `Faults` of `artgen.typed`, with paths below the table.
"""

import datetime
from collections.abc import Callable, Mapping
from pathlib import Path, PurePosixPath
from typing import Any

from cattrs import BaseValidationError, Converter

from .. import profiles
from ..typed import Beside, Fault, Faults, Size, flatten, make_converter, nearest, read_beside
from .records import Art, BayRow, Day, KeepOut, Mail, PanelSettings, RuleTables, Silence, Wrap
from .rule_tables import KnownRules, rule_settings, silence

EDGE_NAMES = ("left", "right", "top", "bottom")
MOST_FILE_NAME = 1000  # ours: papers show it
MAIL_FIELDS = {"to": "to", "from": "sender", "answer_by": "answer_by"}  # Python has the word "from" for itself
_LONGEST_NAME = 40  # characters of a keep-out's: it is written into the area


def tables_converter(folder: Path, rules: KnownRules) -> Converter:
    """A converter for all tables but a structure's. ``folder`` holds the order."""
    made = make_converter()
    made.register_structure_hook(Beside, lambda value, _: read_beside(folder, value))
    plain_keep_out = made.get_structure_hook(KeepOut)
    made.register_structure_hook(KeepOut, lambda value, cls: _keep_out(plain_keep_out(value, cls)))
    made.register_structure_hook(Day, lambda value, _: _day(value))
    for family, name_type in profiles.NAME_TYPES.items():
        made.register_structure_hook(name_type, _profile_name(family))
    made.register_structure_hook(str | int, lambda value, _: _edge_name(value))
    plain_panel = made.get_structure_hook(PanelSettings)
    made.register_structure_hook(PanelSettings, lambda value, cls: _panel(plain_panel(value, cls)))
    plain_art = made.get_structure_hook(Art)
    made.register_structure_hook(Art, lambda value, cls: _art(plain_art, value, cls))
    plain_wrap = made.get_structure_hook(Wrap)
    made.register_structure_hook(Wrap, lambda value, cls: _wrap(plain_wrap(value, cls)))
    made.register_structure_hook(RuleTables, lambda value, _: rule_settings(value, rules))
    plain_silence = made.get_structure_hook(Silence)
    made.register_structure_hook(Silence, lambda value, cls: silence(plain_silence, value, cls, rules))
    plain_mail = made.get_structure_hook(Mail)
    made.register_structure_hook(Mail, lambda value, cls: _mail(plain_mail, value, cls))
    return made


def _profile_name(family: str) -> Callable[[Any, Any], str]:
    return lambda value, _: profiles.known(family, value)


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


def _keep_out(keep: KeepOut) -> KeepOut:
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


def _edge_name(value: object) -> str | int:
    if value in EDGE_NAMES or (type(value) is int and value >= 1):
        return value
    raise Fault(f"expected one of {', '.join(EDGE_NAMES)}, or an edge's number from 1, got {value!r}")


def _panel(panel: PanelSettings) -> PanelSettings:
    if panel.sewn_size and len(panel.sewn_size) != 2:
        raise Faults([("sewn_size", "expected two lengths: width and height of the old panel as it lies sewn")])
    return panel


def _art(plain: Any, value: Any, cls: type) -> Art:
    if isinstance(value, Mapping) and "panel" in value:
        if "panels" in value:
            raise Faults([("panel", "give either panel or panels")])
        value = {**{k: v for k, v in value.items() if k != "panel"}, "panels": [value["panel"]]}
    art: Art = plain(value, cls)
    wrong = []
    if not art.panels:
        wrong.append(("panels", "expected at least one panel"))
    wrong += _file_faults(art.file)
    if art.page < 1:
        wrong.append(("page", f"expected 1 or more, got {art.page}"))
    if art.move and len(art.move) != 2:
        wrong.append(("move", "expected two lengths: to the right, up"))
    if art.scale is not None and not 0.001 <= art.scale <= 1000:
        wrong.append(("scale", f"expected how many times larger than the file the panel is, got {art.scale:g}"))
    if wrong:
        raise Faults(wrong)
    return art


def _file_faults(name: str) -> list[tuple[str, str]]:
    """Art lies in the order's folder, or the order could not be sent on, and papers would show a machine's paths."""
    if not name.strip():
        return [("file", "expected a file's name")]
    if len(name) > MOST_FILE_NAME:
        return [("file", f"expected at most {MOST_FILE_NAME} characters, got {len(name):,}")]
    path = PurePosixPath(name)
    if path.is_absolute() or ".." in path.parts:
        return [("file", f"expected a file below art/, got {name!r}; copy it there")]
    return []


def _wrap(wrap: Wrap) -> Wrap:
    wrong = []
    if len(wrap.panels) < 2 or len(set(wrap.panels)) != len(wrap.panels):
        wrong.append(("panels", "expected two or more different panels, in the order in which they meet"))
    wrong += _file_faults(wrap.file)
    if wrap.page < 1:
        wrong.append(("page", f"expected 1 or more, got {wrap.page}"))
    if wrong:
        raise Faults(wrong)
    return wrap


def _mail(plain: Any, value: Any, cls: type) -> Mail:
    if not isinstance(value, Mapping):
        raise Fault(f"expected a table of keys, got {value!r}")
    wrong = [(key, "unknown key" + nearest(key, MAIL_FIELDS)) for key in sorted(set(value) - set(MAIL_FIELDS))]
    try:
        mail: Mail = plain({field: value[key] for key, field in MAIL_FIELDS.items() if key in value}, cls)
    except BaseValidationError as error:
        keys = {field: key for key, field in MAIL_FIELDS.items()}
        wrong += [(keys[field], what) for field, what in flatten(error, "")]
    if wrong:
        raise Faults(wrong)
    return mail


def _day(value: object) -> str:
    if isinstance(value, datetime.date) and not isinstance(value, datetime.datetime):
        return value.isoformat()
    try:
        return datetime.date.fromisoformat(value if isinstance(value, str) else "").isoformat()
    except ValueError:
        raise Fault(f"expected a date such as '2026-03-02', got {value!r}") from None
