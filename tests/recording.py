"""A small order with proofs on record, made without rendering anything: what `artgen proof` leaves, in bytes of our own."""

import hashlib
from pathlib import Path

from artgen import record

ORDER = """schema = 1
name = "Moss"
number = "T-7"
[[structure]]
name = "Wall"
kind = "wall"
height = "500 mm"
bays = ["600 mm", "600 mm"]
"""


def sha(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def order_in(folder: Path) -> Path:
    (folder / "art").mkdir(parents=True)
    (folder / "order.toml").write_text(ORDER, encoding="utf-8")
    for number in (1, 2):
        (folder / "art" / f"panel-{number}.pdf").write_bytes(b"art of panel %d" % number)
    return folder


def proofed(folder: Path, revision: str = "A", errors: int = 0) -> record.Entry:
    """The record after one more proof."""
    home = folder / "proofs" / revision
    home.mkdir(parents=True)
    pdf = f"proof {revision}".encode()
    (home / "proof.pdf").write_bytes(pdf)
    facts = {
        "revision": revision,
        "folder": f"proofs/{revision}",
        "order": sha((folder / "order.toml").read_bytes()),
        "art": {f"art/{path.name}": sha(path.read_bytes()) for path in sorted((folder / "art").iterdir())},
        "files": {"proof.pdf": sha(pdf)},
        "panels": {"1": ["art/panel-1.pdf"], "2": ["art/panel-2.pdf"]},
        "errors": errors,
    }
    with record.writing(folder) as log:
        entry = log.next("proof", facts)
        log.add(entry)
    return entry
