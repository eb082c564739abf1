"""Imported once, by the fork server: the libraries that tasks use, so that no child has to import them.

None of them may start a thread or hold a handle when imported: a fork would take neither along. numpy's
arithmetic library would start threads; the environment that ``server.py`` sets forbids it.
"""

import gc
import importlib
import mimetypes
from contextlib import suppress

from artgen.confined.child import installed

HEAVY = (
    "cairosvg",
    "defusedxml.ElementTree",
    "fontTools.ttLib",
    "numpy",
    "pikepdf",
    "PIL.Image",
    "pypdfium2",
    "pyvips",
)

for _module in HEAVY:
    # ImportError where one is missing, OSError where its system library is: a task that needs it will say so
    with suppress(ImportError, OSError):
        importlib.import_module(_module)

# both look around in the system's files, which a child may not do any more
installed()
mimetypes.init()
gc.collect()
gc.freeze()  # children then leave these pages shared
