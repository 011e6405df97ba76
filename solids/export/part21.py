"""The text of a STEP file (ISO 10303-21, clear text) made repeatable and plain ASCII.

A kernel's own text changes from run to run: entities follow the order of memory
addresses, and ids come from counters that the whole process shares. Here the
same content is numbered and ordered by what it says, so that it has one text.
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterable, Iterator
from typing import TypeAlias

Entity: TypeAlias = list[str | int]
"""One entity in pieces: an int is a reference to another entity, a string is text as it is written."""

# A kernel wraps long lines in the middle of a string and leaves some directives alone, so a name
# passes through it as letters that it has no reason to touch.
_DELICATE = re.compile(r"^ +| +$|[^ -~]|['\\~]")
_SHELTERED = re.compile(r"(?:~[0-9A-F]{6})+")
_BEYOND_ASCII = re.compile(r"[^ -~\U00010000-\U0010ffff]+|[\U00010000-\U0010ffff]+")
_PIECE = re.compile(r"'(?:[^']|'')*'|#\d+|;|[^'#;]+")
_REAL = re.compile(r"-?\d+\.\d*(?:E[+-]?\d+)?")

_STYLES = "MECHANICAL_DESIGN_GEOMETRIC_PRESENTATION_REPRESENTATION("


def sheltered(text: str) -> str:
    """`text` in letters that no kernel alters; `settled` turns it back."""
    return _DELICATE.sub(lambda m: "".join(f"~{ord(c):06X}" for c in m[0]), text)


def escaped(text: str) -> str:
    r"""`text` as it stands between the quotes of a Part 21 string: ASCII, the rest as \X2\ and \X4\."""
    quoted = text.replace("\\", "\\\\").replace("'", "''")
    return _BEYOND_ASCII.sub(_hexadecimal, quoted)


def settled(text: str, *, title: str, stamp: str) -> str:
    """The same STEP file in its one repeatable text.

    `text` is a kernel's file whose names went through `sheltered`; `stamp` is
    the ISO 8601 time for the header. Of the old header only the schema stays.
    Text that is not such a file raises ValueError.
    """
    start, end = text.index("DATA;"), text.rindex("ENDSEC;")
    entities = dict(_entities(text[start + len("DATA;") : end]))
    _renew_ids(entities)
    for entity in entities.values():
        _round_colour(entity)
        _mend_conversion(entity)
    _mend_density_units(entities)
    numbers = _numbers(entities)
    lines = [_written(entities[old], new, numbers) for old, new in numbers.items()]
    header = _header(title, stamp, _schema(text[:start]))
    return "\n".join([*header, "DATA;", *lines, "ENDSEC;", "END-ISO-10303-21;", ""])


def _header(title: str, stamp: str, schema: str) -> list[str]:
    return [
        "ISO-10303-21;",
        "HEADER;",
        "FILE_DESCRIPTION(('solid model'),'2;1');",
        f"FILE_NAME('{escaped(title)}','{stamp}',(''),(''),'dryfit','dryfit','');",
        f"{schema};",
        "ENDSEC;",
    ]


def _schema(header: str) -> str:
    for pieces in _statements(header):
        if str(pieces[0]).startswith("FILE_SCHEMA("):
            return "".join(map(str, pieces)).replace("_LF. ", "_LF ")  # one kernel writes a full stop too many
    raise ValueError("the header names no schema")


def _hexadecimal(match: re.Match[str]) -> str:
    characters = match[0]
    if characters[0] > "\uffff":
        return "\\X4\\" + "".join(f"{ord(c):08X}" for c in characters) + "\\X0\\"
    return "\\X2\\" + "".join(f"{ord(c):04X}" for c in characters) + "\\X0\\"


def _statements(text: str) -> Iterator[Entity]:
    """Each statement in pieces, without line breaks and the blanks between words."""
    pieces: Entity = []
    for piece in _PIECE.findall(text):
        if piece == ";":
            yield pieces
            pieces = []
        elif piece.startswith("'"):
            pieces.append(_SHELTERED.sub(_unsheltered, piece.replace("\n", "")))
        elif piece.startswith("#"):
            pieces.append(int(piece[1:]))
        elif plain := "".join(piece.split()):
            pieces.append(plain)


def _unsheltered(match: re.Match[str]) -> str:
    return escaped("".join(chr(int(code, 16)) for code in match[0].split("~")[1:]))


def _entities(data: str) -> Iterator[tuple[int, Entity]]:
    for number, first, *rest in _statements(data):
        yield int(number), [str(first).removeprefix("="), *rest]


def _renew_ids(entities: dict[int, Entity]) -> None:
    """Occurrences count from 1; a product whose name is taken has a number after it in its id."""
    occurrences = 0
    taken: set[str] = set()
    for entity in entities.values():
        if entity[0] == "NEXT_ASSEMBLY_USAGE_OCCURRENCE(":
            occurrences += 1
            entity[1] = f"'{occurrences}'"
        elif entity[0] == "PRODUCT(":
            name = _free(str(entity[1]), taken)
            taken.add(name)
            entity[1] = name


def _free(name: str, taken: set[str]) -> str:
    names = itertools.chain([name], (f"{name[:-1]} #{k}'" for k in itertools.count(2)))
    return next(n for n in names if n not in taken)


def _round_colour(entity: Entity) -> None:
    """A kernel keeps colours in single precision; six places are all that they hold."""
    if entity[0] == "COLOUR_RGB(":
        entity[2] = _REAL.sub(lambda m: f"{float(m[0]):.6f}", str(entity[2]))


def _mend_conversion(entity: Entity) -> None:
    """A measure says what it measures; Open CASCADE leaves that out of the inch's 25.4 mm."""
    if entity[0] == "LENGTH_MEASURE_WITH_UNIT(25.4,":
        entity[0] = "LENGTH_MEASURE_WITH_UNIT(LENGTH_MEASURE(25.4),"


def _mend_density_units(entities: dict[int, Entity]) -> None:
    """A density is grams per cubic centimetre; Open CASCADE writes the exponents 3 and 2 for 1 and -3."""
    for entity in entities.values():
        if entity[:2] != ["MEASURE_REPRESENTATION_ITEM(", "'density measure'"]:
            continue
        unit = entities[_references(entity)[-1]]
        for element in (entities[r] for r in _references(unit)):
            measured = entities[_references(element)[0]]
            element[-1] = ",1.)" if "MASS_UNIT" in str(measured[0]) else ",-3.)"


def _references(entity: Entity) -> list[int]:
    return [piece for piece in entity if isinstance(piece, int)]


def _numbers(entities: dict[int, Entity]) -> dict[int, int]:
    """The new number of each entity, in the order of writing: what it refers to comes before it."""
    references = {n: _references(entity) for n, entity in entities.items()}
    used = set(itertools.chain.from_iterable(references.values()))
    roots = [n for n in entities if n not in used]
    styles = [n for n in roots if entities[n][0] == _STYLES]
    numbers: dict[int, int] = {}
    _visit((n for n in roots if entities[n][0] != _STYLES), references, numbers)

    def styled(item: int) -> int:
        return numbers[references[item][-1]]

    for n in styles:
        *items, context = references[n]
        references[n] = [*sorted(items, key=styled), context]
        _replace_references(entities[n], references[n])
    styles.sort(key=lambda n: styled(references[n][0]))
    _visit(styles, references, numbers)
    return numbers


def _visit(roots: Iterable[int], references: dict[int, list[int]], numbers: dict[int, int]) -> None:
    """Number everything below `roots`, depth first. References that run in a circle raise ValueError."""
    for root in roots:
        pending = [root]
        entered: set[int] = set()
        while pending:
            top = pending[-1]
            waiting = [r for r in references[top] if r not in numbers]
            if not waiting or top in numbers:
                numbers.setdefault(pending.pop(), len(numbers) + 1)
                continue
            if top in entered:
                raise ValueError(f"the references of #{top} run in a circle")
            entered.add(top)
            pending.extend(reversed(waiting))


def _replace_references(entity: Entity, references: list[int]) -> None:
    fresh = iter(references)
    entity[:] = [next(fresh) if isinstance(piece, int) else piece for piece in entity]


def _written(entity: Entity, number: int, numbers: dict[int, int]) -> str:
    pieces = (f"#{numbers[p]}" if isinstance(p, int) else p for p in entity)
    return f"#{number}={''.join(pieces)};"
