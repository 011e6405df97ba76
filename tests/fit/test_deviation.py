"""Wood that came out otherwise than planned: what it spoils, in whose name that is told, and what makes up for it."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from dataclasses import replace

import pytest
from joinery import SPECS, everything

from solids.fit.check import Report, check
from solids.fit.deviation import summary_words
from solids.fit.making_up import Handle, Spot
from solids.model.finding import Edit, Finding, Severity
from solids.model.measured import Measure, resized
from solids.report.text import lines
from solids.spec.reader import from_text


def of(name: str, measured: str) -> Report:
    """A sound piece of specs/ with something measured."""
    text = (SPECS / f"{name}.yaml").read_text(encoding="utf-8")
    return check(from_text(text.replace("\nsizes:", f"\nmeasured: {{{measured}}}\nsizes:", 1)))


def the_one(report: Report) -> Finding:
    assert len(report.findings) == 1, [f.message for f in report.findings]
    return report.findings[0]


def as_entries(edits: Iterable[Edit], cuts: Iterable[str]) -> str:
    """Edits as entries of `measured`: `side.rabbet_rear.width` is `side.rabbet_rear: {width: 7.9375 mm}`."""
    given: dict[str, dict[str, str]] = {}
    named = sorted(cuts, key=len, reverse=True)
    for e in edits:
        name = next((c for c in named if e.target.startswith(c + ".")), e.target.rpartition(".")[0])
        field = e.target[len(name) + 1 :].split(".")
        unit = "deg" if field[-1] in ("tilt", "angle") else "mm"
        value = f"{e.after:.6f} {unit}"
        for step in reversed(field[1:]):
            value = f"{{{step}: {value}}}"
        given.setdefault(name, {})[field[0]] = value
    return ", ".join(f"{n}: {{{', '.join(f'{k}: {v}' for k, v in m.items())}}}" for n, m in given.items())


def mended(name: str, measured: str) -> Report:
    """The piece with what was measured, and what is uncut made as the check says."""
    report = of(name, measured)
    cuts = [f"{p.id}.{m.name}" for p in report.piece.parts for m in p.cuts]
    edits = [e for f in report.findings for e in f.remedy]
    assert edits
    return of(name, f"{measured}, {as_entries(edits, cuts)}")


# What is told -----------------------------------------------------------------------------------


def test_a_side_that_is_too_narrow_is_named_in_inches() -> None:
    # Its rear edge lies 1/16 in further forward, and with it the rabbet's wall: the back stands off by 1/16 in.
    f = the_one(of("wall-shelf", "side: {width: 7 3/16}"))

    assert (f.kind, f.severity) == ("open-joint", Severity.STOP)
    assert f.cause == "side measures 7 3/16 in wide, 1/16 in less than planned"
    assert f.values["measured"] == pytest.approx(7.1875 * 25.4)
    assert f.values["planned"] == pytest.approx(7.25 * 25.4)
    assert f.values["greatest"] == pytest.approx(25.4 / 16)
    assert f.place is not None
    assert f.place.line == 3


def test_a_shelf_that_is_too_long_is_named_in_mm() -> None:
    # It keeps its left end; 300 - 2 x (16 - 5 + 0.3) = 277.4 as planned, with 0.3 of room at each floor: 278.2 runs
    # 278.2 - 277.4 - 0.3 = 0.5 into the right one.
    f = the_one(of("key-cabinet", "shelf.1: {length: 278.2}"))

    assert f.kind in ("bottoms-out", "interference")
    assert f.cause == "shelf.1 measures 278.2 mm long, 0.8 mm more than planned"
    assert f.values["measured"] == pytest.approx(278.2)
    assert f.values["planned"] == pytest.approx(277.4)
    assert f.values.get("distance", f.values.get("depth")) == pytest.approx(0.5)


def test_a_cut_is_named_as_a_joint_made_it() -> None:
    f = the_one(of("seed-tray", "front.miter_left: {tilt: 44.6}"))

    assert (f.kind, f.values["degrees"]) == ("miter-mismatch", pytest.approx(0.4))
    assert f.cause == "front.miter_left measures 44.6° of tilt, 0.4° less than planned"
    assert (f.values["measured"], f.values["planned"]) == (pytest.approx(44.6), pytest.approx(45))


def test_one_stock_is_one_finding_with_all_that_it_spoils_below_it() -> None:
    # Four dados of 6 mm hold 5.2 mm: 0.8 of play, over 0.4; and the back, its front kept, lies 5.8 - 5.2 = 0.6 shy.
    f = the_one(of("key-cabinet", "ply: {thickness: 5.2}"))

    assert f.cause == "ply measures 5.2 mm thick, 0.6 mm less than planned"
    below = everything(f.folded)
    assert sum(g.kind == "loose" and g.values["difference"] == pytest.approx(0.8) for g in below) == 4
    assert any(g.kind == "shy" and g.values["step"] == pytest.approx(0.6) for g in below)


def test_two_numbers_that_are_off_are_two_findings() -> None:
    report = of("wall-shelf", "side: {width: 7 3/16}, shelf.2: {length: 28 15/16}")

    assert {f.cause.split(" measures ")[0] for f in report.findings} == {"side", "shelf.2"}
    assert all(f.severity is Severity.STOP for f in report.findings)


def test_what_takes_two_numbers_to_spoil_names_both() -> None:
    # 1 mm may stay open at a floor; the shelf 0.5 short and the dado 0.7 too deep make 1.2. The larger is named first.
    slight = "shelf.2: {length: 29 - 0.5 mm}", "other_side.house_shelf.2: {depth: 1/4 + 0.7 mm}"
    assert all(of("wall-shelf", m).findings == () for m in slight)
    f = the_one(of("wall-shelf", ", ".join(slight)))

    assert f.kind == "not-seated"
    assert f.values["distance"] == pytest.approx(1.2)
    assert f.cause.startswith("other_side.house_shelf.2 measures ")
    assert "; and shelf.2 measures " in f.cause


def test_what_either_of_two_numbers_would_spoil_is_told_once() -> None:
    # Each by itself is over the 1 mm that may stay open at the floor.
    f = the_one(of("wall-shelf", "shelf.2: {length: 28 15/16}, other_side.house_shelf.2: {depth: 5/16}"))

    assert f.kind == "not-seated"
    assert f.values["distance"] == pytest.approx(25.4 / 8)


def test_a_fault_of_the_plan_is_not_put_down_to_what_was_measured() -> None:
    text = (SPECS / "faults" / "miter-mismatch-bevel.yaml").read_text(encoding="utf-8")
    plan = check(from_text(text))
    report = check(from_text(text + "measured: {shelf.1: {length: 278.2}}\n"))
    mine = [f for f in report.findings if "measured" in f.values]

    assert [f.cause.split(" measures")[0] for f in mine] == ["shelf.1"]
    assert [f for f in report.findings if f not in mine] == list(plan.findings)


# What makes up for it ---------------------------------------------------------------------------


def test_a_shelf_is_cut_shorter_for_a_dado_that_is_too_shallow() -> None:
    f = the_one(of("wall-shelf", "side.house_shelf.1: {depth: 3/16}"))

    assert f.advice == "cut shelf.1 1/16 in shorter at the left to make up for it"
    assert f.remedy == (Edit("shelf.1.length", pytest.approx(29 * 25.4), pytest.approx(28.9375 * 25.4)),)  # type: ignore[arg-type]


def test_the_other_bevel_is_sawn_to_make_up_the_corner() -> None:
    f = the_one(of("seed-tray", "front.miter_left: {tilt: 44.6}"))

    assert f.advice == "saw left.miter_front at 45.4°, not 45° to make up for it"
    assert f.remedy == (Edit("left.miter_front.tilt", 45.0, pytest.approx(45.4)),)  # type: ignore[arg-type]


def test_cuts_that_end_in_one_plane_are_changed_together() -> None:
    f = the_one(of("wall-shelf", "side: {width: 7 3/16}"))

    assert {e.target for e in f.remedy} == {
        "side.rabbet_rear.width", "side.house_shelf.1.stop.rear", "side.house_shelf.2.stop.rear",
    }  # fmt: skip
    assert all((e.before, e.after) == pytest.approx((9.525, 7.9375)) for e in f.remedy)
    assert f.advice.startswith("cut side.rabbet_rear 1/16 in narrower, and what ends there in")


def test_like_cuts_are_changed_alike_and_what_is_left_is_said() -> None:
    f = the_one(of("key-cabinet", "ply: {thickness: 5.2}"))

    assert "right.lower_dado and right.upper_dado 0.6 mm narrower (the further wall as it is) to make up" in f.advice
    assert "but for this: back's rear lies shy" in f.advice
    assert [e.after for e in f.remedy if e.target.endswith(".width")] == pytest.approx([5.4] * 4)
    moved = [e.after - e.before for e in f.remedy if e.target.endswith(".at.bottom")]
    assert moved == pytest.approx([0.6] * 4)


@pytest.mark.parametrize(
    ("name", "measured"),
    [
        ("wall-shelf", "side: {width: 7 3/16}"),
        ("wall-shelf", "shelf: {length: 28 15/16}"),
        ("wall-shelf", "cherry: {thickness: 23/32}"),
        ("wall-shelf", "other_side.rabbet_rear: {depth: 3/16}"),
        ("seed-tray", "front.miter_left: {tilt: 44.6}"),
        ("seed-tray", "front.miter_left: {tilt: 45.4}"),
        ("key-cabinet", "shelf.1: {length: 278.2}"),
        ("key-cabinet", "right.lower_dado: {depth: 6.5}"),
    ],
)
def test_made_as_is_told_it_goes_together(name: str, measured: str) -> None:
    assert not of(name, measured).fits
    after = mended(name, measured)

    assert after.findings == (), [f.message for f in after.findings]


@pytest.mark.parametrize(
    ("name", "measured", "by"),
    [
        ("wall-shelf", "side.house_shelf.1: {depth: 3/16}", 25.4 / 16),
        ("key-cabinet", "left.lower_dado: {depth: 4.2}", 0.8),
    ],
)
def test_shortened_at_its_left_the_shelf_goes_together(name: str, measured: str, by: float) -> None:
    report = of(name, measured)
    (edit,) = the_one(report).remedy
    assert edit.target == "shelf.1.length"
    assert edit.before - edit.after == pytest.approx(by)

    parts = tuple(
        resized(p, "length", edit.after, from_high=True) if p.id == "shelf.1" else p for p in report.piece.parts
    )
    assert check(replace(report.piece, parts=parts, measured=(), plan=None)).findings == ()


def test_a_corner_that_would_leave_a_strip_bare_is_not_made_up_by_its_other_bevel() -> None:
    # 45.7 and 44.3: the two bevels are 12/cos 45.7 and 12/cos 44.3 wide, 0.41 apart, over the 0.3 of a lip.
    f = the_one(of("seed-tray", "front.miter_left: {tilt: 45.7}"))
    assert 12 / math.cos(math.radians(45.7)) - 12 / math.cos(math.radians(44.3)) > 0.4
    assert f.remedy == ()
    assert f.advice.endswith("plan the rest anew, or make front again")


def test_what_was_measured_is_cut_and_no_remedy_touches_it() -> None:
    # The shelf that would be shortened came out just as planned: it is cut, and only the plan is left to change.
    f = the_one(of("wall-shelf", "side.house_shelf.1: {depth: 3/16}, shelf.1: {length: 29}"))

    assert f.remedy == ()
    assert f.advice == "no small change of what is still uncut makes up for it: bring side.house_shelf.1 to its plan"


@pytest.mark.parametrize(
    ("measured", "told"),
    [
        ("left.lower_dado: {width: 5}", "bring left.lower_dado to its plan"),  # there is wood to take
        ("left.lower_dado: {width: 6.6}", "plan the rest anew, or make left again"),  # there is none to put back
        ("right: {length: 401.2}", "bring right to its plan"),
        ("right: {length: 398.8}", "plan the rest anew, or make right again"),
        ("ply: {thickness: 4.9}", "plan the rest anew, or take other ply"),
    ],
)
def test_where_nothing_makes_up_for_it_there_is_something_else_to_do(measured: str, told: str) -> None:
    assert the_one(of("key-cabinet", measured)).advice.endswith(told)


def test_a_board_is_never_made_thicker() -> None:
    for measured in ("shelf: {length: 28 15/16}", "shelf.1: {length: 28 15/16}", "cherry: {thickness: 23/32}"):
        edits = [e for f in of("wall-shelf", measured).findings for e in f.remedy if e.target.endswith("thickness")]
        assert all(e.after < e.before for e in edits)


def test_a_remedy_is_told_as_made_at_the_bench_and_not_in_the_spec() -> None:
    text = "\n".join(lines(of("wall-shelf", "side.house_shelf.1: {depth: 3/16}"), "s.yaml"))

    assert "    because  side.house_shelf.1 measures 3/16 in deep, 1/16 in less than planned" in text
    assert "    to mend  cut shelf.1 1/16 in shorter at the left to make up for it" in text
    assert "    at the bench  shelf.1.length: 29 in to 28.9375 in" in text
    assert "in the spec" not in text


# What spoils nothing ----------------------------------------------------------------------------


def test_what_spoils_nothing_is_told_in_one_line_and_is_no_finding() -> None:
    report = of("wall-shelf", "shelf: {width: 6 13/16}, ply: {thickness: 5.5 mm}")
    told = list(lines(report, "s.yaml"))

    assert report.findings == ()
    assert told == [
        "s.yaml: fits. 5 parts, 8 pairs looked at.",
        "as measured: ply 0.2165 in thick (planned 0.2283 in); shelf 6 13/16 in wide (planned 6 7/8 in)",
    ]


def test_the_line_is_in_the_units_that_are_asked_for() -> None:
    report = of("wall-shelf", "ply: {thickness: 5.5 mm}")
    assert list(lines(report, "s.yaml", "mm"))[1] == "as measured: ply 5.5 mm thick (planned 5.8 mm)"


def test_what_spoils_something_does_not_stand_in_the_line_and_what_is_as_planned_neither() -> None:
    report = of("wall-shelf", "side.house_shelf.1: {depth: 3/16}, shelf.2: {length: 29}, shelf.1: {width: 6 13/16}")
    (line,) = (t for t in lines(report, "s.yaml") if t.startswith("as measured"))

    assert line == "as measured: shelf.1 6 13/16 in wide (planned 6 7/8 in)"


def test_without_anything_measured_there_is_no_line() -> None:
    assert not any(t.startswith("as measured") for t in lines(of("wall-shelf", "shelf.2: {length: 29}"), "s.yaml"))


@pytest.mark.parametrize(
    ("field", "planned", "value", "is_angle", "words"),
    [
        ("at.bottom", 130.0, 131.0, False, "side.dado_right 131 mm from its bottom (planned 130 mm)"),
        ("tilt", 45.0, 44.6, True, "side.dado_right 44.6° of tilt (planned 45°)"),
        ("diameter", 8.0, 8.25, False, "side.dado_right 8.25 mm across (planned 8 mm)"),
        ("depth", 6.0, 5.5, False, "side.dado_right 5.5 mm deep (planned 6 mm)"),
    ],
)
def test_words_for_each_kind_of_number(field: str, planned: float, value: float, is_angle: bool, words: str) -> None:
    m = Measure("side.dado_right", field, ("side",), planned, value, is_angle, "dado_right")
    assert summary_words(m, "mm") == words


def test_the_words_of_every_finding_are_clean() -> None:
    for name, measured in (("wall-shelf", "cherry: {thickness: 23/32}"), ("key-cabinet", "ply: {thickness: 5.2}")):
        for f in of(name, measured).findings:
            assert not re.search(r"\d\.\d{5}|-0\.0+ |nan|None|[<>{}]", f.message + f.advice + f.cause)


def test_two_runs_say_the_same() -> None:
    first, second = (of("key-cabinet", "ply: {thickness: 5.2}, left: {width: 119.4}").findings for _ in range(2))
    assert first == second


def test_order_of_what_was_measured_says_the_same() -> None:
    a, b = "side: {width: 7 3/16}", "shelf.2: {length: 28 15/16}"
    one, other = of("wall-shelf", f"{a}, {b}").findings, of("wall-shelf", f"{b}, {a}").findings

    def told(findings: Iterable[Finding]) -> set[tuple[str, str, str]]:
        return {(f.message, f.cause, f.advice) for f in findings}

    assert told(one) == told(other)


def test_a_handle_of_several_spots_goes_by_the_field_of_the_first() -> None:
    h = Handle((Spot("side", "rabbet_rear", "width"), Spot("side", "dado", "stop.rear")), False, 9.5, False, "rabbet")
    assert (h.field, h.spots[0].name, Spot("shelf", "", "length").name) == ("width", "side.rabbet_rear", "shelf")
