"""`layer-hidden`: content on layers that are off, or that a screen shows and a printer does not.

Guides of our own templates that were switched off are as it should be.
"""

from collections.abc import Iterator

from ...art.facts import FileFacts
from ...template.traces import is_guide_layer
from ..finding import Finding
from ..rule import Rule, Seen


def find(seen: Seen) -> Iterator[Finding]:
    for one in seen.all.laid:
        claim = one.laid.claim
        facts = seen.all.files.get(claim.file)
        layers = facts.layers if isinstance(facts, FileFacts) else ()
        marked = [layer for layer in layers if claim.page in layer.pages and not is_guide_layer(layer.name)]
        for say, found in (
            ("", [layer.name for layer in marked if not layer.shown]),
            ("unprinted", [layer.name for layer in marked if layer.shown and not layer.printed]),
        ):
            if found:
                yield Finding(
                    "layer-hidden",
                    "warning",
                    panel=one.laid.target.numbers[0],
                    file=claim.file,
                    page=claim.page,
                    evidence={"panels": list(one.laid.target.numbers), "layers": found, "count": len(found)},
                    say=say,
                )


RULE = Rule("layer-hidden", "warning", "client", "file", find)
