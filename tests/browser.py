"""A Chromium that tests drive with real clicks, keys and touches."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from readers import chromium, library

FLAGS = ["--no-sandbox", "--use-angle=swiftshader", "--enable-unsafe-swiftshader", "--mute-audio"]
DESK = {"viewport": {"width": 1000, "height": 640}}
PHONE = {"viewport": {"width": 390, "height": 844}, "has_touch": True, "is_mobile": True, "device_scale_factor": 2}


@contextmanager
def browser() -> Iterator[Any]:
    """A browser without a screen; leaves the test out where there is none."""
    driver = library("playwright.sync_api", "playwright")
    path = chromium()
    with driver.sync_playwright() as running:
        found = running.chromium.launch(executable_path=path, args=FLAGS)
        yield found
        found.close()


class Visit:
    """A page that was opened, and all that it did that a page of ours must not do."""

    def __init__(self, browser: Any, address: str, **kind: Any) -> None:
        before = kind.pop("before", "")
        self.context = browser.new_context(reduced_motion="reduce", **kind)
        self.page = self.context.new_page()
        if before:
            self.page.add_init_script(before)
        self.requests: list[str] = []
        self.wrongs: list[str] = []
        self.page.on("request", lambda r: self.requests.append(r.url))
        self.page.on("console", lambda m: self.wrongs.append(m.text))
        self.page.on("pageerror", lambda e: self.wrongs.append(str(e)))
        self.page.on("dialog", lambda d: (self.wrongs.append(f"dialog: {d.message}"), d.dismiss()))
        self.page.goto(address)

    def ready(self) -> Visit:
        self.page.wait_for_selector("#stage[data-ready]", timeout=20000)
        self.rest()
        return self

    def rest(self) -> None:
        """Until all that moves has come to rest and is drawn."""
        for _ in range(200):
            self.page.wait_for_timeout(40)
            if self.page.evaluate("window.dryfit.still()"):
                break
        self.page.wait_for_timeout(60)

    def state(self) -> dict[str, Any]:
        found: dict[str, Any] = self.page.evaluate("window.dryfit.state()")
        return found

    def at(self, *point: float) -> tuple[float, float]:
        """Where a point of the room is on the browser's page, in px."""
        x, y = self.page.evaluate("p => window.dryfit.onScreen(p)", list(point))
        box = self.page.locator("#canvas").bounding_box()
        return box["x"] + x, box["y"] + y

    def click(self, *point: float) -> None:
        self.page.mouse.click(*self.at(*point))
        self.rest()

    def press(self, name: str) -> None:
        """A button, by its whole name."""
        self.page.get_by_role("button", name=name, exact=True).click()
        self.rest()

    def unfold(self, name: str) -> None:
        """A group of controls, where it is folded."""
        whole = re.compile(f"^{name}$")
        group = self.page.locator("#controls details").filter(has=self.page.locator("summary", has_text=whole))
        if not group.evaluate("e => e.open"):
            group.locator("summary").click()

    def fingers(self, *courses: tuple[tuple[float, float], ...]) -> None:
        """Fingers on the glass, each along its course: set down, moved from place to place, lifted."""
        session = self.context.new_cdp_session(self.page)
        for k, places in enumerate(zip(*courses, strict=True)):
            told = [{"x": x, "y": y, "id": n} for n, (x, y) in enumerate(places)]
            kind = "touchMove" if k else "touchStart"
            session.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": told})
        session.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
        session.detach()
        self.rest()

    def tap_twice(self, *point: float) -> None:
        """One finger, twice in quick succession."""
        x, y = self.at(*point)
        session = self.context.new_cdp_session(self.page)
        for kind in ("touchStart", "touchEnd") * 2:
            points = [{"x": x, "y": y}] if kind == "touchStart" else []
            session.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})
        session.detach()
        self.rest()

    def close(self) -> None:
        self.context.close()


def address(path: Path) -> str:
    return path.resolve().as_uri()
