"""The command line: commands only, no rules. Commands are imported when they run, so that ``--help`` stays quick."""

import importlib
import os
import sys
from contextlib import suppress
from typing import Any

import click

from .. import __version__

# name: (module, what the list says); the order is the order of the work
COMMANDS = {
    "new": ("new", "Write a commented order for one structure."),
    "size": ("size", "Show every panel's sizes: what shows, page, sewn, print."),
    "template": ("template", "Write a template per panel for the designer."),
    "check": ("check", "Check the client's art against the panels."),
    "proof": ("proof", "Make the next revision of the proof that the client signs."),
    "compare": ("compare", "Say what changed from one proof to another."),
    "decide": ("decide", "Record what the client decided on a proof."),
    "record": ("record", "Tell what was proofed and decided; find whether that was changed."),
    "profiles": ("profiles", "List the frame, strip, fabric and roll profiles, or explain one."),
    "rules": ("rules", "List what is checked, or explain one rule."),
    "calibrate": ("calibrate", "Turn a measured test piece into a fabric profile; sheets to measure on."),
    "demo": ("demo", "Copy the sample orders and run everything on them."),
}


def _let_go() -> None:
    """What a full or closed stream did not take stays in its buffer, and Python, which tries once more at its end, would make
    that the exit code."""
    for stream in (sys.stdout, sys.stderr):
        try:
            if stream is not None:
                stream.flush()
        except (OSError, ValueError):
            with suppress(OSError, ValueError):
                os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())


class _Commands(click.Group):
    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        module = importlib.import_module(f".{COMMANDS[cmd_name][0]}", __name__)
        command: click.Command = module.command
        return command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        if args and args[0] not in COMMANDS and not args[0].startswith("-"):
            from difflib import get_close_matches

            close = get_close_matches(args[0], COMMANDS, n=1)
            hint = f"; did you mean '{close[0]}'?" if close else f"; known: {', '.join(COMMANDS)}"
            ctx.fail(f"no command named '{args[0]}'{hint}")
        return super().resolve_command(ctx, args)

    def main(self, *args: Any, **kwargs: Any) -> Any:
        try:
            return super().main(*args, **kwargs)
        except OSError:  # what click says of a wrong option, where standard error is full
            raise SystemExit(2) from None
        finally:
            _let_go()

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl([(name, text) for name, (_, text) in COMMANDS.items()])


@click.group(cls=_Commands, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="artgen")
def main() -> None:
    """Panel sizes, templates, art checks and proofs for fabric-dressed display frames.

    ORDER is a folder that holds an order.toml, or the file itself. Exit codes: 0 done, warnings at most; 1 done, and
    errors were found; 2 could not run.
    """
