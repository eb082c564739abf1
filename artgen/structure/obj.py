"""Wavefront OBJ text → vertices and faces. Only points and polygons count: normals, textures, groups are passed over.

Indices come back from 0. The file's text is not trusted: lines and counts are bounded, and numbers are checked.
"""

from math import isfinite

from ..typed import Faults

Triple = tuple[float, float, float]


def read_obj(text: str, most_vertices: int, most_faces: int) -> tuple[list[Triple], list[tuple[int, ...]]]:
    """Vertices in the file's units, and faces as indices of vertices. Raises `Faults`, each with its line."""
    vertices: list[Triple] = []
    faces: list[tuple[int, ...]] = []
    faults: list[tuple[str, str]] = []
    for number, line in enumerate(text.splitlines(), start=1):
        parts = line.split("#", 1)[0].split()
        try:
            if parts[:1] == ["v"]:
                vertices.append(_vertex(parts[1:]))
            elif parts[:1] == ["f"]:
                faces.append(_face(parts[1:], len(vertices)))
        except ValueError as error:
            faults.append((f"line {number}", str(error)))
        if len(vertices) > most_vertices or len(faces) > most_faces:
            what = f"over {most_faces} faces" if len(faces) > most_faces else f"over {most_vertices} vertices"
            raise Faults([*faults[:20], ("", f"{what}; save it with fewer")])
        if len(faults) >= 20:
            break
    faults += [
        (f"face {number}", f"names vertex {max(face) + 1}; there are {len(vertices)}")
        for number, face in enumerate(faces, start=1)
        if max(face) >= len(vertices)
    ][:20]
    if not faults and not faces:
        faults.append(("", "holds no faces (lines that begin with 'f'); is it an OBJ file?"))
    if faults:
        raise Faults(faults)
    return vertices, faces


def _vertex(words: list[str]) -> Triple:
    if len(words) < 3:  # a fourth number is a weight, seven have a colour too
        raise ValueError(f"a vertex needs three numbers, got {' '.join(words)[:40]!r}")
    try:
        x, y, z = (float(word) for word in words[:3])
    except ValueError:
        raise ValueError(f"a vertex needs three numbers, got {' '.join(words)[:40]!r}") from None
    if not all(isfinite(v) for v in (x, y, z)):
        raise ValueError(f"a vertex needs three numbers, got {' '.join(words)[:40]!r}")
    return x, y, z


def _face(words: list[str], so_far: int) -> tuple[int, ...]:
    if len(words) < 3:
        raise ValueError(f"a face needs three vertices or more, got {len(words)}")
    found = []
    for word in words:
        try:
            index = int(word.split("/", 1)[0])
        except ValueError:
            raise ValueError(f"expected a vertex's number, got {word[:40]!r}") from None
        # numbers below 0 count back from the last vertex so far
        found.append(index - 1 if index > 0 else so_far + index)
        if index == 0 or found[-1] < 0:
            raise ValueError(f"there is no vertex {index} here")
    return tuple(found)
