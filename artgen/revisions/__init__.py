"""Revisions A, B, C …: an order and a job to folders that are never overwritten, each bound into the record.

`inputs` = all that a proof is made from, by hash; `making` makes a revision, whole or not at all; `reading` reads one back.
"""

from .making import Revision, revise
from .reading import kept, revision_named

__all__ = ["Revision", "kept", "revise", "revision_named"]
