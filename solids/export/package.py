"""Zip files that have the same bytes on every day and every machine."""

from __future__ import annotations

import io
import struct
import zipfile
from collections.abc import Iterable

DAY_ZERO = (1980, 1, 1, 0, 0, 0)  # the first day that a zip file can tell
PADDING = 0x1986  # the id of an extra field that holds nothing but room


def packed(files: Iterable[tuple[str, bytes]]) -> bytes:
    """The files, deflated, in this order."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as archive:
        for name, data in files:
            archive.writestr(_entry(name, zipfile.ZIP_DEFLATED), data)
    return out.getvalue()


def aligned(files: Iterable[tuple[str, bytes]], to: int) -> bytes:
    """The files, stored as they are, the bytes of each beginning at a multiple of `to`."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_STORED) as archive:
        for name, data in files:
            entry = _entry(name, zipfile.ZIP_STORED)
            start = out.tell() + 30 + len(name.encode())  # a local header is 30 bytes and the name
            room = -start % to
            if 0 < room < 4:
                room += to  # an extra field takes 4 bytes to name itself
            entry.extra = struct.pack("<HH", PADDING, room - 4) + bytes(room - 4) if room else b""
            archive.writestr(entry, data)
    return out.getvalue()


def _entry(name: str, compression: int) -> zipfile.ZipInfo:
    entry = zipfile.ZipInfo(name, DAY_ZERO)
    entry.compress_type = compression
    entry.create_system = 3  # the same on every system
    entry.external_attr = 0o644 << 16
    return entry
