"""What cuts are called: by their own name, else by kind and side."""

from __future__ import annotations

from solids.model import field as f


def cut_name(cut: object, taken: list[str]) -> str:
    """A cut's own name, else its kind and side; a second of the same has `_2` behind it."""
    name = getattr(cut, "name", "") or "_".join([cut.kind, *_heads(cut)])  # type: ignore[attr-defined]
    return free_name(name, taken)


def free_name(name: str, taken: list[str]) -> str:
    """The name, or the first of `name_2`, `name_3` ... that is not taken."""
    if name not in taken:
        return name
    k = 2
    while f"{name}_{k}" in taken:
        k += 1
    return f"{name}_{k}"


def _heads(cut: object) -> list[str]:
    head = next(d for d in f.declared(type(cut)) if d.metadata["head"])
    value = getattr(cut, head.name)
    if not isinstance(value, tuple):
        return [str(value)]
    sides = [str(v[0] if isinstance(v, tuple) else v) for v in value]
    return ["all"] if len(sides) == 4 else sides
