"""`artgen size --explain PANEL`: the sums of one panel, line by line, with where each number comes from."""

from ..order import Order
from ..sizing.explain import Origin, Step, Sum, explain
from ..sizing.names import where
from ..sizing.panel import Sizing
from ..words import Words, plain, words

_WIDTHS = (46, 13)  # characters for what it is, and for its number


def explained(order: Order, sizing: Sizing, number: int) -> str:
    """The sums as text. ``number`` must be a panel's."""
    say = words(order.language)
    structure = next(s for s in sizing.structures for panel in s.panels if panel.number == number)
    panel = next(panel for panel in structure.panels if panel.number == number)
    way = say("explain.turned" if panel.turned else "explain.standing")
    lines = [say("explain.title", panel=number, where=where(structure, panel, say), way=way)]
    for each in explain(panel, order.structures[structure.index]):
        lines += ["", *_sum(each, say)]
    return "\n".join(lines) + "\n"


def _sum(each: Sum, say: Words) -> list[str]:
    lines = [say(f"explain.{each.what}")]
    if not each.squarely:
        lines.append("  " + say("explain.bounding"))
    return lines + [_line(step, say) for step in each.steps]


def _line(step: Step, say: Words) -> str:
    if step.what.startswith("profile."):
        what, number = say(f"explain.{step.what}", of=step.of), ""
    else:
        what, number = say(f"explain.step.{step.what}", of=_of(step.of, say)), _number(step, say)
    origin = _origin(step.origin, say) if step.origin is not None else ""
    left, right = _WIDTHS
    return f"  {step.sign or ' '} {what:<{left}}{number:>{right}}   {origin}".rstrip()


def _of(name: str, say: Words) -> str:
    if name in ("left", "right", "top", "bottom"):
        return say(f"edge.{name}")
    return say("edge.other", name=name) if name.isdigit() else name


def _number(step: Step, say: Words) -> str:
    if step.unit == "share":
        return say("explain.share", sign="−" if step.value < 0 else "+", percent=_short(abs(step.value) * 100))
    return f"{step.value:.6f}" if step.unit == "factor" else _short(step.value)


def _short(value: float) -> str:
    """Four decimals at most, none that say nothing."""
    text = f"{value:.4f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _origin(origin: Origin, say: Words) -> str:
    key = "order-key" if origin.kind == "order" and origin.detail else origin.kind
    return say(f"explain.from.{key}", name=plain(origin.name), detail=plain(origin.detail))
