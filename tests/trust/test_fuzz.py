"""A thousand mangled specs are told or checked, and nothing else; more of them by `python -m trust.fuzz`."""

from __future__ import annotations

import os
import signal

import pytest
from trust import fuzz
from trust.mangle import SOURCES, mangled, tree_of

from solids.model.finding import Mistake, Place
from solids.model.piece import Piece

INPUTS = int(os.environ.get("DRYFIT_FUZZ", "1000"))


def test_mangled_specs_are_told_or_checked_and_nothing_else() -> None:
    counts = fuzz.run(range(INPUTS), 12)

    assert sum(counts.values()) == INPUTS
    assert counts["told"] > 0.3 * INPUTS  # the mangling bites
    assert counts["checked"] > 0.06 * INPUTS  # and leaves enough for the check


def test_the_same_seed_mangles_alike() -> None:
    assert [mangled(k) for k in range(50)] == [mangled(k) for k in range(50)]
    assert len({mangled(k) for k in range(50)}) > 40


def test_the_seeds_are_all_specs_with_every_section_of_the_language() -> None:
    said = {key for path in SOURCES for key in tree_of(path.read_bytes()) or ()}

    assert len(SOURCES) > 80
    assert said >= {"use", "groups", "assemblies", "hardware", "measured", "seasons", "shop", "loads"}


@pytest.mark.parametrize(("raw", "told"), [
    (b"use: [\"../x.yaml\"]", "told"),
    (b"\xff\xfe", "told"),
    (b"", "told"),
    (b"units: mm\nstock: {a: {sheet: mdf, thickness: 9}}\nparts: {p: {stock: a, size: [90, 80], "
     b"place: {at: [0, 0, 0], length: up, face: left}}}", "checked"),
    (b"units: mm\nstock: {a: {sheet: mdf, thickness: 9}}\nparts: {p: {stock: a, size: [90, 80], "
     b"place: {at: [0, 0, 0], length: up, face: left}, copies: {count: 40, step: [20, 0, 0]}}}", "too big"),
])  # fmt: skip
def test_what_comes_of_an_input_is_named(raw: bytes, told: str) -> None:
    assert fuzz.outcome(raw, True) == told


# The judge itself: what it is there to catch, it catches ------------------------------------------


def raising(raw: bytes) -> str:
    raise KeyError("x")


def never_ending(raw: bytes) -> str:
    while True:
        pass


def waiting(raw: bytes) -> str:
    return str(signal.pause())


def greedy(raw: bytes) -> str:
    return str(len(bytes(2**31)))


@pytest.mark.parametrize(("judge", "said"), [
    (raising, "seed 5: KeyError: 'x'"), (never_ending, "seed 5: over 0.2 s"),
    (waiting, "seed 5: still waiting after 1 s"), (greedy, "seed 5: MemoryError"),
], ids=["raising", "never ending", "waiting", "greedy"])  # fmt: skip
def test_every_kind_of_fault_is_seen_and_the_next_seed_tried(
    judge: object, said: str, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(fuzz, "MOST_SECONDS", 0.2)
    monkeypatch.setattr(fuzz, "MOST_WAITED", 1 if judge is waiting else 60)
    counts = fuzz.at_length(5, 2, judge)  # type: ignore[arg-type]

    assert counts == {"fault": 2}
    assert said in capfd.readouterr().out


def test_what_came_of_the_others_is_counted_when_one_is_a_fault(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(fuzz, "mangled", lambda seed: b"%d" % seed)
    counts = fuzz.at_length(0, 20, lambda raw: str(1 // (int(raw) - 7) < 0))

    assert counts == {"True": 7, "fault": 1, "False": 12}


def test_a_message_without_its_place_would_be_seen() -> None:
    fuzz.judged((Mistake(Place("s", 1, 1), "this"),), b"")
    for line, message in ((0, "this"), (9, "this"), (1, "a\x1b"), (1, "")):
        with pytest.raises(AssertionError):
            fuzz.judged((Mistake(Place("s", line, 1), message),), b"")


def test_mangled_specs_are_built_whole_or_not_at_all() -> None:
    read = [raw for raw in map(mangled, range(100_000, 100_060)) if isinstance(fuzz.piece_of(raw), Piece)]
    found = [fuzz.built(raw, ("report", "stl", "papers")) for raw in read[:3]]

    assert set(found) <= {"built", "refused", "too big"}
    assert "built" in found
