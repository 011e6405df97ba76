"""The JSON Schema of specs: what editors check against lets in every sound spec and refuses a misspelt one."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from ruamel.yaml import YAML

from solids.cuts import CUTS
from solids.joints import JOINTS
from solids.spec.reader import KEYS, from_text
from solids.spec.schema import DRAFT, schema
from solids.spec.written import written

ROOT = Path(__file__).parents[2]
SPECS = sorted([*(ROOT / "specs").rglob("*.yaml"), *(ROOT / "solids/new").glob("*.yaml")])
SOUND = (Path(__file__).parent / "mistakes.yaml").read_text(encoding="utf-8")
VALIDATOR = jsonschema.Draft202012Validator(schema())


def as_editors_load(text: str) -> Any:
    """The spec as an editor's own YAML has it: numbers are numbers, and `on` is a word."""
    return json.loads(json.dumps(YAML(typ="safe", pure=True).load(text), default=str))


def as_words(value: Any) -> Any:
    """The same with every scalar as text."""
    if isinstance(value, dict):
        return {k: as_words(v) for k, v in value.items()}
    if isinstance(value, list):
        return [as_words(v) for v in value]
    return value if value is None else str(value)


def refused(text: str) -> list[str]:
    """The places that the schema finds fault with, each once."""
    return sorted({e.json_path for e in VALIDATOR.iter_errors(as_editors_load(text))})


def test_the_schema_is_itself_lawful() -> None:
    jsonschema.Draft202012Validator.check_schema(schema())

    assert schema()["$schema"] == DRAFT
    assert json.loads(json.dumps(schema())) == schema()


@pytest.mark.parametrize("path", SPECS, ids=lambda p: p.stem)
def test_every_spec_that_reads_is_let_in(path: Path) -> None:
    tree = as_editors_load(path.read_text(encoding="utf-8"))

    assert list(VALIDATOR.iter_errors(tree)) == []
    assert list(VALIDATOR.iter_errors(as_words(tree))) == []


def test_a_spec_that_was_written_out_is_let_in() -> None:
    assert refused(written(from_text(SOUND))) == []


def test_formulas_with_commas_are_let_in_wherever_a_size_may_stand() -> None:
    text = SOUND
    for old, new in {
        "[tall, 200]": "[max(tall, 3), min(200, width, 300)]",
        "{left: 100}": "{left: max(100, 5)}",
        "{x: width / 2}": "{x: max(width / 2, 1)}",
        "[20, 0, 100]": "[max(20, 1), 0, min(100, 200)]",
        "tall: 300": "tall: max(300, 200)",
    }.items():
        assert old in text
        text = text.replace(old, new)

    from_text(text)
    assert refused(text) == []


@pytest.mark.parametrize("kind", CUTS)
def test_the_example_of_every_cut_is_let_in(kind: str) -> None:
    assert refused(SOUND.replace("{bevel: front, tilt: 10, long: top}", CUTS[kind].example)) == []


@pytest.mark.parametrize("kind", JOINTS)
def test_the_example_of_every_joint_is_let_in(kind: str) -> None:
    assert refused(SOUND.replace("{touch: [shelf, side]}", JOINTS[kind].example)) == []


@pytest.mark.parametrize(
    ("old", "new", "where"),
    [
        ("title:", "titel:", "$"),
        ("units: mm", "units: cm", "$.units"),
        ("units: mm\n", "", "$"),
        ("sizes: {width: 400", "sizes: {wi-dth: 400", "$.sizes"),
        ("thickness: 20", "thicknes: 20", "$.stock.oak"),
        ("    size: [tall, 200]", "    sizes: [tall, 200]", "$.parts.side"),
        ("size: [tall, 200]", "size: [tall]", "$.parts.side.size"),
        ("size: [tall, 200]", "size: [tall, 200, 20, 20]", "$.parts.side.size"),
        ("length: up, face: left", "length: upp, face: left", "$.parts.side.place.length"),
        ("length: up, face: left", "length: up, face: back", "$.parts.side.place.face"),
        ("at: [0, 0, 0]", "at: [0, 0]", "$.parts.side.place.at"),
        ("rabbet: rear", "rabet: rear", "$.parts.side.cuts[0]"),
        ("rabbet: rear", "rabbet: back", "$.parts.side.cuts[0]"),
        ("width: 6, depth: 10", "widht: 6, depth: 10", "$.parts.side.cuts[0]"),
        ("width: 6, depth: 10", "width: 6", "$.parts.side.cuts[0]"),
        ("at: {left: 100}", "at: {lft: 100}", "$.parts.shelf.cuts[0]"),
        ("{touch: [shelf, side]}", "{tuch: [shelf, side]}", "$.joints[0]"),
        ("depth: 5}", "depth: 5, fit: tight}", "$.joints[1]"),
        ("about: {x: width / 2}", "about: {w: width / 2}", "$.parts.other.about"),
        ("joints:", "limits: {slack: [1, 2]}\njoints:", "$.limits"),
    ],
)
def test_a_misspelt_spec_is_refused_in_its_place(old: str, new: str, where: str) -> None:
    assert old in SOUND
    assert refused(SOUND.replace(old, new, 1)) == [where]


def test_the_schema_knows_the_same_keys_as_the_reader() -> None:
    assert set(schema()["properties"]) == set(KEYS)
