"""Names out of a client's file, as text that can be passed on: short, and with no half characters."""

from typing import Any

import pikepdf

MAX_NAME = 300  # ours: letters kept of one name


def said(value: Any) -> str:
    """The text of a PDF string, or a name without its slash; empty for anything else."""
    if isinstance(value, pikepdf.Name):
        return short(str(value)[1:])
    return short(str(value)) if isinstance(value, pikepdf.String | str) else ""


def short(text: str) -> str:
    """``text`` cut to `MAX_NAME`; halves of characters are replaced."""
    return text[:MAX_NAME].encode("utf-8", "replace").decode()
