"""Rectangles of a target's plane, and what a laid page shows in them.

Takes a file's path and its laid page; the pixels come through `artgen.art`, for all windows that are asked for together in as
few readings as it can.
"""

from collections.abc import Sequence
from pathlib import Path

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from ..art import windows
from ..art.facts import FileFault
from ..placing import Laid
from ..sizing.panel import Affine, after, inverse

Rgba = NDArray[np.uint8]  # rows from the top, columns, straight alpha


@frozen
class Window:
    """``to_plane``: pixels (x right, y down, edges at whole numbers) → the target's plane, mm at full size; ``step`` = mm a
    pixel."""

    to_plane: Affine
    columns: int
    rows: int
    step: float


def seen_through(file: Path, laid: Laid, asked: Sequence[Window]) -> list[Rgba] | FileFault:
    """What each window shows."""
    to_page = inverse(laid.matrix)
    found = windows(file, laid.claim.page - 1, [(after(to_page, one.to_plane), one.columns, one.rows) for one in asked])
    if isinstance(found, FileFault):
        return found
    return [np.frombuffer(one.rgba, np.uint8).reshape(one.height, one.width, 4) for one in found]
