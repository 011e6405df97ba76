"""A piece in a notebook: its picture, its verdict and its findings, as HTML that fetches nothing."""

from __future__ import annotations

import base64
from html import escape

from solids.fit.check import Report, check
from solids.model.finding import printable
from solids.model.piece import Piece
from solids.picture.write import Pictures, png
from solids.report.text import summary

SIZE = (640, 400)  # px
MOST = 12  # findings that are listed


def html_of(piece: Piece) -> str:
    """What a notebook shows of a piece: it is put together dry, and drawn."""
    return html_of_report(check(piece))


def html_of_report(report: Report) -> str:
    """What a notebook shows of a checked piece."""
    title = escape(printable(report.piece.title) or "a piece")
    told = escape(printable(summary(report, report.piece.title or "the piece")))
    findings = [f"<li>{f.severity.value}: {escape(printable(f.message))}</li>" for f in report.findings[:MOST]]
    if len(report.findings) > MOST:
        findings.append(f"<li>and {len(report.findings) - MOST} more</li>")
    listed = f"<ul>{''.join(findings)}</ul>" if findings else ""
    image = base64.b64encode(png(Pictures(report.dry, SIZE).preview())).decode()
    picture = f'<img alt="{title}" width="{SIZE[0]}" height="{SIZE[1]}" src="data:image/png;base64,{image}">'
    return f"<figure>{picture}<figcaption><strong>{title}</strong><br>{told}</figcaption>{listed}</figure>"
