"""As what a proof goes out: its revision's letter, how heavy its pictures may be, and what changed since the one before."""

from collections.abc import Callable
from typing import Literal

from attrs import frozen

from ..drawing.paper import Paper

Weight = Literal["light", "full"]
WEIGHTS: tuple[Weight, ...] = ("light", "full")
# pixels an inch of paper. Full: what an office printer shows; light: what a screen shows of a whole page. Ours.
_PPI: dict[Weight, float] = {"light": 90.0, "full": 165.0}
_JPEG: dict[Weight, int] = {"light": 70, "full": 88}  # quality; ours, by sight


@frozen
class Changes:
    """What changed since revision ``since``. ``draw`` puts it on a paper's sheets (it opens its own); ``lines`` = the same in
    a few sentences, for the page that is looked at on a screen."""

    since: str
    draw: Callable[[Paper], None]
    lines: tuple[str, ...] = ()


@frozen
class Issue:
    """``changes`` None: there is no revision before, or nobody compared."""

    revision: str = "A"
    weight: Weight = "full"
    changes: Changes | None = None

    @property
    def ppi(self) -> float:
        return _PPI[self.weight]

    @property
    def jpeg(self) -> int:
        return _JPEG[self.weight]
