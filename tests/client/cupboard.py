"""A cupboard for the tests of the page, with sizes that are easy to reckon, and names that are meant to do harm.

406.4 wide (16 in), 300 deep, 500 high; sides 20 thick, between them 366.4. A tray slides out 200 to the front,
a door 15 thick before it swings 90 degrees about its left edge.
"""

from __future__ import annotations

from functools import cache

from solids.fit.check import Report, check
from solids.spec.reader import from_text

TITLE = "</script><script>alert(1)</script><!-- Шкаф 柜 خزانة \\\\ & ' <img src=x onerror=alert(2)>"
CLIENT = "<b onclick=alert(3)>A clinic</b> & \u201cSöhne\u201d"

TEXT = f"""
title: "{TITLE}"
units: mm
stock:
  oak: {{wood: white oak, thickness: 20}}
  thin: {{wood: white oak, thickness: 15}}
drawing: {{client: "{CLIENT}", revision: B, date: 3 May}}
parts:
  left: {{stock: oak, size: [500, 300], place: {{at: [0, 0, 0], length: up, face: left}}}}
  right: {{mirror: left, about: {{x: 203.2}}}}
  floor: {{stock: oak, size: [366.4, 300], place: {{at: [20, 0, 0], length: across, face: top}}}}
  top: {{stock: oak, size: [366.4, 300], place: {{at: [20, 0, 480], length: across, face: top}}}}
  back: {{stock: thin, size: [460, 366.4], place: {{at: [20, 285, 20], length: up, face: rear}}}}
  tray: {{stock: thin, size: [360, 250], place: {{at: [23.2, 20, 200], length: across, face: top}}}}
  door: {{stock: thin, size: [500, 406.4], place: {{at: [0, -15, 0], length: up, face: front}}}}
moving:
  tray: {{parts: [tray], slide: {{front: 200}}}}
  door: {{parts: [door], swing: {{about: [0, -15, 0], axis: [0, 0, -1], by: 90}}}}
modules: {{body: [left, right, floor, top, back, tray], the_door: [door]}}
passages: {{house_door: {{width: 800, height: 2000}}, cat_flap: {{width: 200, height: 200}}}}
"""


@cache
def cupboard() -> Report:
    return check(from_text(TEXT, "cupboard.yaml"))
