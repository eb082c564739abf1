"""What was seen of a laid page, as plain JSON and raw bytes and back again.

Takes a `LaidSeen`; gives an entry for the cache, and a `LaidSeen` from one. What comes from the cache is checked like foreign
data. Live words are left out: they follow from the file's facts.
"""

import json
from collections.abc import Callable, Mapping
from typing import Any, get_args, get_origin

import attrs
import cattrs
from cattrs.errors import BaseValidationError, ForbiddenExtraKeysError

from ..cache import Entry
from ..placing import Laid
from ..typed import Fault, make_converter
from .looking import LaidSeen
from .words import placed_words

_TYPES: dict[str, Any] = {field.name: field.type for field in attrs.fields(LaidSeen) if field.name != "laid"}
Plain = tuple[dict[str, Any], dict[str, bytes]]


def key_of(laid: Laid, reading: bool) -> dict[str, Any]:
    """All that a look at this page depends on beside the file's bytes."""
    target: Any = cattrs.unstructure(laid.target)
    return {"look": {"page": laid.claim.page, "matrix": laid.matrix, "scale": laid.scale, "reading": reading} | target}


def entry_of(seen: LaidSeen) -> Plain:
    """What is to be kept of a look: JSON, and bytes by name."""
    blobs: dict[str, bytes] = {}
    converter = cattrs.Converter()

    def put_aside(data: bytes) -> str:
        name = str(len(blobs))
        blobs[name] = data
        return name

    converter.register_unstructure_hook(bytes, put_aside)
    converter.register_unstructure_hook_func(
        _is_mapping, lambda value: [[key, converter.unstructure(one)] for key, one in value.items()]
    )
    found = attrs.evolve(seen, words=tuple(word for word in seen.words if word.source != "live"))
    return {
        name: converter.unstructure(getattr(found, name), unstructure_as=cls) for name, cls in _TYPES.items()
    }, blobs


def seen_from(entry: Entry, laid: Laid, pictures: bool = True) -> LaidSeen:
    """The look at ``laid`` that was kept. Without ``pictures`` these are left out, and their bytes need not be there. Raises
    ValueError if the entry makes no sense."""
    try:
        table = dict(entry.value)
        if not pictures:
            table["pictures"] = []
        converter = _converter(entry.blobs)
        if set(table) != set(_TYPES):
            raise ValueError("other fields")
        values = {name: converter.structure(table[name], cls) for name, cls in _TYPES.items()}
    except (BaseValidationError, ForbiddenExtraKeysError, KeyError, TypeError) as error:
        raise ValueError("no look at a page") from error
    seen = LaidSeen(laid, **values)
    numbers = set(laid.target.numbers)
    if not (set(seen.bands or ()) <= numbers and set(seen.pictures) <= numbers):
        raise ValueError("other panels")
    if any(len(one.rgb) != one.width * one.height * 3 or one.width < 1 for one in seen.pictures.values()):
        raise ValueError("a picture of another size")
    if any(word.source == "live" for word in seen.words):
        raise ValueError("live words")
    return attrs.evolve(seen, words=placed_words(laid) + seen.words)


def settled(seen: LaidSeen) -> tuple[LaidSeen, Plain]:
    """The look as it comes back from the cache, and its entry: so it makes no difference whether it was kept."""
    value, blobs = entry_of(seen)
    value = json.loads(json.dumps(value, allow_nan=False))
    return seen_from(Entry(value, blobs), seen.laid), (value, blobs)


def _is_mapping(cls: Any) -> bool:
    return get_origin(cls) is Mapping


def _converter(blobs: Mapping[str, bytes]) -> cattrs.Converter:
    converter = make_converter()
    converter.register_structure_hook(bytes, lambda name, _: blobs[name])

    def mapping(cls: Any) -> Callable[[Any, Any], Any]:
        of_key, of_value = get_args(cls)

        def hook(value: Any, _: Any) -> Any:
            if not isinstance(value, list) or not all(isinstance(pair, list) and len(pair) == 2 for pair in value):
                raise Fault("expected pairs")
            return {converter.structure(key, of_key): converter.structure(one, of_value) for key, one in value}

        return hook

    converter.register_structure_hook_factory(_is_mapping, mapping)
    return converter
