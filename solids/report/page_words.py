"""Words in pictures: safe in SVG, and cut short where a name is very long."""

from __future__ import annotations

from html import escape

from solids.model.finding import printable

LONGEST = 40


def label(text: str) -> str:
    """A name or a size as it may stand in a picture."""
    text = printable(text)
    return escape(text if len(text) <= LONGEST else text[: LONGEST - 1] + "…")
