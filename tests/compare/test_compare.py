"""What becomes of parts when a piece changes, against shop problems and parts compared by hand."""

from __future__ import annotations

import base64
import hashlib
import json
import re
from math import cos, radians, sin

import pytest
from joinery import SPECS

from solids.compare.data import as_data, as_json
from solids.compare.difference import Difference, difference
from solids.compare.page import page
from solids.compare.words import lines, size_words
from solids.fit.check import check
from solids.spec.reader import from_text

INCH = 25.4
CHEST = (SPECS / "plan-chest.yaml").read_text(encoding="utf-8")
TABLE = (SPECS / "reading-table.yaml").read_text(encoding="utf-8")
SHELF = (SPECS / "wall-shelf.yaml").read_text(encoding="utf-8")


def compared(old: str, new: str) -> Difference:
    return difference(check(from_text(old)), check(from_text(new)))


def changed(text: str, was: str, now: str) -> str:
    assert text.count(was) == 1, was
    return text.replace(was, now)


def board(size: str, cuts: str = "", stock: str = "oak", name: str = "board") -> str:
    return f"""
title: test
units: mm
stock: {{oak: {{wood: white oak, thickness: 20}}, ash: {{wood: white ash, thickness: 20}}}}
parts:
  {name}: {{stock: {stock}, size: {size}, place: {{at: [0, 0, 0], length: across, face: top}}, cuts: [{cuts}]}}
"""


def states(d: Difference) -> dict[str, str]:
    return {p.id: p.state for p in d.parts}


# Shop problems ----------------------------------------------------------------------------------


def test_a_chest_made_two_inches_wider():
    """Shop problem MC07: what runs across grows by 2 in; sides, runners and their spacing stay."""
    d = compared(CHEST, changed(CHEST, "{width: 42,", "{width: 44,"))

    rows = range(1, 6)
    across = {"body.top", "body.bottom", "body.back", *(f"faces.faces.{k}" for k in rows)}
    across |= {f"tills.{k}.{part}" for k in rows for part in ("front", "rear", "bottom")}
    stay = {"body.left", "body.right"} | {f"tills.{k}.{side}" for k in rows for side in ("left", "right")}
    assert {p.id for p in d.of("remake")} == across
    assert {p.id for p in d.of("good")} == stay
    for part in d.of("remake"):
        (size,) = part.sizes
        assert size.after - size.before == pytest.approx(2 * INCH)
        assert size.name == ("width" if part.id == "body.back" else "length")
    assert [(s.name, round(s.after - s.before, 6)) for s in d.overall][:1] == [("width", 2 * INCH)]


def test_a_chest_made_narrower_is_cut_from_what_there_is():
    d = compared(CHEST, changed(CHEST, "{width: 42,", "{width: 40,"))

    assert d.counts == {"good": 12, "recut": 23, "remake": 0, "new": 0, "dropped": 0}


def test_a_desk_made_three_inches_higher():
    """Shop problem MC01: only the legs change, by 3 in; tops and aprons stay, though they stand higher."""
    d = compared(TABLE, changed(TABLE, "height: 740", "height: 816.2"))

    assert {p.id for p in d.of("remake")} == {f"stand.leg.{k}" for k in (1, 2, 3, 4)}
    for leg in d.of("remake"):
        assert next(s.after - s.before for s in leg.sizes if s.name == "length") == pytest.approx(3 * INCH)
    assert {p.id for p in d.of("good") if p.moved} == {
        "top",
        *(f"stand.apron_{s}" for s in ("front", "rear", "left", "right")),
    }


# One board --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("old", "new", "state"),
    [
        (board("[600, 100]"), board("[600, 100]"), "good"),
        (board("[600, 100]"), board("[590, 100]"), "recut"),
        (board("[600, 100]"), board("[600, 100.5]"), "remake"),
        (board("[600, 100]"), board("[600, 100]", "{dado: top, at: {left: 50}, width: 12, depth: 6}"), "recut"),
        (board("[600, 100]", "{dado: top, at: {left: 50}, width: 12, depth: 6}"), board("[600, 100]"), "remake"),
        # A dado 50 from the right of a longer board lies 50 from the left of it, turned end for end.
        (board("[700, 100]", "{dado: top, at: {right: 50}, width: 12, depth: 6}"),
         board("[600, 100]", "{dado: top, at: {left: 50}, width: 12, depth: 6}"), "recut"),
        # In boards of one length it must be turned end for end, its face still up.
        (board("[600, 100]", "{dado: top, at: {right: 50}, width: 12, depth: 6}"),
         board("[600, 100]", "{dado: top, at: {left: 50}, width: 12, depth: 6}"), "recut"),
        # Of two dados the one at the end that is kept stays, the other goes with what is cut away.
        (board("[700, 100]", "{dado: top, at: {left: 20}, width: 9, depth: 6}, "
               "{dado: top, at: {right: 50}, width: 12, depth: 6}, {groove: top, at: {front: 10}, width: 6, depth: 6}"),
         board("[600, 100]", "{dado: top, at: {right: 50}, width: 12, depth: 6}, "
               "{groove: top, at: {front: 10}, width: 6, depth: 6}"), "recut"),
        # In the middle of a longer board it comes 300 from its end, and no turn brings it to 50.
        (board("[700, 100]", "{dado: top, at: {left: 300}, width: 12, depth: 6}"),
         board("[600, 100]", "{dado: top, at: {left: 50}, width: 12, depth: 6}"), "remake"),
        # It may be cut away with the end that it is in.
        (board("[700, 100]", "{dado: top, at: {left: 50}, width: 12, depth: 6}"), board("[600, 100]"), "recut"),
        (board("[600, 100]"), board("[100, 600]"), "remake"),  # the grain would run across
        (board("[600, 100]"), board("[600, 100]", stock="ash"), "remake"),
        # A wider dado in the same place takes more away; a narrower one less.
        (board("[600, 100]", "{dado: top, at: {left: 50}, width: 12, depth: 6}"),
         board("[600, 100]", "{dado: top, at: {left: 49}, width: 14, depth: 7}"), "recut"),
        (board("[600, 100]", "{dado: top, at: {left: 50}, width: 12, depth: 6}"),
         board("[600, 100]", "{dado: top, at: {left: 50}, width: 11, depth: 6}"), "remake"),
    ],
)  # fmt: skip
def test_what_becomes_of_a_board(old: str, new: str, state: str) -> None:
    assert states(compared(old, new)) == {"board": state}


def test_a_part_under_another_name_is_the_same_wood():
    (part,) = compared(board("[600, 100]"), board("[600, 100]", name="plank")).parts

    assert (part.id, part.was, part.state) == ("plank", "board", "good")


def test_a_part_of_other_wood_under_another_name_is_new():
    assert states(compared(board("[600, 100]"), board("[500, 100]", name="plank"))) == {
        "board": "dropped",
        "plank": "new",
    }


def test_what_is_measured_is_cut_already():
    new = board("[590, 100]") + "measured: {board: {width: 99.5}}\n"
    (part,) = compared(board("[600, 100]"), new).parts
    assert part.cut and part.state == "recut"


# Findings and words -----------------------------------------------------------------------------


def test_findings_that_come_and_go():
    narrow = changed(SHELF, "width - 1 1/16]", "width - 1 1/4]")
    there, back = compared(SHELF, narrow), compared(narrow, SHELF)

    assert {f.kind for f in there.come} == {"open-joint"} and there.gone == ()
    assert [f.message for f in back.gone] == [f.message for f in there.come] and back.come == ()
    assert there.new.fits is False and back.new.fits is True


def test_the_terminal_says_it_in_the_maker_s_units():
    d = compared(SHELF, changed(SHELF, "height: 24,", "height: 23 1/2,"))
    told = list(lines(d, "a.yaml", "b.yaml", "in"))

    assert told[0].startswith("a.yaml to b.yaml: ")
    assert "  height 24 in to 23 1/2 in (1/2 in less)" in told
    assert "  back, other_side, side: length 24 in to 23 1/2 in (1/2 in less)" in told


def test_nothing_changed_is_said_so():
    d = compared(SHELF, SHELF)
    assert next(lines(d, "a.yaml", "a.yaml", "in")) == "a.yaml to a.yaml: all 5 parts stay good."
    assert d.overall == () and d.come == () and d.gone == ()


def test_json_holds_everything_in_mm():
    d = compared(SHELF, changed(SHELF, "height: 24,", "height: 23 1/2,"))
    told = json.loads(as_json(d, "a.yaml", "b.yaml"))

    assert told == json.loads(json.dumps(as_data(d, "a.yaml", "b.yaml")))
    back = next(p for p in told["parts"] if p["id"] == "back")
    assert back["state"] == "recut"
    assert back["sizes"] == [{"name": "length", "before": 609.6, "after": 596.9}]  # 24 and 23.5 times 25.4
    assert told["counts"] == {"good": 2, "recut": 3, "remake": 0, "new": 0, "dropped": 0}


def test_sizes_in_words():
    d = compared(TABLE, changed(TABLE, "height: 740", "height: 730.5"))
    leg = next(p for p in d.parts if p.id == "stand.leg.1")
    assert "length 716 mm to 706.5 mm (9.5 mm less)" in [size_words(s, "mm") for s in leg.sizes]


# The page ---------------------------------------------------------------------------------------


def test_the_page_fetches_nothing_and_shows_what_it_is_given_as_text():
    hostile = changed(SHELF, "title: Wall shelf for a print studio", 'title: "<script>alert(1)</script> & co"')
    html = page(compared(SHELF, changed(hostile, "height: 24,", "height: 23 1/2,")), "a.yaml", "<b>.yaml", "in")

    assert "<script" not in html and "&lt;script&gt;alert(1)&lt;/script&gt; &amp; co" in html
    assert "<b>" not in html.replace("<b>L</b>", "")
    assert not re.search(r"(src|href)=[\"'](?!#)|url\(|@import|https?://(?!www\.w3\.org)", html)
    style = re.search(r"<style>(.*?)</style>", html, re.S)
    assert style is not None
    digest = base64.b64encode(hashlib.sha256(style[1].encode()).digest()).decode()
    assert f"style-src 'sha256-{digest}'" in html and "default-src 'none'" in html


def test_the_page_is_the_same_every_time_and_asks_for_a_name():
    d = compared(SHELF, changed(SHELF, "height: 24,", "height: 23 1/2,"))
    html = page(d, "a.yaml", "b.yaml", "in")

    assert html == page(compared(SHELF, changed(SHELF, "height: 24,", "height: 23 1/2,")), "a.yaml", "b.yaml", "in")
    assert "Signature" in html and "Date" in html
    assert "style=" not in html


def test_both_pictures_are_to_one_scale():
    """A shelf 30 wide and 7 1/4 deep made 40 wide, seen from 35 degrees to the right: w cos 35 + d sin 35 across."""
    html = page(compared(SHELF, changed(SHELF, "width: 30,", "width: 40,")), "a.yaml", "b.yaml", "in")
    wide = [float(w) for w in re.findall(r'<svg[^>]*viewBox="0 0 ([\d.]+) ', html)]
    a, b = (w * cos(radians(35)) + 7.25 * sin(radians(35)) for w in (30, 40))
    margins = 2 * 14.0  # px round a picture
    assert len(wide) == 2
    assert (wide[1] - margins) / (wide[0] - margins) == pytest.approx(b / a, abs=0.02)
