"""All that a proof is made from, by hash: order, art, the shop's profiles, artgen itself. Nothing here reads art as art."""

import hashlib
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

import attrs
from attrs import frozen

from .. import __version__
from ..art.folder import lies_within, listing
from ..checks import numbers_of
from ..confined import machine_fault
from ..order import Order, order_file, shop_settings
from ..record import ProofMade, file_hash
from ..sizing.panel import Sizing
from ..survey import reading_available

ART = "art"


@frozen
class Inputs:
    """Two proofs from equal inputs are the same proof. ``order`` = the order file's SHA-256; ``art`` = that of each file by its
    place beside the order, None where it can't be read; ``shop`` = one for profiles and shapes; ``options`` of the command."""

    order: str
    art: Mapping[str, str | None]
    shop: str
    artgen: str
    reading: bool
    options: Mapping[str, str]

    def as_json(self) -> dict[str, Any]:
        return attrs.asdict(self)


def inputs_of(order: Order, sizing: Sizing, options: Mapping[str, str]) -> Inputs:
    """Raises `MachineFault` where the order or its art folder can't be read."""
    try:
        return Inputs(
            file_hash(order_file(order.folder)),
            art_hashes(order.folder, named_files(order)),
            _shop(order, sizing),
            __version__,
            reading_available(),
            dict(options),
        )
    except OSError as error:
        raise machine_fault("the order's files can't be read, so no proof can be bound to them", error) from None


def art_hashes(folder: Path, named: Iterable[str] = ()) -> dict[str, str | None]:
    """SHA-256 of every file in ``art/``, and of those that the order names beside it. Raises OSError."""
    names = [f"{ART}/{name}" for name in listing(folder / ART).names]
    names += [name for name in named if (folder / name).is_file()]
    return {name: _hash(folder, name) for name in sorted(set(names))}


def _hash(folder: Path, name: str) -> str | None:
    path = folder / name
    try:
        return file_hash(path) if lies_within(path, folder) else None
    except (OSError, ValueError):
        return None


def named_files(order: Order) -> tuple[str, ...]:
    return tuple(dict.fromkeys([*(art.file for art in order.art), *(wrap.file for wrap in order.wraps)]))


def place_of(folder: Path, name: str) -> str:
    """Where a file that a panel takes lies beside the order: art's names are told without their folder."""
    return f"{ART}/{name}" if (folder / ART / name).is_file() else name


def _shop(order: Order, sizing: Sizing) -> str:
    """Profiles, the shop's rules and shape files lie outside the order file, and a changed one changes the proof."""
    profiles = {
        repr(p) for panel in sizing.panels for p in (panel.frame_profile, panel.strip, panel.fabric, panel.roll)
    }
    shapes = [repr(attrs.asdict(structure.keys)) for structure in order.structures]
    rules = repr(sorted(shop_settings(numbers_of).items()))
    return hashlib.sha256("\n".join([*sorted(profiles), *shapes, rules]).encode("utf-8", "surrogatepass")).hexdigest()


def changed_since(made: ProofMade, folder: Path) -> list[str]:
    """Files of the order that are not as they were in a revision: changed, gone or new; the order file among them. Raises
    OSError."""
    now: dict[str, str | None] = art_hashes(folder, made.art)
    found = [name for name in sorted({*made.art, *now}) if made.art.get(name) != now.get(name)]
    try:
        same = file_hash(order_file(folder)) == made.order
    except OSError:
        same = False
    return found if same else [order_file(folder).name, *found]
