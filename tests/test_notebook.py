"""A piece in a notebook shows its picture and its verdict, asks for nothing, and shows hostile names as text."""

from __future__ import annotations

import base64
import io
import re
from html.parser import HTMLParser

from client.cupboard import TITLE, cupboard
from PIL import Image

from solids.model.piece import Piece


class Tags(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.text = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)

    def handle_data(self, data: str) -> None:
        self.text += data


def test_a_piece_shows_its_picture_and_its_verdict() -> None:
    shown = cupboard().piece._repr_html_()
    read = Tags()
    read.feed(shown)
    picture = re.search(r'src="data:image/png;base64,([^"]+)"', shown)

    assert picture is not None
    assert Image.open(io.BytesIO(base64.b64decode(picture[1]))).size == (640, 400)
    assert "7 parts" in read.text
    assert TITLE.replace("\\\\", "\\") in read.text
    assert set(read.tags) <= {"figure", "img", "figcaption", "strong", "br", "ul", "li"}
    assert "http" not in shown.split("base64,")[0]


def test_a_checked_piece_lists_its_findings() -> None:
    report = cupboard()
    read = Tags()
    read.feed(report._repr_html_())

    assert read.tags.count("li") == min(len(report.findings), 13)
    assert report.findings[0].message in read.text


def test_nothing_at_all_can_be_shown() -> None:
    assert "a piece" in Piece("", "mm", ())._repr_html_()
