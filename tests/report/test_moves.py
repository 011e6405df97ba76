"""What is said of drawers and doors that go their whole way, by gaps worked out by hand."""

from __future__ import annotations

import json

import pytest
from joinery import board, text

from solids.fit.check import Report, check
from solids.report.data import as_json
from solids.report.text import lines
from solids.spec.reader import from_text

NEAR = board("near", "[500, 1000]", "[-32.7, -600, 0]", "up", "right")
BOX = board("box", "[300, 400, 100]", "[0, 0, 0]", "across", "top")
DRAWER = "drawer: {parts: box, slide: {front: 400}}"


def report(parts: list[str], moving: str, units: str = "mm") -> Report:
    return check(from_text(text(parts, units=units) + f"moving: {{{moving}}}\n"))


def moves(r: Report) -> list[str]:
    return [line for line in lines(r, "s.yaml") if line.startswith("moves")]


def test_the_least_room_of_all_is_told_with_where_it_is() -> None:
    # The box stands 0..300, the board's face at -12.7.
    (line,) = moves(report([BOX, NEAR], DRAWER))
    assert line == "moves: drawer goes its whole way; the least room, on its 400 mm, is 12.70 mm beside near."


def test_of_several_the_one_with_the_least() -> None:
    other = board("other", "[300, 400, 50]", "[0, 0, 105]", "across", "top")
    r = report([BOX, other, NEAR], DRAWER + ", upper: {parts: other, slide: {front: 300}}")
    (line,) = moves(r)
    assert line == (
        "moves: 2 bodies go their whole way; the least room, of drawer on its 400 mm, is 5.00 mm beside other."
    )


def test_with_nothing_near_it_says_how_far_was_looked() -> None:
    (line,) = moves(report([BOX], DRAWER))
    assert line == "moves: drawer goes its whole way, with nothing within 30 mm of it."


def test_what_meets_something_is_a_finding_and_no_move() -> None:
    post = board("post", "[500, 50]", "[100, -257, 0]", "up", "front")
    r = report([BOX, post], DRAWER)
    assert moves(r) == []
    (told,) = json.loads(as_json(r, "s.yaml"))["moves"]
    assert (told["body"], told["moves"], told["way"], told["with"]) == ("drawer", "slides", 400, "post")
    assert told["contact"] == pytest.approx(237, abs=0.02)


def test_nothing_moves_in_a_piece_that_stands_still() -> None:
    r = check(from_text(text([BOX])))
    assert moves(r) == []
    assert json.loads(as_json(r, "s.yaml"))["moves"] == []
