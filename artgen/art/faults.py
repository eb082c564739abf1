"""The one exception inside this room: a file that can't be read, as the record that says so.

Raised by the readers in the child process, caught by their tasks and sent to the parent as a plain table.
"""

from .facts import FaultKind, FileFault, Format

ABSURD_MM = 1_000_000.0  # ours: 1 km; no page is larger, and the drawing libraries lose their footing beyond


class ArtFault(Exception):
    """Carries the `FileFault` that ends the reading of one file."""

    def __init__(self, kind: FaultKind, detail: str, format: Format | None = None) -> None:
        self.fault = FileFault(kind, detail, format)
        super().__init__(detail)
