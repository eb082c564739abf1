"""What all commands share: opening an order, writing files whole, telling a person what went wrong."""

import functools
import os
import signal
import sys
import time
from collections.abc import Callable, Mapping
from contextlib import suppress
from pathlib import Path
from typing import Any

import click

from ..interrupts import ASKED_TO_STOP, CouldNotRun, held
from ..order import Order, load, order_file
from ..sizing import Sizing, size_order
from ..structure.kinds import KINDS
from ..typed import TableError
from ..words import plain

DONE, ERRORS_FOUND, COULD_NOT_RUN = 0, 1, 2


class OutputError(CouldNotRun):
    """A file or folder that could not be written; the message says which, why and what to do."""


def guarded(run: Callable[..., int | None]) -> Callable[..., None]:
    """A command's body with its exit code: its own, or 2 with every fault on stderr. ``ARTGEN_DEBUG=1`` shows tracebacks."""

    @functools.wraps(run)
    def command(*args: Any, **kwargs: Any) -> None:
        for stream in (sys.stdout, sys.stderr):
            if hasattr(stream, "reconfigure"):  # a terminal that lacks a letter gets its number, not a crash
                stream.reconfigure(errors="backslashreplace")
        # asked to stop: children and temporary folders go too
        before = {each: signal.signal(each, _stop) for each in ASKED_TO_STOP}
        try:
            code = run(*args, **kwargs) or DONE
        except CouldNotRun as error:
            if os.environ.get("ARTGEN_DEBUG"):
                import traceback

                traceback.print_exc()
            tell(str(error))
            code = COULD_NOT_RUN
        except BrokenPipeError:  # the reader of our output went away: nothing is wrong here
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
            code = DONE
        except KeyboardInterrupt:
            tell("stopped; files that were written are whole")
            code = COULD_NOT_RUN
        except (click.ClickException, SystemExit):
            raise
        except OSError as error:
            if os.environ.get("ARTGEN_DEBUG"):
                raise
            tell(f"a file or standard output could not be read or written ({error})")
            code = COULD_NOT_RUN
        except Exception as error:
            if os.environ.get("ARTGEN_DEBUG"):
                raise
            tell(
                f"artgen itself failed ({error.__class__.__name__}: {error}). That is a fault of artgen, not of the order: "
                "please report it with what ARTGEN_DEBUG=1 shows."
            )
            code = COULD_NOT_RUN
        finally:
            for each, handler in before.items():
                signal.signal(each, handler)
        raise SystemExit(code)

    return command


def _stop(*_: object) -> None:
    raise KeyboardInterrupt


def open_order(where: Path) -> tuple[Order, Sizing]:
    """The order and its sizing. Raises `TableError` with every fault."""
    order = load(where, KINDS, known_rules)
    return order, size_order(order, KINDS)


def order_folder(where: Path) -> Path:
    """The folder of an order that is not read itself. Raises `TableError` where there is none."""
    path = order_file(where)
    if not path.is_file():
        raise TableError(path.name, [("", f"there is no such order in {path.parent}")])
    return path.resolve().parent


def known_rules() -> Mapping[str, Mapping[str, str]]:
    """Names of rules and their numbers, for orders that change any."""
    from ..checks import numbers_of  # brings shapely, which sizes do without

    return numbers_of()


def write(target: Path | str, data: bytes) -> None:
    """A file, whole or not at all; "-" is stdout. Raises `OutputError`."""
    if str(target) == "-":
        try:
            if sys.stdout is None:
                raise OutputError("standard output: could not be written (it is closed); name a file instead of -")
            sys.stdout.buffer.write(data)
            sys.stdout.flush()
        except BrokenPipeError:
            raise
        except OSError as error:
            raise OutputError(f"standard output: could not be written ({error.strerror or error})") from None
        return
    path = Path(target)
    path = path.resolve() if path.is_symlink() else path
    if path.is_file() and (
        path.name == "order.toml" or any((f.parent / "order.toml").exists() for f in _art_above(path))
    ):
        raise OutputError(f"{path}: is the order, or a client's file, and is never written over; choose another place")
    try:
        if path.exists() and not path.is_file():  # a pipe or a device takes the data; it must not be replaced by a file
            path.write_bytes(data)
            return
        path.parent.mkdir(parents=True, exist_ok=True)
        with held():  # asked to stop, it is written first: a moment, against half a file left behind
            _write_whole(path, data)
    except OSError as error:
        raise OutputError(
            f"{path}: could not be written ({error.strerror or error}); nothing was left half-written. "
            "Free some space or choose another place with --out."
        ) from None


def _write_whole(path: Path, data: bytes) -> None:
    import tempfile  # heavy, and many runs write nothing

    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.", suffix=".part")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        umask = os.umask(0)
        os.umask(umask)
        Path(name).chmod(0o666 & ~umask)  # mkstemp's files are private; ours are as any program's
        Path(name).replace(path)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise


def _art_above(path: Path) -> list[Path]:
    """Folders named art that hold ``path``."""
    return [folder for folder in path.resolve().parents if folder.name == "art"]


def json_bytes(value: Any) -> bytes:
    """JSON for people and programs: UTF-8, one key a line; bytes of a file name that are no text come as escapes."""
    import json

    return (json.dumps(value, indent=1, ensure_ascii=False) + "\n").encode("utf-8", "backslashreplace")


def tell(text: str) -> None:
    """A message for a person, on stderr. Where that is full or closed nobody listens, and the work counts all the same."""
    with suppress(OSError):
        click.echo(text, err=True)


def progress(after: float = 0.0) -> Callable[[str], None]:
    """A line on stderr that is overwritten, from ``after`` seconds on; an empty text clears it. Nothing where stderr is no
    terminal."""
    if sys.stderr is None or not sys.stderr.isatty():
        return lambda _: None
    begun = time.monotonic()

    def show(text: str) -> None:
        if time.monotonic() - begun >= after:
            with suppress(OSError):
                click.echo(f"\r\033[2K{plain(text)[:70]}\r", err=True, nl=False)

    return show


ORDER = click.argument("order", type=click.Path(path_type=Path))


def out_option(default: str) -> Callable[[Callable[..., Any]], Callable[..., Any]]:
    return click.option(
        "--out",
        type=click.Path(path_type=Path, file_okay=False),
        default=None,
        help=f"Folder to write to; default {default}.",
    )
