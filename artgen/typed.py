"""TOML tables to typed records: every fault at once, each with the path of the key that holds it.

Takes plain tables, as `tomllib` gives them, and attrs classes; gives instances, or a `TableError` that lists all
faults in words ("structure 1, height: expected a length, got 'tall'").
"""

import re
import tomllib
import types
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path, PurePosixPath
from typing import Any, Literal, NewType, TypeVar, get_args

import attrs
from cattrs import BaseValidationError, Converter, ForbiddenExtraKeysError
from cattrs.errors import AttributeValidationNote, IterableValidationNote

from .interrupts import CouldNotRun
from .units import LengthError, parse_length

T = TypeVar("T")
Length = NewType("Length", float)  # millimetres, any sign
Size = NewType("Size", float)  # millimetres, more than 0
Inset = NewType("Inset", float)  # millimetres, 0 or more
Share = NewType("Share", float)  # "0.8 %" or 0.008
Count = NewType("Count", int)  # 1 to 1000
Unit = NewType("Unit", float)  # millimetres: "1 in", or "in" alone
Title = NewType("Title", str)  # a name that papers show: at most MOST_TITLE characters
MOST_TITLE = 200  # ours: longer ones run off every paper
MOST_BYTES = 4_000_000  # ours: of one TOML file, over 20,000 tables; the largest order known has under 100,000
_MOST_DEPTH = 20  # ours; orders have 4
# a key of very many parts takes the parser memory by the square of their number
_LONG_KEY = re.compile(r"""(?<![\w-])(?:(?:[\w-]++|"[^"\n]*+"|'[^'\n]*+')[ \t]*+\.[ \t]*+){150}""")
_MOST_SAID = 400  # ours: characters told of one fault
_MOST_BESIDE = 4_000_000  # bytes of a text file beside an order
_MOST_GIVE = 500.0  # mm: more is a slip of the pen (ours)


@attrs.frozen
class Give:
    """How much cloth gives along one axis, ``share`` of its length or ``mm`` whatever the length; one of them is 0."""

    share: float = 0.0
    mm: float = 0.0

    def undone(self, length: float) -> float:
        """The length before it gave: before × (1 + share) = length, or before + mm = length."""
        return (length - self.mm) / (1 + self.share)


@attrs.frozen
class Beside:
    """A text file that an order names, in its folder: its ``name`` there, and what it holds."""

    name: str
    text: str = attrs.field(repr=False)


class TableError(CouldNotRun):
    """All faults of one file; ``faults`` = (path, what) pairs in the file's order, ``where`` = the file's name."""

    def __init__(self, where: str, faults: Iterable[tuple[str, str]]) -> None:
        self.where = where
        self.faults = tuple((_short(path), _short(what)) for path, what in faults)
        super().__init__(
            "\n".join(f"{where}: {path}: {what}" if path else f"{where}: {what}" for path, what in self.faults)
        )


def _short(text: str) -> str:
    """Its beginning and its end: a wrong value is shown, but it may have any length, and the way out stands at the end."""
    half = _MOST_SAID // 2
    return text if len(text) <= _MOST_SAID else f"{text[:half]} … {text[-half:]}"


class Fault(ValueError):
    """One wrong value; the message says what was expected and what was found."""


class Faults(Fault):
    """Several wrong things at one place; ``parts`` = (path below it, what) pairs."""

    def __init__(self, parts: Iterable[tuple[str, str]]) -> None:
        self.parts = tuple(parts)
        super().__init__("; ".join(f"{path}: {what}" for path, what in self.parts))


def read_toml(path: Path, what: str) -> dict[str, Any]:
    """The tables of a TOML file. Raises `TableError` if it is no plain file, can't be read, is too large or is no TOML."""

    def refused(why: str) -> TableError:
        return TableError(path.name, [("", why)])

    try:
        if path.exists() and not path.is_file():  # a pipe might never end, nor begin
            raise refused(f"this {what} is no plain file: give the file itself, or the folder that holds it")
        with path.open("rb") as file:
            data = file.read(MOST_BYTES + 1)
        if len(data) > MOST_BYTES:
            raise refused(f"this {what} has more than {MOST_BYTES / 1e6:.0f} MB, the limit: is it the right file?")
        text = data.decode("utf-8")
    except FileNotFoundError:
        raise refused(f"there is no such {what}") from None
    except (OSError, UnicodeDecodeError) as error:
        raise refused(f"this {what} can't be read ({error.__class__.__name__}: {error})") from None
    try:
        if _LONG_KEY.search(text):
            raise RecursionError
        tables = tomllib.loads(text)
        if _depth(tables) > _MOST_DEPTH:
            raise RecursionError
        return tables
    except RecursionError:
        raise refused("lists or tables stand in one another too deeply") from None
    except ValueError as error:  # TOMLDecodeError, or a number of too many digits
        raise refused(f"not valid TOML: {error}") from None


def _depth(tables: Mapping[str, Any]) -> int:
    """How many tables and lists stand in one another; more than `_MOST_DEPTH` are not counted on."""
    level: list[Any] = [tables]
    for depth in range(_MOST_DEPTH + 1):
        level = [
            below
            for each in level
            for below in (each.values() if isinstance(each, dict) else each)
            if isinstance(below, dict | list)
        ]
        if not level:
            return depth + 1
    return _MOST_DEPTH + 1


def read_beside(folder: Path, name: object) -> Beside:
    """A text file below ``folder``. Raises `Fault` if it is not there, lies elsewhere, is too large or is no text."""
    if not isinstance(name, str) or not name.strip() or "\0" in name:
        raise Fault(f"expected a file's name, got {name!r}")
    if PurePosixPath(name).is_absolute() or ".." in PurePosixPath(name).parts:
        raise Fault(f"expected a file in the order's folder, got {name!r}; copy it there")
    path = folder / name
    try:
        if not path.resolve(strict=True).is_relative_to(folder.resolve()):
            raise Fault(f"expected a file in the order's folder, but {name!r} leads out of it; copy it there")
        if not path.is_file():
            raise Fault(f"{name!r} is no file")
        if path.stat().st_size > _MOST_BESIDE:
            raise Fault(f"{name!r} is over {_MOST_BESIDE // 1_000_000} MB, so it is not read; save it with fewer faces")
        return Beside(name, path.read_text(encoding="utf-8"))
    except FileNotFoundError:
        raise Fault(f"there is no file {name!r} in the order's folder") from None
    except (OSError, RuntimeError) as error:  # RuntimeError: a loop of links
        raise Fault(f"{name!r} can't be read ({error.__class__.__name__})") from None
    except UnicodeDecodeError:
        raise Fault(f"{name!r} is no text") from None


def make_converter() -> Converter:
    """A converter that takes no wrong type for a right one and no unknown key."""
    converter = Converter(forbid_extra_keys=True, detailed_validation=True)
    converter.register_structure_hook(Length, lambda value, _: _length(value))
    converter.register_structure_hook(Size, lambda value, _: _size(value))
    converter.register_structure_hook(Inset, lambda value, _: _inset(value))
    converter.register_structure_hook(Count, lambda value, _: _count(value))
    converter.register_structure_hook(Unit, lambda value, _: _unit(value))
    converter.register_structure_hook(Share, lambda value, _: _share(value))
    converter.register_structure_hook(Give, lambda value, _: _give(value))
    converter.register_structure_hook(str, lambda value, _: _plain(value, str, "text"))
    converter.register_structure_hook(Title, lambda value, _: _title(value))
    converter.register_structure_hook(bool, lambda value, _: _plain(value, bool, "true or false"))
    converter.register_structure_hook(int, lambda value, _: _plain(value, int, "a whole number"))
    converter.register_structure_hook(float, lambda value, _: _number(value))
    converter.register_structure_hook_func(_is_literal, _literal)
    converter.register_structure_hook_factory(_is_list, lambda cls: _list_hook(converter, cls))
    converter.register_structure_hook_func(_is_optional, lambda value, cls: _optional(converter, value, cls))
    converter.register_structure_hook_factory(attrs.has, lambda cls: _table_hook(converter, cls))
    return converter


def structure(converter: Converter, table: Mapping[str, Any], cls: type[T], where: str) -> T:
    """An instance of ``cls`` from ``table``. Raises `TableError` with every fault."""
    try:
        return converter.structure(table, cls)
    except (BaseValidationError, ForbiddenExtraKeysError, Fault) as error:
        raise TableError(where, flatten(error, "")) from None


def nearest(word: str, known: Iterable[str]) -> str:
    """ ", did you mean 'x'?" for the nearest of ``known``; all of them if none is near and they are few."""
    from difflib import get_close_matches  # only errors ask

    names = sorted(known)
    close = get_close_matches(word.lower(), names, n=1, cutoff=0.55)
    if close:
        return f"; did you mean '{close[0]}'?"
    return f"; known: {', '.join(names)}" if names else ""


def flatten(error: BaseException, path: str) -> list[tuple[str, str]]:
    """(path, what) pairs of an error tree of cattrs, in the order in which it found them."""
    if isinstance(error, BaseValidationError):
        found: list[tuple[str, str]] = []
        for part in error.exceptions:
            found += flatten(part, _below(path, _step(part)))
        return found
    if isinstance(error, ForbiddenExtraKeysError):
        known = [field.name for field in attrs.fields(error.cl) if field.init] if attrs.has(error.cl) else []
        return [(_below(path, key), "unknown key" + nearest(key, known)) for key in sorted(error.extra_fields)]
    if isinstance(error, Faults):
        return [(_below(path, below), what) for below, what in error.parts]
    if isinstance(error, KeyError):
        return [(path, "missing")]
    return [(path, str(error))]


def _below(path: str, step: str) -> str:
    if not step:
        return path
    if step.startswith("#"):  # the n-th of a list: "structure" + "#1" = "structure 1"
        return f"{path} {step[1:]}"
    return f"{path}, {step}" if path else step


def _step(error: BaseException) -> str:
    for note in getattr(error, "__notes__", ()):
        if isinstance(note, AttributeValidationNote):
            return note.name
        if isinstance(note, IterableValidationNote):
            return f"#{int(note.index) + 1}"
    return ""


def _length(value: object) -> float:
    try:
        mm = parse_length(value)
    except LengthError as error:
        raise Fault(str(error)) from None
    if abs(mm) > 1_000_000:
        raise Fault(f"expected a length of at most 1 km, got {value!r}")
    return mm


def _size(value: object) -> float:
    mm = _length(value)
    if mm <= 0:
        raise Fault(f"expected a length over 0, got {value!r}")
    return mm


def _unit(value: object) -> float:
    named = isinstance(value, str) and not any(letter.isdigit() for letter in value)
    try:
        return _size(f"1 {value}" if named else value)
    except Fault:
        raise Fault(f"expected a unit such as 'mm', 'in' or '10 mm', got {value!r}") from None


def _inset(value: object) -> float:
    mm = _length(value)
    if mm < 0:
        raise Fault(f"expected a length of 0 or more, got {value!r}")
    return mm


def _count(value: object) -> int:
    if type(value) is not int or not 1 <= value <= 1000:
        raise Fault(f"expected a whole number from 1 to 1000, got {value!r}")
    return value


def _share(value: object) -> float:
    if isinstance(value, str) and value.strip().endswith("%"):
        try:
            share = float(value.strip()[:-1]) / 100
        except ValueError:
            raise Fault(f"expected a percentage such as '0.8 %', got {value!r}") from None
    elif isinstance(value, int | float) and not isinstance(value, bool):
        share = float(value)
    else:
        raise Fault(f"expected a percentage such as '0.8 %', got {value!r}")
    if not -0.5 < share < 0.5:
        raise Fault(f"expected between -50 % and 50 %, got {value!r}")
    return share


def _give(value: object) -> Give:
    if isinstance(value, str) and not value.strip().endswith("%"):
        try:
            mm = parse_length(value)
        except LengthError:
            raise Fault(f"expected a percentage such as '0.8 %', or a length such as '8 mm', got {value!r}") from None
        if abs(mm) > _MOST_GIVE:
            raise Fault(f"expected at most {_MOST_GIVE:g} mm of give, got {value!r}")
        return Give(mm=mm)
    return Give(share=_share(value))


def _plain(value: object, cls: type, words: str) -> Any:
    if type(value) is not cls:
        raise Fault(f"expected {words}, got {value!r}")
    return value


def _title(value: object) -> str:
    text: str = _plain(value, str, "text")
    if len(text) > MOST_TITLE:
        raise Fault(f"expected at most {MOST_TITLE} characters, got {len(text):,}")
    return text


def _number(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or value != value or abs(value) > 1e12:
        raise Fault(f"expected a number, got {value!r}")
    return float(value)


def _is_literal(cls: Any) -> bool:
    return getattr(cls, "__origin__", None) is Literal


def _literal(value: object, cls: Any) -> Any:
    allowed = get_args(cls)
    for choice in allowed:
        if type(value) is type(choice) and value == choice:
            return choice
    listed = ", ".join(repr(choice) if isinstance(choice, str) else str(choice) for choice in allowed)
    raise Fault(f"expected {'one of ' if len(allowed) > 1 else ''}{listed}, got {value!r}")


def _is_list(cls: Any) -> bool:
    return getattr(cls, "__origin__", None) is tuple and get_args(cls)[1:] == (Ellipsis,)


def _list_hook(converter: Converter, cls: Any) -> Callable[[Any, Any], Any]:
    item = get_args(cls)[0]
    as_list = converter.get_structure_hook(list[item])  # type: ignore[valid-type]

    def hook(value: Any, _: Any) -> Any:
        if not isinstance(value, list):
            raise Fault(f"expected a list, got {value!r}")
        return tuple(as_list(value, list[item]))  # type: ignore[valid-type]

    return hook


def _is_optional(cls: Any) -> bool:
    return isinstance(cls, types.UnionType) and len(get_args(cls)) == 2 and type(None) in get_args(cls)


def _optional(converter: Converter, value: Any, cls: Any) -> Any:
    inner = next(arg for arg in get_args(cls) if arg is not type(None))
    return None if value is None else converter.structure(value, inner)


def _table_hook(converter: Converter, cls: type) -> Callable[[Any, Any], Any]:
    # cattrs.gen is the documented way to take over one class and keep its error gathering
    from cattrs.gen import make_dict_structure_fn

    inner: Callable[[Mapping[str, Any], type], Any] = make_dict_structure_fn(
        cls, converter, _cattrs_forbid_extra_keys=True, _cattrs_detailed_validation=True
    )

    def hook(value: Any, _: Any) -> Any:
        if not isinstance(value, Mapping):
            raise Fault(f"expected a table of keys, got {value!r}")
        return inner(value, cls)

    return hook
