"""What a page paints with: images with their places, colours, overprint, transparency, layers with marks.

Takes a pikepdf page, gives `Found`. Walks its content stream and those of its forms, patterns and Type 3 glyphs. The mapping
to the page is composed here in full precision.
"""

from typing import Any

import pikepdf
from attrs import define, evolve

from ..units import MM_PER_INCH
from .clipping import shown_of
from .colours import Colours, below
from .facts import Image, Quad
from .faults import ABSURD_MM
from .graphics import Settings, State, matrix_of, numbers
from .layer_states import Id, LayerStates
from .mapping import Matrix, apply, then, vertices_of
from .naming import said
from .pictures import picture
from .walk import FILLS, STROKES, Found, Scope, Walk, name_in

MAX_IMAGES = 2_000  # ours: images listed of one page
MAX_OUTSIDE = 50  # ours: things outside the file that are named
_MAX_PPI = 1e7  # ours: more is as good as infinite


def page_content(page: pikepdf.Page, to_frame: Matrix, colours: Colours, layers: LayerStates) -> Found:
    """What ``page`` paints with; ``to_frame`` = its user space → page frame."""
    walk = _Content(to_frame, colours, layers, paths=False)
    walk.page(page)
    if walk.wants_paths:
        walk = _Content(to_frame, colours, layers, paths=True)
        walk.page(page)
    return walk.found


@define(slots=False)
class _Content(Walk):
    """A walk that places images and enters forms, patterns and glyphs."""

    # what is drawn as a whole

    def inline(self, instruction: Any) -> None:
        self._place(picture(instruction.operands[0], self.scope.resources, self.colours, inline=True))

    def draw(self, instruction: Any) -> None:
        drawn = below(self.scope.resources, "/XObject", name_in(instruction))
        if not isinstance(drawn, pikepdf.Stream):
            return
        for key, what in (("/F", "an outside file"), ("/Ref", "a page of another file"), ("/OPI", "an OPI picture")):
            if key in drawn and len(self.found.outside) < MAX_OUTSIDE:
                self.found.outside[f"{what}: {file_name(drawn[key])}".strip(": ")] = None
        group = drawn.get("/OC")
        members = self.layers.members(group)
        self.marks.append(members)
        self.layer_names.append(self._layername_in(members) or (self.layer_names[-1] if self.layer_names else ""))
        if drawn.get("/Subtype") == pikepdf.Name.Image:
            self._place(picture(drawn, self.scope.resources, self.colours, inline=False))
        elif drawn.get("/Subtype") == pikepdf.Name.Form:
            self._form(drawn, hidden=not self.layers.shows(group))
        self.marks.pop()
        self.layer_names.pop()

    def _place(self, made: Image | None) -> None:
        if made is None:
            return
        if made.space is not None:
            self._note(made.space)
        if made.masked == "soft":
            self.found.soft_masks = True
        self._paint(None, fill=True, stroke=False, spaces=made.stencil)
        if self.within == "glyph":
            return
        if len(self.found.images) >= MAX_IMAGES:
            self.found.not_seen[f"images after the first {MAX_IMAGES:,} (the limit a page)"] = None
            return
        ctm = self.state.ctm
        quad: Quad = tuple(apply(ctm, point) for point in vertices_of((0.0, 0.0, 1.0, 1.0)))  # type: ignore[assignment]
        if not all(abs(value) <= ABSURD_MM for point in quad for value in point):
            self.found.not_seen["an image placed past 1 km, or nowhere"] = None
            return
        inch = float(MM_PER_INCH)
        wide, high = (ctm[0] ** 2 + ctm[1] ** 2) ** 0.5 / inch, (ctm[2] ** 2 + ctm[3] ** 2) ** 0.5 / inch
        ppi = (_per_inch(made.pixels[0], wide), _per_inch(made.pixels[1], high))
        clip = shown_of(quad, self.state.clip)
        layer = self.layer_names[-1] if self.layer_names else ""
        within: Any = self.within
        self.found.images.append(evolve(made, quad=quad, ppi=ppi, clip=clip, layer=layer, within=within))

    def _form(self, form: Any, hidden: bool) -> None:
        key = form.objgen
        if key in self.active:
            return  # it draws itself: no reader follows that
        group = form.get("/Group")
        self._paint(None, fill=True, stroke=False, spaces=False)
        before, scope = self.state, self.scope
        self.state = before.copy()
        matrix = matrix_of(form.get("/Matrix"))
        if matrix is not None:
            self.state.ctm = then(matrix, self.state.ctm)
        box = numbers(form.get("/BBox") or [])
        if len(box) == 4:
            region = tuple(apply(self.state.ctm, point) for point in vertices_of((box[0], box[1], box[2], box[3])))
            self.clips = True
            self._clip_to(region)
            if hidden and len(self.found.hidden) < MAX_IMAGES:
                self.found.hidden.append(region)
        if isinstance(group, pikepdf.Dictionary) and group.get("/S") == pikepdf.Name.Transparency:
            self._group(group)
            # a group starts afresh and is then painted as one: 11.6.6
            self.state.fill_alpha = self.state.stroke_alpha = 1.0
            self.state.blend, self.state.masked = "Normal", False
            self.state.apply(Settings(()))
        self._inside(form, key, form.get("/Resources"), before, scope)

    def _inside(self, stream: Any, key: Id, resources: Any, before: State, scope: Scope) -> None:
        """Walks a stream with resources of its own, then goes back to ``before``."""
        path, line, asked = self.path, self.line, self.asked_line
        self.path = []
        self.scope = Scope(resources if isinstance(resources, pikepdf.Dictionary) else scope.resources, self.state.ctm)
        try:
            self._run(stream, key)
        finally:
            self.state, self.scope, self.path = before, scope, path
            self.line, self.asked_line = line, asked

    def _pattern(self, instruction: Any) -> None:
        pattern = below(self.scope.resources, "/Pattern", name_in(instruction, last=True))
        if not isinstance(pattern, pikepdf.Dictionary | pikepdf.Stream):
            return
        if pattern.get("/PatternType") == 2:
            self._shade(pattern.get("/Shading"))
            return
        seen = (pattern.objgen, self.scope.base)
        if not isinstance(pattern, pikepdf.Stream) or pattern.objgen in self.active or seen in self.walked:
            return
        self.walked.add(seen)
        before, scope, within = self.state, self.scope, self.within
        # a pattern stands in the space of the stream that it is painted in, whatever is in force there: 8.7.3.1
        self.state = State(then(matrix_of(pattern.get("/Matrix")) or (1, 0, 0, 1, 0, 0), scope.base))
        self.within = within or "pattern"
        try:
            self._inside(pattern, pattern.objgen, pattern.get("/Resources"), before, scope)
        finally:
            self.within = within

    def font(self, instruction: Any) -> None:
        """The size of the font. The glyphs of a Type 3 font are drawings: their colours count, images in them are not listed."""
        size = numbers(list(instruction.operands)[1:])
        self.state.text_size = size[0] if size else 0.0
        font = below(self.scope.resources, "/Font", name_in(instruction))
        if not isinstance(font, pikepdf.Dictionary) or font.get("/Subtype") != pikepdf.Name.Type3:
            return
        glyphs = font.get("/CharProcs")
        if font.objgen in self.walked or not isinstance(glyphs, pikepdf.Dictionary):
            return
        self.walked.add(font.objgen)
        before, scope, within = self.state, self.scope, self.within
        self.within = "glyph"
        try:
            for name in list(glyphs.keys())[:1000]:
                glyph = glyphs[name]
                if isinstance(glyph, pikepdf.Stream) and glyph.objgen not in self.active:
                    self.state = before.copy()
                    self._inside(glyph, glyph.objgen, font.get("/Resources"), before, scope)
        finally:
            self.within = within


def _per_inch(pixels: int, inches: float) -> float:
    """0 for an image without extent, which shows nothing."""
    return min(pixels / inches, _MAX_PPI) if inches > 0 else 0.0


def file_name(specification: Any) -> str:
    """The name in a file specification (7.11), or in one by system (7.11.2), no deeper; empty if it has none."""
    for _ in range(3):
        if not isinstance(specification, pikepdf.Dictionary):
            break
        named = [key for key in ("/UF", "/F", "/2.0", "/1.3") if key in specification]
        specification = specification[named[0]] if named else None
    return said(specification) if isinstance(specification, pikepdf.String) else ""


_Content.calls = {
    "q": _Content.save,
    "Q": _Content.restore,
    "cm": _Content.concat,
    "gs": _Content.settings,
    "Tr": _Content.text_mode,
    "sh": _Content.shading,
    "Do": _Content.draw,
    "BDC": _Content.mark,
    "BMC": _Content.mark,
    "EMC": _Content.end_mark,
    "Tf": _Content.font,
    "INLINE IMAGE": _Content.inline,
    "n": _Content.end_path,
    "BT": _Content.begin_text,
    "Tm": _Content.text_matrix,
    **dict.fromkeys(("cs", "CS"), _Content.space),
    **dict.fromkeys(("sc", "SC", "scn", "SCN"), _Content.colour),
    **dict.fromkeys(("g", "G", "rg", "RG", "k", "K"), _Content.device),
    **dict.fromkeys(FILLS | STROKES, _Content.paint),
    **dict.fromkeys(("Tj", "TJ", "'", '"'), _Content.text),
    **dict.fromkeys(("m", "l", "c", "v", "y", "h", "re"), _Content.step),
    **dict.fromkeys(("W", "W*"), _Content.clip),
    **dict.fromkeys(("Td", "TD", "T*", "TL"), _Content.next_line),
}
