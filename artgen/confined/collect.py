"""What a child leaves behind: files in its folder and the text of its answer, either of which may be hostile.

In: the folder, or the bytes. Out: plain values.
"""

import json
import os
import re
import stat
from contextlib import suppress
from pathlib import Path
from typing import Any

_MOST_FILES = 10_000
# what a mark of JSON may stand for, in bytes of CPython 3.11 (sys.getsizeof): a short text and its place, an
# empty list, a mapping of one key
_BYTES_FOR = {b",": 64, b"[": 64, b"{": 192}
_HALF_CHARACTER = re.compile(rb"(?<!\\)(?:\\\\)*\\u[dD][89a-fA-F]")


class TooMuch(Exception):
    """More than the limit allows."""


def written(out: Path) -> int:
    """Bytes of all files in ``out``; too many files to count are endlessly many bytes."""
    total = 0
    with suppress(OSError), os.scandir(out) as entries:
        for count, entry in enumerate(entries):
            if count >= _MOST_FILES:
                return 1 << 62
            with suppress(OSError):
                total += entry.stat(follow_symlinks=False).st_size
    return total


def unnamed(pid: int) -> int:
    """Bytes of the files that the process holds open under no name any more; 0 where there is no /proc to ask."""
    total = 0
    with suppress(OSError):
        for handle in Path(f"/proc/{pid}/fd").iterdir():
            with suppress(OSError):
                about = handle.stat()
                if stat.S_ISREG(about.st_mode) and about.st_nlink == 0:
                    total += about.st_size
    return total


def blobs(out: Path, most: int) -> dict[str, bytes]:
    """The plain files of ``out`` by name, sorted. Raises TooMuch beyond ``most`` bytes.

    The child must be gone. Links, hard ones too, and everything else that isn't a plain file of its own are
    left out, as are names that aren't text.
    """
    if written(out) > most:
        raise TooMuch
    found = {}
    for name in sorted(entry.name for entry in out.iterdir()):
        with suppress(OSError, UnicodeEncodeError):
            name.encode()
            handle = os.open(out / name, os.O_RDONLY | os.O_NOFOLLOW | os.O_NONBLOCK | os.O_CLOEXEC)
            with os.fdopen(handle, "rb") as file:
                about = os.fstat(handle)
                if stat.S_ISREG(about.st_mode) and about.st_nlink == 1:
                    found[name] = file.read(about.st_size)
    return found


def parse(answer: bytes, memory: int) -> Any:
    """The JSON value in ``answer``. Raises TooMuch if it might fill ``memory`` bytes here; ValueError."""
    size = len(answer) + sum(each * answer.count(mark) for mark, each in _BYTES_FOR.items())
    if size > memory:
        raise TooMuch
    # the plain look first: going through 30 MB of numbers takes the expression seconds
    if b"\\u" in answer and _HALF_CHARACTER.search(answer):
        raise ValueError("the answer holds half characters")
    try:
        return json.loads(answer.decode(), parse_constant=_no_constant)
    except RecursionError as error:
        raise ValueError("the answer is nested too deeply") from error


def _no_constant(name: str) -> Any:
    raise ValueError(f"the answer holds {name}")
