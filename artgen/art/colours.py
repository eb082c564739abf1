"""Colour spaces and profiles of a PDF as they are named. Takes pikepdf objects, gives records of `facts`.

ISO 32000-1 8.6; profiles ICC.1:2022 7.2, 7.3, 10.13 and, for the older text form, ICC.1:2001-04 6.5.17.
"""

import hashlib
import struct
from typing import Any

import pikepdf
from attrs import define, evolve, field

from .facts import ColourProfile, ColourSpace
from .naming import said, short

MAX_PROFILES = 100  # ours: profiles listed of one file
_MAX_PROFILE_BYTES = 20_000_000  # ours
_MAX_INKS = 64  # ours: the standard allows 32
_SHORT = {"G": "DeviceGray", "RGB": "DeviceRGB", "CMYK": "DeviceCMYK", "I": "Indexed"}  # table 93: inline images
_PARTS = {"DeviceGray": 1, "CalGray": 1, "DeviceRGB": 3, "CalRGB": 3, "Lab": 3, "DeviceCMYK": 4, "Indexed": 1}


@define
class Colours:
    """Describes colour spaces; keeps the profiles that it met, by hash."""

    profiles: dict[str, ColourProfile] = field(factory=dict)
    _hashes: dict[tuple[int, int], str] = field(factory=dict)

    def space(self, value: Any, resources: Any, depth: int = 0) -> ColourSpace:
        """The space that ``value`` is or, if it is a name of ``resources``, stands for."""
        if isinstance(value, pikepdf.Name):
            name = said(value)
            named = below(resources, "/ColorSpace", value)
            if named is not None and depth < 8 and name not in _PARTS and name != "Pattern":
                return self.space(named, resources, depth + 1)
            name = _SHORT.get(name, name)
            return ColourSpace(name, parts=_PARTS.get(name, 0))
        if not isinstance(value, pikepdf.Array) or not len(value) or depth >= 8:
            return ColourSpace("")
        parts = list(value)[:4]
        family = said(parts[0])
        family = _SHORT.get(family, family)
        second = parts[1] if len(parts) > 1 else None
        if family == "ICCBased" and isinstance(second, pikepdf.Stream):
            return ColourSpace(family, parts=_count(second.get("/N")), profile=self.profile(second))
        if family in ("Indexed", "Pattern"):
            below_it = self.space(second, resources, depth + 1) if second is not None else ColourSpace("")
            return evolve(
                below_it, family=family, base=below_it.family, parts=1 if family == "Indexed" else below_it.parts
            )
        if family in ("Separation", "DeviceN"):
            names = list(second)[:_MAX_INKS] if isinstance(second, pikepdf.Array) else [second]
            under = self.space(parts[2], resources, depth + 1) if len(parts) > 2 else ColourSpace("")
            inks = tuple(said(one) for one in names if isinstance(one, pikepdf.Name))
            return ColourSpace(family, under.family, inks, len(inks), under.profile)
        return ColourSpace(family, parts=_PARTS.get(family, 0))

    def profile(self, stream: Any) -> str:
        """Hash of an ICC profile; empty if it can't be read or is too large to be one."""
        key = stream.objgen
        if key not in self._hashes:
            self._hashes[key] = self._read(stream)
        return self._hashes[key]

    def _read(self, stream: Any) -> str:
        try:
            if len(stream.read_raw_bytes()) > _MAX_PROFILE_BYTES:
                return ""
            data = stream.read_bytes()
        except pikepdf.PdfError:
            return ""
        return self.add(data)

    def add(self, data: bytes) -> str:
        """Keeps the profile ``data`` and gives its hash."""
        found = profile_of(data)
        if found.hash not in self.profiles and len(self.profiles) < MAX_PROFILES:
            self.profiles[found.hash] = found
        return found.hash


def profile_of(data: bytes) -> ColourProfile:
    """The record of an ICC profile's bytes."""
    space = data[16:20].decode("ascii", "replace").strip() if len(data) >= 20 else ""
    return ColourProfile(hashlib.sha256(data).hexdigest(), _description(data), space)


def below(resources: Any, kind: str, name: Any) -> Any:
    """The entry ``name`` of a resource dictionary's part ``kind``; None if there is none."""
    part = resources.get(kind) if isinstance(resources, pikepdf.Dictionary) else None
    return (
        part.get(name if isinstance(name, str) else "/" + said(name)) if isinstance(part, pikepdf.Dictionary) else None
    )


def is_white(space: ColourSpace, values: list[float]) -> bool:
    """Whether a colour of ``space`` is white: no ink at all, or the lightest that the space has."""
    family = space.family
    if family in ("DeviceCMYK", "Separation", "DeviceN") or (family == "ICCBased" and space.parts == 4):
        return bool(values) and all(value <= 0 for value in values)
    if family in ("DeviceGray", "CalGray", "DeviceRGB", "CalRGB", "ICCBased"):
        return bool(values) and all(value >= 1 for value in values)
    return family == "Lab" and bool(values) and values[0] >= 100


_PROCESS_INKS = ("Cyan", "Magenta", "Yellow", "Black")


def inks_in(space: ColourSpace, values: list[float]) -> tuple[str, ...]:
    """The inks that a colour of ``space`` has more than 0 of; none where the space is not one of inks."""
    if space.family == "DeviceCMYK" or (space.family == "ICCBased" and space.parts == 4):
        return tuple(ink for ink, value in zip(_PROCESS_INKS, values, strict=False) if value > 0)
    if space.family in ("Separation", "DeviceN"):
        return tuple(ink for ink, value in zip(space.inks, values, strict=False) if value > 0)
    return ()


def _count(value: Any) -> int:
    return value if isinstance(value, int) and 0 < value <= 32 else 0


def _description(data: bytes) -> str:
    """The text of the profile's description tag; empty if there is none that can be read."""
    try:
        (count,) = struct.unpack_from(">I", data, 128)
        for index in range(min(count, 100)):
            tag, at, size = struct.unpack_from(">4sII", data, 132 + 12 * index)
            if tag == b"desc":
                return short(_text(data[at : at + size]))
    except struct.error:
        pass
    return ""


def _text(tag: bytes) -> str:
    if tag[:4] == b"desc":
        (length,) = struct.unpack_from(">I", tag, 8)
        return tag[12 : 12 + length].split(b"\0")[0].decode("latin-1")
    if tag[:4] == b"mluc":
        length, at = struct.unpack_from(">II", tag, 20)  # the first of its languages
        return tag[at : at + length].decode("utf-16-be", "replace").rstrip("\0")
    return ""
