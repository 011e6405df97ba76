"""Words and numbers as a spec takes them back: exact, quoted where they must be."""

from __future__ import annotations

from solids.units import exact

DECIMALS = 10  # of a mm or a degree: far under what two kernels agree to


def plain_number(value: float) -> str:
    """A number without the noise of its last digits: 20.2, not 20.199999999999996."""
    return exact(round(value, DECIMALS))


def flat_id(id_: str) -> str:
    """An id as one name: `bay.1.side` is `bay_1_side`."""
    return id_.replace(".", "_")


def quoted(text: str) -> str:
    """A scalar that YAML reads back as the same text."""
    plain = bool(text) and text.replace(" ", "").replace("-", "").isalnum() and text[0].isalpha() and text.isascii()
    if plain:
        return text
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    safe = "".join(c if c.isprintable() else f"\\U{ord(c):08x}" for c in escaped)
    return f'"{safe}"'
