"""`artgen record`: the story so far, and whether it is as it was written."""

from pathlib import Path

import click

from .. import record
from ..record.story import fault_line, head_line, story
from ..words import Words, words
from .work import DONE, ERRORS_FOUND, ORDER, guarded, order_folder


@click.command()
@ORDER
@click.option("--verify", is_flag=True, help="Find every change, cut or re-ordering, and say at which entry.")
@guarded
def command(order: Path, verify: bool) -> int:
    """Tell what was proofed and decided, by whom and when; with --verify, whether the record is as it was written."""
    say = words()
    folder = order_folder(order)
    log = record.read(folder)
    faults = list(record.log_faults(log.lines))
    if not verify:
        lines = story(log.entries, say)
        if log.torn:
            lines.append(say("record.torn", n=len(log.torn)))
        if faults:
            lines += ["", *(fault_line(fault, say) for fault in faults)]
        click.echo("\n".join(lines))
        return ERRORS_FOUND if faults else DONE
    faults += record.disk_faults(folder, log.entries)
    lines = [fault_line(fault, say) for fault in faults]
    if log.torn:
        lines.append(say("record.fault.torn", entry=len(log.lines), n=len(log.torn)))
    click.echo("\n".join(lines or _whole(log, say)))
    return ERRORS_FOUND if lines else DONE


def _whole(log: record.Log, say: Words) -> list[str]:
    if not log.entries:
        return [say("record.none")]
    count = len(log.entries)
    return [
        say("record.whole.one") if count == 1 else say("record.whole", n=count),
        say("record.whole.but"),
        head_line(log.entries[-1], say),
    ]
