"""What of a template is told again in a file that comes back: names of its layers and inks.

Drawing programs change names a little on the way: escapes for signs that an id may not hold, a number or "copy" at the end.
"""

import re
from functools import cache

from ..drawing.inks import GUIDE_INKS
from ..words import LANGUAGES

_ESCAPE = re.compile(r"_x([0-9a-f]{2,4})_", re.IGNORECASE)  # as drawing programs write signs in an SVG id
_COPY = re.compile(r"(-copy)?(-\d+)?$")
_KEY = "template.layer."
_NOT_GUIDES = {"art"}


def is_guide_layer(name: str) -> bool:
    """Whether a layer bears the name of a template's guide layer: its id, or its title in any language."""
    plain = _plain(name)
    return plain in _names() or _COPY.sub("", plain) in _names()


def guide_inks(spots: tuple[str, ...]) -> tuple[str, ...]:
    """Those of a page's spot inks that are our guides'."""
    ours = {ink.name.casefold() for ink in GUIDE_INKS}
    return tuple(name for name in spots if name.strip().casefold() in ours)


@cache
def _names() -> frozenset[str]:
    found = set()
    for table in LANGUAGES.values():
        for key, title in table.items():
            layer = key.removeprefix(_KEY)
            if key.startswith(_KEY) and layer not in _NOT_GUIDES:
                found |= {_plain(f"guide-{layer}"), _plain(title)}
    return frozenset(found)


def _plain(name: str) -> str:
    signs = _ESCAPE.sub(lambda found: chr(int(found[1], 16)), name)
    return "-".join(re.findall(r"[^\W_]+", signs.casefold()))
