"""The client's page, written: one file that opens offline, under a content policy that lets nothing else in."""

from __future__ import annotations

import base64
import hashlib
import io
import json
from collections.abc import Sequence
from dataclasses import dataclass
from importlib.resources import files
from pathlib import Path
from typing import Any

from jinja2 import Environment, StrictUndefined
from markupsafe import Markup

from solids.client.model import model_data
from solids.client.words import Row, words_of
from solids.fit.check import Report
from solids.picture.asunder import Known
from solids.picture.write import Pictures
from solids.units import Units

PICTURE = (960, 600)  # px
QUALITY = 80  # of a JPEG, of 100: grain in a PNG would take ten times the room


@dataclass(frozen=True, slots=True)
class Live:
    """What a page that follows a file shows above the model; `state` is fits, misfits or broken.

    `version` counts the models that were shown, `told` what was told: the page asks for newer ones.
    """

    version: int
    told: int
    state: str
    headline: str
    lines: tuple[str, ...]


def write_client(report: Report, folder: Path, units: Units | None = None) -> None:
    """client.html. OSError where the disk says no."""
    (folder / "client.html").write_text(client_page(report, units), encoding="utf-8", newline="\n")


def client_page(
    report: Report, units: Units | None = None, *, live: Live | None = None, known: Known | None = None
) -> str:
    """The whole page, as HTML; sizes in the client's units, the spec's own where none are named.

    A page that is `live` has no picture: it is looked at where scripts run. `known` as `asunder` has it.
    """
    units = units or report.piece.told_in
    folder = files("solids.client") / "page"
    script, style = (_read(folder, name) for name in ("page.js", "page.css"))
    environment = Environment(autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True)
    rows = environment.from_string(_read(folder, "table.html"))

    def table(heading: str, told: Sequence[Row]) -> Markup:
        return Markup(rows.render(heading=heading, rows=told))

    data = {**model_data(report.dry, units, known), "live": [live.version, live.told] if live else None}
    page = environment.from_string(_read(folder, "page.html"))
    return page.render(
        words=words_of(report, units), table=table, live=live, model=as_block(data),
        script=Markup(script), script_digest=digest(script), style=Markup(style), style_digest=digest(style),
        picture="" if live else _picture(report), picture_size=PICTURE,
    )  # fmt: skip


def as_block(data: Any) -> Markup:
    """JSON that can stand in a script element: nothing in it ends the element or opens a comment."""
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"), allow_nan=False)
    return Markup(text.replace("<", "\\u003c").replace("\u2028", "\\u2028").replace("\u2029", "\\u2029"))


def digest(text: str) -> str:
    """What a content policy knows a script or a style by: the base64 of its SHA-256."""
    return base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()


def _read(folder: Any, name: str) -> str:
    return str((folder / name).read_text(encoding="utf-8"))


def _picture(report: Report) -> str:
    """The piece as it stands, as a data address."""
    pictures = Pictures(report.dry, PICTURE)
    if pictures.is_empty:
        return ""
    out = io.BytesIO()
    pictures.preview().save(out, "JPEG", quality=QUALITY, optimize=True)
    return "data:image/jpeg;base64," + base64.b64encode(out.getvalue()).decode()
