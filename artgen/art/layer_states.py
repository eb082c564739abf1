"""Optional-content layers and whether they show. Takes a pikepdf document, gives states. ISO 32000-1 8.11."""

from typing import Any

import pikepdf
from attrs import define, field

from .naming import said

MAX_LAYERS = 1_000  # ours: layers listed of one file
_MAX_DEPTH = 20  # ours: rules inside rules
Id = tuple[int, int]


@define
class LayerStates:
    """The default configuration of a document. ``names`` by object number, in the file's order; ``off`` and ``unprinted`` =
    those that a screen, or a printer, does not show when the document is opened."""

    names: dict[Id, str] = field(factory=dict)
    off: set[Id] = field(factory=set)
    unprinted: set[Id] = field(factory=set)

    @classmethod
    def of(cls, document: pikepdf.Pdf) -> "LayerStates":
        found = cls()
        properties = document.Root.get("/OCProperties")
        if not isinstance(properties, pikepdf.Dictionary):
            return found
        layers = groups(properties.get("/OCGs"))
        found.names = {layer.objgen: said(layer.get("/Name")) for layer in layers}
        settings = properties.get("/D")
        if not isinstance(settings, pikepdf.Dictionary):
            return found
        on = {layer.objgen for layer in groups(settings.get("/ON"))}
        found.off = {layer.objgen for layer in groups(settings.get("/OFF"))}
        if settings.get("/BaseState") == pikepdf.Name.OFF:
            found.off |= set(found.names) - on
        found.unprinted = set(found.off)
        usages = settings.get("/AS")
        for usage in list(usages)[:MAX_LAYERS] if isinstance(usages, pikepdf.Array) else []:
            if isinstance(usage, pikepdf.Dictionary):
                _set_by(usage, "View", found.off)
                _set_by(usage, "Print", found.unprinted)
        return found

    @property
    def hidden_names(self) -> frozenset[str]:
        """Names that only layers bear that are off."""
        shown = {name for number, name in self.names.items() if number not in self.off}
        return frozenset(name for number, name in self.names.items() if number in self.off) - shown

    def members(self, group: Any) -> list[Id]:
        """The layers that a group, or a rule about groups, names."""
        if not isinstance(group, pikepdf.Dictionary):
            return []
        if group.get("/Type") != pikepdf.Name.OCMD:
            return [group.objgen]
        listed = group.get("/OCGs")
        return [one.objgen for one in ([listed] if isinstance(listed, pikepdf.Dictionary) else groups(listed))]

    def shows(self, group: Any) -> bool:
        """Whether what is marked with a group, or a rule about groups, shows on a screen."""
        if not isinstance(group, pikepdf.Dictionary):
            return True
        if group.get("/Type") != pikepdf.Name.OCMD:
            return group.objgen not in self.off
        expression = group.get("/VE")
        if isinstance(expression, pikepdf.Array):
            return self._holds(expression, 0)
        states = [number not in self.off for number in self.members(group)]
        policy = str(group.get("/P", "/AnyOn"))
        rules = {"/AllOn": all(states), "/AnyOff": not all(states), "/AllOff": not any(states)}
        return not states or rules.get(policy, any(states))

    def _holds(self, expression: Any, depth: int) -> bool:
        if isinstance(expression, pikepdf.Dictionary):
            return expression.objgen not in self.off
        if not isinstance(expression, pikepdf.Array) or not len(expression) or depth > _MAX_DEPTH:
            return True
        states = [self._holds(part, depth + 1) for part in list(expression)[1:100]]
        return {"/And": all(states), "/Not": not any(states)}.get(str(expression[0]), any(states))


def groups(array: Any) -> list[Any]:
    """The dictionaries of an array, at most `MAX_LAYERS`."""
    if not isinstance(array, pikepdf.Array):
        return []
    return [item for item in list(array)[:MAX_LAYERS] if isinstance(item, pikepdf.Dictionary)]


def _set_by(usage: pikepdf.Dictionary, event: str, off: set[Id]) -> None:
    """Switches the layers of a usage application (8.11.4.5) for ``event``, View or Print."""
    if usage.get("/Event") != pikepdf.Name("/" + event):
        return
    for layer in groups(usage.get("/OCGs")):
        stated = layer.get("/Usage")
        rule = stated.get("/" + event) if isinstance(stated, pikepdf.Dictionary) else None
        state = rule.get(f"/{event}State") if isinstance(rule, pikepdf.Dictionary) else None
        if state == pikepdf.Name.OFF:
            off.add(layer.objgen)
        elif state == pikepdf.Name.ON:
            off.discard(layer.objgen)
