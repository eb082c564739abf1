"""One entry of the record and its line: facts ↔ bytes.

A line is a JSON object in ASCII that ends with ``,"sha256":"…"}`` and a newline. That hash is SHA-256 (FIPS 180-4) over the
line's bytes before ``,"sha256"``; ``before`` is the hash of the entry before, or of nothing. docs/record.md says how to check
both with standard tools.
"""

import hashlib
import json
import os
import re
import stat
from collections.abc import Mapping
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, Literal

from attrs import frozen

NOTHING = hashlib.sha256(b"").hexdigest()
SHA256 = re.compile(r"[0-9a-f]{64}")
_LINE = re.compile(rb'(\{.*),"sha256":"([0-9a-f]{64})"\}\n', re.DOTALL)
# RFC 3339, 5.6; artgen writes whole seconds in UTC
_TIME = re.compile(r"\d{4}-\d\d-\d\d[Tt]\d\d:\d\d:\d\d(\.\d{1,9})?([Zz]|[+-]\d\d:\d\d)", re.ASCII)
_FRAME = ("number", "time", "what", "before")

Trouble = Literal["unreadable", "changed"]


class Broken(ValueError):
    """A line that is no entry. ``trouble``: it can't be read as one, or its bytes are not those that were written."""

    def __init__(self, trouble: Trouble) -> None:
        self.trouble: Trouble = trouble
        super().__init__(trouble)


@frozen
class Entry:
    """``what`` happened ("proof", "decision" …) and its ``facts``, plain JSON data. ``sha256`` = the entry's own hash."""

    number: int
    time: str
    what: str
    facts: Mapping[str, Any]
    before: str
    sha256: str

    @classmethod
    def made(cls, number: int, time: str, what: str, facts: Mapping[str, Any], before: str) -> "Entry":
        digest = hashlib.sha256(_body(number, time, what, facts, before)).hexdigest()
        return cls(number, time, what, dict(facts), before, digest)

    def line(self) -> bytes:
        body = _body(self.number, self.time, self.what, self.facts, self.before)
        return body + f',"sha256":"{self.sha256}"}}\n'.encode("ascii")


def _body(number: int, time: str, what: str, facts: Mapping[str, Any], before: str) -> bytes:
    whole = {"number": number, "time": time, "what": what, **facts, "before": before}
    # ASCII, and no spaces: an editor's encoding or an e-mail's can't change a byte of it
    return json.dumps(whole, ensure_ascii=True, separators=(",", ":"), allow_nan=False)[:-1].encode("ascii")


def entry_of(line: bytes) -> Entry:
    """The entry of a line with its newline. Raises `Broken`."""
    match = _LINE.fullmatch(line)
    if match is None:
        raise Broken("unreadable")
    body, own = match[1], match[2].decode("ascii")
    if hashlib.sha256(body).hexdigest() != own:
        raise Broken("changed")
    try:
        whole = json.loads(body + b"}")
    except (ValueError, RecursionError):
        raise Broken("unreadable") from None
    number, time, what, before = (whole.get(key) for key in _FRAME)
    sound = type(number) is int and isinstance(time, str) and isinstance(what, str) and isinstance(before, str)
    if not sound or not _TIME.fullmatch(time) or not SHA256.fullmatch(before):
        raise Broken("unreadable")
    facts = {key: value for key, value in whole.items() if key not in _FRAME}
    return Entry(number, time, what, facts, before, own)


def timestamp(now: datetime | None = None) -> str:
    """RFC 3339, UTC."""
    return (now or datetime.now(UTC)).astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def file_hash(path: Path) -> str:
    """SHA-256 of a plain file's bytes. Raises OSError, also for what is no plain file: it might never end."""
    handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0))
    with os.fdopen(handle, "rb") as file:
        if not stat.S_ISREG(os.fstat(file.fileno()).st_mode):
            raise OSError(f"{path.name} is no plain file")
        return hashlib.file_digest(file, "sha256").hexdigest()
