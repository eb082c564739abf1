"""Linux's seccomp: what a process may ask the kernel for.

In: nothing. Out: nothing; the calling process and its later threads are bound for good. Calls that reach
other processes, the network, other programs or the kernel's own settings fail with "not permitted"; the work
on files and memory that the libraries need goes on. Which files, is Landlock's matter. Only on x86-64 and
64-bit ARM.

Call numbers: asm/unistd_64.h (x86-64) and asm-generic/unistd.h (64-bit ARM) of the kernel's user headers;
filter language: linux/filter.h; answers: linux/seccomp.h.
"""

import ctypes
import errno
import os
import platform
import struct
import sys
from collections.abc import Sequence

from artgen.confined.landlock import LIBC, no_new_privileges

Instruction = tuple[int, int, int, int]  # code, jump if true, jump if false, constant

_AUDIT_ARCH = {"x86_64": 0xC000003E, "aarch64": 0xC00000B7}  # linux/audit.h
_COLUMN = {"x86_64": 0, "aarch64": 1}
_X32_BIT = 0x40000000  # the second face of x86-64, with numbers of its own
_NEWEST_KNOWN = 462  # mseal, Linux 6.10; later calls answer as if the kernel were older

_LOAD, _JUMP_EQUAL, _JUMP_OVER, _JUMP_ANY, _RETURN = 0x20, 0x15, 0x25, 0x45, 0x06
_AT_NUMBER, _AT_ARCH, _AT_ARGUMENTS = 0, 4, 16  # struct seccomp_data, little-endian on both machines
_KILL, _ALLOW, _FAIL_WITH = 0x80000000, 0x7FFF0000, 0x00050000

_CLONE_THREAD = 0x00010000
_PR_GET_SECCOMP, _PR_SET_SECCOMP, _MODE_FILTER = 21, 22, 2

# (x86-64, 64-bit ARM); None = that machine has no such call
DENIED: dict[str, tuple[int | None, int | None]] = {
    # network
    "socket": (41, 198),
    "socketpair": (53, 199),
    "connect": (42, 203),
    "bind": (49, 200),
    "listen": (50, 201),
    "accept": (43, 202),
    "accept4": (288, 242),
    "sendto": (44, 206),
    "sendmsg": (46, 211),
    "sendmmsg": (307, 269),
    # programs and other processes
    "fork": (57, None),
    "vfork": (58, None),
    "execve": (59, 221),
    "execveat": (322, 281),
    "ptrace": (101, 117),
    "process_vm_readv": (310, 270),
    "process_vm_writev": (311, 271),
    "process_madvise": (440, 440),
    "process_mrelease": (448, 448),
    "pidfd_open": (434, 434),
    "pidfd_getfd": (438, 438),
    "pidfd_send_signal": (424, 424),
    "rt_sigqueueinfo": (129, 138),
    "rt_tgsigqueueinfo": (297, 240),
    "tkill": (200, 130),
    "kcmp": (312, 272),
    "setrlimit": (160, 164),
    # namespaces and mounts
    "unshare": (272, 97),
    "setns": (308, 268),
    "mount": (165, 40),
    "umount2": (166, 39),
    "pivot_root": (155, 41),
    "chroot": (161, 51),
    "move_mount": (429, 429),
    "open_tree": (428, 428),
    "fsopen": (430, 430),
    "fsconfig": (431, 431),
    "fsmount": (432, 432),
    "fspick": (433, 433),
    "mount_setattr": (442, 442),
    # the kernel itself
    "init_module": (175, 105),
    "finit_module": (313, 273),
    "delete_module": (176, 106),
    "kexec_load": (246, 104),
    "kexec_file_load": (320, 294),
    "reboot": (169, 142),
    "swapon": (167, 224),
    "swapoff": (168, 225),
    "bpf": (321, 280),
    "perf_event_open": (298, 241),
    "userfaultfd": (323, 282),
    "io_uring_setup": (425, 425),
    "io_uring_enter": (426, 426),
    "io_uring_register": (427, 427),
    "add_key": (248, 217),
    "request_key": (249, 218),
    "keyctl": (250, 219),
    "open_by_handle_at": (304, 265),
    "name_to_handle_at": (303, 264),
    "syslog": (103, 116),
    "acct": (163, 89),
    "quotactl": (179, 60),
    "quotactl_fd": (443, 443),
    "settimeofday": (164, 170),
    "clock_settime": (227, 112),
    "clock_adjtime": (305, 266),
    "adjtimex": (159, 171),
    "sethostname": (170, 161),
    "setdomainname": (171, 162),
    "iopl": (172, None),
    "ioperm": (173, None),
    "personality": (135, 92),
    "fanotify_init": (300, 262),
    "vhangup": (153, 58),
    "modify_ldt": (154, None),
    # memory that outlives the process or that no limit counts
    "memfd_create": (319, 279),
    "memfd_secret": (447, 447),
    "shmget": (29, 194),
    "shmat": (30, 196),
    "msgget": (68, 186),
    "semget": (64, 190),
    "mq_open": (240, 180),
    "mq_unlink": (241, 181),
    # rights, owners and times of files, which Landlock does not guard
    "chmod": (90, None),
    "fchmod": (91, 52),
    "fchmodat": (268, 53),
    "fchmodat2": (452, 452),
    "chown": (92, None),
    "fchown": (93, 55),
    "lchown": (94, None),
    "fchownat": (260, 54),
    "setxattr": (188, 5),
    "lsetxattr": (189, 6),
    "fsetxattr": (190, 7),
    "removexattr": (197, 14),
    "lremovexattr": (198, 15),
    "fremovexattr": (199, 16),
    "utime": (132, None),
    "utimes": (235, None),
    "futimesat": (261, None),
    "utimensat": (280, 88),
    "truncate": (76, 45),
    "mknod": (133, None),
    "mknodat": (259, 33),
}
CLONE, CLONE3, KILL, TGKILL, PRLIMIT64 = (56, 220), (435, 435), (62, 129), (234, 131), (302, 261)


def available() -> bool:
    """Whether this system has seccomp filters, and a machine whose call numbers we know."""
    if sys.platform != "linux" or platform.machine() not in _COLUMN or sys.maxsize < 2**32:
        return False
    # PR_GET_SECCOMP fails with EINVAL where the kernel was built without it
    return bool(LIBC.prctl(_PR_GET_SECCOMP, 0, 0, 0, 0) >= 0)


def restrict() -> None:
    """Bind this process. Raises OSError if the kernel declines. Call with one thread running."""
    program = build(platform.machine(), os.getpid())
    packed = b"".join(struct.pack("=HBBI", *instruction) for instruction in program)
    held = ctypes.create_string_buffer(packed, len(packed))
    # struct sock_fprog: a 16-bit count, then (aligned) the address
    holder = ctypes.create_string_buffer(struct.pack("@HP", len(program), ctypes.addressof(held)))
    no_new_privileges()
    if LIBC.prctl(_PR_SET_SECCOMP, ctypes.c_ulong(_MODE_FILTER), holder) != 0:
        raise OSError(ctypes.get_errno(), "the system declined the filter of system calls")


def build(machine: str, own_pid: int) -> Sequence[Instruction]:
    """The filter for ``machine`` ("x86_64" or "aarch64"), for the process ``own_pid``."""
    column = _COLUMN[machine]
    program: list[Instruction] = [
        (_LOAD, 0, 0, _AT_ARCH),
        (_JUMP_EQUAL, 1, 0, _AUDIT_ARCH[machine]),
        (_RETURN, 0, 0, _KILL),
        (_LOAD, 0, 0, _AT_NUMBER),
    ]
    if machine == "x86_64":
        program += [(_JUMP_ANY, 0, 1, _X32_BIT), (_RETURN, 0, 0, _KILL)]
    program += [(_JUMP_OVER, 0, 1, _NEWEST_KNOWN), _fail(errno.ENOSYS)]
    # C libraries fall back from clone3, whose flags a filter can't see, to clone
    program += [(_JUMP_EQUAL, 0, 1, CLONE3[column]), _fail(errno.ENOSYS)]
    for numbers in DENIED.values():
        number = numbers[column]
        if number is not None:
            program += [(_JUMP_EQUAL, 0, 1, number), _fail(errno.EPERM)]
    program += _judged(CLONE[column], [*_argument(0), (_JUMP_ANY, 1, 0, _CLONE_THREAD)])
    for call in (KILL, TGKILL):
        program += _judged(call[column], [*_argument(0), (_JUMP_EQUAL, 1, 0, own_pid)])
    # reading limits (new limit = null) is free, setting them is not: both halves of the address must be 0
    low, high = _argument(2), _argument(2, high=True)
    null = [*low, (_JUMP_EQUAL, 0, 2, 0), *high, (_JUMP_EQUAL, 1, 0, 0)]
    program += _judged(PRLIMIT64[column], null)
    return [*program, (_RETURN, 0, 0, _ALLOW)]


def _fail(number: int) -> Instruction:
    return (_RETURN, 0, 0, _FAIL_WITH | number)


def _argument(index: int, *, high: bool = False) -> list[Instruction]:
    return [(_LOAD, 0, 0, _AT_ARGUMENTS + 8 * index + (4 if high else 0))]


def _judged(number: int, test: list[Instruction]) -> list[Instruction]:
    """For one call, its number loaded: ``test``'s last jump skips the refusal where the call may pass."""
    body = [*test, _fail(errno.EPERM), (_RETURN, 0, 0, _ALLOW)]
    return [(_JUMP_EQUAL, 0, len(body), number), *body]
