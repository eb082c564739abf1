"""Custom shapes: every fault named, all at once, in bounded time; OBJ files as the format's own description has them.

Shapes are built by hand with one fault each; sound ones come from scipy's convex hulls.
"""

import resource
import time
import tomllib
from pathlib import Path

import numpy as np
import pytest
import trimesh
import zoo

from artgen import order as orders
from artgen.sizing import size_order
from artgen.structure import sound
from artgen.structure.kinds import KINDS
from artgen.structure.kinds.custom import MOST_FACES
from artgen.typed import MOST_BYTES, TableError

HEAD = 'schema = 1\nname = "Test piece"\n'
CUBE = np.array([(x, y, z) for z in (0, 1) for x, y in ((0, 0), (1, 0), (1, 1), (0, 1))], dtype=float) * 1000
SIDES = [[0, 1, 5, 4], [1, 2, 6, 5], [2, 3, 7, 6], [3, 0, 4, 7], [4, 5, 6, 7], [3, 2, 1, 0]]


def body(points: np.ndarray, faces: list[list[int]], more: str = "") -> str:
    vertices = [[f"{float(v)!r} mm" for v in point] for point in points]
    return (
        f'[[structure]]\nname = "s"\nkind = "custom"\nvertices = {vertices}\n'
        f"faces = {[[v + 1 for v in face] for face in faces]}\n{more}"
    )


def faults(points: np.ndarray, faces: list[list[int]], more: str = "") -> list[tuple[str, str]]:
    with pytest.raises(TableError) as caught:
        zoo.order(body(points, faces, more))
    return [(path.removeprefix("structure 1, "), what) for path, what in caught.value.faults]


def with_obj(folder: Path, text: str, more: str = "", name: str = "shape.obj") -> orders.Order:
    (folder / "shape.obj").write_text(text, encoding="utf-8")
    return named(folder, name, more)


def named(folder: Path, name: str, more: str = "") -> orders.Order:
    tables = tomllib.loads(HEAD + f'[[structure]]\nname = "s"\nkind = "custom"\nobj = "{name}"\n{more}')
    return orders.from_tables(tables, KINDS, folder, "order.toml")


def obj_faults(folder: Path, text: str, more: str = "") -> list[tuple[str, str]]:
    with pytest.raises(TableError) as caught:
        with_obj(folder, text, more)
    return [(path.removeprefix("structure 1, "), what) for path, what in caught.value.faults]


def as_obj(points: np.ndarray, faces: list[list[int]]) -> str:
    lines = [f"v {x!r} {y!r} {z!r}" for x, y, z in points.tolist()]
    return "\n".join([*lines, *(f"f {' '.join(str(v + 1) for v in face)}" for face in faces)]) + "\n"


# --- faults, each named


def test_a_sound_cube_has_none() -> None:
    panels = zoo.sized(body(CUBE, SIDES)).panels
    assert [p.bay.face.name for p in panels] == ["f1", "f2", "f3", "f4", "f5", "f6"]


def test_a_crooked_face_says_by_how_much() -> None:
    points = CUBE.copy()
    points[6] += (0, 0, 8.0)
    found = faults(points, SIDES)
    # the top's mean plane: one corner of a square raised by 8 stands 2 off, as each of the others
    assert [path for path, _ in found] == ["faces, f5"]
    assert "is not flat" in found[0][1] and "2.0 mm off its plane" in found[0][1]
    points[6] = CUBE[6] + (0, 0, 0.3)  # 0.075 mm off: within 0.1
    assert zoo.sized(body(points, SIDES)).panels


def test_a_hole_says_where() -> None:
    ((path, what),) = faults(CUBE, SIDES[:5])
    assert path == "faces"
    assert "a hole of 4 edges" in what and "(0, 0, 0)" in what
    assert len(zoo.sized(body(CUBE, SIDES[:5], "closed = false\n")).panels) == 5


def test_two_holes_are_two_faults() -> None:
    assert len(faults(CUBE, SIDES[:4])) == 2


@pytest.mark.parametrize(
    ("points", "sides", "path", "says"),
    [
        (CUBE, [[0, 4, 5, 1], *SIDES[1:]], "f1, f2", "run the same way along their edge"),
        (CUBE, [side[::-1] for side in SIDES], "", "inside out"),
        (CUBE, [*SIDES, [0, 1, 6]], "f1, f6, f7", "3 faces at one edge"),
        (CUBE, [[0, 1, 1, 4], *SIDES[1:]], "f1", "one vertex twice"),
        (CUBE, [[0, 5, 1, 4], *SIDES[1:]], "f1", "crosses itself"),
        (np.vstack([CUBE, [(500, 0, 0)]]), [*SIDES, [0, 8, 1]], "f7", "has no area"),
        (np.vstack([CUBE, [(0.5, 0, 0)]]), [[0, 8, 1, 5, 4], *SIDES[1:5], [3, 2, 1, 8, 0]], "f1", "only 0.50 mm long"),
        # a plate through the middle, standing free
        (
            np.vstack([CUBE, [(-500, -500, 500), (1500, -500, 500), (500, 1500, 500)]]),
            [*SIDES, [8, 9, 10]],
            "f1, f7",
            "run through one another",
        ),
        # the front in two halves that share no vertex with the sides' edges: they don't match end to end
        (
            np.vstack([CUBE, [(0, 0, 500), (1000, 0, 500)]]),
            [[0, 1, 9, 8], [8, 9, 5, 4], *SIDES[1:]],
            "f1, f3",
            "don't match end to end",
        ),
    ],
)
def test_each_fault_has_its_name(points: np.ndarray, sides: list[list[int]], path: str, says: str) -> None:
    found = faults(points, sides)
    where = f"faces, {path}" if path else "faces"
    assert any(p == where and says in what for p, what in found), found


def test_faces_that_lie_on_one_another() -> None:
    other = CUBE[:4] + np.array([500, 500, 0])
    points = np.vstack([CUBE[:4], other])
    found = faults(points, [[0, 1, 2, 3], [4, 5, 6, 7]], "closed = false\n")
    assert found == [("faces, f1, f2", "run through one another")]


def test_all_faults_at_once() -> None:
    points = np.vstack([CUBE, [(500, 0, 0)]])
    found = dict(faults(points, [[0, 5, 1, 4], [1, 1, 6, 5], *SIDES[2:], [0, 8, 1]]))
    assert set(found) == {"faces, f1", "faces, f2", "faces, f7"}


@pytest.mark.parametrize(
    ("text", "path", "says"),
    [
        ("", "vertices", "needs vertices and faces, or obj"),
        ('vertices = [["0 mm", "0 mm", "0 mm"]]\n', "faces", "missing"),
        ('vertices = [["0 mm", "0 mm"]]\nfaces = [[1, 1, 1]]\n', "vertices 1", "three lengths"),
        ('vertices = [["0 mm", "0 mm", 0]]\nfaces = [[1, 1, 1]]\n', "vertices 1 3", "unit"),
        ('vertices = [["0 mm", "0 mm", nan]]\nfaces = [[1, 1, 1]]\n', "vertices 1 3", "length"),
        ('vertices = [["0 mm", "0 mm", "1000000000 mm"]]\nfaces = [[1, 1, 1]]\n', "vertices 1 3", "1 km"),
        ('vertices = [["0 mm", "0 mm", "0 mm"]]\nfaces = [[1, 1]]\n', "faces 1", "three vertices or more"),
        ('vertices = [["0 mm", "0 mm", "0 mm"]]\nfaces = [[1, 0, 1]]\n', "faces 1", "no vertex 0: they are numbered 1"),
        ('vertices = [["0 mm", "0 mm", "0 mm"]]\nfaces = [[1, 1, 1]]\nunit = "in"\n', "obj", "belong to a file"),
    ],
)
def test_keys_that_make_no_shape(text: str, path: str, says: str) -> None:
    with pytest.raises(TableError) as caught:
        zoo.order('[[structure]]\nname = "s"\nkind = "custom"\n' + text)
    found = dict(caught.value.faults)
    assert says in found[f"structure 1, {path}"]


# --- OBJ files


def test_an_obj_is_the_same_shape(tmp_path: Path) -> None:
    by_file = size_order(with_obj(tmp_path, as_obj(CUBE, SIDES)), KINDS).panels
    by_hand = zoo.sized(body(CUBE, SIDES)).panels
    assert [(p.number, p.frame, p.edges) for p in by_file] == [(p.number, p.frame, p.edges) for p in by_hand]


def test_unit_and_up(tmp_path: Path) -> None:
    # y up, as most modelling programs have it: a box 1 wide, 2 high (y), 3 deep (towards the viewer is z), in feet
    points = CUBE / 1000 * (1, 1, 1)
    text = as_obj(np.stack([points[:, 0], points[:, 2] * 2, -points[:, 1] * 3], axis=1), SIDES)
    made = size_order(with_obj(tmp_path, text, 'unit = "ft"\nup = "y"\n'), KINDS).structures[0]
    assert made.overall == pytest.approx((304.8, 3 * 304.8, 2 * 304.8))  # 1 ft = 304.8 mm
    front = next(p for p in made.panels if p.number == 1)
    assert max(y for _, y, _ in front.bay.outline) == pytest.approx(min(y for _, y, _ in front.bay.outline))


def test_what_other_programs_write(tmp_path: Path) -> None:
    mesh = trimesh.creation.box((1000, 800, 600))  # triangles, two to a side
    text = trimesh.exchange.obj.export_obj(mesh)
    made = size_order(with_obj(tmp_path, text), KINDS).structures[0]
    assert len(made.panels) == 12  # each triangle is a face: an OBJ says what is a face
    assert made.overall == pytest.approx((1000, 800, 600))


def test_indices_with_textures_normals_and_counted_back(tmp_path: Path) -> None:
    lines = ["# a cube", "o cube", "vn 0 0 1", "vt 0 0", *as_obj(CUBE, []).splitlines(), "usemtl moss"]
    for side in SIDES:
        lines.append("f " + " ".join(f"{v - 8}/1/1" for v in side))  # −1 is the last vertex so far
    assert len(size_order(with_obj(tmp_path, "\r\n".join(lines)), KINDS).panels) == 6


def test_vertices_of_each_face_apart_are_welded(tmp_path: Path) -> None:
    points = np.concatenate([CUBE[side] for side in SIDES]) + np.tile([[0.004, 0, 0], [0, 0, 0]], (12, 1))
    text = as_obj(points, [list(range(4 * i, 4 * i + 4)) for i in range(6)])
    assert len(size_order(with_obj(tmp_path, text), KINDS).panels) == 6
    points[3] += (0, 0.5, 0)  # half a millimetre is a gap
    assert obj_faults(tmp_path, as_obj(points, [list(range(4 * i, 4 * i + 4)) for i in range(6)]))


@pytest.mark.parametrize(
    ("text", "path", "says"),
    [
        ("hello\n", "obj", "is it an OBJ file?"),
        ("v 0 0\n", "obj, line 1", "three numbers"),
        ("v 0 0 nan\n", "obj, line 1", "three numbers"),
        ("v 0 0 1e400\n", "obj, line 1", "three numbers"),
        ("v 0 0 0\nf 1 2 x\n", "obj, line 2", "a vertex's number"),
        ("v 0 0 0\nf 1 1\n", "obj, line 2", "three vertices or more"),
        ("v 0 0 0\nf 1 2 3\n", "obj, face 1", "names vertex 3; there are 1"),
        ("v 0 0 0\nf 0 1 1\n", "obj, line 2", "no vertex 0"),
        ("v 0 0 0\nf -2 1 1\n", "obj, line 2", "no vertex -2"),
        ("v 0 0 0\nv 1e9 0 0\nv 0 1 0\nf 1 2 3\n", "obj", "farther than 1 km"),
    ],
)
def test_obj_files_that_are_none(tmp_path: Path, text: str, path: str, says: str) -> None:
    found = dict(obj_faults(tmp_path, text))
    assert says in found[path]


def test_an_obj_with_holes(tmp_path: Path) -> None:
    ((path, what),) = obj_faults(tmp_path, as_obj(CUBE, SIDES[1:]))
    assert path == "obj" and "a hole of 4 edges" in what


@pytest.mark.parametrize(
    "name", ["../shape.obj", "/etc/hostname", "a/../../shape.obj", "", "missing.obj", ".", "a\\u0000b"]
)
def test_files_elsewhere_or_nowhere(tmp_path: Path, name: str) -> None:
    (tmp_path / "order").mkdir()
    (tmp_path / "shape.obj").write_text(as_obj(CUBE, SIDES), encoding="utf-8")
    with pytest.raises(TableError) as caught:
        named(tmp_path / "order", name)
    assert [path for path, _ in caught.value.faults] == ["structure 1, obj"]


def test_a_link_out_of_the_folder_is_refused(tmp_path: Path) -> None:
    (tmp_path / "order").mkdir()
    (tmp_path / "secret.obj").write_text(as_obj(CUBE, SIDES), encoding="utf-8")
    (tmp_path / "order" / "shape.obj").symlink_to(tmp_path / "secret.obj")
    with pytest.raises(TableError, match="leads out of it"):
        named(tmp_path / "order", "shape.obj")


def test_no_text(tmp_path: Path) -> None:
    (tmp_path / "shape.obj").write_bytes(b"v \xff\xfe\x00 0 0\n")
    with pytest.raises(TableError, match="is no text"):
        named(tmp_path, "shape.obj")


# --- bounded time and memory


def test_fifty_megabytes_are_refused_by_their_size(tmp_path: Path) -> None:
    with (tmp_path / "shape.obj").open("wb") as file:
        file.truncate(50_000_000)
    before, start = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss, time.process_time()
    with pytest.raises(TableError, match="over 4 MB"):
        named(tmp_path, "shape.obj")
    with (tmp_path / "order.toml").open("wb") as file:
        file.truncate(50_000_000)
    with pytest.raises(TableError, match=r"order.toml: this order has more than 4 MB"):
        orders.load(tmp_path, KINDS)
    assert time.process_time() - start < 5
    grown = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before
    assert grown < 50_000  # KiB on Linux (bytes elsewhere): nothing of it was read
    assert MOST_BYTES < 50_000_000


def test_five_hundred_faces_go(tmp_path: Path) -> None:
    points = np.random.default_rng(3).normal(size=(250, 3))
    points = points / np.linalg.norm(points, axis=1)[:, None] * 3000
    faces = zoo.hull_faces(points)
    assert len(faces) > 450
    start = time.perf_counter()
    made = size_order(with_obj(tmp_path, as_obj(points, faces)), KINDS).structures[0]
    assert time.perf_counter() - start < 30
    assert len(made.panels) == len(faces)
    assert sum(p.bay.outline is not None for p in made.panels) == len(faces)


def test_too_many_faces_is_a_clear_limit(tmp_path: Path) -> None:
    text = as_obj(CUBE, SIDES * (MOST_FACES // 6 + 1))
    ((path, what),) = obj_faults(tmp_path, text)
    assert (path, what) == ("obj", f"over {MOST_FACES} faces; save it with fewer")


def test_a_thousand_faulty_faces_are_told_in_bounded_time(tmp_path: Path) -> None:
    # all faces cross one another: triangles through the origin
    rng = np.random.default_rng(11)
    points = rng.normal(size=(3 * 900, 3)) * 1000
    faces = [[3 * i, 3 * i + 1, 3 * i + 2] for i in range(900)]
    start = time.perf_counter()
    found = obj_faults(tmp_path, as_obj(points, faces))
    assert time.perf_counter() - start < 60
    assert len(found) == 41
    assert "more faults" in found[-1][1]


def test_a_face_of_two_millimetres_says_by_how_much_it_is_too_small() -> None:
    points = CUBE * (0.002, 1, 1)
    with pytest.raises(TableError) as caught:
        zoo.sized(body(points, SIDES))
    found = dict(caught.value.faults)
    assert "structure 1, panel 1" in found
    assert "2.0 × 1000.0 mm" in found["structure 1, panel 1"]


def test_welding_keeps_the_first_of_each() -> None:
    points = np.array([(0, 0, 0), (9, 9, 9), (0.009, 0, 0), (0.02, 0, 0), (5, 5, 5)], dtype=float)
    kept, (face,) = sound.welded(points, [(0, 2, 3, 4)])
    assert kept.tolist() == [[0, 0, 0], [0.02, 0, 0], [5, 5, 5]]  # 9 9 9 is used by no face
    assert face == (0, 0, 1, 2)
