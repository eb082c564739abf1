"""The names of revisions: A, B … Z, AA, AB …, as columns of a sheet are named."""

import re

_LETTERS = re.compile(r"[A-Z]{1,4}")


def letters(n: int) -> str:
    """1 = A, 26 = Z, 27 = AA. ISO 7200 leaves the form open."""
    found = ""
    while n > 0:
        n, rest = divmod(n - 1, 26)
        found = chr(ord("A") + rest) + found
    return found


def place(name: str) -> int:
    """Where a revision stands in the row; 0 for what is no name of one."""
    if not _LETTERS.fullmatch(name):
        return 0
    n = 0
    for letter in name:
        n = n * 26 + ord(letter) - ord("A") + 1
    return n
