"""Following a spec: saves, mistakes, files that go and come back, and what the server answers to whom."""

from __future__ import annotations

import http.client
import json
import os
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from browser import DESK, Visit, browser

from solids.watching.followed import Followed
from solids.watching.server import serving

SPEC = """\
title: A rack for a print studio
units: mm
stock: {oak: {wood: white oak, thickness: 20}}
parts:
  left: {stock: oak, size: [400, 200], place: {at: [0, 0, 0], length: up, face: left}}
  board: {stock: oak, size: [300, 200], place: {at: [20, 0, 100], length: across, face: top}}
  tray: {stock: oak, size: [260, 150], place: {at: [30, 0, 200], length: across, face: top}}
moving: {tray: {parts: [tray], slide: {front: 120}}}
"""


@pytest.fixture
def spec(tmp_path: Path) -> Path:
    path = tmp_path / "rack.yaml"
    path.write_text(SPEC, encoding="utf-8")
    return path


def text(followed: Followed) -> str:
    return followed.page().decode()


def test_a_save_is_seen_and_nothing_else_is(spec: Path) -> None:
    followed = Followed(spec)
    assert followed.look() and "320 mm wide" in text(followed)
    assert not followed.look()

    spec.write_text(SPEC.replace("[300, 200]", "[350, 200]"), encoding="utf-8")
    assert followed.look() and "370 mm wide" in text(followed)
    # The piece is shown first, and what the check says of it follows: told is counted anew with each version.
    assert (followed.live.version, followed.live.told) == (2, 1)
    assert not followed.look()


def test_a_spec_that_is_broken_stands_beside_the_last_that_was_well(spec: Path) -> None:
    followed = Followed(spec)
    followed.look()
    spec.write_text(SPEC.replace("size: [300", "sise: [300"), encoding="utf-8")
    followed.look()

    assert 'id="live" class="broken"' in text(followed)
    assert f"{spec}:6:" in text(followed) and "sise" in text(followed)
    assert "320 mm wide" in text(followed)
    spec.write_text(SPEC, encoding="utf-8")
    followed.look()
    assert 'class="broken"' not in text(followed)


def test_a_spec_that_is_broken_from_the_start_says_so(spec: Path) -> None:
    spec.write_text("parts: {a: [", encoding="utf-8")
    followed = Followed(spec)
    followed.look()

    assert 'id="live" class="broken"' in text(followed) and "rack.yaml:1:" in text(followed)


@pytest.mark.parametrize("content", ["", "\x00", "parts: 7", "a: &a [*a]", "é" * 10, "title: [}"])
def test_half_a_file_is_told_of_and_never_ends_the_watch(spec: Path, content: str) -> None:
    followed = Followed(spec)
    followed.look()
    spec.write_bytes(content.encode("latin-1", "replace"))
    followed.look()

    assert "320 mm wide" in text(followed)
    spec.write_text(SPEC, encoding="utf-8")
    followed.look()
    assert 'class="broken"' not in text(followed)


def test_a_file_that_goes_and_comes_back(spec: Path) -> None:
    followed = Followed(spec)
    followed.look()
    away = spec.with_suffix(".old")
    spec.rename(away)
    followed.look()
    assert "No such file" in text(followed) and "320 mm wide" in text(followed)

    away.rename(spec)
    followed.look()
    assert 'class="broken"' not in text(followed)


def test_a_file_that_comes_back_while_its_absence_is_told_is_seen(spec: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    followed = Followed(spec)
    followed.look()
    spec.unlink()
    tell = Followed._read

    def tell_slowly(self: Followed) -> None:
        tell(self)
        spec.write_text(SPEC, encoding="utf-8")

    monkeypatch.setattr(Followed, "_read", tell_slowly)
    followed.look()
    assert followed.live.state == "broken"

    monkeypatch.setattr(Followed, "_read", tell)
    assert followed.look()
    assert followed.live.state == "misfits"


def test_a_save_that_exchanges_the_file_is_seen(spec: Path) -> None:
    """As editors do that write a new file and rename it: same name, another file."""
    followed = Followed(spec)
    followed.look()
    fresh = spec.with_name(".rack.new")
    fresh.write_text(SPEC.replace("400, 200", "410, 200"), encoding="utf-8")
    os.replace(fresh, spec)
    followed.look()

    assert "410 mm high" in text(followed)


def test_a_file_that_the_spec_uses_is_followed_too(tmp_path: Path) -> None:
    (tmp_path / "shop").mkdir()
    shop = tmp_path / "shop" / "stock.yaml"
    shop.write_text("units: mm\nstock: {oak: {wood: white oak, thickness: 20}}\n", encoding="utf-8")
    spec = tmp_path / "rack.yaml"
    spec.write_text(
        SPEC.replace("stock: {oak: {wood: white oak, thickness: 20}}", "use: shop/stock.yaml"), encoding="utf-8"
    )
    followed = Followed(spec)
    followed.look()
    assert "320 mm wide" in text(followed)
    assert not followed.look()

    shop.write_text("units: mm\nstock: {oak: {wood: white oak, thickness: 22}}\n", encoding="utf-8")
    assert followed.look()
    assert "22 mm thick" in text(followed)


def test_whoever_waits_is_told_at_once(spec: Path) -> None:
    followed = Followed(spec)
    followed.look()
    told: list[tuple[int, str]] = []

    def wait() -> None:
        live = followed.newer_than(1, 1, 10.0)
        told.append((live.version, live.state))

    waiting = threading.Thread(target=wait)
    waiting.start()
    spec.write_text(SPEC.replace("rack for", "stand for"), encoding="utf-8")
    followed.look()
    waiting.join(2.0)

    assert told == [(2, "looking")]  # the model first, and what was found when it is known
    assert followed.newer_than(2, 2, 0.01) == followed.live
    assert followed.live.state == "misfits"


# The server --------------------------------------------------------------------------------------


@pytest.fixture
def served(spec: Path) -> Iterator[str]:
    with serving(Followed(spec)) as address:
        yield address


def ask(address: str, path: str, host: str | None = None) -> tuple[int, bytes]:
    parts = urlsplit(address)
    connection = http.client.HTTPConnection(parts.hostname or "", parts.port, timeout=10)
    connection.request("GET", path, headers={"Host": host} if host else {})
    answer = connection.getresponse()
    return answer.status, answer.read()


def test_it_answers_on_the_loopback_by_its_own_name_only(served: str) -> None:
    """A page elsewhere whose name was led to 127.0.0.1 sends its own name as Host: RFC 9110, section 7.2."""
    assert urlsplit(served).hostname == "127.0.0.1"
    assert ask(served, "/")[0] == 200
    assert ask(served, "/", "localhost:1")[0] == 200
    assert ask(served, "/", "evil.example:80")[0] == 403
    assert ask(served, "/../../etc/passwd")[0] == 404


def test_changes_are_told_as_json(served: str) -> None:
    for query in ("/changes?version=0&told=0", "/changes", "/changes?version=none"):
        status, body = ask(served, query)
        told = json.loads(body)
        assert status == 200 and (told["version"], told["state"]) == (1, "misfits")
        assert any("tray touches nothing" in line for line in told["lines"])


def test_a_browser_shows_each_save_and_keeps_its_view(spec: Path) -> None:
    with browser() as running, serving(Followed(spec)) as address:
        visit = Visit(running, address, **DESK).ready()
        visit.page.mouse.wheel(0, -200)
        visit.press("Open all")
        visit.press("Left")
        before = visit.state()

        spec.write_text(SPEC.replace("[300, 200]", "[360, 200]"), encoding="utf-8")
        saved = time.perf_counter()
        visit.page.wait_for_function("() => document.body.innerText.includes('380 mm wide')", timeout=10000)
        took = time.perf_counter() - saved
        visit.ready()
        after = visit.state()
        assert after["camera"] == pytest.approx(before["camera"])
        assert after["open"] == [1]

        spec.write_text("parts: [", encoding="utf-8")
        visit.page.wait_for_selector("#live.broken", timeout=10000)
        assert "rack.yaml:1:" in visit.page.locator("#told").inner_text()
        assert "380 mm wide" in visit.page.locator("#about").inner_text()
        assert visit.state()["camera"] == pytest.approx(before["camera"])
        assert [w for w in visit.wrongs if "Content Security" in w or "rror" in w] == []
        assert took < 5, f"a save took {took:.1f} s to be shown"
        visit.close()
