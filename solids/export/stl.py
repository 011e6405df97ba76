"""STL files: the triangles of one part, binary, in millimetres."""

from __future__ import annotations

import struct
from pathlib import Path

import numpy as np

from solids import __version__
from solids.kernel.triangles import Triangles

HEADER = f"dryfit {__version__}, units: mm".encode().ljust(80)
_RECORD = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("unused", "<u2")])


def stl_bytes(triangles: Triangles) -> bytes:
    """A binary STL file; the same triangles give the same bytes."""
    corners = triangles.points[triangles.faces]
    normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    lengths = np.linalg.norm(normals, axis=1, keepdims=True)
    records = np.zeros(len(corners), _RECORD)
    records["normal"] = normals / np.where(lengths > 0, lengths, 1.0)
    records["corners"] = corners
    return HEADER + struct.pack("<I", len(records)) + records.tobytes()


def write_stl(path: Path, triangles: Triangles) -> None:
    """Write one part; OSError where the file can't be written."""
    path.write_bytes(stl_bytes(triangles))
