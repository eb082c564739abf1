"""`file-locked`: a file that asks for a password."""

from collections.abc import Iterator

from ..finding import Finding
from ..rule import Rule, Seen
from .files import faults


def find(seen: Seen) -> Iterator[Finding]:
    return faults(seen, "file-locked", {"locked"})


RULE = Rule("file-locked", "error", "client", "file", find)
