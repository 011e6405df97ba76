"""The pictures: what they show and where, that they are the same each time, and how a piece is drawn apart."""

from __future__ import annotations

import hashlib
import io
import math
import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from typing import TypeAlias

import numpy as np
import pytest
from client.cupboard import cupboard
from PIL import Image

from solids.fit.check import check
from solids.fit.dryfit import dry_fit
from solids.model.carrying import Obstacle
from solids.model.geometry import Vector
from solids.model.piece import Piece
from solids.picture.asunder import asunder, offsets
from solids.picture.camera import camera_round, camera_standing
from solids.picture.draw import draw
from solids.picture.grain import grain
from solids.picture.shade import SUN, Ground, to_srgb
from solids.picture.stage import stage_of
from solids.picture.surroundings import wall_behind
from solids.picture.write import Pictures, png, write_pictures

SMALL = (320, 200)
Row: TypeAlias = tuple[float, float, float]


@pytest.fixture(scope="module")
def pictures() -> Pictures:
    return Pictures(cupboard().dry, SMALL)


def test_every_picture_is_a_whole_png_of_its_size(tmp_path: Path) -> None:
    write_pictures(cupboard(), tmp_path)
    sizes = {}
    for path in sorted(tmp_path.iterdir()):
        with Image.open(path) as image:
            image.load()
            sizes[path.name] = (image.format, image.mode, image.size)

    wanted = ("PNG", "RGB", (1600, 1000))
    assert sizes == dict.fromkeys(("exploded.png", "open.png", "preview.png", "room.png"), wanted)


DRAWN = """
import hashlib
from client.cupboard import cupboard
from solids.picture.surroundings import wall_behind
from solids.picture.write import Pictures, png
p = Pictures(cupboard().dry, (320, 200))
for image in (p.preview(), p.exploded(), p.opened(), p.room()):
    print(hashlib.sha256(png(image)).hexdigest())
"""


def test_another_process_draws_the_same_bytes(pictures: Pictures) -> None:
    folder = str(Path(__file__).parents[1])
    environment = {**os.environ, "PYTHONHASHSEED": "3", "PYTHONPATH": folder, "TZ": "Asia/Tokyo"}
    done = subprocess.run([sys.executable, "-c", DRAWN], env=environment, capture_output=True, text=True, check=True)
    here = (pictures.preview(), pictures.exploded(), pictures.opened(), pictures.room())

    assert done.stdout.split() == [hashlib.sha256(png(image)).hexdigest() for image in here]


def brown(image: Image.Image) -> np.ndarray:
    """Which px show wood: plainly redder than blue."""
    rgb = np.asarray(image, int)
    return np.asarray(rgb[..., 0] - rgb[..., 2] > 25)


def test_the_piece_fills_the_picture_and_touches_no_rim(pictures: Pictures) -> None:
    """7 % are left free on each side; in one direction no more than that."""
    rows, columns = np.nonzero(brown(pictures.preview()))
    free = [rows.min() / 200, 1 - rows.max() / 200, columns.min() / 320, 1 - columns.max() / 320]

    assert min(free) == pytest.approx(0.07, abs=0.02)
    assert abs(free[0] - free[1]) < 0.02 and abs(free[2] - free[3]) < 0.02


def test_in_the_room_every_upright_arris_is_upright() -> None:
    """Seen standing, with the eye level: points over one another are over one another in the picture."""
    stage = stage_of(cupboard().dry)
    camera = camera_standing(stage.points, 0.0, -20.0, 1600.0, SMALL)
    low, _ = camera.project(np.array([[0.0, -15, 0], [406.4, 300, 0]]))
    high, _ = camera.project(np.array([[0.0, -15, 500], [406.4, 300, 500]]))

    assert high[:, 0] == pytest.approx(low[:, 0], abs=1e-9)
    # What is at the height of the eye lies on the horizon, however far.
    level, _ = camera.project(np.array([[0.0, -15, 1600], [500.0, 3000, 1600]]))
    assert level[0, 1] == pytest.approx(level[1, 1], abs=1e-9)


def test_a_camera_and_its_rays_agree() -> None:
    stage = stage_of(cupboard().dry)
    camera = camera_round(stage.points, -34.0, 20.0, SMALL)
    points = np.array([[0.0, 0, 0], [406.4, 300, 500], [100.0, -15, 250]])
    places, near = camera.project(points)

    back = camera.eye + camera.rays(places[:, 0], places[:, 1]) / near[:, None]
    assert back == pytest.approx(points, abs=1e-6)


def test_light_falls_from_the_right_front_and_above_and_throws_a_shadow_the_other_way(pictures: Pictures) -> None:
    """Of the two sides that the preview shows, the front is lighter than the left; the floor to the left is dark."""
    image = pictures.preview()
    stage = stage_of(cupboard().dry)
    camera = camera_round(stage.points, -34.0, 20.0, SMALL)

    def lightness(*point: float) -> float:
        (x, y), _ = camera.project(np.array(point))
        return float(np.asarray(image.convert("L"))[int(y) - 2 : int(y) + 3, int(x) - 2 : int(x) + 3].mean())

    assert SUN[0] > 0 and SUN[1] < 0 and SUN[2] > 0
    assert lightness(203, -15, 250) > lightness(0, 150, 250) + 20
    reach = 60.0  # to the left of the left side, which is 500 high: well within its shadow
    assert lightness(-reach, 150, 0) < lightness(203, -120, 0) - 20


def test_a_line_is_drawn_where_two_parts_meet_flush() -> None:
    """The door lies before the sides; seen from above, its joint with the top's edge is a dark line."""
    image = np.asarray(
        draw(stage_of(cupboard().dry), camera_round(stage_of(cupboard().dry).points, 0, 60, SMALL)).convert("L"), int
    )
    camera = camera_round(stage_of(cupboard().dry).points, 0, 60, SMALL)
    (x, y), _ = camera.project(np.array([20.0, 150, 500]))  # the joint between the left side and the top
    row = image[int(y), int(x) - 6 : int(x) + 7]

    assert row.min() < np.median(row) - 40


def test_grain_is_long_and_narrow_and_the_same_for_the_same_wood() -> None:
    n = 4000
    part = np.zeros(n, np.int64)
    step = np.linspace(0, 400, n)
    along = grain(np.column_stack([step, 0 * step + 3, 0 * step]), part)
    across = grain(np.column_stack([0 * step + 3, step, 0 * step]), part)

    assert np.abs(np.diff(along)).sum() < np.abs(np.diff(across)).sum() / 10
    assert np.array_equal(along, grain(np.column_stack([step, 0 * step + 3, 0 * step]), part))
    assert along.min() >= -0.5 and across.max() <= 0.5


def test_light_and_paint_agree_with_the_standard() -> None:
    """IEC 61966-2-1: light of 0.214041 is sRGB 0.5, which is 127.5 of 255; 0 and 1 are 0 and 255."""
    assert to_srgb(np.array([0.0, 1.0, 2.0, 0.603827])).tolist() == [0, 255, 255, 204]
    assert abs(int(to_srgb(np.array([0.214041]))[0]) - 127.5) <= 0.5


def test_a_piece_without_parts_is_paper(tmp_path: Path) -> None:
    report = check(Piece("nothing", "mm", ()))
    write_pictures(report, tmp_path)

    assert [p.name for p in tmp_path.iterdir()] == ["preview.png"]
    image = Image.open(io.BytesIO((tmp_path / "preview.png").read_bytes()))
    assert len(image.convert("RGB").getcolors()) == 1


# Drawn apart -------------------------------------------------------------------------------------


def test_the_door_comes_off_to_the_front_and_the_sides_part() -> None:
    steps = asunder(cupboard().dry)
    by_name = {s.name: s for s in steps}
    number = cupboard().dry.number

    assert by_name["the_door"].offset[1] < 0 and by_name["the_door"].offset[0] == by_name["the_door"].offset[2] == 0
    total = offsets(steps, len(cupboard().piece.parts))
    assert total[number["right"], 0] > total[number["left"], 0]
    assert steps[0].name == "the_door"


def test_no_two_parts_drawn_apart_share_room() -> None:
    dry = cupboard().dry
    total = offsets(asunder(dry), len(dry.piece.parts))
    low, high = dry.scene.part_low + total, dry.scene.part_high + total
    for i in range(len(total)):
        for j in range(i):
            apart = (high[i] <= low[j] + 1e-6) | (high[j] <= low[i] + 1e-6)
            assert apart.any(), (dry.part(i).id, dry.part(j).id)


def test_the_opened_door_is_drawn_before_the_piece() -> None:
    """Open, it reaches 421.4 before the front edge of the sides; the picture must hold that too."""
    pictures = Pictures(cupboard().dry, SMALL)
    moves = pictures._open_moves()
    door = moves[cupboard().dry.number["door"]]

    assert door.y.y == pytest.approx(0, abs=1e-12)  # a right angle
    opened = stage_of(cupboard().dry, moves).points
    assert opened[:, 1].min() == pytest.approx(-15 - 406.4)
    assert brown(pictures.opened()).sum() > 1000


def in_a_room_with(*boxes: Obstacle) -> Image.Image:
    piece = replace(cupboard().piece, room=boxes)
    return Pictures(dry_fit(piece), SMALL).room()


def test_what_stands_in_the_room_is_in_its_picture_where_it_stands() -> None:
    """A radiator 200 to the right, 100 deep, from 100 to 600 high: its front is plain plaster, and was wall before."""
    radiator = Obstacle("radiator", Vector(606, 204, 100), Vector(1000, 304, 600))
    points = stage_of(cupboard().dry).points
    camera = camera_standing(points, 0.0, -20.0, 1600.0, SMALL)
    (x, y), _ = camera.project(np.array([700.0, 204, 400]))
    there, before = (np.asarray(i, int)[int(y), int(x)] for i in (in_a_room_with(radiator), in_a_room_with()))

    assert there.sum() < before.sum() - 30 and np.ptp(there) < 15
    wood = brown(in_a_room_with())
    assert (brown(in_a_room_with(radiator)) == wood).mean() > 0.995


@pytest.mark.parametrize(
    ("name", "low", "high"),
    [
        ("a wall before the piece", (-500, -400, 0), (900, -300, 1200)),
        ("a wall that the eye stands in", (-500, -9000, 0), (900, -300, 2400)),
        ("a box behind the wall of the picture", (50, 400, 0), (300, 500, 900)),
        ("a box under the floor", (-300, -300, -200), (900, 0, 0)),
        ("a box far off", (20000, 0, 0), (21000, 100, 900)),
    ],
)
def test_what_would_hide_the_piece_or_is_not_in_sight_is_left_out(name: str, low: Row, high: Row) -> None:
    assert png(in_a_room_with(Obstacle(name, Vector(*low), Vector(*high)))) == png(in_a_room_with())


def test_the_wall_of_the_picture_is_the_one_that_the_spec_gives() -> None:
    """The cupboard is 406.4 long and 300 deep: a wall 700 behind it is that of the picture, a post there is not."""
    points = stage_of(cupboard().dry).points
    wall = Obstacle("wall", Vector(-100, 1000, 0), Vector(500, 1100, 2400))
    post = Obstacle("post", Vector(0, 350, 0), Vector(100, 400, 2400))

    assert wall_behind(points, (wall, post)) == 1000
    assert wall_behind(points, (post,)) == wall_behind(points, ()) == 304


def test_no_face_shades_itself() -> None:
    """A plain front that the sun shines on is one colour but for its grain, of which plaster has none."""
    wall = Obstacle("panel", Vector(606, 204, 100), Vector(1000, 304, 600))
    points = stage_of(cupboard().dry).points
    camera = camera_standing(points, 0.0, -20.0, 1600.0, SMALL)
    places, _ = camera.project(np.array([[680.0, 204, 200], [900.0, 204, 500]]))
    (x, y), (u, v) = sorted(map(tuple, np.sort(places.astype(int), axis=0)))
    front = np.asarray(in_a_room_with(wall).convert("L"), int)[min(y, v) : max(y, v), x:u]

    assert front.size > 200 and np.ptp(front) <= 4


def test_a_ground_catches_no_shadow_where_the_sun_is_not_held_back() -> None:
    stage = stage_of(cupboard().dry)
    camera = camera_round(stage.points, -34.0, 20.0, SMALL)
    floor = np.asarray(draw(stage, camera, Ground(0.0)), int)
    plain = np.asarray(draw(stage, camera), int)
    wood = brown(draw(stage, camera))
    darker = (floor.sum(2) < plain.sum(2) - 30) & ~wood

    assert 0.02 < darker.mean() < 0.4
    assert math.isclose(floor[2, 2].sum(), plain[2, 2].sum(), abs_tol=8)
