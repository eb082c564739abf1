"""`custom`: any flat-faced frame, from its vertices and faces or from an OBJ file beside the order."""

from functools import lru_cache
from typing import Literal

from attrs import frozen

from ...typed import Beside, Faults, Length, Unit
from ..shape import Face, Shape, Vertex
from .kind import BayRows, Form, Kind

MOST_FACES, MOST_VERTICES = 1000, 6000  # ours: more is a mesh, not a frame
_FARTHEST = 1_000_000.0  # mm, as for any length


@frozen
class CustomKeys:
    """``vertices`` (x, y, z; z up) and ``faces`` (numbers of vertices from 1, anticlockwise seen from outside), or ``obj``, a
    file, with ``unit`` = the length of one of its units and ``up`` = its axis that points up. ``closed`` False: a shape with
    open edges, such as one shaped wall; else an edge with one face alone is a fault.
    """

    vertices: tuple[tuple[Length, ...], ...] = ()
    faces: tuple[tuple[int, ...], ...] = ()
    obj: Beside | None = None
    unit: Unit = Unit(1.0)
    up: Literal["z", "y"] = "z"
    closed: bool = True


@lru_cache(maxsize=16)  # an order is checked, then sized: the shape is looked through once
def _shape(keys: CustomKeys) -> Shape:
    from .. import sound  # heavy, as numpy is, and most orders have no custom shape

    given, rings = _given(keys) if keys.obj is None else _from_file(keys, keys.obj)
    points, rings = sound.welded(given, rings)
    found = sound.faults(points, rings, keys.closed)
    if found:
        key = "faces" if keys.obj is None else "obj"
        raise Faults([(f"{key}, {where}" if where else key, what) for where, what in found])
    foot = min(z for _, _, z in points.tolist())  # the lowest point stands on the floor
    placed = [(x, y, z - foot) for x, y, z in points.tolist()]
    return Shape(tuple(Face(f"f{n}", tuple(placed[v] for v in ring)) for n, ring in enumerate(rings, start=1)))


def faces(keys: CustomKeys, depth: float, bays: BayRows) -> Shape:
    return _shape(keys)


def _given(keys: CustomKeys) -> tuple[list[Vertex], list[tuple[int, ...]]]:
    wrong = []
    if not keys.vertices and not keys.faces:
        wrong.append(("vertices", "missing (a custom shape needs vertices and faces, or obj)"))
    elif not keys.faces:
        wrong.append(("faces", "missing"))
    if keys.unit != 1.0 or keys.up != "z":
        wrong.append(("obj", "unit and up belong to a file; it is missing"))
    count = len(keys.vertices)
    if count > MOST_VERTICES or len(keys.faces) > MOST_FACES:
        wrong.append(("faces", f"a shape has at most {MOST_FACES} faces and {MOST_VERTICES} vertices"))
    wrong += [
        (f"vertices {i}", f"expected three lengths: x, y, z, got {len(v)}")
        for i, v in enumerate(keys.vertices, start=1)
        if len(v) != 3
    ]
    for i, face in enumerate(keys.faces, start=1):
        if len(face) < 3:
            wrong.append((f"faces {i}", f"expected three vertices or more, got {len(face)}"))
        unknown = [v for v in face if not 1 <= v <= count]
        if unknown:
            wrong.append((f"faces {i}", f"there is no vertex {unknown[0]}: they are numbered 1 to {count}"))
    if wrong:
        raise Faults(wrong)
    return [(x, y, z) for x, y, z in keys.vertices], [tuple(v - 1 for v in face) for face in keys.faces]


def _from_file(keys: CustomKeys, file: Beside) -> tuple[list[Vertex], list[tuple[int, ...]]]:
    if keys.vertices or keys.faces:
        raise Faults([("obj", "give either vertices and faces, or obj")])
    from ..obj import read_obj

    try:
        vertices, rings = read_obj(file.text, MOST_VERTICES, MOST_FACES)
    except Faults as error:
        raise Faults([(f"obj, {where}" if where else "obj", what) for where, what in error.parts]) from None
    if max(abs(v) for point in vertices for v in point) > _FARTHEST / keys.unit:
        raise Faults([("obj", "reaches farther than 1 km; is its unit right?")])
    points = [(x * keys.unit, y * keys.unit, z * keys.unit) for x, y, z in vertices]
    return ([(x, -z, y) for x, y, z in points] if keys.up == "y" else points), rings


KIND = Kind(
    name="custom",
    title="custom shape",
    keys=CustomKeys,
    faces=faces,
    forms=(
        Form(
            flags=(),
            lines="""\
# A wedge. Faces name their vertices by number, anticlockwise as one looks at them from outside.
vertices = [
    ["0 mm", "0 mm", "0 mm"], ["2000 mm", "0 mm", "0 mm"], ["2000 mm", "1000 mm", "0 mm"], ["0 mm", "1000 mm", "0 mm"],
    ["0 mm", "1000 mm", "2400 mm"], ["2000 mm", "1000 mm", "2400 mm"],
]
faces = [[1, 2, 6, 5], [2, 3, 6], [3, 4, 5, 6], [4, 1, 5], [4, 3, 2, 1]]
# obj = "shape.obj"    # or a file beside this one, instead of vertices and faces
# unit = "1 mm"        # the length of one of its units
# up = "z"             # or "y": its axis that points up
closed = true          # false: a shape with open edges, such as one shaped wall
""",
        ),
    ),
)
