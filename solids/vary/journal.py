"""What has been tried already, kept as it comes: a run that was stopped goes on where it was."""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import asdict
from pathlib import Path
from typing import Any

import solids
from solids.model.family import Varied
from solids.vary.bundle import Bundle
from solids.vary.member import Tried, Values

Writer = Any


def known(path: Path, bundle: Bundle, varied: tuple[Varied, ...]) -> dict[Values, Tried]:
    """The members that a journal of the same spec, sizes and version holds; none where it is of another.

    A last line that was being written when the run died is left aside.
    """
    try:
        lines = path.read_text(encoding="utf-8").splitlines()
    except (OSError, UnicodeDecodeError):
        return {}
    if not lines or _parsed(lines[0]) != _head(bundle, varied):
        return {}
    found = (_tried(_parsed(line)) for line in lines[1:])
    return {t.values: t for t in found if t is not None}


@contextmanager
def kept(path: Path, bundle: Bundle, varied: tuple[Varied, ...], before: dict[Values, Tried]) -> Iterator[Writer]:
    """A function that writes down each member as it is tried; what was known before is written anew first."""
    path.parent.mkdir(parents=True, exist_ok=True)
    fresh = path.with_suffix(".part")
    lines = [json.dumps(_head(bundle, varied)), *(json.dumps(asdict(t)) for t in before.values())]
    fresh.write_text("\n".join(lines) + "\n", encoding="utf-8")
    fresh.replace(path)
    with path.open("a", encoding="utf-8") as file:

        def write(tried: Tried) -> None:
            file.write(json.dumps(asdict(tried)) + "\n")
            file.flush()

        yield write


def _head(bundle: Bundle, varied: tuple[Varied, ...]) -> dict[str, Any]:
    names = [[v.name, v.kind] for v in varied]
    return {"dryfit": solids.__version__, "spec": bundle.digest(), "varied": names}


def _parsed(line: str) -> dict[str, Any] | None:
    try:
        data = json.loads(line)
    except ValueError:
        return None
    return data if isinstance(data, dict) else None


def _tried(data: dict[str, Any] | None) -> Tried | None:
    try:
        assert data is not None
        values, size = tuple(data.pop("values")), tuple(data.pop("size"))
        return Tried(values, size=size, **data)
    except (AssertionError, KeyError, TypeError):
        return None
