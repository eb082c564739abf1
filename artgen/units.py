"""Lengths as people write them, and the only place where millimetres meet inches and points.

Takes text such as ``1000 mm``, ``3.66 m``, ``36in``, ``12' 6 1/2"`` or ``11 ft 6-3/4 in`` and gives exact
millimetres; gives millimetres back as text in the two forms that papers show. Inside artgen every length is in
millimetres, as a float; nothing is rounded before a report.
"""

import re
from fractions import Fraction
from math import ceil

MM_PER_INCH = Fraction(254, 10)  # exact: international yard and pound agreement, 1959
PT_PER_INCH = 72  # ISO 32000-1 8.3.2.3: default user space unit
MM_PER_PT = float(MM_PER_INCH / PT_PER_INCH)
PT_PER_MM = float(PT_PER_INCH / MM_PER_INCH)

_MM_PER_UNIT = {
    "mm": Fraction(1),
    "millimetre": Fraction(1),
    "cm": Fraction(10),
    "centimetre": Fraction(10),
    "m": Fraction(1000),
    "metre": Fraction(1000),
    "meter": Fraction(1000),
    "in": MM_PER_INCH,
    "inch": MM_PER_INCH,
    "inches": MM_PER_INCH,
    '"': MM_PER_INCH,
    "″": MM_PER_INCH,
    "ft": MM_PER_INCH * 12,
    "foot": MM_PER_INCH * 12,
    "feet": MM_PER_INCH * 12,
    "'": MM_PER_INCH * 12,
    "′": MM_PER_INCH * 12,
}
_LONGEST = 100  # characters: more digits than any length has, fewer than a float overflows with
_FEET = ("ft", "foot", "feet", "'", "′")
_INCHES = ("in", "inch", "inches", '"', "″")
_NUMBER = (
    r"(?:(?P<whole>\d+)(?:\s+|-|\s*-\s*)(?P<num>\d+)/(?P<den>\d+)|(?P<n2>\d+)/(?P<d2>\d+)|(?P<dec>\d*\.?\d+|\d+\.))"
)
_PART = re.compile(
    _NUMBER + r"\s*(?P<unit>" + "|".join(sorted(map(re.escape, _MM_PER_UNIT), key=len, reverse=True)) + r")s?(?![a-z])"
)


class LengthError(ValueError):
    """Text that is not a length; the message says what was expected."""


def parse_length(text: object) -> float:
    """Millimetres of a length written as text, exact to a float's last digit.

    A leading minus counts for the whole. Raises `LengthError` when there is no number, no unit, an unknown unit, or
    parts that don't belong together (only feet followed by inches combine).
    """
    if isinstance(text, bool) or not isinstance(text, str):
        shown = repr(text)
        hint = f", such as '{text} mm'" if isinstance(text, int | float) and not isinstance(text, bool) else ""
        raise LengthError(f"expected a length with its unit{hint}, got {shown}")
    if len(text) > _LONGEST:
        raise LengthError(f"expected a length, got {text[:20]!r} … of {len(text)} characters")
    body = text.strip().lower()
    sign = -1 if body[:1] in ("-", "−") else 1
    body = body[1:].lstrip() if sign < 0 else body
    parts: list[tuple[Fraction, str]] = []
    at = 0
    while at < len(body):
        match = _PART.match(body, at)
        if match is None:
            raise LengthError(_why(text, body))
        parts.append((_number(match, text), match["unit"]))
        at = match.end()
        while at < len(body) and body[at].isspace():
            at += 1
    if not parts:
        raise LengthError(f"expected a length, got {text!r}")
    if len(parts) > 2 or (len(parts) == 2 and not (parts[0][1] in _FEET and parts[1][1] in _INCHES)):
        raise LengthError(f"expected one length (feet and inches may stand together), got {text!r}")
    return float(sign * sum(value * _MM_PER_UNIT[unit] for value, unit in parts))


def _number(match: re.Match[str], text: str) -> Fraction:
    try:
        if match["whole"]:
            return Fraction(int(match["whole"])) + Fraction(int(match["num"]), int(match["den"]))
        if match["n2"]:
            return Fraction(int(match["n2"]), int(match["d2"]))
    except ZeroDivisionError:
        raise LengthError(f"expected a length, got {text!r} (a fraction over 0)") from None
    return Fraction(match["dec"].rstrip("."))


def _why(text: str, body: str) -> str:
    if re.fullmatch(r"[\d./\s-]+", body):
        return f"expected a length with its unit, such as '{text.strip()} mm', got {text!r}"
    return f"expected a length, got {text!r}"


def mm_text(mm: float) -> str:
    """Millimetres as reports show them: to 0.1 mm, no trailing zero, never -0."""
    shown = f"{mm:.1f}"
    shown = shown[:-2] if shown.endswith(".0") else shown
    return "0" if shown == "-0" else shown


def pixels(mm: float, per_inch: float) -> int:
    """Pixels that a length takes at a resolution, rounded up: never short of it."""
    return ceil(Fraction(mm) / MM_PER_INCH * Fraction(per_inch) - Fraction(1, 1000))


def inch_text(mm: float) -> str:
    """Inches to the nearest 1/16, as ``42 3/8"``; halves round to the even sixteenth."""
    sixteenths = round(Fraction(mm) / MM_PER_INCH * 16)
    sign, sixteenths = ("-" if sixteenths < 0 else ""), abs(sixteenths)
    whole, part = divmod(sixteenths, 16)
    if part == 0:
        return f'{sign}{whole}"'
    fraction = Fraction(part, 16)
    lead = f"{whole} " if whole else ""
    return f'{sign}{lead}{fraction.numerator}/{fraction.denominator}"'
