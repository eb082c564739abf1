"""How fine a picture must be: pixels an inch at full size, from how far away it is read."""

from math import ceil

_ACUITY = 87.32  # at 1 m: half a minute of arc a pixel, 3437.75 / distance in inches (sums in docs/sums.md)
_LEAST, _MOST = 60.0, 100.0  # ours: coarser looks soft to those who come close; finer is not seen in cloth


def needed_ppi(reading_distance: float, least: float = _LEAST, most: float = _MOST, acuity: float = _ACUITY) -> int:
    """Pixels an inch that a reader ``reading_distance`` mm away can tell, between ``least`` and ``most``."""
    return ceil(min(most, max(least, acuity / (reading_distance / 1000.0))))
