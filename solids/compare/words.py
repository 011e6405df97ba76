"""What changed, in a maker's words: for the terminal and for the page."""

from __future__ import annotations

from collections.abc import Iterator

from solids.compare.difference import Difference, PartChange, Resized
from solids.compare.wood import State
from solids.units import POUND, Units, show_angle, show_full

# What each state of a part is called, and what that means at the bench.
STATES: dict[State, tuple[str, str]] = {
    "remake": ("to make again", "what was cut can't be cut to the new size: new wood is wanted"),
    "recut": ("to recut", "what is cut can be cut to the new size; where nothing is cut yet, cut the new size at once"),
    "new": ("new", "these were not there"),
    "dropped": ("dropped", "these are there no more"),
    "good": ("still good", "cut or not, these stay as they are"),
}
VERDICTS = {
    (True, True): "it fits, as it did before",
    (False, False): "it does not fit, as it did not before",
    (True, False): "it fitted before, and does not fit now",
    (False, True): "it did not fit before, and fits now",
}


def lines(d: Difference, old: str, new: str, units: Units) -> Iterator[str]:
    """The whole answer, a line at a time."""
    yield f"{old} to {new}: {summary(d)}."
    yield f"  {verdict(d)}"
    yield from (f"  {size_words(s, units)}" for s in d.overall)
    for state, (title, _) in STATES.items():
        parts = d.of(state)
        if parts:
            yield ""
            yield f"{title}:"
            yield from _parts(parts, units)
    for title, findings in (("found now and not before", d.come), ("found before and no more", d.gone)):
        if findings:
            yield ""
            yield f"{title}:"
            yield from (f"  {f.severity.value}: {f.kind}: {f.message}" for f in findings)
    if d.left:
        yield ""
        yield f"{len(d.left)} finding{'s' * (len(d.left) != 1)} as before"


def _parts(parts: tuple[PartChange, ...], units: Units) -> Iterator[str]:
    for said, ids in alike(parts, units):
        yield f"  {', '.join(ids)}{': ' if said else ''}{'; '.join(said)}"


def alike(parts: tuple[PartChange, ...], units: Units) -> list[tuple[tuple[str, ...], list[str]]]:
    """What is said of parts, with the names of all of which just that is said."""
    found: dict[tuple[str, ...], list[str]] = {}
    for part in parts:
        found.setdefault(tuple(part_words(part, units)), []).append(part.id)
    return sorted(found.items(), key=lambda item: (bool(item[0]), item[1]))


def summary(d: Difference) -> str:
    """`2 parts to make again, 1 to recut, 12 still good`."""
    found = [(n, STATES[state][0]) for state in STATES if (n := len(d.of(state)))]
    if not found:
        return "no parts"
    if len(found) == 1 and found[0][1] == "still good":
        return f"all {found[0][0]} parts stay good"
    first, *rest = [f"{n} {title}" for n, title in found]
    count, _, words = first.partition(" ")
    return ", ".join([f"{count} part{'s' * (count != '1')} {words}", *rest])


def verdict(d: Difference) -> str:
    """Whether either fits."""
    return VERDICTS[d.old.fits, d.new.fits]


def part_words(part: PartChange, units: Units) -> list[str]:
    """Each change of a part in a few words."""
    said = [f"was {part.was}"] if part.was else []
    said += [size_words(s, units) for s in part.sizes]
    said += part.said
    if part.state in ("remake", "recut") and part.cut:
        said.append("it is cut already")
    if not said and part.state in ("remake", "recut"):
        said.append("its outline changes where other cuts meet it")
    if part.moved and part.state == "good" and not part.was:
        said.append("stands elsewhere")
    return said


def size_words(s: Resized, units: Units) -> str:
    """`length 29 in to 28 in (1 in less)`."""
    if s.name == "mass":
        return f"mass {_mass(s.before, units)} to {_mass(s.after, units)}"
    show = show_angle if s.is_angle else (lambda v: show_full(v, units))
    by = s.after - s.before
    return f"{s.name} {show(s.before)} to {show(s.after)} ({show(abs(by))} {'more' if by > 0 else 'less'})"


def _mass(kilograms: float, units: Units) -> str:
    return f"{kilograms / POUND:.1f} lb" if units == "in" else f"{kilograms:.1f} kg"
