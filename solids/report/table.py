"""Rows of words in columns, as a terminal shows them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence


def columns(rows: Sequence[Sequence[str]], indent: str = "  ") -> Iterator[str]:
    """The rows with each column as wide as its widest word; columns of numbers stand to the right."""
    if not rows:
        return
    wide = [max(len(row[k]) for row in rows) for k in range(len(rows[0]))]
    right = [all(_is_number(row[k]) for row in rows[1:]) and len(rows) > 1 for k in range(len(rows[0]))]
    for row in rows:
        words = [w.rjust(n) if r else w.ljust(n) for w, n, r in zip(row, wide, right, strict=True)]
        yield (indent + "  ".join(words)).rstrip()


def _is_number(word: str) -> bool:
    return not word or word[0].isdigit() or (len(word) > 1 and word[0] in "-~." and word[1].isdigit())
