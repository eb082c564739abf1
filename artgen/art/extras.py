"""What a PDF holds beside its pictures: scripts, attachments, form fields, comments, links, output intents.

Takes a pikepdf document, gives records of `facts`. Everything is named and nothing is followed or run. ISO 32000-1 12.
"""

from collections import Counter
from typing import Any

import pikepdf

from .colours import Colours
from .content import MAX_OUTSIDE, file_name
from .facts import Extra, ExtraKind
from .naming import said

MAX_EXTRAS = 500  # ours: listed of one file
_MAX_ANNOTATIONS = 5_000  # ours: looked at on one page
_MAX_TREE = 2_000  # ours: nodes of a name tree
_MAX_ACTIONS = 20  # ours: looked at from one place
_MAX_OBJECTS = 300_000  # ours: looked at for data outside the file, about 1 s
_MEDIA = {"RichMedia", "Movie", "Screen", "Sound", "3D"}
_SILENT = {"Popup", "TrapNet", "PrinterMark"}


def file_extras(document: pikepdf.Pdf) -> list[Extra]:
    """Extras of the document as a whole and of its pages."""
    root = document.Root
    names = root.get("/Names")
    found = [Extra("script", name) for name, _ in _tree(names, "/JavaScript")]
    found += [Extra("attachment", file_name(item) or name) for name, item in _tree(names, "/EmbeddedFiles")]
    found += _actions(root.get("/OpenAction"), 0)
    if isinstance(root.get("/AA"), pikepdf.Dictionary):
        found.append(Extra("action", "when the document is opened, saved or printed"))
    form = root.get("/AcroForm")
    if isinstance(form, pikepdf.Dictionary) and "/XFA" in form:
        found.append(Extra("form-field", "XFA"))
    for number, page in enumerate(document.pages, 1):
        if len(found) >= MAX_EXTRAS:
            break
        found += _page(page, number)
    return found[:MAX_EXTRAS]


def output_intents(document: pikepdf.Pdf, colours: Colours) -> tuple[str, ...]:
    """What each output intent says of itself; its profile goes to ``colours``."""
    intents = document.Root.get("/OutputIntents")
    found = []
    for intent in list(intents)[:10] if isinstance(intents, pikepdf.Array) else []:
        if not isinstance(intent, pikepdf.Dictionary):
            continue
        told = [said(intent.get(key)) for key in ("/OutputConditionIdentifier", "/OutputCondition", "/Info")]
        found.append(", ".join(dict.fromkeys(text for text in told if text)) or "unnamed")
        profile = intent.get("/DestOutputProfile")
        if isinstance(profile, pikepdf.Stream):
            colours.profile(profile)
    return tuple(found)


def _page(page: pikepdf.Page, number: int) -> list[Extra]:
    found: list[Extra] = []
    counted: Counter[tuple[ExtraKind, str]] = Counter()
    annotations = page.obj.get("/Annots")
    for annotation in list(annotations)[:_MAX_ANNOTATIONS] if isinstance(annotations, pikepdf.Array) else []:
        if not isinstance(annotation, pikepdf.Dictionary):
            continue
        kind = said(annotation.get("/Subtype"))
        if kind == "Link":
            found += _actions(annotation.get("/A"), number) or [Extra("link", "", number)]
        elif kind == "FileAttachment":
            found.append(Extra("attachment", file_name(annotation.get("/FS")), number))
        elif kind == "Widget":
            counted["form-field", ""] += 1
        elif kind in _MEDIA:
            counted["media", kind] += 1
        elif kind not in _SILENT:
            counted["comment", kind] += 1
    if isinstance(page.obj.get("/AA"), pikepdf.Dictionary):
        found.append(Extra("action", "when the page is opened or left", number))
    return found + [Extra(kind, name, number, count) for (kind, name), count in counted.items()]


def _actions(first: Any, page: int) -> list[Extra]:
    """What an action does and those that follow it (12.6.2)."""
    found: list[Extra] = []
    todo = [first]
    for _ in range(_MAX_ACTIONS):
        if not todo:
            break
        action = todo.pop(0)
        if not isinstance(action, pikepdf.Dictionary):
            continue
        found += _action(action, page)
        following = action.get("/Next")
        todo += list(following)[:_MAX_ACTIONS] if isinstance(following, pikepdf.Array) else [following]
    return found


def _action(action: Any, page: int) -> list[Extra]:
    """What one action does, by its kind (12.6.4); a jump inside the document is no extra of the document."""
    kind = said(action.get("/S"))
    if kind == "JavaScript":
        return [Extra("script", "", page)]
    if kind == "URI":
        return [Extra("link", said(action.get("/URI")), page)]
    if kind in ("GoToR", "GoToE", "Launch", "Thread", "ImportData", "SubmitForm"):
        return [Extra("link", f"{kind} {file_name(action.get('/F'))}".strip(), page)]
    if kind == "GoTo":
        return [Extra("link", "", page)] if page else []
    return [Extra("action", kind, page)]


def outside_streams(document: pikepdf.Pdf) -> list[str]:
    """Outside files that streams of the document say their data are in (7.3.8.1), whatever uses them."""
    found: dict[str, None] = {}
    for count, item in enumerate(document.objects):
        if count >= _MAX_OBJECTS or len(found) >= MAX_OUTSIDE:
            break
        if isinstance(item, pikepdf.Stream) and "/F" in item:
            found[f"an outside file: {file_name(item['/F'])}".strip(": ")] = None
    return list(found)


def _tree(names: Any, key: str) -> list[tuple[str, Any]]:
    """(name, value) pairs of a name tree (7.9.6)."""
    top = names.get(key) if isinstance(names, pikepdf.Dictionary) else None
    found: list[tuple[str, Any]] = []
    level, left = [top], _MAX_TREE
    while level and left > 0:
        below: list[Any] = []
        for node in level[:left]:
            left -= 1
            if not isinstance(node, pikepdf.Dictionary):
                continue
            pairs, kids = node.get("/Names"), node.get("/Kids")
            if isinstance(pairs, pikepdf.Array):
                flat = list(pairs)[: 2 * MAX_EXTRAS]
                found += [(said(name), value) for name, value in zip(flat[::2], flat[1::2], strict=False)]
            if isinstance(kids, pikepdf.Array):
                below += list(kids)[:left]
        level = below
    return found[:MAX_EXTRAS]
