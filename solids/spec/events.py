"""YAML 1.2 as events: a scalar, a list or a map that begins, its end, each with its line and column.

Two parsers read the same text. The one written in C is some twenty times as
fast, and reads what nearly every spec is made of just as the one in Python
does; whatever else a text holds, and every text with a mistake in it, is read
by the one in Python, whose words the mistakes are told in.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import suppress
from typing import Any, Literal, NamedTuple

Kind = Literal["scalar", "list", "map", "end", "alias", "document"]
KINDS: dict[str, Kind] = {
    "ScalarEvent": "scalar",
    "SequenceStartEvent": "list",
    "SequenceEndEvent": "end",
    "MappingStartEvent": "map",
    "MappingEndEvent": "end",
    "AliasEvent": "alias",
    "DocumentStartEvent": "document",
}
# What the two parsers may read otherwise: escapes, tabs, line breaks of other kinds, several documents, directives.
_DOUBTFUL = re.compile(r"[\\\t\x85\u2028\u2029\ufeff]|\r(?!\n)|^(?:---|\.\.\.|%)", re.MULTILINE)
DEEPEST = 100  # lists and maps within each other
_BLOCK = ("|", ">")  # styles of a scalar whose first line one parser takes more strictly than the other


class Event(NamedTuple):
    """One event; line and column are counted from 1."""

    kind: Kind
    line: int
    column: int
    text: str = ""
    style: str = ""
    anchor: str = ""
    tag: str = ""


class NotYaml(Exception):
    """A text that is no YAML: where, and why."""

    def __init__(self, line: int, column: int, told: str) -> None:
        super().__init__(told)
        self.line = line
        self.column = column
        self.told = told


def quick(text: str) -> list[Event] | None:
    """The events by the parser written in C; None where there is none, or where another may read the text otherwise."""
    from ruamel.yaml import YAML
    from ruamel.yaml.parser import Parser

    yaml = YAML(typ="safe")
    if yaml.Parser is Parser or _DOUBTFUL.search(text):
        return None
    with suppress(Exception):  # told by the other parser
        return _alike(_events(yaml.parse(text)))
    return None


def _alike(events: Iterator[Event]) -> list[Event] | None:
    """All the events; None as soon as one may be read otherwise, or lies too deep: the time grows with its square."""
    found, depth = [], 0
    for event in events:
        depth += (event.kind in ("list", "map")) - (event.kind == "end")
        if depth > DEEPEST or not _is_read_alike(event):
            return None
        found.append(event)
    return found


def _is_read_alike(event: Event) -> bool:
    """Whether both parsers give this event, in the same place: an empty value has no place of its own.

    Of tags, anchors and aliases they take different ones for lawful, as `!!str!!str` and `*a:`.
    """
    if event.tag or event.anchor:
        return False
    return event.kind != "scalar" or (event.style not in _BLOCK and bool(event.text or event.style))


def thorough(text: str) -> Iterator[Event]:
    """The events by the parser written in Python. Raises NotYaml."""
    from ruamel.yaml import YAML
    from ruamel.yaml.error import YAMLError

    try:
        yield from _events(YAML(typ="safe", pure=True).parse(text))
    except YAMLError as e:
        raise _not_yaml(e, text) from None
    except (ValueError, OverflowError, AttributeError, IndexError, TypeError, KeyError) as e:
        # The library fails in its own ways on mangled directives and escapes.
        raise NotYaml(1, 1, f"this is not YAML: {e}") from None


def _events(parsed: Iterator[Any]) -> Iterator[Event]:
    for event in parsed:
        kind = KINDS.get(type(event).__name__)
        if kind is None:
            continue  # a stream's start and end, and a document's end
        mark = event.start_mark
        line, column = mark.line + 1, mark.column + 1
        if kind == "scalar":
            yield Event(kind, line, column, event.value, event.style or "", event.anchor or "", str(event.tag or ""))
        elif kind in ("list", "map"):
            yield Event(kind, line, column, "", "", event.anchor or "", str(event.tag or ""))
        else:
            yield Event(kind, line, column, "", "", getattr(event, "anchor", None) or "")


def _not_yaml(error: Any, text: str) -> NotYaml:
    mark = getattr(error, "problem_mark", None) or getattr(error, "context_mark", None)
    problem = getattr(error, "problem", None) or str(error).split("\n")[0]
    context = getattr(error, "context", None)
    line = mark.line + 1 if mark else 1
    column = mark.column + 1 if mark else 1
    where = f" {context}" if context else ""
    hint = _hint(error, str(context), problem, line, text.splitlines())
    return NotYaml(line, column, f"this is not YAML:{where} {problem}{hint}".replace("  ", " "))


def _hint(error: Any, context: str, problem: str, line: int, lines: list[str]) -> str:
    """What most likely went wrong."""
    if 0 < line <= len(lines) and "\t" in lines[line - 1]:
        return "; a tab stands in this line: indent with spaces"
    if "stream" in problem and ("flow" in context or "quoted" in context):
        return "; the file ends before a bracket or quote that was opened is closed"
    if "flow" in context and error.context_mark.line + 1 < line:
        opened = error.context_mark.line
        is_commented = any(" #" in text for text in lines[opened : line - 1])
        comment = ", and what stands behind ` #` is a comment" if is_commented else ""
        return f"; its bracket was opened in line {opened + 1}{comment}"
    if "mapping values" in problem:
        return "; text that holds `: ` goes in quotes"
    return ""
