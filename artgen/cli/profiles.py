"""`artgen profiles`: the shop's data, listed, and explained value by value with its source."""

from typing import Any

import attrs
import click

from .. import profiles
from ..profiles import FAMILIES, Strip
from ..typed import Give, TableError, nearest
from ..units import inch_text
from ..words import Words, plain, words
from .work import guarded

_HEAD = ("name", "title", "sources")


@click.command()
@click.argument("name", required=False)
@guarded
def command(name: str | None) -> int:
    """List the frame, strip, fabric and roll profiles; with NAME, explain each value of it and say where it comes from."""
    say = words()
    if name is None:
        click.echo("\n".join(_listed(say)))
        return 0
    found = [family for family in FAMILIES if name in profiles.names(family)]
    if not found:
        there = {other for family in FAMILIES for other in profiles.names(family)}
        raise TableError("profiles", [("", f"no profile named {name!r}" + nearest(name, there))])
    faults: list[tuple[str, str]] = []
    for family in found:
        try:
            click.echo("\n".join(_explained(family, name, say)))
        except TableError as error:
            faults += [(f"{family}, {path}" if path else family, what) for path, what in error.faults]
    if faults:
        raise TableError(f"{name}.toml", faults)
    return 0


def _listed(say: Words) -> list[str]:
    lines: list[str] = []
    own = profiles.own_folder()
    faults: list[tuple[str, str]] = []
    for family, cls in FAMILIES.items():
        lines.append(say(f"profiles.{family}"))
        wide = max(len(name) for name in profiles.names(family))
        for name in profiles.names(family):
            mine = own is not None and profiles.file_of(family, name).is_relative_to(own)
            try:
                title = plain(profiles.load(cls, name).title)
            except TableError as error:
                faults += [(f"{family} {name}, {path}", what) for path, what in error.faults]
                continue
            lines.append(f"  {name:<{wide}}  {title}" + (f" ({say('profiles.own')})" if mine else ""))
        lines.append("")
    if faults:
        raise TableError("profiles", faults)
    lines.append(say("profiles.folder", folder=own) if own is not None else say("profiles.no-folder"))
    return lines


def _explained(family: str, name: str, say: Words) -> list[str]:
    profile: Any = profiles.load(FAMILIES[family], name)
    lines = [f"{family} {name}: {plain(profile.title)}"]
    for field in attrs.fields(type(profile)):
        if field.name in _HEAD:
            continue
        value, source = getattr(profile, field.name), profile.sources.get(field.name)
        if value is None and not (isinstance(profile, Strip) and field.name == "turn_in"):
            continue
        if value is None:
            value, source = profile.turned_in, say("profiles.method")
        lines.append(f"  {field.name:<17}{_shown(value, say):<20}{say(f'profile.{family}.{field.name}')}")
        lines.append(f"  {'':<37}{say('profiles.source', source=source)}")
    return [*lines, ""]


def _shown(value: object, say: Words) -> str:
    if isinstance(value, bool):
        return say("profiles.yes" if value else "profiles.no")
    if isinstance(value, Give):
        return f"{value.share * 100:.4g} %" if not value.mm else f"{value.mm:.6g} mm"
    if isinstance(value, float):
        return f"{value:.6g} mm ({inch_text(value)})"
    return str(value)
