"""`file-over-limit`: a file past a limit of memory, time or pixels."""

from collections.abc import Iterator

from ..finding import Finding
from ..rule import Rule, Seen
from .files import faults


def find(seen: Seen) -> Iterator[Finding]:
    return faults(seen, "file-over-limit", {"over-limit"})


RULE = Rule("file-over-limit", "error", "client", "file", find)
