"""The page of a folder of templates, for the designer who is sent it: pictures, sizes, links, what to do. One HTML file that
asks the network for nothing.

Takes what stands in the folder; gives HTML bytes.
"""

from collections.abc import Sequence
from pathlib import Path

from attrs import frozen

from ..words import Words
from .margin import Head


@frozen
class File:
    """A file of a template: its name, the kind that a person reads, and its size in words."""

    name: str
    kind: str
    size: str


@frozen
class Entry:
    """One template: heading, side, sizes as (name, value), a picture with its pixels and words, files."""

    title: str
    where: str
    facts: tuple[tuple[str, str], ...]
    picture: str
    alt: str
    width: int
    height: int
    files: tuple[File, ...]


@frozen
class Group:
    """A structure's templates, or the wraps'."""

    title: str
    entries: tuple[Entry, ...]


@frozen
class Paper:
    """A paper of the folder."""

    file: str
    title: str


def web_page(
    head: Head, groups: Sequence[Group], papers: Sequence[Paper], steps: Sequence[str], language: str, say: Words
) -> bytes:
    """The page. All that comes from an order is escaped."""
    from jinja2 import Environment, FileSystemLoader, StrictUndefined  # only when a page is written

    environment = Environment(
        loader=FileSystemLoader(Path(__file__).parent),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        keep_trailing_newline=True,
    )
    page = environment.get_template("index.html.j2")
    text: str = page.render(head=head, groups=groups, papers=papers, steps=steps, language=language, say=say)
    return text.encode()


def size_words(count: int, say: Words) -> str:
    """A file's size as a person reads it."""
    return say("page.kb", n=max(1, round(count / 1000))) if count < 1e6 else say("page.mb", n=f"{count / 1e6:.1f}")
