"""A library loaded without what it would write into the user's own folders."""

from __future__ import annotations

import logging
import os
from collections.abc import Iterator
from contextlib import contextmanager

PLACE = "XDG_CACHE_HOME"


@contextmanager
def keeping_nothing() -> Iterator[None]:
    """Within, there is no place for a cache: none is written, and none that is damaged is read."""
    before = os.environ.get(PLACE)
    os.environ[PLACE] = os.devnull
    logging.disable(logging.WARNING)  # that there is no such place is no news
    try:
        yield
    finally:
        logging.disable(logging.NOTSET)
        os.environ.pop(PLACE)
        if before is not None:
            os.environ[PLACE] = before
