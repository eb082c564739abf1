"""A walk through a page's content streams: the graphics state, colours, paths, layers. `content` draws what they draw.

Every walk is bounded, and what is left out is said. Path operators are read only where a clip or a place is asked for: most
pages need neither, and they are nine tenths of a drawing.
"""

import time
from collections.abc import Callable, Iterable
from math import hypot
from typing import Any, ClassVar

import pikepdf
from attrs import define, evolve, field

from .clipping import Region, cut, outline
from .colours import Colours, below, inks_in, is_white
from .facts import ColourSpace, Image, Ink, Overprint, PageFacts, Rect, TextInk, Transparency
from .faults import ABSURD_MM
from .fills import BlackFills
from .graphics import Settings, State, matrix_of, numbers
from .layer_states import Id, LayerStates
from .mapping import Matrix, apply, bounds, then

MAX_OPERATORS = 3_000_000  # ours: operators walked of one page
MAX_STREAMS = 20_000  # ours: forms, patterns and glyphs walked of one page
MAX_DEPTH = 28  # ours: forms inside forms
MAX_SPACES, MAX_WHITE, MAX_STATES = 200, 50, 10_000  # ours
PAGE_SECONDS = 15.0  # ours
_KEPT_OPERATORS = 200_000  # ours: of forms that are drawn again
MAX_CONTENT_BYTES = 64_000_000  # ours: one content stream, unpacked
_SURELY_SHORT = 60_000  # stored bytes; deflate packs about a thousand to one at most

_ALWAYS = (
    "q Q cm gs cs CS sc SC scn SCN g G rg RG k K Do sh BDC BMC EMC Tr Tf S s f F f* B B* b b* Tj TJ ' \" W W* d1 "
    "INLINE_IMAGE BI ID EI BT Tm"
)
_PATHS = _ALWAYS + " m l c v y h re n Td TD T* TL"
FILLS = {"f", "F", "f*", "B", "B*", "b", "b*"}
STROKES = {"S", "s", "B", "B*", "b", "b*"}
_DEVICE = {
    name: ColourSpace(family, parts=parts)
    for name, family, parts in (("g", "DeviceGray", 1), ("rg", "DeviceRGB", 3), ("k", "DeviceCMYK", 4))
}
_PROCESS = {"Cyan", "Magenta", "Yellow", "Black", "None", "All"}


@define
class Found:
    """What one page uses. ``hidden`` = places of forms whose layer is off, in the page frame."""

    images: list[Image] = field(factory=list)
    spaces: dict[ColourSpace, None] = field(factory=dict)
    groups: dict[str, None] = field(factory=dict)
    blends: dict[str, None] = field(factory=dict)
    layers: set[Id] = field(factory=set)
    hidden: list[Region] = field(factory=list)
    outside: dict[str, None] = field(factory=dict)
    not_seen: dict[str, None] = field(factory=dict)
    alpha: float = 1.0
    soft_masks: bool = False
    fills: int = 0
    strokes: int = 0
    modes: set[int] = field(factory=set)
    white: int = 0
    white_at: list[Rect] = field(factory=list)
    black: BlackFills = field(factory=BlackFills)
    text: dict[tuple[str, ...], tuple[float, int]] = field(factory=dict)

    def onto(self, page: PageFacts) -> PageFacts:
        """``page`` with what was found."""
        spots = dict.fromkeys(ink for space in self.spaces for ink in space.inks if ink not in _PROCESS)
        return evolve(
            page,
            images=tuple(self.images),
            ink=Ink(
                tuple(self.spaces),
                tuple(spots),
                tuple(TextInk(inks, *rest) for inks, rest in self.text.items()),
                self.black.largest(),
            ),
            overprint=Overprint(self.fills, self.strokes, tuple(sorted(self.modes)), self.white, tuple(self.white_at)),
            transparency=Transparency(self.alpha, tuple(self.blends), self.soft_masks, tuple(self.groups)),
            not_seen=(*page.not_seen, *self.not_seen),
        )


class Enough(Exception):
    """A limit of the walk is reached."""


@define
class Scope:
    """One content stream's surroundings: its resources, and what their names were found to mean."""

    resources: Any
    base: Matrix
    settings: dict[str, Settings] = field(factory=dict)
    spaces: dict[str, ColourSpace] = field(factory=dict)


@define(slots=False)
class Walk:
    """One walk of one page. ``calls`` = what is done at each operator; ``paths`` = path operators are read too."""

    calls: ClassVar[dict[str, Callable[[Any, Any], None]]] = {}

    to_frame: Matrix
    colours: Colours
    layers: LayerStates
    paths: bool
    found: Found = field(factory=Found)
    clips: bool = False
    left: int = field(factory=lambda: MAX_OPERATORS)
    streams: int = MAX_STREAMS
    stop_at: float = field(factory=lambda: time.monotonic() + PAGE_SECONDS)

    def __attrs_post_init__(self) -> None:
        self.state = State(self.to_frame)
        self.stack: list[State] = []
        self.marks: list[list[Id]] = []
        self.layer_names: list[str] = []
        self.path: list[Any] = []
        self.line: Matrix = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)
        self.asked_line: Any = None
        self.leading = 0.0
        self.active: list[Id] = []
        self.kept: dict[Id, list[Any]] = {}
        self.keepable = _KEPT_OPERATORS
        self.walked: set[Any] = set()
        self.within: str = ""
        self.filled: tuple[Any, ColourSpace, tuple[str, ...]] = (None, self.state.fill_space, ())
        self.scope = Scope(pikepdf.Dictionary(), self.to_frame)

    @property
    def wants_paths(self) -> bool:
        """Whether a second walk with path operators would tell more: what clips images, where white overprints, how large what is
        plain black is."""
        return (self.clips and bool(self.found.images)) or self.found.white > 0 or self.found.black.met

    def page(self, page: pikepdf.Page) -> None:
        self.scope = Scope(_inherited_resources(page), self.to_frame)
        self._group(page.obj.get("/Group"))
        contents = page.obj.get("/Contents")
        try:
            if contents is not None:
                self._run(page, None)
        except Enough as limit:
            self.found.not_seen[str(limit)] = None
        except MemoryError:  # a few bytes an operator unfold to hundreds in the parser
            self.kept.clear()
            self.found.not_seen["colours and images: reading them takes too much memory"] = None
        except (pikepdf.PdfError, ValueError, TypeError, RecursionError) as error:
            self.found.not_seen[f"part of its colours and images: its content is damaged ({type(error).__name__})"] = (
                None
            )

    def _run(self, stream: Any, key: Id | None) -> None:
        """Walks one stream in the present state."""
        self.streams -= 1
        if self.streams < 0 or len(self.active) > MAX_DEPTH:
            raise Enough(f"colours and images past {MAX_STREAMS} forms, or {MAX_DEPTH} inside one another")
        depth, marks = len(self.stack), len(self.marks)
        if key is not None:
            self.active.append(key)
        try:
            for instruction in self._operators(stream, key):
                call = self.calls.get(str(instruction.operator))
                if call is not None:
                    call(self, instruction)
        finally:
            if key is not None:
                self.active.pop()
            del self.stack[depth:], self.marks[marks:], self.layer_names[marks:]
            self.path = []

    def _operators(self, stream: Any, key: Id | None) -> Iterable[Any]:
        if time.monotonic() > self.stop_at:
            raise Enough(f"colours and images past {PAGE_SECONDS:.0f} s")
        found = self.kept.get(key) if key is not None else None
        if found is None:
            if _long(stream):
                raise Enough(f"colours and images in content past {MAX_CONTENT_BYTES:,} bytes")
            found = list(pikepdf.parse_content_stream(stream, _PATHS if self.paths else _ALWAYS))
            if key is not None and len(found) <= self.keepable:
                self.kept[key] = found
                self.keepable -= len(found)
        self.left -= len(found)
        if self.left < 0:
            raise Enough(f"colours and images past {MAX_OPERATORS:,} operators")
        return found

    # state

    def save(self, _: Any) -> None:
        if len(self.stack) >= MAX_STATES:
            raise Enough(f"colours and images past {MAX_STATES:,} states inside one another")
        self.stack.append(self.state)
        self.state = self.state.copy()

    def restore(self, _: Any) -> None:
        if self.stack:
            self.state = self.stack.pop()

    def concat(self, instruction: Any) -> None:
        matrix = matrix_of(instruction.operands)
        if matrix is not None:
            self.state.ctm = then(matrix, self.state.ctm)

    def settings(self, instruction: Any) -> None:
        name = name_in(instruction)
        if name not in self.scope.settings:
            self.scope.settings[name] = Settings.of(below(self.scope.resources, "/ExtGState", name))
        self.state.apply(self.scope.settings[name])

    def text_mode(self, instruction: Any) -> None:
        mode = numbers(instruction.operands)
        self.state.text_mode = int(mode[0]) if mode and 0 <= mode[0] <= 7 else 0

    # colours

    def space(self, instruction: Any) -> None:
        name = name_in(instruction)
        if name not in self.scope.spaces:
            value = pikepdf.Name(name) if name.startswith("/") and len(name) > 1 else None
            self.scope.spaces[name] = self.colours.space(value, self.scope.resources)
        space = self.scope.spaces[name]
        first = (
            ((0,) * 3 + (1,)) if space.parts == 4 and not space.inks else (1,) * len(space.inks) or (0,) * space.parts
        )
        if str(instruction.operator) == "cs":
            self.state.fill_space, self.state.fill = space, first
        else:
            self.state.stroke_space, self.state.stroke = space, first

    def colour(self, instruction: Any) -> None:
        operator = str(instruction.operator)
        if operator in ("sc", "scn"):
            self.state.fill = instruction.operands
        else:
            self.state.stroke = instruction.operands
        if operator in ("scn", "SCN"):
            space = self.state.fill_space if operator == "scn" else self.state.stroke_space
            if space.family == "Pattern":
                self._pattern(instruction)

    def device(self, instruction: Any) -> None:
        operator = str(instruction.operator)
        if operator in _DEVICE:
            self.state.fill_space, self.state.fill = _DEVICE[operator], instruction.operands
        else:
            self.state.stroke_space, self.state.stroke = _DEVICE[operator.lower()], instruction.operands

    def shading(self, instruction: Any) -> None:
        self._shade(below(self.scope.resources, "/Shading", name_in(instruction)))
        self._paint(instruction, fill=True, stroke=False, spaces=False)

    def _shade(self, shading: Any) -> None:
        if isinstance(shading, pikepdf.Dictionary | pikepdf.Stream):
            self._note(self.colours.space(shading.get("/ColorSpace"), self.scope.resources))

    def _note(self, space: ColourSpace) -> None:
        if len(self.found.spaces) < MAX_SPACES:
            self.found.spaces[space] = None

    def _group(self, group: Any) -> None:
        if isinstance(group, pikepdf.Dictionary) and group.get("/CS") is not None:
            space = self.colours.space(group["/CS"], self.scope.resources)
            self.found.groups[f"{space.family} {space.parts}" if space.family == "ICCBased" else space.family] = None

    def _pattern(self, instruction: Any) -> None:
        """Enters the pattern that a colour operator names; a bare walk enters none."""

    # painting

    def paint(self, instruction: Any) -> None:
        operator = str(instruction.operator)
        self._paint(instruction, operator in FILLS, operator in STROKES)
        if operator in FILLS and not self.within:
            hidden = any(layer in self.layers.off for marked in self.marks for layer in marked)
            self.found.black.take(self.state, self._steps() if self.paths else None, "*" in operator, hidden)
        self._take_clip()
        self.path = []

    def text(self, instruction: Any) -> None:
        mode = self.state.text_mode
        if mode not in (3, 7):
            self._paint(instruction, mode in (0, 2, 4, 6), mode in (1, 2, 5, 6), place=self._text_place())
            if mode in (0, 2, 4, 6) and self.within != "glyph":
                self._take_inks()

    def _take_inks(self) -> None:
        """Notes what text is filled with, where that is several inks. Colours seldom change: what the last one was made of is
        kept."""
        fill, space, inks = self.filled
        if fill is not self.state.fill or space is not self.state.fill_space:
            inks = inks_in(self.state.fill_space, numbers(self.state.fill))
            self.filled = self.state.fill, self.state.fill_space, inks
        if len(inks) > 1 and (inks in self.found.text or len(self.found.text) < MAX_SPACES):
            _, _, c, d, _, _ = then(self._line(), self.state.ctm)
            size = abs(self.state.text_size) * hypot(c, d)
            least, count = self.found.text.get(inks, (size, 0))
            self.found.text[inks] = min(least, size), count + 1

    def _paint(
        self, instruction: Any, fill: bool, stroke: bool, spaces: bool = True, place: Rect | None = None
    ) -> None:
        state, found = self.state, self.found
        if spaces and fill:
            found.spaces[state.fill_space] = None
        if spaces and stroke:
            found.spaces[state.stroke_space] = None
        if self.marks:
            for marked in self.marks:
                found.layers.update(marked)
        if not state.special:
            return
        if state.blend != "Normal":
            found.blends[state.blend] = None
        found.soft_masks |= state.masked
        found.alpha = min(found.alpha, state.fill_alpha if fill else 1.0, state.stroke_alpha if stroke else 1.0)
        over_fill, over_stroke = fill and state.over_fill, stroke and state.over_stroke
        found.fills += over_fill
        found.strokes += over_stroke
        if over_fill or over_stroke:
            found.modes.add(state.mode)
            white = (over_fill and is_white(state.fill_space, numbers(state.fill))) or (
                over_stroke and is_white(state.stroke_space, numbers(state.stroke))
            )
            if white and spaces:
                found.white += 1
                where = place or self._path_bounds()
                near = where is not None and all(abs(value) <= ABSURD_MM for value in where)
                if where is not None and near and len(found.white_at) < MAX_WHITE:
                    found.white_at.append(where)

    # paths and clips

    def step(self, instruction: Any) -> None:
        self.path.append(instruction)

    def clip(self, instruction: Any) -> None:
        self.clips = True
        self.path.append(instruction)

    def end_path(self, _: Any) -> None:
        self._take_clip()
        self.path = []

    def _steps(self) -> list[tuple[str, list[float]]]:
        return [(str(step.operator), numbers(step.operands)) for step in self.path]

    def _take_clip(self) -> None:
        if self.paths and self.path and any(str(step.operator) in ("W", "W*") for step in self.path[-2:]):
            self._clip_to(outline(self._steps(), self.state.ctm))

    def _clip_to(self, region: Region) -> None:
        present = self.state.clip
        self.state.clip = region if present is None else cut(present, region) if present and region else ()

    def _path_bounds(self) -> Rect | None:
        region = outline(self._steps(), self.state.ctm) if self.path else ()
        return bounds(region) if region else None

    # where text is set: only asked for white that overprints

    def begin_text(self, _: Any) -> None:
        self.line, self.asked_line = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0), None

    def text_matrix(self, instruction: Any) -> None:
        self.asked_line = instruction.operands

    def _line(self) -> Matrix:
        """The text line matrix. Most are never asked for: one is worked out when it is."""
        if self.asked_line is not None:
            self.line = matrix_of(self.asked_line) or self.line
            self.asked_line = None
        return self.line

    def next_line(self, instruction: Any) -> None:
        operator, step = str(instruction.operator), numbers(instruction.operands)
        if operator == "TL":
            self.leading = step[0] if step else 0.0
            return
        if operator == "TD" and len(step) == 2:
            self.leading = -step[1]
        x, y = step if len(step) == 2 else (0.0, -self.leading)
        self.line = then((1.0, 0.0, 0.0, 1.0, x, y), self._line())

    def _text_place(self) -> Rect | None:
        if not self.paths:
            return None
        x, y = apply(then(self._line(), self.state.ctm), (0.0, 0.0))
        return (x, y, x, y)

    # layers

    def mark(self, instruction: Any) -> None:
        operands = list(instruction.operands)
        members: list[Id] = []
        name = ""
        if len(operands) == 2 and operands[0] == pikepdf.Name.OC and isinstance(operands[1], pikepdf.Name):
            group = below(self.scope.resources, "/Properties", name_in(instruction, last=True))
            members = self.layers.members(group)
            name = self._layername_in(members)
        self.marks.append(members)
        self.layer_names.append(name or (self.layer_names[-1] if self.layer_names else ""))

    def end_mark(self, _: Any) -> None:
        if self.marks:
            self.marks.pop()
            self.layer_names.pop()

    def _layername_in(self, members: list[Id]) -> str:
        return self.layers.names.get(members[0], "") if members else ""


def _long(stream: Any) -> bool:
    """Whether a content stream is longer than is walked. The short ones are not unpacked to tell."""
    parts = stream.obj.get("/Contents") if isinstance(stream, pikepdf.Page) else stream
    listed = list(parts) if isinstance(parts, pikepdf.Array) else [parts]
    streams = [part for part in listed if isinstance(part, pikepdf.Stream)]
    if sum(number_of(part.get("/Length")) or 0 for part in streams) < _SURELY_SHORT:
        return False
    return sum(len(part.read_bytes()) for part in streams) > MAX_CONTENT_BYTES


def number_of(value: Any) -> float | None:
    found = numbers([value])
    return found[0] if found else None


def _inherited_resources(page: pikepdf.Page) -> Any:
    node: Any = page.obj
    for _ in range(64):  # ours: a deeper tree is a loop
        if not isinstance(node, pikepdf.Dictionary) or "/Resources" in node:
            break
        node = node.get("/Parent")
    return node.get("/Resources") if isinstance(node, pikepdf.Dictionary) else None


def name_in(instruction: Any, last: bool = False) -> str:
    operands = list(instruction.operands)
    name = (operands[-1] if last else operands[0]) if operands else None
    try:
        return str(name) if isinstance(name, pikepdf.Name) else ""
    except UnicodeDecodeError:
        return ""
