"""Pieces of work side by side: their order, what is told meanwhile, and that nothing is left when one is stopped."""

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from artgen.interrupts import CouldNotRun
from artgen.pool import crew, each

TESTS = Path(__file__).parent


def slow_first(shared: int, piece: int) -> int:
    time.sleep(0.3 if piece == 0 else 0.0)
    return piece * shared


def fails_at_three(_: None, piece: int) -> int:
    if piece == 3:
        raise CouldNotRun("three")
    return piece


def dies(_: None, piece: int) -> int:
    os.kill(os.getpid(), signal.SIGKILL)
    return piece


@pytest.mark.parametrize("workers", [1, 2, 3])
def test_results_come_in_the_order_of_the_pieces(workers: int) -> None:
    told: list[int] = []
    with crew(workers, 10) as many:
        found = list(many.each(slow_first, range(6), done=told.append))
        again = list(many.each(slow_first, [7, 8], first=lambda piece: piece))
    assert found == [0, 10, 20, 30, 40, 50]
    assert again == [70, 80]
    assert told == sorted(told) and told[-1] == 6


def test_light_pieces_are_done_all_the_same() -> None:
    assert list(each(slow_first, 2, range(20), 2)) == [2 * n for n in range(20)]


def test_a_fault_of_one_piece_ends_the_rest() -> None:
    with pytest.raises(CouldNotRun, match="three"), crew(2, None) as many:
        list(many.each(fails_at_three, range(100)))


def test_a_process_that_the_system_ends_is_said() -> None:
    with pytest.raises(CouldNotRun, match="lack of memory"), crew(2, None) as many:
        list(many.each(dies, range(4)))


def stuck(_: None, piece: int) -> int:
    """It does not hear that it is asked to stop, as one that waits for a lost lock."""
    signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGTERM})
    time.sleep(120)
    return piece


def test_nobody_waits_for_ever_for_one_that_is_stuck(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("artgen.pool._PATIENCE", 1.0)
    begun = time.monotonic()
    with pytest.raises(KeyboardInterrupt), crew(2, None) as many:
        pending = [many._submit(stuck, n) for n in range(4)]
        while not any(one.running() for one in pending):
            time.sleep(0.05)
        time.sleep(0.5)
        raise KeyboardInterrupt
    assert 1.0 < time.monotonic() - begun < 30.0


STOPPED = """
import sys
from pathlib import Path
from artgen.confined import Limits, run
from artgen.pool import crew
import confined_tasks
import signal

def look(_, piece):
    return run(confined_tasks.sleep, Path(__file__), {"seconds": 300}, Limits(seconds=600))

def stop(*_):
    raise KeyboardInterrupt

signal.signal(signal.SIGTERM, stop)
if __name__ == "__main__":
    try:
        with crew(2, None) as many:
            list(many.each(look, range(6)))
    except KeyboardInterrupt:
        print("stopped")
"""


@pytest.mark.skipif(not Path("/proc/self/environ").exists(), reason="this system has no /proc")
@pytest.mark.parametrize(
    ("sent", "whole_group"), [(signal.SIGINT, True), (signal.SIGINT, False), (signal.SIGTERM, False)]
)
def test_stopped_it_leaves_no_process_and_no_folder(tmp_path: Path, sent: signal.Signals, whole_group: bool) -> None:
    """As a terminal does it, to the whole group, and as `kill` does it."""
    script, temporary = tmp_path / "stopped.py", tmp_path / "temporary"
    script.write_text(STOPPED, encoding="utf-8")
    temporary.mkdir()
    mark = f"ARTGEN_TEST_MARK={tmp_path.name}"
    env = {**os.environ, "PYTHONPATH": str(TESTS), "TMPDIR": str(temporary), "ARTGEN_TEST_MARK": tmp_path.name}
    started = subprocess.Popen(
        [sys.executable, str(script)], env=env, stdout=subprocess.PIPE, stderr=subprocess.PIPE, start_new_session=True
    )
    deadline = time.monotonic() + 60
    while len(list(temporary.glob("artgen-*"))) < 2:  # a folder each of two children
        assert time.monotonic() < deadline and started.poll() is None
        time.sleep(0.05)
    time.sleep(1.0)
    assert len(alive(mark)) >= 5  # this process, two workers, and a server and a child of each
    (os.killpg if whole_group else os.kill)(started.pid, sent)
    out, err = started.communicate(timeout=30)
    assert (out, err.decode()) == (b"stopped\n", "")
    deadline = time.monotonic() + 10
    while alive(mark) and time.monotonic() < deadline:  # servers end when nobody holds their pipe
        time.sleep(0.1)
    assert alive(mark) == []
    assert list(temporary.glob("artgen-*")) == []


def alive(mark: str) -> list[int]:
    found = []
    for folder in Path("/proc").iterdir():
        try:
            if folder.name.isdigit() and mark.encode() in (folder / "environ").read_bytes().split(b"\0"):
                found.append(int(folder.name))
        except OSError:
            continue
    return found
