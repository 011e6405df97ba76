"""Pictures of a drawer or door that hits something: it is drawn where it does, and what it hits is there."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np
import pytest

from solids.fit.check import Report, check
from solids.report import page_moving
from solids.report.page import page
from solids.report.page_moving import moving_picture
from solids.report.picture import Panel
from solids.spec.reader import from_text

FAULTS = Path(__file__).parents[2] / "specs" / "faults"

# A box slides 300 to the front; a post stands in its way 120 before it. A lid beside it opens upward.
BOX = """
units: mm
stock: {oak: {wood: white oak, thickness: 20}}
parts:
  shelf: {stock: oak, size: [400, 300], place: {at: [0, 0, 0], length: across, face: top}}
  box: {stock: oak, size: [200, 200], place: {at: [100, 0, 21], length: across, face: top}}
  HIT
moving: {drawer: {parts: [box], slide: {front: 300}}LID}
"""
POST = "room: {post: {from: [150, -180, 0], to: [250, -120, 9000]}}\n"
BAR = "bar: {stock: oak, size: [400, 60], place: {at: [0, -180, 0], length: across, face: front}}"


@cache
def of(hit: str = "", lid: str = "", room: str = "") -> Report:
    return check(from_text(BOX.replace("HIT", hit).replace("LID", lid) + room, "box.yaml"))


def drawn(report: Report, monkeypatch: pytest.MonkeyPatch) -> tuple[dict[str, float], str]:
    """The least y of each part as the picture has it, and the words below."""
    seen: dict[str, float] = {}

    def panel(parts, *, solids, **_):  # type: ignore[no-untyped-def]
        for part, solid in zip(parts, solids, strict=True):
            frame = part.blank.bench().within(part.frame)
            world = solid.mesh.transform(np.column_stack([np.array(frame[:3]).T, frame.origin]))
            seen[part.id] = world.bounding_box()[1]
        return Panel((), 1, 1)

    monkeypatch.setattr(page_moving, "panel", panel)
    (told,) = (f for f in report.findings if f.kind == "travel")
    found = moving_picture(report.dry, told)
    assert found is not None
    return seen, found[1]


def test_it_stands_where_it_meets_a_post_of_the_room(monkeypatch: pytest.MonkeyPatch) -> None:
    """The box's front is at 0 and the post's rear at -120: it runs out 120."""
    seen, words = drawn(of(room=POST), monkeypatch)

    assert seen["box"] == pytest.approx(-120, abs=0.05) and seen["shelf"] == 0
    assert seen["post"] == -180
    assert words == "in blue: drawer, as far as it goes; what it hits is post"


def test_it_stands_where_it_meets_a_part(monkeypatch: pytest.MonkeyPatch) -> None:
    """The bar is set down at y -180 and 20 thick."""
    seen, words = drawn(of(hit=BAR), monkeypatch)

    assert seen["box"] == pytest.approx(-160, abs=0.05) and words.endswith("what it hits is bar")


def test_what_is_only_in_the_way_open_is_drawn_open(monkeypatch: pytest.MonkeyPatch) -> None:
    """A flap lies below the drawer's way; hinged at its rear edge, it stands up before it when it is open."""
    flap = "flap: {stock: oak, size: [200, 150], place: {at: [100, -250, 0], length: across, face: top}}"
    lid = ", flap: {parts: [flap], swing: {about: [100, -100, 20], axis: [-1, 0, 0], by: 90}}"
    seen, words = drawn(of(hit=flap, lid=lid), monkeypatch)

    assert "and flap open" in words and "what it hits is flap" in words
    assert seen["flap"] == pytest.approx(-120)  # it stands up, 20 thick, at its rear edge


def test_findings_that_do_not_move_have_none() -> None:
    report = of(hit=BAR)

    assert all(moving_picture(report.dry, f) is None for f in report.findings if f.kind != "travel")


def test_the_page_says_what_is_drawn() -> None:
    assert "In blue: drawer, as far as it goes; what it hits is post." in page(of(room=POST), "box.yaml")
