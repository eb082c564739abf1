"""Preloaded instead of the real thing by one test: a system whose walls can't be put up."""

from artgen.confined import landlock


def _declines(*_: object) -> None:
    raise OSError(1, "the system declined a Landlock rule")


landlock.restrict = _declines
