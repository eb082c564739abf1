"""pdfium's functions without the checking of arguments that its Python binding does at every call.

Pages hold millions of glyphs and objects; a call through the binding costs more than the work behind it. Handles are
`Handle` objects, numbers plain ints, places for answers `cells`. A wrong type here crashes: call from this room only.
"""

import ctypes
from collections.abc import Callable
from typing import Any

import pypdfium2.raw as pdfium


class Handle(ctypes.c_void_p):
    """A pdfium handle; as a class of its own ctypes leaves it as it is, ready to be passed on."""


def bare(function: Any, answer: Any = ctypes.c_int) -> Callable[..., Any]:
    """``function`` of the binding, taking handles, ints and cells as they come."""
    address = ctypes.cast(function, ctypes.c_void_p).value
    assert address
    call: Callable[..., Any] = ctypes.CFUNCTYPE(answer)(address)
    return call


def handle(pointer: Any) -> Handle:
    """The binding's pointer as a `Handle`."""
    return Handle(address(pointer))


def address(pointer: Any) -> int:
    """Where a pdfium handle points; 0 for none."""
    return ctypes.cast(pointer, ctypes.c_void_p).value or 0 if pointer else 0


def cells(array: Any, step: int, start: int, count: int) -> list[Any]:
    """References to every ``step``-th element of a ctypes array from ``start``: where answers go."""
    size = ctypes.sizeof(array._type_)
    return [ctypes.byref(array, size * (start + step * index)) for index in range(count)]


page_objects = bare(pdfium.FPDFPage_CountObjects)
page_object = bare(pdfium.FPDFPage_GetObject, Handle)
form_objects = bare(pdfium.FPDFFormObj_CountObjects)
form_object = bare(pdfium.FPDFFormObj_GetObject, Handle)
kind_of = bare(pdfium.FPDFPageObj_GetType)
set_active = bare(pdfium.FPDFPageObj_SetIsActive)
marks_of = bare(pdfium.FPDFPageObj_CountMarks)
