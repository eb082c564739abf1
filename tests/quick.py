"""The environment of a command run as a process of its own, without the search for lettering in pixels and without a cache."""

import os
from pathlib import Path

ENVIRONMENT = {"PYTHONPATH": str(Path(__file__).parent / "without_reading"), "ARTGEN_CACHE": ""}


def environment(**more: str) -> dict[str, str]:
    return {**os.environ, **ENVIRONMENT, **more}
