"""The record: what was proofed, decided and printed, one entry a line of `record.jsonl`, each bound to the one before.

`log` reads and adds entries; `proving` finds what was changed, cut or re-ordered; `decisions` says what is released;
`story` tells it in words.
"""

from .decisions import SAYS, Decision, ProofMade, Say, approved, decisions, proofs, released, standing
from .entry import NOTHING, Entry, file_hash
from .evidence import keep
from .log import NAME, Log, RecordError, Writer, read, writing
from .proving import Fault, disk_faults, log_faults

__all__ = [
    "NAME",
    "NOTHING",
    "SAYS",
    "Decision",
    "Entry",
    "Fault",
    "Log",
    "ProofMade",
    "RecordError",
    "Say",
    "Writer",
    "approved",
    "decisions",
    "disk_faults",
    "file_hash",
    "keep",
    "log_faults",
    "proofs",
    "read",
    "released",
    "standing",
    "writing",
]
