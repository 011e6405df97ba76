"""The views of one part, unfolded from its face: every place from the datum, and the notes on leaders."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass

from solids.drawing.board import NEAR, SEEN, Seen, Way
from solids.drawing.callouts.callout import Callout, Place
from solids.drawing.dimension import Asked, Side, tiers
from solids.drawing.linework import centre_mark, drawn
from solids.drawing.notes import Note, placed
from solids.drawing.overall import LEAST, wholes
from solids.drawing.paper import Scale
from solids.drawing.running import Running, running
from solids.drawing.sheet import Box, Mark, Point, Text, bounds, moved
from solids.drawing.views import Views
from solids.drawing.words import beside_room, cutting_marks, face_words, hole_tags, rim_words

MANY = 5  # as many places along a side are dimensioned in tiers; more run from the datum
APART = 9.0  # mm between two views with all that belongs to them


@dataclass(frozen=True, slots=True)
class Laid:
    """Views with their notes: the marks, a box for each view and note, and the notes that found no place."""

    marks: tuple[Mark, ...]
    boxes: tuple[Box, ...]
    left: tuple[str, ...]


def laid_out(views: Views, scale: float, room: Box, apart: Collection[Way] = ()) -> Laid | None:
    """All views but those drawn `apart`, where the projection puts them; None where they are larger than the room."""
    made = {w: _view(views, w, scale) for w in views.strokes if w not in apart}
    marks: list[Mark] = []
    boxes: list[Box] = []
    shifts = _shifts({w: bounds(m) for w, m in made.items()}, views.third_angle)
    notes: list[Note] = []
    wood: list[Box] = []
    for w, m in made.items():
        dx, dy = shifts[w]
        wood.append(bounds(drawn(views.strokes[w], scale)).moved(dx, dy))
        marks += moved(m, dx, dy)
        boxes.append(bounds(m).moved(dx, dy))
        notes += _notes(views, w, scale, dx, dy)
    whole = bounds(marks)
    if whole.width > room.width or whole.height > room.height:
        return None
    new, left = placed(notes, marks, wood)
    boxes += [bounds([m]) for m in new]
    return Laid((*marks, *new), tuple(boxes), tuple(" ".join(n.lines) for n in left))


def end_view(views: Views, way: Way, scale: Scale) -> Laid:
    """An end by itself, larger than the other views."""
    marks = _view(views, way, scale.ratio, f"   {scale.text}")
    wood = bounds(drawn(views.strokes[way], scale.ratio))
    new, left = placed(list(_notes(views, way, scale.ratio, 0.0, 0.0)), marks, [wood])
    return Laid((*marks, *new), (), tuple(" ".join(n.lines) for n in left))


def _shifts(boxes: Mapping[Way, Box], third_angle: bool) -> dict[Way, Point]:
    """How far each view is moved from the face's own place; those of one row or column stay in line."""
    flip = 1 if third_angle else -1
    shifts: dict[Way, Point] = {}
    main = boxes[NEAR]
    low, high, left, right = main.bottom, main.top, main.left, main.right
    for w in sorted(boxes, key=lambda w: (abs(SEEN[w].row) + abs(SEEN[w].column), w)):
        row, column, box = SEEN[w].row * flip, SEEN[w].column * flip, boxes[w]
        dx = dy = 0.0
        if row < 0:
            dy = low - APART - box.top
            low = box.bottom + dy
        elif row > 0:
            dy = high + APART - box.bottom
            high = box.top + dy
        elif column < 0:
            dx = left - APART - box.right
            left = box.left + dx
        elif column > 0:
            dx = right + APART - box.left
            right = box.right + dx
        shifts[w] = dx, dy
    return shifts


def _notes(views: Views, way: Way, scale: float, dx: float, dy: float) -> Iterator[Note]:
    seen = SEEN[way]
    wood = bounds(drawn(views.strokes[way], scale)).grown(0.1)
    for c in views.callouts:
        if c.way != way or not c.lines:
            continue
        first = c.lines[0]
        lowered = first if first.startswith("Ø") else first[0].lower() + first[1:]
        name = f"{c.count}× {lowered}" if c.count > 1 else first
        letter = _letter(views, c)
        lines = (f"{name}, section {letter}–{letter}" if letter else name, *c.lines[1:])
        tips = [(x * scale, y * scale) for x, y in (seen.flat(t) for t in c.tips)]
        on_wood = [t for t in tips if _is_on(t, wood)] or tips  # a row may run past the end
        yield Note(lines, tuple((x + dx, y + dy) for x, y in on_wood))


def _is_on(p: Point, box: Box) -> bool:
    return box.left <= p[0] <= box.right and box.bottom <= p[1] <= box.top


def _letter(views: Views, callout: Callout) -> str:
    """The section that shows what a callout speaks of."""
    if callout.profile is None:
        return ""
    alike = callout.profile.likeness
    return next((c.letter for c in views.cuts if any(p.likeness == alike for p in c.profiles)), "")


def _view(views: Views, way: Way, scale: float, named: str = "") -> list[Mark]:
    """One view about its own origin: its lines, centre marks, dimensions and the maker's words for its sides."""
    seen, board = SEEN[way], views.board
    lines: list[Mark] = list(drawn(views.strokes[way], scale))
    box = bounds(lines)
    for c in views.callouts:
        if c.way == way:
            for spot, radius in c.centres:
                x, y = (v * scale for v in seen.flat(spot))
                if _is_on((x, y), box.grown(radius * scale)):
                    lines += centre_mark((x, y), radius * scale)
    places = _places(views, way)
    stops = {a: [seen.along(a, p.at) * scale for p in places if p.axis == a] for a in seen.axes()}
    across, up = seen.axes()
    for a in seen.axes():
        stops[a] += [seen.along(a, v) * scale for v in (board.low[a], board.high[a])]
    marks = list(lines)
    skip = {"below": 4.0, "above": 4.0, **beside_room(board, seen, views.figures.upright)}
    if way == NEAR:
        marks += cutting_marks(views.cuts, box, scale, stops[across], stops[up], skip)
    marks += _dimensions(views, way, scale, box, places, skip)
    marks += rim_words(board, seen, box, stops[across], stops[up], marks, views.figures.upright)
    marks += hole_tags([t for c in views.callouts if c.way == way for t in c.tags], seen, scale, marks)
    if way == NEAR:
        return marks + face_words(board, box, scale, marks)
    whole = bounds(marks)
    word = f"{board.side(way)} {board.part.blank.kind_of(board.side(way))}{named}"
    return [*marks, Text(((box.left + box.right) / 2, whole.top + 2.0), word, 2.5, "middle", "base")]


def _places(views: Views, way: Way) -> list[Place]:
    """Every place that is dimensioned in a view, each once, but for those at the datum or the other rim themselves."""
    board = views.board
    found: dict[tuple[int, float], Place] = {}
    for c in views.callouts:
        for told in c.places if c.way == way else ():
            p = told.seen_from(views.datum.at(told.axis, board))
            if board.low[p.axis] + LEAST < p.at < board.high[p.axis] - LEAST:
                found.setdefault((p.axis, round(p.at, 3)), p)
    return [found[k] for k in sorted(found)]


def _dimensions(
    views: Views, way: Way, scale: float, box: Box, places: Sequence[Place], skip: dict[str, float]
) -> list[Mark]:
    """Places below and at the left; the whole beyond them, or across from them where they run from the datum."""
    seen, board, figures = SEEN[way], views.board, views.figures
    across, up = seen.axes()
    whole = {a: way == NEAR or (a == 2 and way == _thickness_way(views) and not views.cuts) for a in (across, up)}
    marks: list[Mark] = []
    for axis, near, far in _around(across, up):
        own = [p for p in places if p.axis == axis]
        other = up if axis == across else across
        start = views.datum.at(axis, board)
        zero = _spot(seen, axis, start, None, other, box, scale, near)
        at = {p: _spot(seen, axis, p.at, p.beside, other, box, scale, near) for p in own}
        room = box if axis == across else box._replace(left=min(box.left, _left(marks, box)))
        asked = [Asked(zero, at[p], figures.length(abs(p.at - start)), abs(p.at - start)) for p in own]
        overall, far_ones = wholes(views, way, axis, box, scale) if whole[axis] else ([], [])
        told = {_span(a, axis == across) for a in asked}
        overall, far_ones = ([a for a in w if _span(a, axis == across) not in told] for w in (overall, far_ones))
        if len(own) > MANY:
            runs = [Running(at[p], a.text, a.value) for p, a in zip(own, asked, strict=True)]
            marks += running(near, room, zero, runs, scale, skip[near], upright=figures.upright)
            marks += tiers(far, box, [*far_ones, *overall], scale, skip[far], upright=figures.upright)
        else:
            marks += tiers(near, room, [*asked, *overall], scale, skip[near], upright=figures.upright)
            marks += tiers(far, box, far_ones, scale, skip[far], upright=figures.upright)
    return marks


def _span(asked: Asked, is_across: bool) -> tuple[float, float]:
    """From where to where it reaches along its axis."""
    a, b = sorted(p[0 if is_across else 1] for p in (asked.a, asked.b))
    return round(a, 3), round(b, 3)


def _around(across: int, up: int) -> tuple[tuple[int, Side, Side], tuple[int, Side, Side]]:
    """For each axis of a view the side at which its places are dimensioned, and the one across."""
    return (across, "below", "above"), (up, "left", "right")


def _left(marks: Sequence[Mark], box: Box) -> float:
    """The left rim of what stands below, so that what stands at the left begins beyond it."""
    return bounds(marks).left + 4.0 if marks else box.left


def _thickness_way(views: Views) -> Way:
    """The view that tells the thickness where no section does: an edge, or else an end."""
    return next((w for w in views.strokes if w[0] == 1), next(w for w in views.strokes if w[0] != 2))


def _spot(
    seen: Seen, axis: int, at: float, beside: float | None, other: int, box: Box, scale: float, near: str
) -> Point:
    """A place on the sheet where an extension line starts: at the thing, or at the rim."""
    u = seen.along(axis, at) * scale
    rim = {"below": box.bottom, "left": box.left, "above": box.top, "right": box.right}[near]
    v = rim if beside is None else seen.along(other, beside) * scale
    return (u, v) if axis == seen.axes()[0] else (v, u)
