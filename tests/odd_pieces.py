"""Sound pieces in sizes that nobody would choose for their ease: every assembly, in mm and inches, however placed."""

from __future__ import annotations

HARDWARE = """\
hardware:
  slide: {runner: side, length: 380, height: 45, side_clearance: 13.1}
  thin: {runner: side, length: 250, height: 17, side_clearance: 9.7}
  butts: {hinge: butt, leaf: [60, 16], leaf_thickness: 1.5, knuckle: 6, closed: 6}
  cups: {hinge: cup, diameter: 35, depth: 11.5, from_edge: 4}
  m6: {bolt: M6x50, washer: {diameter: 18, thickness: 1.6}, insert: {length: 15, diameter: 12, pilot: 10}}
  m6x: {bolt: M6x70, cross_dowel: {diameter: 10, length: 20}}
  s4: {screw: 4x40}
"""
STOCK = """\
stock:
  oak: {wood: white oak, thickness: 19.3 mm}
  oak45: {wood: white oak, thickness: 45 mm}
  ash: {wood: white ash, thickness: 12.4 mm}
  wal: {wood: black walnut, thickness: 22.7 mm}
  ply: {sheet: birch plywood, thickness: 5.8 mm, nominal: 6 mm}
  ply9: {sheet: birch plywood, thickness: 8.7 mm, nominal: 9 mm}
  ply18: {sheet: birch plywood, thickness: 17.6 mm, nominal: 18 mm}
"""
PIECES: dict[str, str] = {}


def add(name: str, body: str, units: str = "mm") -> None:
    """One more piece, from its parts or assemblies."""
    PIECES[name] = f"title: {name}\nunits: {units}\n{STOCK}{HARDWARE}{body}"


add(
    "leaning chest of three",
    """\
assemblies:
  - {case: body, outline: {width: 713.4, height: 881.7, lean: {left: 11.3}}, depth: 437.2, stock: wal,
     back: {stock: ply, depth: 8.1}}
  - {fronts: faces, opening: body, stock: oak, heights: [310.2, 263.5], rows: 3, reveal: 2.7}
  - {drawers: tills, opening: body, behind: faces, runner: slide, stock: ash, bottom: ply, spacers: oak,
     below: 13.3, above: 14.9}
""",
)
add(
    "butted case, zones",
    """\
assemblies:
  - {case: body, outline: {width: 911, height: 1337, lean: {right: 4.4}}, depth: 351.5, stock: ply18,
     corners: butt, back: [{stock: ply, height: 402.5}, {stock: ply9, recess: 11.7, height: 877.3},
     {stock: ply, in: groove, recess: 7.7, depth: 7}], shelves: {count: 3, housing: 5.7},
     dividers: {count: 1, housing: 5.1}}
""",
)
add(
    "hexagon rack",
    """\
assemblies:
  - {case: hive, outline: [[211.7, 0], [621.3, 0], [826.1, 354.7], [621.3, 709.4], [211.7, 709.4], [6.9,
     354.7]], depth: 243.9, stock: oak, corners: butt, back: {stock: ply, in: groove, recess: 8.8},
     shelves: {at: [117.3, 451.1], housing: 6.6}}
""",
)
add(
    "splayed ring 7",
    """\
assemblies:
  - {ring: pot, sides: 7, across: {top: 517.7}, height: 288.8, lean: {in: 22}, stock: oak,
     caps: {bottom: ply9}, place: {at: [13, 7, 91], turn: 17.7}}
""",
)
add(
    "ring outline open",
    """\
assemblies:
  - {ring: fence, outline: [[0, 0], [811.3, 0], [1010.7, 433.1], [377.7, 801.1], [0 - 151.7, 411.9]],
     height: 333.1, lean: {out: 6.6}, stock: wal, open: [wall_3]}
""",
)
add(
    "splayed base",
    """\
assemblies:
  - {base: stand, width: 733.3, depth: 471.7, height: 691.9, lean: {out: 7.7}, leg: {stock: oak45, size: [45,
     45]}, apron: {stock: oak, height: 87.3, tenon: {length: 21.3, thickness: 7.7}}}
""",
)
add(
    "L base",
    """\
assemblies:
  - {base: stand, width: 733.3, depth: 471.7, height: 391.9, leg: {stock: oak, panels: [77.7, 88.8]},
     apron: {stock: oak, height: 87.3}}
""",
)
add(
    "framed doors",
    """\
assemblies:
  - {case: body, outline: {width: 907.7, height: 655.5}, depth: 311.1, stock: wal, back: {stock: ply,
     recess: 4.4}}
  - {fronts: doors, opening: body, columns: 2, reveal: 3, frame: {stock: oak, stile: 57.7, rail: 61.1,
     panel: {stock: ply, groove: [6, 11], room: 2.2}}}
joints:
  - {hinge: [doors.faces.1.left_stile, body.left], along: left, with: butts, inset: 77.7, swing: 95}
  - {hinge: [doors.faces.2.right_stile, body.right], along: right, with: butts, inset: 77.7, swing: 95}
""",
)
add(
    "overlay cup door",
    """\
assemblies:
  - {case: body, outline: {width: 507.7, height: 655.5}, depth: 311.1, stock: ply18, corners: butt,
     back: {stock: ply}, shelves: {count: 2, pins: {diameter: 5, depth: 9.5, from_edge: 37}}}
  - {fronts: doors, opening: body, stock: ply18, overlay: 15.3, reveal: 3}
joints:
  - {hinge: [doors.faces.1, body.left], along: left, with: cups, inset: 91, swing: 104}
""",
)
add(
    "bolted table",
    """\
parts:
  top: {stock: wal, size: [1301.1, 611.9], place: {at: [0, 0, 701.3], length: across, face: top}}
  end: {stock: oak45, size: [701.3, 533.3], place: {at: [71.1, 39.3, 0], length: up, face: left}}
  other_end: {mirror: end, about: {x: 1301.1 / 2}}
  rail: {stock: oak45, size: [1301.1 - 2 * 116.1, 133.3], place: {at: [116.1, 288.8, 388.1], length: across,
    face: front}}
joints:
  - {bolt: [end, rail], with: m6x, count: 2, inset: 33.3, nut_from: front, counterbore: {depth: 11.1}}
  - {bolt: [other_end, rail], with: m6x, count: 2, inset: 33.3, nut_from: front, counterbore: {depth: 11.1}}
  - {touch: [top, end]}
  - {touch: [top, other_end]}
""",
)
add(
    "frame in leaning group",
    """\
groups:
  bay:
    assemblies:
      - {frame: sash, width: 433.3, height: 711.7, stock: oak, stile: 51.3, rail: 63.7, panel: {stock: ply,
    groove: [6, 9.5], room: 1.7, grain: across}}
    place: {at: [100, 200, 300], lean: {rear: 13.3, right: 5.5}, turn: 41}
    copies: {count: 3, step: [500, 0, 0]}
""",
)
add(
    "drawers on thin runners",
    """\
assemblies:
  - {case: body, outline: {width: 391.3, height: 431.1}, depth: 291.3, stock: oak, corners: rabbet,
     back: {stock: ply, depth: 7.1}}
  - {fronts: faces, opening: body, stock: oak, rows: 4, cut_from: 388.7, kerf: 3.2}
  - {drawers: tills, opening: body, behind: faces, runner: thin, stock: ash, bottom: ply, below: 7.7,
     above: 6.3, groove: {up: 6.6, depth: 5.5}}
""",
)
add(
    "narrow boxes",
    """\
assemblies:
  - {case: body, outline: {width: 602.2, height: 433.3}, depth: 401.1, stock: oak}
  - {drawers: tills, opening: body, rows: 2, width: 499.9, runner: slide, stock: ash, bottom: ply, spacers: oak}
""",
)
add(
    "five sided with drawers",
    """\
assemblies:
  - {case: body, outline: [[0, 0], [644.4, 0], [744.4, 377.7], [644.4, 755.4], [0, 755.4]], depth: 411.1,
     stock: ply18, back: {stock: ply}}
  - {drawers: tills, opening: body, rows: 4, runner: slide, stock: ash, bottom: ply, spacers: oak}
""",
)
add(
    "overlay four fronts",
    """\
assemblies:
  - {case: body, outline: {width: 600, height: 700}, depth: 420, stock: ply18, corners: butt}
  - {fronts: faces, opening: body, stock: oak, rows: 3, columns: 1, overlay: 13.7, reveal: 2.3}
  - {drawers: tills, opening: body, behind: faces, runner: slide, stock: ash, bottom: ply}
""",
)
add(
    "turned copies of a case",
    """\
groups:
  bay:
    assemblies:
      - {case: body, outline: {width: 433, height: 511, lean: {right: 7}}, depth: 255, stock: wal,
    dividers: {at: [133.3], housing: 4.4}, shelves: {at: [111.1, 277.7], housing: 6.1}, edge: {roundover: 4.4}}
    place: {at: [0, 0, 0], turn: 12.5}
    copies: {count: 3, step: [600, 40, 0]}
""",
)
add(
    "inch case",
    """\
assemblies:
  - {case: body, outline: {width: 27 5/16, height: 33 3/8, lean: {right: 9}}, depth: 14 7/16, stock: wal,
     back: {stock: ply, depth: 5/16}, shelves: {count: 2, housing: 1/4}}
  - {fronts: faces, opening: {left: body.left, right: body.right, bottom: body.shelf.2, top: body.top},
     stock: oak, reveal: 3/32}
""",
    "in",
)
add(
    "inch base",
    """\
assemblies:
  - {base: stand, width: 31 3/8, depth: 17 5/16, height: 28 7/8, lean: {in: 3.5}, leg: {stock: oak45,
     size: [45 mm, 45 mm]}, apron: {stock: oak, height: 3 5/8, tenon: {length: 7/8, thickness: 5/16,
     shoulder: 3/8}}}
""",
    "in",
)
add(
    "rabbet gable",
    """\
assemblies:
  - {case: body, outline: [[0, 0], [577.7, 0], [577.7, 399.9], [288.85, 655.5], [0, 399.9]], depth: 222.2,
     stock: oak, corners: rabbet, back: {stock: ply}, shelves: {at: [111.1, 255.5], housing: 5.5}}
""",
)
add(
    "lid box",
    """\
parts:
  front: {stock: oak, size: [411.1, 133.3], place: {at: [0, 0, 0], length: across, face: front}}
  back: {stock: oak, size: [411.1, 133.3], place: {at: [0, 241.4, 0], length: across, face: rear}}
  left: {stock: oak, size: [260.7, 133.3], place: {at: [0, 0, 0], length: deep, face: left}}
  right: {stock: oak, size: [260.7, 133.3], place: {at: [391.8, 0, 0], length: deep, face: right}}
  lid: {stock: wal, size: [411.1, 260.7], place: {at: [0, 0, 136.3], length: across, face: top}}
joints:
  - {miter: [front, left]}
  - {miter: [front, right]}
  - {miter: [back, left]}
  - {miter: [back, right]}
  - {hinge: [lid, back], along: rear, with: butts, inset: 66.6, swing: 97}
""",
)
add(
    "loose tenon frame",
    """\
parts:
  post: {stock: oak45, size: [711.1, 66.6], place: {at: [0, 0, 0], length: up, face: left}}
  other_post: {mirror: post, about: {x: 411.1}}
  rail: {stock: oak, size: [822.2 - 90, 61.1], place: {at: [45, 11.1, 611.1], length: across, face: front}}
  low_rail: {stock: oak, size: [822.2 - 90, 61.1], place: {at: [45, 22.2, 133.3], length: across, face: front}}
joints:
  - {loose_tenon: [post, rail, low_rail], size: [44.4, 7.7], depth: 21.1}
  - {loose_tenon: [other_post, rail, low_rail], size: [44.4, 7.7], depth: 21.1}
""",
)
add(
    "dowelled and screwed",
    """\
parts:
  side: {stock: ply18, size: [611.1, 288.8], place: {at: [0, 0, 0], length: up, face: left}}
  other_side: {mirror: side, about: {x: 250}}
  shelf: {stock: ply18, size: [500 - 2 * 17.6, 288.8], place: {at: [17.6, 0, 101.1], length: across,
    face: top}, copies: {count: 3, step: [0, 0, 177.7]}}
  cleat: {stock: oak, size: [500 - 2 * 17.6, 44.4], place: {at: [17.6, 288.8 - 19.3, 101.1 - 44.4],
    length: across, face: rear}}
joints:
  - {dowel: [side, shelf], diameter: 8, depth: [11.1, 25], count: 3, inset: 38.8}
  - {dowel: [other_side, shelf], diameter: 8, depth: [11.1, 25], count: 3, inset: 38.8}
  - {screw: [shelf.1, cleat], with: s4, count: 3, inset: 55.5}
  - {touch: [cleat, side, other_side]}
""",
)
