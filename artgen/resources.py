"""The one finder of packaged data: ``profiles`` and ``sample_art``, in a checkout, an editable install or a wheel."""

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent


def resource(name: str) -> Path:
    """The folder ``name`` of packaged data. Raises `FileNotFoundError` if the installation lacks it."""
    for base in (_PACKAGE / "data", _PACKAGE.parent):  # a wheel carries it inside; a checkout beside the package
        if (base / name).is_dir():
            return base / name
    raise FileNotFoundError(f"this installation of artgen lacks its folder '{name}'; install artgen again")
