"""Names out of a client's file, as text that can be passed on: short, and with no half characters."""

import re
from typing import Any

import pikepdf

MAX_NAME = 300  # ours: letters kept of one name
_ESCAPE = re.compile(rb"#([0-9A-Fa-f]{2})")


def said(value: Any) -> str:
    """The text of a PDF string, or a name without its slash; empty for anything else."""
    if not isinstance(value, pikepdf.Name | pikepdf.String | str):
        return ""
    try:
        text = str(value)
    except UnicodeDecodeError:  # names are UTF-8 by the standard (7.3.5) and Latin-1 in many an old file
        bare: bytes = value.unparse()  # type: ignore[union-attr]
        text = _ESCAPE.sub(lambda match: bytes([int(match[1], 16)]), bare).decode("latin-1")
    return short(text.removeprefix("/") if isinstance(value, pikepdf.Name) else text)


def short(text: str) -> str:
    """``text`` cut to `MAX_NAME`; halves of characters are replaced."""
    return text[:MAX_NAME].encode("utf-8", "replace").decode()
