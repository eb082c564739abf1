"""Every wall of artgen.confined is run into twice: by Python's functions, and by the C library behind its back.

Where an act is harmless, the same function is first called without confinement: it is the wall that stops it.
"""

import errno
import json
import multiprocessing
import os
import re
import signal
import socket
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import confined_tasks as tasks
import pytest

from artgen import confined
from artgen.confined import ConfinedFailure, Limits, Task, collect, landlock, run, seccomp, shortcomings

HERE = Path(__file__).resolve().parent
ROOT = Path(confined.__file__).resolve().parents[2]
SMALL = Limits(memory_mb=1024, seconds=20, output_mb=4)

needs_landlock = pytest.mark.skipif(not landlock.version(), reason="this system has no Landlock")
needs_seccomp = pytest.mark.skipif(not seccomp.available(), reason="no seccomp for this system or machine")


@pytest.fixture
def temporary(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """The folder in which ``run`` makes its own; whatever the test did, that must be gone afterwards."""
    folder = tmp_path / "temporary"
    folder.mkdir()
    monkeypatch.setattr(tempfile, "tempdir", str(folder))
    yield folder
    assert list(folder.glob("artgen-*")) == []


pytestmark = pytest.mark.usefixtures("temporary")


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "client" / "art.txt"
    path.parent.mkdir()
    path.write_text("client's")
    return path


def failure(task: Task, file: Path, args: dict[str, Any] | None = None, limits: Limits = SMALL) -> ConfinedFailure:
    with pytest.raises(ConfinedFailure) as caught:
        run(task, file, args or {}, limits)
    return caught.value


# --- a task that keeps the rules


def test_a_task_finds_an_empty_folder_little_environment_and_its_limits(file: Path) -> None:
    found = run(tasks.describe, file, {"n": [1, None, "ü"]}, Limits(700, 2.5, 3)).value
    assert found["args"] == {"n": [1, None, "ü"]}
    assert found["content"] == "client's"
    assert found["folder"] is True
    assert "PATH" not in found["environment"] and "PATH" in os.environ
    assert found["pid"] != os.getpid()
    assert found["standard"] == ["/dev/null"] * 3
    assert found["umask"] == 0o077
    megabyte = 1024 * 1024
    assert found["limits"]["CORE"] == [0, 0]
    assert found["limits"]["CPU"] == [3, 4]  # 2.5 s, rounded up
    assert found["limits"]["FSIZE"] == [3 * megabyte] * 2
    if sys.platform == "linux":
        assert found["limits"]["AS"] == [700 * megabyte] * 2


@pytest.mark.parametrize("value", [None, True, 0, -1.5, "", "ü \\ud800 \n", [], {}, [{"a": [1, {"b": None}]}]])
def test_plain_values_come_back_as_they_were(file: Path, value: Any) -> None:
    assert run(tasks.echo, file, {"value": value}).value == value


def test_two_runs_share_nothing(file: Path) -> None:
    assert [run(tasks.count, file, {}).value for _ in range(2)] == [1, 1]
    assert "LEFT_OVER" not in run(tasks.describe, file, {}).value["environment"]
    assert [tasks.count(file, {}, file) for _ in range(2)] == [1, 2]  # what sharing would look like
    del os.environ["LEFT_OVER"]


@pytest.mark.parametrize("name", ["two words.txt", "übergröße ☂.txt", "-rf", "new\nline", "%s{0}", "bad-\udcff"])
def test_odd_names_do_no_harm(file: Path, name: str) -> None:
    odd = file.with_name(name)
    odd.write_text("odd")
    assert run(tasks.describe, odd, {}).value["content"] == "odd"


def test_a_link_and_a_relative_path_lead_to_the_file(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file.with_name("link").symlink_to(file)
    monkeypatch.chdir(file.parent)
    assert run(tasks.describe, Path("link"), {}).value["content"] == "client's"


def test_blobs_are_the_plain_files_and_nothing_else(file: Path, tmp_path: Path) -> None:
    secret = tmp_path / "secret.txt"
    secret.write_text("secret")
    blobs = run(tasks.leave_odd_files, file, {"secret": str(secret)}).blobs
    assert blobs == {"a.txt": b"a", "b.bin": b"\x00\xff"}
    assert list(blobs) == ["a.txt", "b.bin"]


def test_many_threads_and_many_processes_may_run_tasks(file: Path) -> None:
    with ThreadPoolExecutor(4) as pool:
        found = list(pool.map(lambda n: run(tasks.echo, file, {"value": n}).value, range(12)))
    assert found == list(range(12))


def _echo_elsewhere(file: str, pipe: Any) -> None:
    pipe.send(run(tasks.echo, Path(file), {"value": "from a fork"}).value)


def test_a_forked_copy_and_a_pool_worker_may_run_tasks(file: Path) -> None:
    run(tasks.echo, file, {"value": 1})  # the server that the copy must not take for its own
    context = multiprocessing.get_context("fork")
    ours, theirs = context.Pipe()
    process = context.Process(target=_echo_elsewhere, args=(str(file), theirs), daemon=True)
    process.start()
    assert ours.poll(20) and ours.recv() == "from a fork"
    process.join(20)
    assert process.exitcode == 0


def test_what_children_come_from_may_begin_beforehand(file: Path) -> None:
    """A Python of its own: it is asked which processes are below it, before a task and after."""
    code = f"""
import sys
from pathlib import Path
sys.path.insert(0, {str(Path(tasks.__file__).parent)!r})
import confined_tasks
from artgen import confined
from artgen.confined import server
assert server._server.process._forkserver_pid is None
confined.get_ready(confined_tasks.describe)
begun = server._server.process._forkserver_pid
assert begun is not None
confined.get_ready(confined_tasks.describe)
assert confined.run(confined_tasks.describe, Path({str(file)!r}), {{}}).value["bytes"] > 0
assert server._server.process._forkserver_pid == begun
"""
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
    assert (done.returncode, done.stdout, done.stderr) == (0, "", "")


def test_a_killed_fork_server_is_started_again(file: Path) -> None:
    parent = int(run(tasks.parent, file, {}).value)
    os.kill(parent, signal.SIGKILL)
    before = dict(os.environ)
    assert run(tasks.echo, file, {"value": 1}).value == 1
    assert int(run(tasks.parent, file, {}).value) != parent
    assert dict(os.environ) == before  # it was only lent to the server


# --- libraries within the walls


def test_pdf_libraries_work_inside(file: Path) -> None:
    pytest.importorskip("pypdfium2")
    canvas = pytest.importorskip("reportlab.pdfgen.canvas")
    pdf = file.with_suffix(".pdf")
    page = canvas.Canvas(str(pdf), pagesize=(200, 100))
    page.setFillColorRGB(1, 0, 0)
    page.rect(0, 0, 100, 100, stroke=0, fill=1)
    page.save()
    reply = run(tasks.read_pdf, pdf, {})
    assert reply.value["box"] == [0, 0, 200, 100] and reply.value["size"] == [200, 100]
    # left half red, right half white: red 255 everywhere, the others 255 on one half
    assert reply.value["rgb"] == pytest.approx([255, 127.5, 127.5], abs=1.5)
    assert reply.blobs["made.pdf"].startswith(b"%PDF-")


def test_libvips_works_inside_with_a_temporary_file(file: Path) -> None:
    pytest.importorskip("pyvips")
    from PIL import Image

    picture = file.with_suffix(".png")
    Image.new("L", (301, 200), 80).save(picture)
    reply = run(tasks.read_raster, picture, {})
    assert reply.value["size"] == [301, 200] and reply.value["mean"] == pytest.approx(80, abs=1e-6)
    if sys.platform == "linux":
        assert reply.value["temporary"] == 1
    assert reply.blobs["half.png"].startswith(b"\x89PNG")


def test_cairosvg_works_inside_with_text(file: Path) -> None:
    try:
        import cairosvg  # noqa: F401
    except (ImportError, OSError):
        pytest.skip("no cairosvg, or no libcairo")
    svg = file.with_suffix(".svg")
    svg.write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="40" height="20"><rect width="40" height="20" fill="#0f0"/>'
        '<text x="10" y="15" font-size="9">word</text></svg>'
    )
    assert run(tasks.read_svg, svg, {}).value == {"size": [40, 20], "first": [0, 255, 0]}


def test_threads_start_inside(file: Path) -> None:
    assert run(tasks.native_threads, file, {"threads": 8}).value == list(range(8))


# --- limits


@pytest.mark.skipif(sys.platform != "linux", reason="other systems don't limit memory")
def test_memory(file: Path) -> None:
    for task in (tasks.allocate, tasks.allocate_map):
        caught = failure(task, file, {"bytes": 4 << 30})
        assert caught.kind == "memory" and "1024 MB" in caught.detail
    # the same task passes or fails by the limit alone
    assert run(tasks.allocate_map, file, {"bytes": 500 << 20}, Limits(memory_mb=1024)).value == 500 << 20
    assert failure(tasks.allocate_map, file, {"bytes": 500 << 20}, Limits(memory_mb=400)).kind == "memory"


def test_wall_time(file: Path) -> None:
    started = time.monotonic()
    caught = failure(tasks.sleep, file, {"seconds": 30}, Limits(seconds=0.5))
    assert caught.kind == "time" and "0.5 s" in caught.detail
    assert time.monotonic() - started < 5
    assert run(tasks.sleep, file, {"seconds": 0.1}, Limits(seconds=5)).value == "slept"


def test_spinning(file: Path) -> None:
    caught = failure(tasks.spin, file, {}, Limits(seconds=1))
    assert caught.kind == "time" and "1 s" in caught.detail


def test_the_systems_own_limits_are_told_apart(file: Path) -> None:
    assert failure(tasks.meet_signal, file, {"signal": signal.SIGXCPU}).kind == "time"
    assert failure(tasks.meet_signal, file, {"signal": signal.SIGXFSZ}).kind == "output"
    assert failure(tasks.meet_signal, file, {"signal": signal.SIGTERM}).kind == "crash"
    # a process that goes on after SIGXCPU is killed a second later; so does a system that is out of memory
    assert failure(tasks.meet_signal, file, {"signal": signal.SIGKILL}).kind == "memory"


def test_one_file_too_large(file: Path) -> None:
    caught = failure(tasks.write_files, file, {"files": 1, "megabytes": 5})
    assert caught.kind == "output" and "4 MB" in caught.detail
    assert len(run(tasks.write_files, file, {"files": 1, "megabytes": 4}, SMALL).blobs["0.bin"]) == 4 << 20


def test_all_files_together_too_large(file: Path) -> None:
    assert failure(tasks.write_files, file, {"files": 3, "megabytes": 2}).kind == "output"
    assert len(run(tasks.write_files, file, {"files": 2, "megabytes": 2}, SMALL).blobs) == 2
    # and a child that goes on after that is not waited for
    started = time.monotonic()
    assert failure(tasks.write_files, file, {"files": 3, "megabytes": 2, "then": 15}).kind == "output"
    assert time.monotonic() - started < 10


@pytest.mark.skipif(sys.platform != "linux", reason="elsewhere, files without a name can't be found")
def test_files_without_a_name_count(file: Path) -> None:
    started = time.monotonic()
    assert failure(tasks.write_unnamed, file, {"files": 3, "megabytes": 2, "then": 15}).kind == "output"
    assert time.monotonic() - started < 10
    assert run(tasks.write_unnamed, file, {"files": 2, "megabytes": 2, "then": 0.5}, SMALL).value == []


def test_too_many_files(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(collect, "_MOST_FILES", 50)
    assert failure(tasks.write_many, file, {"files": 51}).kind == "output"
    assert len(run(tasks.write_many, file, {"files": 50}).blobs) == 50


def test_answer_too_large(file: Path) -> None:
    text = {"value": "x" * (1 << 20)}
    assert run(tasks.repeat, file, text | {"times": 3}, SMALL).value == "x" * (3 << 20)
    assert failure(tasks.repeat, file, text | {"times": 4}).kind == "output"
    # a taken-over child doesn't measure its own answer
    assert failure(tasks.forge, file, {"answer": "x" * 1024, "times": 5 << 10}).kind == "output"


@pytest.mark.slow
def test_answer_that_would_fill_the_parents_memory(file: Path) -> None:
    # in 15 MB of JSON, 5 million lists of 56 bytes (sys.getsizeof) with a place of 8 each: 320 MB
    args = {"answer": "[],", "times": 5_000_000}
    assert failure(tasks.forge, file, args, Limits(memory_mb=300, output_mb=16)).kind == "output"
    # by a limit that has room for it, the same answer is read (and makes no sense)
    assert failure(tasks.forge, file, args, Limits(memory_mb=2048, output_mb=16)).kind == "crash"


# --- failures of the task


def test_an_exception_comes_back_as_words_without_machine_paths(file: Path) -> None:
    caught = failure(tasks.fail, file)
    assert caught.kind == "error"
    assert re.fullmatch(r"LookupError: no such thing in art\.txt .* of its folder", caught.detail)
    assert "\x1b" not in caught.detail and str(file.parent) not in caught.detail
    assert str(caught) == caught.detail


def test_leaving_is_an_error_too(file: Path) -> None:
    assert failure(tasks.leave, file).kind == "error"


@pytest.mark.parametrize(("which", "words"), [("nan", "ValueError"), ("object", "TypeError"), ("half", "Unicode")])
def test_an_answer_that_is_not_plain_json_is_an_error(file: Path, which: str, words: str) -> None:
    caught = failure(tasks.not_json, file, {"which": which})
    assert caught.kind == "error" and words in caught.detail


@pytest.mark.parametrize(
    "answer",
    [
        "",
        "{",
        "[]",
        '{"fault": ["nonsense", "words"]}',
        '{"fault": ["error"]}',
        '{"value": NaN}',
        '{"value": "\\ud800"}',
        '{"value": ' + "[" * 100_000,
        '{"value": ' + "9" * 10_000 + "}",
        "\x80\x04N.",
    ],
)
def test_a_forged_answer_is_a_crash_not_a_traceback(file: Path, answer: str) -> None:
    assert failure(tasks.forge, file, {"answer": answer}).kind == "crash"


def test_crashes_by_signal(file: Path) -> None:
    assert (failure(tasks.read_null, file).kind, failure(tasks.abort, file).kind) == ("crash", "crash")
    assert "SIGSEGV" in failure(tasks.read_null, file).detail
    assert "SIGABRT" in failure(tasks.abort, file).detail


@pytest.mark.parametrize("name", ["missing.txt", "."])
def test_what_is_not_a_file_is_an_error(file: Path, name: str) -> None:
    caught = failure(tasks.describe, file.parent / name)
    assert caught.kind == "error" and "can't be examined" in caught.detail


def test_mistakes_of_the_caller_are_told_as_such(file: Path) -> None:
    with pytest.raises(ValueError, match="top level"):
        run(lambda file, args, out: None, file, {})
    with pytest.raises(TypeError):
        run(tasks.echo, file, {"value": object()})
    with pytest.raises(ValueError, match="memory_mb"):
        Limits(memory_mb=0)


def test_an_interrupt_kills_the_child(file: Path, temporary: Path) -> None:
    pids: list[int] = []

    def interrupt() -> None:
        for _ in range(500):
            pids.extend(int(path.read_text()) for path in temporary.glob("*/started") if path.read_text())
            if pids:
                os.kill(pids[0], 0)  # it lives
                break
            time.sleep(0.01)
        os.kill(os.getpid(), signal.SIGINT)

    thread = threading.Thread(target=interrupt)
    thread.start()
    with pytest.raises(KeyboardInterrupt):
        run(tasks.sleep, file, {"seconds": 30})
    thread.join()
    assert len(pids) == 1
    with pytest.raises(ProcessLookupError):
        for _ in range(500):
            os.kill(pids[0], 0)
            time.sleep(0.01)


# --- files

CHANGES = ["write", "append", "through link", "move in", "move out", "remove", "folder", "rights", "times", "cut"]
NEW = {"write", "move out", "folder"}


def snapshot(folder: Path) -> list[tuple[str, bytes, int, float]]:
    found = []
    for path in sorted(folder.rglob("*")):
        about = path.lstat()
        found.append((str(path), path.read_bytes() if path.is_file() else b"", about.st_mode, about.st_mtime))
    return found


@pytest.mark.parametrize("native", [False, pytest.param(True, marks=[needs_landlock, needs_seccomp])])
@pytest.mark.parametrize("act", CHANGES)
def test_nothing_outside_is_changed(file: Path, tmp_path: Path, act: str, native: bool) -> None:
    task = tasks.change_natively if native else tasks.change
    target = tmp_path / "outside" / "file.txt"
    target.parent.mkdir()
    if act not in NEW:
        target.write_text("before")
    before = snapshot(target.parent)
    args = {"act": act, "target": str(target)}
    if native:
        answer = run(task, file, args).value
        assert answer in (errno.EPERM, errno.EACCES, errno.EXDEV)
    else:
        assert failure(task, file, args).kind == "refused"
    assert snapshot(target.parent) == before
    # unconfined, the same act leaves its mark
    out = tmp_path / "out"
    out.mkdir()
    assert task(file, args, out) in ("done", 0)
    assert snapshot(target.parent) != before or (act, native) == ("append", True) or act == "through link"


@pytest.mark.parametrize("act", ["write", "append", "remove", "rights", "times", "cut"])
def test_the_clients_file_is_not_changed(file: Path, act: str) -> None:
    before = snapshot(file.parent)
    assert failure(tasks.change, file, {"act": act, "target": str(file)}).kind == "refused"
    if landlock.version() and seccomp.available():
        assert run(tasks.change_natively, file, {"act": act, "target": str(file)}).value in (
            errno.EPERM,
            errno.EACCES,
        )
    assert snapshot(file.parent) == before


@needs_landlock
@pytest.mark.parametrize("place", ["sibling", "neighbour folder", "home", "system"])
def test_secrets_are_not_read(file: Path, tmp_path: Path, place: str) -> None:
    secret = {
        "sibling": file.with_name("secret.txt"),
        "neighbour folder": tmp_path / "other" / "secret.txt",
        "home": Path.home() / ".profile",
        "system": Path("/etc/passwd"),
    }[place]
    if place in ("sibling", "neighbour folder"):
        secret.parent.mkdir(exist_ok=True)
        secret.write_text("secret")
    if not secret.is_file():
        pytest.skip(f"there is no {secret.name} to read")
    args = {"act": "read", "target": str(secret)}
    assert tasks.change(file, args, tmp_path) == secret.read_text()
    assert tasks.change_natively(file, args, tmp_path) == 0
    assert failure(tasks.change, file, args).kind == "refused"
    assert run(tasks.change_natively, file, args).value == errno.EACCES


# --- network and other processes


def test_no_network(file: Path) -> None:
    assert tasks.reach_out(file, {}, file) == 0
    assert failure(tasks.reach_out, file).kind == "refused"


@needs_seccomp
@pytest.mark.parametrize("family", [socket.AF_INET, socket.AF_INET6, socket.AF_UNIX])
def test_no_network_natively(file: Path, family: int) -> None:
    args = {"family": int(family)}
    if tasks.reach_out_natively(file, args, file) != 0:
        pytest.skip("this system has no such network")
    assert run(tasks.reach_out_natively, file, args).value == errno.EPERM


@pytest.mark.parametrize("how", ["fork", "system", "run"])
def test_no_other_process(file: Path, how: str) -> None:
    if how != "fork":  # a test runner with threads had better not fork for a comparison
        assert tasks.split(file, {"how": how}, file) == 0
    assert failure(tasks.split, file, {"how": how}).kind == "refused"


@needs_seccomp
@pytest.mark.parametrize("how", ["fork", "spawn"])
def test_no_other_process_natively(file: Path, how: str) -> None:
    command = (
        f"import sys; sys.path.insert(0, {str(HERE)!r}); import confined_tasks as t;"
        f" print(t.split_natively(None, {{'how': {how!r}}}, None))"
    )
    free = subprocess.run([sys.executable, "-c", command], capture_output=True, text=True, check=True)
    assert free.stdout.strip() == "0"
    assert run(tasks.split_natively, file, {"how": how}).value == errno.EPERM


@needs_seccomp
def test_no_other_program_no_signals_no_higher_limits(file: Path) -> None:
    assert run(tasks.become, file, {}).value == errno.EPERM
    args = {"pid": os.getpid()}
    assert tasks.signal_natively(file, args, file) == 0
    assert run(tasks.signal_natively, file, args).value == errno.EPERM
    assert run(tasks.raise_limit, file, {}).value == errno.EPERM


def test_no_signals_by_python(file: Path) -> None:
    assert failure(tasks.die, file).kind == "refused"


# --- each wall by itself


def test_the_audit_hook_alone_refuses(tmp_path: Path) -> None:
    """What is left on a system without seccomp and Landlock; nothing else confines this process."""
    out, other = tmp_path / "out", tmp_path / "other"
    out.mkdir()
    script = f"""
import os, sys, socket, subprocess
from pathlib import Path
sys.path.insert(0, {str(ROOT)!r})
from artgen.confined import audit
out, other = Path({str(out)!r}), Path({str(other)!r})
acts = dict(
    inside=lambda: (out / "a").write_text("a"),
    tidy=lambda: (out / "a").rename(out / "b"),
    outside=lambda: other.write_text("a"),
    climbing=lambda: (out / ".." / "other").write_text("a"),
    handle=lambda: os.open(other, os.O_CREAT | os.O_WRONLY),
    fork=os.fork,
    run=lambda: subprocess.run(["true"]),
    network=lambda: socket.socket(),
)
audit.restrict(out)
for name, act in acts.items():
    try:
        act()
        print(name, "done")
    except PermissionError:
        print(name, "refused")
"""
    ended = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    told = dict(line.split() for line in ended.stdout.splitlines())
    assert told.pop("inside") == told.pop("tidy") == "done"
    assert told == dict.fromkeys(("outside", "climbing", "handle", "fork", "run", "network"), "refused")
    assert not other.exists()


def filtered(program: Sequence[seccomp.Instruction], arch: int, number: int, arguments: Sequence[int] = ()) -> int:
    """Run a filter as linux/filter.h defines its few instructions, over struct seccomp_data of linux/seccomp.h."""
    padded = [*arguments, *[0] * (6 - len(arguments))]
    data = [number, arch, 0, 0]
    for argument in padded:
        data += [argument & 0xFFFFFFFF, argument >> 32]
    accumulator = at = 0
    while True:
        code, if_true, if_false, constant = program[at]
        at += 1
        match code:
            case 0x20:  # BPF_LD | BPF_W | BPF_ABS
                accumulator = data[constant // 4]
            case 0x15:  # BPF_JMP | BPF_JEQ | BPF_K
                at += if_true if accumulator == constant else if_false
            case 0x25:  # BPF_JMP | BPF_JGT | BPF_K
                at += if_true if accumulator > constant else if_false
            case 0x45:  # BPF_JMP | BPF_JSET | BPF_K
                at += if_true if accumulator & constant else if_false
            case 0x06:  # BPF_RET | BPF_K
                return constant
            case _:
                raise AssertionError(f"unknown instruction {code:#x}")


@pytest.mark.parametrize(("machine", "arch"), [("x86_64", 0xC000003E), ("aarch64", 0xC00000B7)])
def test_the_filter_judges_each_call(machine: str, arch: int) -> None:
    column = ["x86_64", "aarch64"].index(machine)
    program = seccomp.build(machine, own_pid=4242)
    assert len(program) < 4096  # BPF_MAXINSNS
    allow, kill, refuse, unknown = 0x7FFF0000, 0x80000000, 0x00050001, 0x00050026  # EPERM 1, ENOSYS 38

    def judge(number: int, *arguments: int) -> int:
        return filtered(program, arch, number, arguments)

    for numbers in seccomp.DENIED.values():
        if numbers[column] is not None:
            assert judge(numbers[column]) == refuse
    for numbers in ((0, 63), (1, 64), (202, 98)):  # read, write, futex
        assert judge(numbers[column]) == allow
    assert judge(seccomp.CLONE3[column]) == judge(463) == judge(9999) == unknown
    assert judge(seccomp.CLONE[column], 0x3D0F00) == allow  # the flags of glibc's pthread_create
    assert judge(seccomp.CLONE[column], 0x01200011) == refuse  # the flags of glibc's fork
    for call in (seccomp.KILL, seccomp.TGKILL):
        assert judge(call[column], 4242, 6) == allow
        assert judge(call[column], 4243, 6) == judge(call[column], 0, 6) == refuse
        assert judge(call[column], (1 << 32) - 1, 6) == refuse  # everybody
    assert judge(seccomp.PRLIMIT64[column], 0, 9, 0, 1 << 40) == allow
    assert judge(seccomp.PRLIMIT64[column], 0, 9, 1 << 40) == refuse  # the lower half of the address is 0
    assert judge(seccomp.PRLIMIT64[column], 0, 9, 4096) == refuse
    assert filtered(program, 0x40000003, 20) == kill  # 32-bit x86
    if machine == "x86_64":
        assert judge(0x40000000 | 41) == kill  # x32's socket


@pytest.mark.parametrize(
    ("column", "header"),
    [(0, "/usr/include/x86_64-linux-gnu/asm/unistd_64.h"), (1, "/usr/include/asm-generic/unistd.h")],
)
def test_the_call_numbers_are_the_kernels(column: int, header: str) -> None:
    if not Path(header).exists():
        pytest.skip("the kernel's user headers are not installed")
    text = Path(header).read_text()
    known: dict[str, int] = {}
    for name, number in re.findall(r"^#define __NR(?:3264)?_(\w+)\s+(\d+)", text, re.MULTILINE):
        known.setdefault(name, int(number))
    named = seccomp.DENIED | {
        "clone": seccomp.CLONE,
        "clone3": seccomp.CLONE3,
        "kill": seccomp.KILL,
        "tgkill": seccomp.TGKILL,
        "prlimit64": seccomp.PRLIMIT64,
    }
    missing = {name for name in named if name not in known and named[name][column] is not None}
    assert missing <= {"fchmodat2"}  # Linux 6.6; headers may be older
    assert {name: numbers[column] for name, numbers in named.items() if name in known} == {
        name: known[name] for name in named if name in known
    }


def test_shortcomings_are_said(monkeypatch: pytest.MonkeyPatch) -> None:
    if sys.platform == "linux" and landlock.version() >= 3 and seccomp.available():
        assert shortcomings() == ()
    monkeypatch.setattr(seccomp, "available", lambda: False)
    monkeypatch.setattr(landlock, "version", lambda: 0)
    both = " ".join(shortcomings())
    assert "seccomp" in both and "Landlock" in both
    monkeypatch.setattr(landlock, "version", lambda: 2)
    assert "older than 6.2" in " ".join(shortcomings())
    monkeypatch.setattr(sys, "platform", "darwin")
    assert "memory" in shortcomings()[0]


# --- how it is started


def test_a_long_temporary_folder_does_no_harm(file: Path, tmp_path: Path) -> None:
    """The fork server's socket lies in it, and a socket's path holds about 100 characters (unix(7): 108)."""
    long = tmp_path / ("long " * 20) / ("longer " * 20)
    long.mkdir(parents=True)
    code = (
        "import sys; from pathlib import Path; sys.path.insert(0, sys.argv[2]); import confined_tasks\n"
        "from artgen import confined\n"
        "print(confined.run(confined_tasks.echo, Path(sys.argv[1]), {'value': 1}).value)"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, file, Path(__file__).parent],
        env={**os.environ, "TMPDIR": str(long)},
        capture_output=True,
        text=True,
        timeout=60,
    )
    assert done.returncode == 0, done.stderr
    assert list(long.iterdir()) == []


def test_it_works_from_a_command_and_from_a_script_in_a_hostile_folder(file: Path, tmp_path: Path) -> None:
    """The current folder may be the client's: modules in it must not be taken for Python's or the libraries'."""
    folder = tmp_path / "folder of the client"
    folder.mkdir()
    mark = tmp_path / "ran"
    for name in ("selectors", "numpy", "pikepdf", "multiprocessing"):
        (folder / f"{name}.py").write_text(f"open({str(mark)!r}, 'a').write('{name} ')")
    (tmp_path / "script").mkdir()
    script = tmp_path / "script" / "begin.py"
    script.write_text(
        f"MARK = 'main'\nopen({str(tmp_path / 'times')!r}, 'a').write('x')\n"
        "import json, sys\nfrom pathlib import Path\nimport confined_tasks\n"
        "from artgen.confined import run\n"
        "print(json.dumps(run(confined_tasks.describe, Path(sys.argv[1]), {}).value))\n"
    )
    environment = os.environ | {"PYTHONPATH": f"{ROOT}{os.pathsep}{HERE}"}
    starts = ([str(script)], ["-P", "-c", script.read_text()])
    for start in starts:
        command = [sys.executable, *start, str(file)]
        ended = subprocess.run(command, cwd=folder, env=environment, capture_output=True, text=True, check=True)
        found = json.loads(ended.stdout)
        assert found["content"] == "client's"
        assert found["main"] is None and ended.stderr == ""
    assert (tmp_path / "times").read_text() == "x" * len(starts)  # the main script ran once a start
    assert not mark.exists()
    # the trap is set: Python by itself walks into it
    subprocess.run([sys.executable, "-c", "import numpy"], cwd=folder, check=True)
    assert mark.read_text() == "numpy "


@pytest.mark.slow
def test_a_call_is_quick_once_the_server_runs(file: Path) -> None:
    run(tasks.echo, file, {"value": 0})
    times = []
    for _ in range(20):
        started = time.perf_counter()
        run(tasks.echo, file, {"value": 0})
        times.append(time.perf_counter() - started)
    print(f"median {sorted(times)[10] * 1000:.1f} ms")
    assert sorted(times)[10] < 0.2  # importing the libraries in each child would take more
