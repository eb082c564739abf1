"""Tasks for the tests of artgen.confined; here, because a child must find them by module and name."""

import ctypes
import io
import mmap
import os
import signal
import socket
import subprocess
import sys
import tempfile
import threading
import time
from pathlib import Path
from typing import Any

LIBC = ctypes.CDLL(None, use_errno=True)
calls = 0


def describe(file: Path, args: dict[str, Any], out: Path) -> Any:
    """What the child finds around itself."""
    import resource

    names = ("AS", "CORE", "CPU", "FSIZE", "NOFILE")
    return {
        "args": args,
        "bytes": file.stat().st_size,
        "content": file.read_text(),
        "environment": sorted(os.environ),
        "folder": Path.cwd() == out and list(out.iterdir()) == [],
        "limits": {name: resource.getrlimit(getattr(resource, f"RLIMIT_{name}")) for name in names},
        "main": sys.modules["__main__"].__dict__.get("MARK"),
        "pid": os.getpid(),
        "standard": [str(Path(f"/proc/self/fd/{number}").readlink()) for number in range(3)],
        "umask": os.umask(0o077),
    }


def count(file: Path, args: dict[str, Any], out: Path) -> Any:
    global calls
    calls += 1
    os.environ["LEFT_OVER"] = "yes"
    return calls


def echo(file: Path, args: dict[str, Any], out: Path) -> Any:
    return args["value"]


def not_json(file: Path, args: dict[str, Any], out: Path) -> Any:
    return {"nan": float("nan"), "object": object(), "half": "\ud800"}[args["which"]]


def fail(file: Path, args: dict[str, Any], out: Path) -> Any:
    raise LookupError(f"no such thing in {file} \x1b[31m of {out}")


def leave(file: Path, args: dict[str, Any], out: Path) -> Any:
    raise SystemExit(0)


def forge(file: Path, args: dict[str, Any], out: Path) -> Any:
    """What a taken-over child could do: answer in its own words and go."""
    os.write(3, args["answer"].encode() * args.get("times", 1))
    os._exit(0)


def allocate(file: Path, args: dict[str, Any], out: Path) -> Any:
    return len(bytearray(args["bytes"]))


def allocate_map(file: Path, args: dict[str, Any], out: Path) -> Any:
    return len(mmap.mmap(-1, args["bytes"]))


def spin(file: Path, args: dict[str, Any], out: Path) -> Any:
    while True:
        pass


def sleep(file: Path, args: dict[str, Any], out: Path) -> Any:
    Path("started").write_text(f"{os.getpid()}\n")
    time.sleep(args["seconds"])
    return "slept"


def meet_signal(file: Path, args: dict[str, Any], out: Path) -> Any:
    """What the system does to a process that has used up its processor time, or passed the size of a file."""
    signal.raise_signal(args["signal"])
    return "lives"


def write_files(file: Path, args: dict[str, Any], out: Path) -> Any:
    block = bytes(1 << 20)
    for number in range(args["files"]):
        with (out / f"{number}.bin").open("wb") as target:
            for _ in range(args["megabytes"]):
                target.write(block)
    time.sleep(args.get("then", 0))
    return args["files"]


def write_unnamed(file: Path, args: dict[str, Any], out: Path) -> Any:
    """Files that no folder lists."""
    handles = [tempfile.TemporaryFile() for _ in range(args["files"])]  # noqa: SIM115
    for handle in handles:
        handle.write(bytes(args["megabytes"] << 20))
        handle.flush()
    time.sleep(args["then"])
    return [path.name for path in out.iterdir()]


def write_many(file: Path, args: dict[str, Any], out: Path) -> Any:
    for number in range(args["files"]):
        (out / str(number)).touch()
    return "done"


def change(file: Path, args: dict[str, Any], out: Path) -> Any:
    """One act on files by Python's own functions."""
    target = Path(args["target"])
    match args["act"]:
        case "write":
            target.write_text("mark")
        case "append":
            with target.open("a") as handle:
                handle.write("mark")
        case "through link":
            (out / "link").symlink_to(target)
            (out / "link").write_text("mark")
        case "move in":
            target.rename(out / "taken")
        case "move out":
            (out / "mine").write_text("mark")
            (out / "mine").rename(target)
        case "remove":
            target.unlink()
        case "folder":
            target.mkdir()
        case "rights":
            target.chmod(0o777)
        case "times":
            os.utime(target, (0, 0))
        case "cut":
            os.truncate(target, 0)
        case "read":
            return target.read_text()
    return "done"


def change_natively(file: Path, args: dict[str, Any], out: Path) -> Any:
    """The same acts by the C library, which Python's audit hook can't see: 0, or the error's number."""
    target, mine = os.fsencode(args["target"]), os.fsencode(out / "mine")
    match args["act"]:
        case "write" | "append":
            done = LIBC.open(target, os.O_WRONLY | os.O_CREAT, 0o600)
        case "through link":
            LIBC.symlink(target, mine)
            done = LIBC.open(mine, os.O_WRONLY | os.O_CREAT, 0o600)
        case "move in":
            done = LIBC.rename(target, mine)
        case "move out":
            (out / "mine").write_text("mark")
            done = LIBC.rename(mine, target)
        case "remove":
            done = LIBC.unlink(target)
        case "folder":
            done = LIBC.mkdir(target, 0o700)
        case "rights":
            done = LIBC.chmod(target, 0o777)
        case "times":
            done = LIBC.utimes(target, None)
        case "cut":
            done = LIBC.truncate(target, ctypes.c_long(0))
        case "read":
            done = LIBC.open(target, os.O_RDONLY)
        case act:
            raise AssertionError(act)
    return ctypes.get_errno() if done < 0 else 0


def reach_out(file: Path, args: dict[str, Any], out: Path) -> Any:
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM):
        return 0


def reach_out_natively(file: Path, args: dict[str, Any], out: Path) -> Any:
    handle = LIBC.socket(int(args["family"]), socket.SOCK_STREAM, 0)
    if handle < 0:
        return ctypes.get_errno()
    os.close(handle)
    return 0


def split(file: Path, args: dict[str, Any], out: Path) -> Any:
    if args["how"] == "fork":
        if os.fork() == 0:
            os._exit(0)
    elif args["how"] == "system":
        os.system("true")
    else:
        subprocess.run(["true"], check=True)
    return 0


def split_natively(file: Path, args: dict[str, Any], out: Path) -> Any:
    """Another process by the C library: 0, or the error's number."""
    if args["how"] == "fork":
        pid = LIBC.fork()
        if pid == 0:
            os._exit(0)
    else:
        number = ctypes.c_int(-1)
        words = (ctypes.c_char_p * 2)(b"true", None)
        failed = LIBC.posix_spawn(ctypes.byref(number), b"/bin/true", None, None, words, None)
        if failed:
            return failed
        pid = number.value
    if pid < 0:
        return ctypes.get_errno()
    os.waitpid(pid, 0)
    return 0


def become(file: Path, args: dict[str, Any], out: Path) -> Any:
    LIBC.execv(b"/bin/true", (ctypes.c_char_p * 2)(b"true", None))
    return ctypes.get_errno()


def signal_natively(file: Path, args: dict[str, Any], out: Path) -> Any:
    """Signal 0 only asks whether one could be sent."""
    return ctypes.get_errno() if LIBC.kill(args["pid"], 0) < 0 else 0


def raise_limit(file: Path, args: dict[str, Any], out: Path) -> Any:
    limit = (ctypes.c_ulong * 2)(1 << 40, 1 << 40)
    return ctypes.get_errno() if LIBC.setrlimit(9, limit) < 0 else 0  # 9 = RLIMIT_AS on Linux


def read_null(file: Path, args: dict[str, Any], out: Path) -> Any:
    return ctypes.string_at(0).decode()


def abort(file: Path, args: dict[str, Any], out: Path) -> Any:
    LIBC.abort()


def die(file: Path, args: dict[str, Any], out: Path) -> Any:
    os.kill(os.getpid(), signal.SIGKILL)  # refused by the audit hook
    return "alive"


def leave_odd_files(file: Path, args: dict[str, Any], out: Path) -> Any:
    (out / "b.bin").write_bytes(b"\x00\xff")
    (out / "a.txt").write_text("a")
    (out / "link").symlink_to(args["secret"])
    (out / "linked").symlink_to(out / "a.txt")
    (out / "twice").write_text("t")
    os.link(out / "twice", out / "thrice")
    Path(os.fsdecode(os.fsencode(out) + b"/not-text-\xff")).write_text("n")
    return None


def native_threads(file: Path, args: dict[str, Any], out: Path) -> Any:
    done: list[int] = []
    threads = [threading.Thread(target=done.append, args=(number,)) for number in range(args["threads"])]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return sorted(done)


def read_pdf(file: Path, args: dict[str, Any], out: Path) -> Any:
    """One page by both PDF libraries: its size in points, and the mean of its red, green, blue."""
    import numpy as np
    import pikepdf
    import pypdfium2

    with pikepdf.open(file) as pdf:
        box = [float(number) for number in pdf.pages[0].mediabox]
    document = pypdfium2.PdfDocument(str(file))
    page = document[0]
    picture = page.render(scale=0.5).to_numpy()
    size = page.get_size()
    page.close()
    document.close()
    with pikepdf.new() as made:
        made.add_blank_page(page_size=(72, 72))
        made.save(out / "made.pdf")
    blue_green_red = np.asarray(picture)[:, :, :3].reshape(-1, 3).mean(axis=0)
    return {"box": box, "size": list(size), "rgb": [float(value) for value in blue_green_red[::-1]]}


def read_raster(file: Path, args: dict[str, Any], out: Path) -> Any:
    """One raster by libvips, by way of a temporary file of its own."""
    import pyvips

    image = pyvips.Image.new_from_file(str(file))
    image.resize(0.5).write_to_file(str(out / "half.png"))
    between = pyvips.Image.new_temp_file("%s.v")
    image.rot90().cast("float").gaussblur(2).write(between)
    # the file has no name, so ask for what is open
    opened = [str(path.readlink()) for path in Path("/proc/self/fd").glob("*") if path.is_symlink()]
    temporary = sum(path.startswith(str(out)) and path.endswith("(deleted)") for path in opened)
    return {"size": [image.width, image.height], "mean": between.avg(), "temporary": temporary}


def read_svg(file: Path, args: dict[str, Any], out: Path) -> Any:
    import cairosvg
    from PIL import Image

    picture = Image.open(io.BytesIO(cairosvg.svg2png(url=str(file))))
    return {"size": list(picture.size), "first": list(picture.convert("RGB").getpixel((1, 1)))}


def parent(file: Path, args: dict[str, Any], out: Path) -> Any:
    return os.getppid()


def repeat(file: Path, args: dict[str, Any], out: Path) -> Any:
    return args["value"] * args["times"]
