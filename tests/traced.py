"""Reads every file of a folder as `artgen check` would, to be watched from outside: `strace … python tests/traced.py FOLDER`."""

import sys
from pathlib import Path

from artgen.art import FileFacts, pixels, read, reading

reading.SECONDS = 20.0
for file in sorted(Path(sys.argv[1]).iterdir()):
    if file.name.startswith("panel-"):
        found = read(file)
        drawn = ""
        if isinstance(found, FileFacts):
            page = found.pages[0]
            seen = pixels(file, 0, (page.width / 48, 0.0, 0.0, -page.height / 36, 0.0, page.height), 48, 36)
            drawn = type(seen).__name__
        print(file.name, type(found).__name__, drawn, flush=True)
