"""What the machine can't do is told as that, with exit code 2, and never as a fault of a client's file."""

import errno
import os
import subprocess
import sys
from pathlib import Path

import confined_tasks as tasks
import pytest
import quick
from click.testing import CliRunner

from artgen import confined
from artgen.art import reading
from artgen.cli import main
from artgen.confined import Limits, MachineFault, is_machines, landlock, machine_fault, run, watch
from artgen.confined.machine import is_full

ARTGEN = Path(sys.executable).with_name("artgen")
WALL = 'schema = 1\nname = "Moor"\n[[structure]]\nname = "wall"\nkind = "wall"\nheight = "500 mm"\nwidth = "600 mm"\n'
SVG = '<svg xmlns="http://www.w3.org/2000/svg" width="676mm" height="576mm"><rect width="676mm" height="576mm"/></svg>'


@pytest.fixture
def order(tmp_path: Path) -> Path:
    """One panel with sound art."""
    folder = tmp_path / "moor"
    (folder / "art").mkdir(parents=True)
    (folder / "art" / "panel-1.svg").write_text(SVG, encoding="utf-8")
    (folder / "order.toml").write_text(WALL, encoding="utf-8")
    return folder


def stopped(order: Path, *says: str) -> None:
    """`artgen check` and `artgen proof` end with 2 and say these words; nothing is said of the client's file."""
    for command in ("check", "proof"):
        result = CliRunner().invoke(main, [command, str(order)])
        assert (result.exit_code, result.stdout) == (2, ""), result.output
        for one in says:
            assert one in result.stderr
        assert "damaged" not in result.stderr and "artgen itself" not in result.stderr
    made = (order / "proofs").iterdir() if (order / "proofs").exists() else ()
    assert {path.name for path in made} <= {".proofs.lock"} and not (order / "record.jsonl").exists()


def full(*_: object, **__: object) -> None:
    raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


def test_no_room_for_a_temporary_folder(order: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tempfile.mkdtemp", full)
    stopped(order, "temporary folder", "No space left on device", "TMPDIR")


def test_no_room_for_a_temporary_file(order: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The PDF that was made of an SVG is handed on in a file."""
    reading._converted.clear()
    monkeypatch.setattr(Path, "write_bytes", full)
    stopped(order, "temporary file", "No space left on device", "TMPDIR")


def test_no_room_left_while_a_child_writes(order: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The child says that it could not write; that the disk is full is looked up here, since a child's word counts for little."""
    caught = _failure(order)
    assert isinstance(caught, confined.ConfinedFailure)  # there is room: what a task raises is the file's doing
    monkeypatch.setattr(confined, "is_full", lambda folder: folder.is_dir())
    caught = _failure(order)
    assert isinstance(caught, MachineFault)
    assert "is full" in str(caught) and "TMPDIR" in str(caught)


def _failure(order: Path) -> Exception:
    with pytest.raises((confined.ConfinedFailure, MachineFault)) as caught:
        run(tasks.fail, order / "order.toml", {})
    return caught.value


def test_what_full_means(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    real = os.statvfs(tmp_path)
    assert is_full(tmp_path) == (real.f_bavail * real.f_frsize < 1 << 20)
    values = {"f_bavail": 0, "f_frsize": 4096, "f_files": 10, "f_favail": 5}
    for change, expected in (({}, True), ({"f_bavail": 255}, True), ({"f_bavail": 256}, False)):
        about = type("About", (), values | change)
        monkeypatch.setattr(os, "statvfs", lambda _, about=about: about)
        assert is_full(tmp_path) is expected
    about = type("About", (), values | {"f_bavail": 10**9, "f_favail": 0})
    monkeypatch.setattr(os, "statvfs", lambda _: about)
    assert is_full(tmp_path)


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() != 0, reason="only root may mount")
def test_a_temporary_folder_on_a_full_disk(order: Path, tmp_path: Path) -> None:
    """A real one of 256 kB."""
    disk = tmp_path / "disk"
    disk.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", "size=256k", "none", str(disk)]
    if subprocess.run(mount, capture_output=True).returncode:
        pytest.skip("mounting is not allowed here")
    try:
        (disk / "filler").write_bytes(bytes(150_000))
        done = subprocess.run(
            [ARTGEN, "check", order], env=quick.environment(TMPDIR=str(disk)), capture_output=True, timeout=120
        )
        assert (done.returncode, done.stdout) == (2, b"")
        assert b"full" in done.stderr or b"No space" in done.stderr
        assert b"TMPDIR" in done.stderr
        assert {path.name for path in disk.iterdir()} <= {"filler", ".ses"}
    finally:
        subprocess.run(["umount", str(disk)], check=True)


def in_shell(order: Path, set_up: str) -> "subprocess.CompletedProcess[str]":
    """`artgen check` after shell commands."""
    script = f'{set_up}; exec "$0" check "$1"'
    return subprocess.run(
        ["/bin/bash", "-c", script, ARTGEN, order], capture_output=True, text=True, timeout=120, env=quick.environment()
    )


@pytest.mark.parametrize("handles", [10, 20, 40, 63])
def test_too_few_open_files(order: Path, handles: int) -> None:
    done = in_shell(order, f"ulimit -n {handles}")
    assert (done.returncode, done.stdout) == (2, "")
    assert "ulimit -n" in done.stderr or "process" in done.stderr
    assert "damaged" not in done.stderr and "Traceback" not in done.stderr


def test_enough_open_files_are_enough(order: Path) -> None:
    assert in_shell(order, "ulimit -n 64").returncode == 0


def test_lower_limits_of_the_user_are_kept(order: Path) -> None:
    """A limit that is lower already can't be raised; reading goes on under it."""
    assert in_shell(order, "ulimit -f 1000000; ulimit -t 100").returncode == 0


def test_a_current_folder_that_is_gone(order: Path, tmp_path: Path) -> None:
    done = in_shell(order, f"mkdir {tmp_path}/gone; cd {tmp_path}/gone; rmdir {tmp_path}/gone")
    assert (done.returncode, done.stdout) == (2, "")
    assert "The current folder has been removed" in done.stderr


def test_no_child_can_be_started(order: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def start(_: object) -> None:
        raise OSError(errno.EAGAIN, os.strerror(errno.EAGAIN))

    monkeypatch.setattr(watch, "start", start)
    stopped(order, "no separate process", "processes have run out")


@pytest.mark.skipif(not landlock.version(), reason="this system has no Landlock")
def test_walls_that_do_not_go_up(order: Path) -> None:
    """The child raises before the file is touched. (A memory limit below what Python takes is still told as such.)"""
    file = order / "art" / "panel-1.svg"
    ended = subprocess.run(
        [sys.executable, "-c", WALLS, file],
        env={**os.environ, "PYTHONPATH": str(Path(__file__).parent)},
        capture_output=True,
        text=True,
        timeout=60,
    )
    assert ended.stdout.startswith("MachineFault a limited process"), ended.stdout + ended.stderr
    assert "declined" in ended.stdout


# in a process of its own: the fork server copies what it imports, so the wall must be broken there
WALLS = """
import sys
from pathlib import Path
import confined_tasks
from artgen import confined
from artgen.confined import server
server._PRELOAD = "broken_walls"
try:
    confined.run(confined_tasks.echo, Path(sys.argv[1]), {"value": 1})
except Exception as error:
    print(type(error).__name__, error)
"""


def test_words_for_the_system_s_errors() -> None:
    fault = lambda number: str(machine_fault("it could not be done", OSError(number, os.strerror(number))))  # noqa: E731
    assert "ulimit -n" in fault(errno.EMFILE)
    assert "TMPDIR" in fault(errno.ENOSPC)
    assert "permissions" in fault(errno.EACCES)
    assert str(machine_fault("it failed", EOFError())).startswith("it failed (EOFError). ")
    assert is_machines(OSError(errno.ENFILE, "x")) and not is_machines(OSError(errno.ENOENT, "x"))


def test_a_file_that_is_gone_is_still_a_fault_of_the_file(order: Path) -> None:
    with pytest.raises(confined.ConfinedFailure, match="can't be examined"):
        run(tasks.echo, order / "none.pdf", {"value": 1}, Limits())


# streams


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="this system has no /dev/full")
@pytest.mark.parametrize("way", ["2>/dev/full", "2>&-"])
@pytest.mark.parametrize(
    ("args", "code"),
    [(["proof", "ORDER"], 0), (["size", "none"], 2), (["chek"], 2), (["size"], 2), (["--help"], 0)],
)
def test_a_standard_error_that_takes_nothing(order: Path, way: str, args: list[str], code: int) -> None:
    """The work is done and its exit code is the same: nobody was listening."""
    words = [str(order) if arg == "ORDER" else arg for arg in args]
    done = subprocess.run(
        ["/bin/bash", "-c", f'"$0" "$@" {way}', ARTGEN, *words], stdout=subprocess.PIPE, timeout=120, cwd=order
    )
    assert done.returncode == code
    assert (order / "proofs" / "A" / "proof.pdf").exists() == (args[0] == "proof")


def test_a_closed_standard_output(order: Path) -> None:
    done = subprocess.run(
        ["/bin/bash", "-c", '"$0" "$@" >&-', ARTGEN, "size", order, "--json", "-"], stderr=subprocess.PIPE, timeout=60
    )
    assert done.returncode == 2
    assert b"standard output" in done.stderr and b"artgen itself" not in done.stderr


def test_the_parent_s_own_open_files_run_out(order: Path) -> None:
    """In the middle of a job: what is opened then is a client's file, and it is not at fault."""
    code = (
        "import resource, sys\nfrom pathlib import Path\nfrom artgen import job\nfrom artgen.job import files\n"
        "from artgen.order import load\nfrom artgen.sizing import size_order\nfrom artgen.structure.kinds import KINDS\n"
        "order = load(Path(sys.argv[1]), KINDS)\n"
        "def out(path, order):\n    raise OSError(24, 'Too many open files')\n"
        "files.read = lambda path, kept: out(path, order)\n"
        "try:\n    job.run(order, size_order(order, KINDS))\n"
        "except Exception as error:\n    print(type(error).__name__, error)\n"
    )
    done = subprocess.run([sys.executable, "-c", code, order], capture_output=True, text=True, timeout=60)
    assert done.stdout.startswith("MachineFault panel-1.svg could not be opened (Too many open files)"), done.stderr
