"""The client's page in a real browser: what it shows, what hands and keys do, and what it must never do."""

from __future__ import annotations

import hashlib
import io
import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from browser import DESK, PHONE, Visit, address, browser
from client.cupboard import CLIENT, TITLE, cupboard
from PIL import Image

from solids.client.write import as_block, client_page, write_client
from solids.fit.check import check
from solids.model.finding import printable
from solids.spec.reader import read

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def chrome() -> Iterator[Any]:
    with browser() as running:
        yield running


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("client")
    write_client(cupboard(), folder)
    return folder / "client.html"


@pytest.fixture
def desk(chrome: Any, path: Path) -> Iterator[Visit]:
    visit = Visit(chrome, address(path), **DESK).ready()
    yield visit
    assert visit.wrongs == []
    assert visit.requests == [address(path)]
    visit.close()


@pytest.fixture
def phone(chrome: Any, path: Path) -> Iterator[Visit]:
    visit = Visit(chrome, address(path), **PHONE).ready()
    yield visit
    assert visit.wrongs == []
    visit.close()


# What it must never do ---------------------------------------------------------------------------


def test_hostile_names_are_shown_as_the_text_that_they_are(desk: Visit) -> None:
    shown = printable(TITLE.replace("\\\\", "\\"))

    assert desk.page.locator("h1").inner_text() == shown
    assert desk.page.title() == shown
    assert printable(CLIENT) in desk.page.locator(".facts").inner_text()
    assert desk.page.locator("script").count() == 2
    assert desk.page.locator("#panel img, #panel b").count() == 0


def test_nothing_that_it_holds_can_end_its_script() -> None:
    """HTML, section 13.2.5.15: only `</script` and `<!--` do anything inside a script element."""
    assert "<" not in as_block({"name": "</script><!--<b>", "line": "\u2028"})
    assert "\u2028" not in as_block("\u2028")
    assert client_page(cupboard()).lower().count("</script") == 2


def test_a_script_that_is_not_ours_is_not_run(chrome: Any, path: Path, tmp_path: Path) -> None:
    spoiled = tmp_path / "spoiled.html"
    text = path.read_text(encoding="utf-8").replace("<main", "<script>document.title='run'</script><main", 1)
    spoiled.write_text(text, encoding="utf-8")
    visit = Visit(chrome, address(spoiled), **DESK).ready()
    reached = visit.page.evaluate("fetch('https://example.org/').then(() => 'reached', () => 'refused')")

    assert visit.page.title() != "run"
    assert reached == "refused"
    assert any("Content Security Policy" in w for w in visit.wrongs)
    visit.close()


# What it tells -----------------------------------------------------------------------------------


def test_its_words_are_plain_and_its_sizes_the_specs(desk: Visit) -> None:
    """Over all: 406.4 wide; from the door's face at -15 to 300; 500 high. Inside: 366.4, 20 to 480."""
    text = desk.page.locator("#about").inner_text()

    assert "406.4 mm wide, 315 mm deep, 500 mm high" in text
    assert "Made of 7 parts, with 1 drawer and 1 door that open. It comes in 2 pieces." in text
    assert "white oak" in text
    assert "goes through house door with" in text
    assert "does not go through cat flap" in text
    assert "Revision" in desk.page.locator(".facts").inner_text()
    for word in ("rabbet", "dado", "miter", "tenon", "joint is"):
        assert word not in text.lower()


def test_the_flagship_is_under_a_million_bytes() -> None:
    spec = ROOT / "specs" / "library-counter.yaml"
    page = client_page(check(read(spec)))

    assert len(page.encode()) < 1_000_000


PAGE = """
import hashlib
from client.cupboard import cupboard
from solids.client.write import client_page
print(hashlib.sha256(client_page(cupboard()).encode()).hexdigest())
"""


def test_another_process_writes_the_same_bytes() -> None:
    environment = {**os.environ, "PYTHONHASHSEED": "5", "PYTHONPATH": str(ROOT / "tests"), "TZ": "Asia/Tokyo"}
    done = subprocess.run([sys.executable, "-c", PAGE], env=environment, capture_output=True, text=True, check=True)

    assert done.stdout.strip() == hashlib.sha256(client_page(cupboard()).encode()).hexdigest()


# Hands at a desk ---------------------------------------------------------------------------------


def test_dragging_turns_it_and_the_wheel_zooms(desk: Visit) -> None:
    before = desk.state()["camera"]
    x, y = desk.at(203, 100, 250)
    desk.page.mouse.move(x, y)
    desk.page.mouse.down()
    desk.page.mouse.move(x + 100, y + 40, steps=4)
    desk.page.mouse.up()
    turned = desk.state()["camera"]
    desk.page.mouse.wheel(0, -300)
    desk.rest()

    assert turned["turn"] < before["turn"] - 0.5 and turned["rise"] > before["rise"] + 0.2
    assert desk.state()["camera"]["far"] < turned["far"] * 0.9


def test_a_click_on_a_part_tells_what_it_is(desk: Visit) -> None:
    desk.click(200, -15, 250)
    told = desk.page.locator("#say").inner_text()

    assert desk.state()["selected"] == "door"
    assert "500 mm x 406.4 mm x 15 mm" in told
    assert "white oak" in told


def test_a_double_click_opens_a_door_through_its_true_way_and_then_what_is_behind_it(desk: Visit) -> None:
    desk.page.mouse.dblclick(*desk.at(300, -15, 400))
    desk.rest()
    assert desk.state()["open"] == [0, 1]

    desk.press("Front")
    desk.page.mouse.dblclick(*desk.at(203, 20, 207))
    desk.rest()
    assert desk.state()["open"] == [1, 1]


def test_an_open_door_stands_where_the_spec_swings_it(desk: Visit) -> None:
    """Its 406.4 by 15 from x 0, y -15, turned by a right angle: from x 0 to 15 and from y -15 to -421.4."""
    desk.press("Open all")
    desk.press("Above")
    desk.click(8, -300, 500)
    assert desk.state()["selected"] == "door"

    desk.page.wait_for_timeout(450)  # or it were a double click
    desk.click(-60, -300, 500)
    assert desk.state()["selected"] == ""


def test_a_slider_opens_it_by_the_keyboard(desk: Visit) -> None:
    slider = desk.page.locator("input[data-name=tray]")
    slider.focus()
    slider.press("End")
    desk.rest()
    assert desk.state()["open"] == [1, 0]

    slider.press("Home")
    desk.rest()
    assert desk.state()["open"] == [0, 0]


def test_it_comes_apart_step_by_step_and_goes_together_again(desk: Visit) -> None:
    step = desk.page.locator(".step")
    desk.press("Take one off")
    first = step.inner_text()
    desk.press("Take one off")
    second = step.inner_text()
    desk.press("Put one back")

    assert first == "Step 1 of 6: the door comes off"
    assert second.startswith("Step 2 of 6")
    assert step.inner_text() == first
    desk.press("All apart")
    assert desk.state()["apart"] == 6
    desk.press("All together")
    assert desk.state()["apart"] == 0 and step.inner_text() == "All together"


@pytest.mark.parametrize(
    ("first", "second", "told"),
    [
        ((0, -15, 500), (406.4, -15, 500), "406.4 mm"),
        ((0, -15, 500), (0, -15, 0), "500 mm"),
        ((0, 300, 500), (0, 300, 0), "500 mm"),  # the far left edge, where the wood falls away behind
        ((406.4, 300, 500), (0, 300, 500), "406.4 mm"),
    ],
)
def test_two_clicks_measure_between_the_corners_meant(
    desk: Visit, first: tuple[float, ...], second: tuple[float, ...], told: str
) -> None:
    """A few px beside each corner: the point is drawn to it, though another part lies there or none does."""
    desk.press("Measure")
    for corner in (first, second):
        x, y = desk.at(*corner)
        desk.page.mouse.click(x + 3, y - 3)
        desk.rest()

    assert desk.page.locator("#say output").inner_text() == told
    assert desk.state()["points"] == [pytest.approx(first, abs=1e-3), pytest.approx(second, abs=1e-3)]


def test_sizes_are_in_the_clients_units(desk: Visit) -> None:
    """406.4 mm are 16 in exactly; 500 mm are 19 11/16 in and a little."""
    desk.press("Inches")
    desk.press("Measure")
    for corner in ((0, -15, 500), (406.4, -15, 500)):
        desk.page.mouse.click(*desk.at(*corner))
        desk.rest()
    assert desk.page.locator("#say output").inner_text() == "16 in"

    for corner in ((0, -15, 500), (0, -15, 0)):
        desk.page.mouse.click(*desk.at(*corner))
        desk.rest()
    assert desk.page.locator("#say output").inner_text() == "~19 11/16 in"


def test_one_click_on_an_inner_face_tells_how_far_the_wood_opposite_is(desk: Visit) -> None:
    """Without the door, seen from the left: from the right side's inner face, at 386.4, across to the left's, at 20."""
    desk.press("Front")
    desk.click(200, -15, 250)
    desk.press("Hide")
    desk.press("Corner")
    desk.press("Measure")
    desk.page.mouse.click(*desk.at(386.4, 60, 350))
    desk.rest()

    assert "wood opposite: 366.4 mm" in desk.page.locator("#say small").inner_text()


def test_hiding_shows_what_is_behind(desk: Visit) -> None:
    desk.press("Front")
    desk.click(200, -15, 250)
    desk.press("Hide")
    assert desk.state()["hidden"] == ["door"]

    desk.click(203, 285, 400)
    assert desk.state()["selected"] == "back"
    desk.unfold("Show and hide")
    desk.press("Show all")
    assert desk.state()["hidden"] == []


def test_a_cut_takes_away_what_lies_before_it(desk: Visit) -> None:
    desk.press("Front")
    desk.unfold("Look inside")
    desk.page.get_by_label("Cut through").select_option("y")
    desk.rest()
    desk.click(203, 285, 400)

    assert desk.state()["selected"] == "back"


def test_a_cut_fills_the_wood_that_it_goes_through(desk: Visit) -> None:
    """Cut level at half its height and seen from above: the side's 20 mm are wood, the room inside is not."""
    desk.press("Above")
    desk.unfold("Look inside")
    desk.page.get_by_label("Cut through").select_option("z")
    desk.rest()
    shot = image(desk)
    box = desk.page.locator("#canvas").bounding_box()
    x, y = desk.at(10, 150, 250)
    wood = shot.getpixel((round(x - box["x"]), round(y - box["y"])))
    x, y = desk.at(-40, 150, 250)
    paper = shot.getpixel((round(x - box["x"]), round(y - box["y"])))

    assert wood[0] - wood[2] > 30  # brown
    assert abs(paper[0] - paper[2]) < 12


def image(visit: Visit) -> Any:
    return Image.open(io.BytesIO(visit.page.locator("#canvas").screenshot())).convert("RGB")


def test_keys_do_what_hands_do(desk: Visit) -> None:
    canvas = desk.page.locator("#canvas")
    canvas.focus()
    before = desk.state()["camera"]
    for key in ("ArrowLeft", "+", "o", "t"):
        canvas.press(key)
    desk.rest()
    after = desk.state()

    assert after["camera"]["turn"] > before["turn"] + 0.1
    assert after["open"] == [1, 1]
    assert after["apart"] == 1
    canvas.press("T")
    canvas.press("o")
    desk.rest()
    assert desk.state()["apart"] == 0 and desk.state()["open"] == [0, 0]


def test_day_and_night(desk: Visit) -> None:
    day = image(desk).getpixel((5, 5))
    desk.press("Night")
    night = image(desk).getpixel((5, 5))

    assert sum(day) > 600 and sum(night) < 150
    assert desk.page.evaluate("getComputedStyle(document.body).backgroundColor") == "rgb(36, 35, 31)"


def test_grain_runs_along_the_length_of_a_part(desk: Visit) -> None:
    """The door's length stands up: seen from the front its colour changes more from left to right than up and down."""
    desk.unfold("Look")
    desk.press("Sizes")
    desk.press("Front")
    shot, box = image(desk), desk.page.locator("#canvas").bounding_box()
    (x0, y0), (x1, y1) = desk.at(40, -15, 460), desk.at(360, -15, 40)
    crop = shot.crop((round(x0 - box["x"]), round(y0 - box["y"]), round(x1 - box["x"]), round(y1 - box["y"])))
    grey = np.asarray(crop.convert("L"), float)
    assert np.abs(np.diff(grey, axis=1)).mean() > 2 * np.abs(np.diff(grey, axis=0)).mean()


# Fingers on a phone ------------------------------------------------------------------------------


def test_one_finger_turns_it_two_zoom_and_two_taps_open(phone: Visit) -> None:
    before = phone.state()["camera"]
    phone.fingers(((200, 250), (230, 260), (260, 270)))
    turned = phone.state()["camera"]
    phone.fingers(((150, 250), (145, 250), (90, 250)), ((250, 250), (255, 250), (310, 250)))
    near = phone.state()["camera"]

    assert turned["turn"] < before["turn"] - 0.3
    assert near["far"] == pytest.approx(turned["far"] * 100 / 220, rel=0.02)
    phone.tap_twice(203, -15, 250)
    assert phone.state()["open"][1] == 1


def test_a_phone_needs_no_sideways_scrolling_and_has_room_for_fingers(phone: Visit) -> None:
    for summary in phone.page.locator("#controls summary").all():
        if not summary.evaluate("e => e.parentElement.open"):
            summary.click()
    small = [
        b.inner_text() for b in phone.page.locator("#controls button:visible").all() if b.bounding_box()["height"] < 36
    ]

    assert phone.page.evaluate("document.scrollingElement.scrollWidth") <= 390
    assert small == []


def test_labels_stay_on_the_screen_of_a_phone(phone: Visit) -> None:
    for label in phone.page.locator("#overlay text").all():
        box = label.bounding_box()
        assert box["x"] >= 0 and box["x"] + box["width"] <= 390
    assert phone.page.locator("#overlay text").count() == 3


# Where there is less -----------------------------------------------------------------------------


def test_without_scripts_there_is_a_picture_and_all_the_text(chrome: Any, path: Path) -> None:
    visit = Visit(chrome, address(path), java_script_enabled=False, **PHONE)
    picture = visit.page.locator("#still img")

    assert picture.bounding_box()["width"] == 390
    assert picture.evaluate("e => e.naturalWidth") == 960
    assert "406.4 mm wide" in visit.page.locator("#about").inner_text()
    visit.page.locator("summary", has_text="All 7 parts").click()
    assert "500 mm x 406.4 mm x 15 mm" in visit.page.locator("#about").inner_text()
    visit.close()


def test_without_webgl_there_is_a_picture_and_a_word_why(chrome: Any, path: Path) -> None:
    blind = "HTMLCanvasElement.prototype.getContext = () => null"
    visit = Visit(chrome, address(path), before=blind, **DESK)

    assert visit.page.locator("#still img").is_visible()
    assert "shows no 3D" in visit.page.locator("#why").inner_text()
    assert visit.wrongs == []
    visit.close()


def test_a_screen_reader_has_a_name_for_everything_that_can_be_used(desk: Visit) -> None:
    desk.unfold("Show and hide")
    desk.unfold("Look inside")
    nameless = desk.page.evaluate(
        """() => [...document.querySelectorAll('button, input, select, canvas')].filter(e =>
            !(e.getAttribute('aria-label') || e.textContent.trim() || (e.labels && e.labels.length))).length"""
    )

    assert nameless == 0
    assert desk.page.locator("#canvas").get_attribute("aria-roledescription") == "3D model"
    assert desk.page.locator("#say").get_attribute("role") == "status"
