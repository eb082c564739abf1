"""Being stopped at a bad moment. Signals are sent by this process to itself, at named places."""

import shutil
import signal
import tempfile
import threading
from pathlib import Path
from typing import Any

import pytest

from artgen.interrupts import held, scratch_folder


def test_ctrl_c_waits_until_the_block_has_ended() -> None:
    done = []
    with pytest.raises(KeyboardInterrupt), held():
        signal.raise_signal(signal.SIGINT)
        done.append("the rest of the block")
    assert done


@pytest.mark.parametrize("asked", [signal.SIGTERM, signal.SIGHUP])
def test_the_handler_that_was_there_gets_the_signal_once(asked: signal.Signals) -> None:
    came: list[int] = []
    before = signal.signal(asked, lambda number, _: came.append(number))
    try:
        with held():
            signal.raise_signal(asked)
            signal.raise_signal(asked)
            assert came == []
        assert came == [asked]
        signal.raise_signal(asked)
        assert came == [asked, asked]
    finally:
        signal.signal(asked, before)


def test_other_threads_hold_nothing_and_fail_nothing() -> None:
    seen = []

    def body() -> None:
        with held(), scratch_folder() as folder:
            seen.append(folder.is_dir())

    thread = threading.Thread(target=body)
    thread.start()
    thread.join()
    assert seen == [True]


@pytest.mark.parametrize("moment", ["made", "in use", "removed"])
def test_a_scratch_folder_goes_whenever_one_is_stopped(
    moment: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Ctrl-C comes as soon as the folder is there, while it is used, or when it is about to be removed."""
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    make, remove = tempfile.mkdtemp, shutil.rmtree

    def made(*args: Any, **kwargs: Any) -> str:
        folder = make(*args, **kwargs)
        signal.raise_signal(signal.SIGINT)
        return folder

    def removed(*args: Any, **kwargs: Any) -> None:
        signal.raise_signal(signal.SIGINT)
        remove(*args, **kwargs)

    if moment == "made":
        monkeypatch.setattr(tempfile, "mkdtemp", made)
    if moment == "removed":
        monkeypatch.setattr(shutil, "rmtree", removed)
    with pytest.raises(KeyboardInterrupt), scratch_folder() as folder:
        (folder / "file").write_bytes(b"x")
        if moment == "in use":
            signal.raise_signal(signal.SIGINT)
    assert list(tmp_path.iterdir()) == []
