"""What reading client files asks of the system, as strace sees it: good files, files that reach out, and mutated ones.

From the moment when a child has walled itself in, nothing may be opened for reading but what is installed, the client's own
file and the child's folder; nothing may be written outside that folder; and nothing outside may even be asked for.
"""

import os
import re
import shutil
import site
import socket
import subprocess
import sys
import sysconfig
from pathlib import Path

import fuzz
import hostile_art
import pytest
from attrs import define, field

import artgen
from artgen.confined import landlock

HERE = Path(__file__).parent
MUTATED = 40
CALLS = "%file,%network,prctl,clone,clone3,landlock_restrict_self"
# what the design lets a child read, written out by hand: Python, its packages, the system's libraries, fonts and facts
READABLE = (
    *("/usr/", "/lib/", "/lib32/", "/lib64/", "/etc/fonts/", "/etc/ld.so.cache", "/var/cache/fontconfig/"),
    *("/proc/self/", "/proc/cpuinfo", "/proc/meminfo", "/proc/stat", "/sys/devices/system/cpu/"),
    *("/dev/null", "/dev/zero", "/dev/random", "/dev/urandom"),
    *(f"{os.path.realpath(path)}/" for path in (sys.prefix, sys.base_prefix, Path(artgen.__file__).parent)),
    *(f"{os.path.realpath(path)}/" for path in (*site.getsitepackages(), sysconfig.get_paths()["stdlib"])),
)
CHANGING = (
    "unlink",
    "unlinkat",
    "rename",
    "renameat",
    "renameat2",
    "mkdir",
    "mkdirat",
    "rmdir",
    "link",
    "linkat",
    "symlink",
)
CHANGING += (
    "symlinkat",
    "chmod",
    "fchmodat",
    "chown",
    "truncate",
    "mknod",
    "mknodat",
    "utimensat",
    "execve",
    "execveat",
)


def traces() -> bool:
    if shutil.which("strace") is None:
        return False
    return subprocess.run(["strace", "-qq", "-o", os.devnull, "true"], capture_output=True).returncode == 0


pytestmark = [
    pytest.mark.skipif(not traces(), reason="strace is not installed here, or may not trace"),
    pytest.mark.skipif(not landlock.version(), reason="this system has no Landlock: its absence is in every report"),
]


@define
class Confined:
    """What one confined process did. ``lines`` = its calls after the walls were up."""

    lines: list[str]
    opened: list[tuple[str, str]] = field(factory=list)  # (path as the kernel resolved it, flags), where it succeeded


def confined(folder: Path) -> list[Confined]:
    """Every process and thread of a trace (`strace -ff -y`) that was walled in, from then on."""
    logs = {int(path.suffix[1:]): path.read_text(errors="replace").splitlines() for path in folder.glob("log.*")}
    found: dict[int, list[str]] = {}
    for pid, lines in logs.items():
        for at, line in enumerate(lines):
            if re.match(r"landlock_restrict_self\(.*\) += 0", line):
                found[pid] = lines[at + 1 :]
    # threads that a walled-in process started are walled in from their first call
    todo = list(found)
    while todo:
        for line in found[todo.pop()]:
            started = re.match(r"clone3?\(.*\) += (\d+)", line)
            if started and int(started[1]) not in found:
                found[int(started[1])] = logs.get(int(started[1]), [])
                todo.append(int(started[1]))
    return [_with_opened(lines) for lines in found.values()]


def _with_opened(lines: list[str]) -> Confined:
    done = Confined(lines)
    for line in lines:
        call = re.match(r"(?:open|openat|openat2|creat)\((.*)\) += \d+<(.*)>$", line)
        if call:
            done.opened.append((call[2].removesuffix(" (deleted)"), call[1]))
    return done


@pytest.fixture(scope="module")
def trace(tmp_path_factory: pytest.TempPathFactory) -> tuple[list[Confined], Path, Path]:
    """(what the confined processes did, the art's folder, the folder of temporary folders)."""
    folder = tmp_path_factory.mktemp("traced").resolve()
    art, temporary, logs = folder / "art", folder / "temporary", folder / "logs"
    for each in (art, temporary, logs):
        each.mkdir()
    secret = hostile_art.secret_png(art)
    with socket.create_server(("127.0.0.1", 0)) as listening:
        listening.setblocking(False)
        url = f"http://127.0.0.1:{listening.getsockname()[1]}"
        for number, way in enumerate(hostile_art.SVG_WAYS):
            hostile_art.svg(art, way, url, secret)[0].rename(art / f"panel-reach-{number}.svg")
        hostile_art.pdf(art, url, secret)[0].rename(art / "panel-reach.pdf")
        for name, data in fuzz.seeds().items():
            (art / f"panel-good-{name}").write_bytes(data)
        for number in range(MUTATED):
            (art / f"panel-mutated-{number}").write_bytes(fuzz.made(7, number)[1])
        before = {path.name: path.read_bytes() for path in art.iterdir()}
        command = [
            "strace",
            "-ff",
            "--seccomp-bpf",
            "-y",
            "-qq",
            "-s",
            "4096",
            "-e",
            f"trace={CALLS}",
            "-o",
            logs / "log",
        ]
        done = subprocess.run(
            [*command, sys.executable, HERE / "traced.py", art],
            env={**os.environ, "TMPDIR": str(temporary)},
            capture_output=True,
            text=True,
            timeout=300,
        )
        assert done.returncode == 0, done.stderr
        with pytest.raises(BlockingIOError):
            listening.accept()
    assert {path.name: path.read_bytes() for path in art.iterdir()} == before
    told = done.stdout.splitlines()
    assert len(told) == len(before) - 1
    # the good ones were read and drawn, so what follows is about reading and not about refusing
    assert all(line.endswith("FileFacts Pixels") for line in told if line.startswith("panel-good")), told
    return confined(logs), art, temporary


Trace = tuple[list[Confined], Path, Path]


def test_children_were_seen_at_work(trace: Trace) -> None:
    processes, art, _ = trace
    files = {path for process in processes for path, _ in process.opened if path.startswith(f"{art}/")}
    assert files == {str(path) for path in art.glob("panel-*")}


def test_nothing_outside_is_read(trace: Trace) -> None:
    processes, art, temporary = trace
    for process in processes:
        # one file: a client's, or the PDF that another child made of an SVG
        own = {p for p, flags in process.opened if _below(p, art) or (p.endswith("/page.pdf") and "O_RDONLY" in flags)}
        assert len(own) <= 1
        folders = {
            Path(p).relative_to(temporary).parts[0] for p, _ in process.opened if _below(p, temporary) and p not in own
        }
        assert len(folders) <= 1  # and one folder of its own
        for path, flags in process.opened:
            allowed = (
                path in own or _below(path, temporary) or f"{path}/".startswith(READABLE) or path.startswith(READABLE)
            )
            assert allowed or re.match(r"/proc/\d+/", path), (path, flags)


def test_nothing_outside_is_written(trace: Trace) -> None:
    processes, _, temporary = trace
    for process in processes:
        for path, flags in process.opened:
            if re.search(r"O_WRONLY|O_RDWR|O_CREAT|O_TRUNC|O_APPEND", flags):
                assert _below(path, temporary) or path == os.devnull, (path, flags)
        for line in process.lines:
            name = line.partition("(")[0]
            if name in CHANGING and re.search(r"\) += 0", line):
                assert str(temporary) in line or not re.search(r'"/', line), line


def test_no_network(trace: Trace) -> None:
    for process in trace[0]:
        for line in process.lines:
            assert not re.match(r"(socket|connect|bind|sendto|sendmsg|listen|accept4?)\(.*\) += \d", line), line


def test_what_lies_outside_is_not_even_asked_for(trace: Trace) -> None:
    """The walls would hold; but what is cut from the file is not tried at all."""
    for process in trace[0]:
        for line in process.lines:
            assert "secret.png" not in line, line
            assert not line.startswith(("socket(", "connect(")), line
            assert not line.startswith(("execve", "fork", "vfork")), line


def _below(path: str, folder: Path) -> bool:
    return path.startswith(f"{folder}/")
