"""What ends a command early: a reason that a person is told, or a signal. Holds back Ctrl-C and requests to stop while
something must not be left half done: a folder made and not yet known, a child started and not yet watched, a folder half
removed.

In: nothing. Out: the exception's class; contexts, and what came during one is handed on when it ends.
"""

import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

ASKED_TO_STOP = (signal.SIGTERM, signal.SIGHUP)  # beside Ctrl-C, SIGINT
_HELD = (signal.SIGINT, *ASKED_TO_STOP)


class CouldNotRun(Exception):
    """Ends a command; the message says to a person what could not be done, why, and what to do."""


@contextmanager
def held() -> Iterator[None]:
    """SIGINT, SIGTERM and SIGHUP wait until the block has ended. For short blocks; in other threads than the first, where Python
    handles no signals, nothing is changed."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    came: list[int] = []
    before = {each: signal.signal(each, lambda number, _: came.append(number)) for each in _HELD}
    try:
        yield
    finally:
        for each, handler in before.items():
            signal.signal(each, handler)
        for number in dict.fromkeys(came):
            signal.raise_signal(number)


@contextmanager
def scratch_folder() -> Iterator[Path]:
    """An empty temporary folder, resolved; gone afterwards with all that is in it, whenever one is stopped. Raises OSError."""
    import shutil
    import tempfile  # these two are heavy, and many commands need no folder

    made: list[Path] = []
    try:
        with held():
            made.append(Path(tempfile.mkdtemp(prefix="artgen-")).resolve())
        yield made[0]
    finally:
        with held():
            for folder in made:
                with suppress(OSError, RecursionError):
                    shutil.rmtree(folder)
