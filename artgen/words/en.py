"""The English table."""

from . import en_proof

TABLE = {
    "face.front": "front",
    "face.right": "right side",
    "face.back": "back",
    "face.left": "left side",
    "face.top": "top",
    "face.bottom": "underside",
    "face.upper": "upper side, {towards}",
    "face.lower": "lower side, {towards}",
    "towards.0": "front",
    "towards.1": "front right",
    "towards.2": "right",
    "towards.3": "back right",
    "towards.4": "back",
    "towards.5": "back left",
    "towards.6": "left",
    "towards.7": "front left",
    "face.other": "side {name}",
    # reports
    "severity.error": "error",
    "severity.warning": "warning",
    "severity.note": "note",
    # demo
    "demo.running": "{order}",
    "demo.found": "found     {rule}, panel {panel}: {message}",
    "demo.missed": "MISSED    {rule}, panel {panel}: {what}",
    "demo.unplanted": "UNPLANTED {rule}, panel {panel}: {message}",
    "demo.sum": "{found} of {planted} planted faults found, {other} others; {notes} notes.",
    "demo.blind": "not examined: {what}: {why}",
    "demo.look": (
        "Look into {folder}/first and {folder}/mended: templates/ for the designer, report/ for prepress, "
        "proofs/A/proof.pdf for the client."
    ),
} | en_proof.PROOF
