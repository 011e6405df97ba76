"""The quick parser, where it answers at all, gives just the events of the thorough one: in order, word and place."""

from __future__ import annotations

import random
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solids.spec.events import Event, NotYaml, quick, thorough

ROOT = Path(__file__).parents[2]
SPECS = sorted([*(ROOT / "specs").rglob("*.yaml"), *(ROOT / "solids" / "new").glob("*.yaml")])
MARKS = [*"&*!|>%@` \n:-?[]{},#'\"<=.0a~()/+xé½", "\n  ", "\n- ", ": ", "''", '""', "a: ", "{a: 1}", "[1, 2]", " #",
         "{}", "[]", "? ", "| ", ">\n  x", "!!str", "&a ", "*a", "-\n", ":\n", "\r\n", "\t", "---\n",
         "\\n"]  # fmt: skip
HAS_QUICK = quick("a: b") is not None


def slow(text: str) -> list[Event] | None:
    try:
        return list(thorough(text))
    except NotYaml:
        return None


def is_alike(text: str) -> bool:
    """Whether the quick parser answered; fails where it answered otherwise than the thorough one."""
    found = quick(text)
    if found is not None:
        # A sequence without brackets may end anywhere before the next word: only its end has another place.
        assert [told(e) for e in found] == [told(e) for e in slow(text) or ()], repr(text)
    return found is not None


def told(event: Event) -> tuple[object, ...]:
    return ("end",) if event.kind == "end" else event


@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_every_spec_is_read_alike(end: str) -> None:
    answered = [is_alike(p.read_text(encoding="utf-8").replace("\n", end)) for p in SPECS]

    assert len(answered) > 40
    assert all(answered) or not HAS_QUICK


def test_damaged_specs_are_read_alike() -> None:
    dice = random.Random(7)
    texts = [p.read_text(encoding="utf-8") for p in SPECS]
    answered = 0
    for _ in range(1500):
        text = dice.choice(texts)
        at = dice.randrange(len(text))
        piece = list(text[text.rfind("\n", 0, at) + 1 :][:250])
        for _ in range(dice.randint(1, 3)):
            at = dice.randrange(len(piece) or 1)
            piece[at : at + dice.randint(0, 2)] = dice.choice(MARKS)
        answered += is_alike("".join(piece))
    assert answered > 100 or not HAS_QUICK


@given(st.lists(st.sampled_from(MARKS), max_size=25).map("".join))
@settings(max_examples=600)
def test_words_and_marks_in_any_order_are_read_alike(text: str) -> None:
    is_alike(text)


@pytest.mark.parametrize(
    "text",
    [
        "a: |#x\nb: 1",
        "a:",
        "- ",
        "a: b\\",
        'a: "\\/"',
        "a:\tb",
        "a: b\rc: d",
        "a: b\u2028c",
        "%YAML 1.1\n--- a",
        "--- a",
        "!!str!!str\n  <",  # a handle that was never declared, by one; a longer tag, by the other
        "a: !!int 1",
        "a: {*b: 1}",  # an alias for a key, by one; no YAML, by the other
        "&a b: 1",
    ],
)
def test_what_the_parsers_read_otherwise_is_left_to_the_thorough_one(text: str) -> None:
    assert quick(text) is None


def test_what_is_no_yaml_is_told_by_the_thorough_one() -> None:
    assert quick("a: [1, 2") is None
    with pytest.raises(NotYaml) as caught:
        list(thorough("a: [1, 2"))
    assert (caught.value.line, caught.value.column) == (1, 9)
    assert "that was opened is closed" in caught.value.told
