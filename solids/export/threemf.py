"""3MF files (3D Manufacturing Format, core specification 1.x): millimetres, names, colours, equal parts shared."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from xml.sax.saxutils import quoteattr

from solids import __version__
from solids.export.meshes import Meshes
from solids.export.package import packed
from solids.export.tree import Branch, Leaf, Product, leaves
from solids.kernel.triangles import Triangles
from solids.model.finding import printable
from solids.model.geometry import Frame

CORE = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
MODEL_PART = "3D/3dmodel.model"
TYPES = """<?xml version="1.0" encoding="UTF-8"?>
<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">
<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>
<Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/>
</Types>
"""
RELATIONS = f"""<?xml version="1.0" encoding="UTF-8"?>
<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">
<Relationship Target="/{MODEL_PART}" Id="model" \
Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/>
</Relationships>
"""
PLACES, TURNS = 9, 12  # decimals of a length in mm and of a direction


def write_3mf(root: Branch, path: Path, *, meshes: Meshes | None = None) -> None:
    """Write the whole piece; OSError where the file can't be written. A piece without parts raises ValueError."""
    path.write_bytes(threemf_bytes(root, meshes))


def threemf_bytes(root: Branch, meshes: Meshes | None = None) -> bytes:
    """The package as bytes; the same tree gives the same."""
    if not any(leaves(root)):
        raise ValueError(f"{root.name} has no parts to write")
    model = "".join(_Model(root, meshes or Meshes()).lines())
    return packed(
        [("[Content_Types].xml", TYPES.encode()), ("_rels/.rels", RELATIONS.encode()), (MODEL_PART, model.encode())]
    )


class _Model:
    """The model part: materials, then the mesh of each distinct part, then the branches from the leaves up."""

    def __init__(self, root: Branch, made: Meshes) -> None:
        self.made = made
        self.root = root
        self._last = 0
        self._materials: dict[tuple[str, tuple[float, float, float]], int] = {}
        self._products: dict[tuple[str, str, tuple[float, float, float]], int] = {}

    def lines(self) -> Iterator[str]:
        yield '<?xml version="1.0" encoding="UTF-8"?>\n'
        yield f'<model unit="millimeter" xml:lang="en" xmlns="{CORE}">\n'
        yield f'<metadata name="Title">{_text(self.root.name)}</metadata>\n'
        yield f'<metadata name="Application">dryfit {__version__}</metadata>\n<resources>\n'
        materials = self._number()
        yield from self._base_materials(materials)
        for leaf in leaves(self.root):
            yield from self._product(leaf.product, materials)
        top, text = self._branch(self.root)
        yield text
        yield f'</resources>\n<build><item objectid="{top}"/></build>\n</model>\n'

    def _number(self) -> int:
        self._last += 1
        return self._last

    def _base_materials(self, number: int) -> Iterator[str]:
        yield f'<basematerials id="{number}">\n'
        for leaf in leaves(self.root):
            key = (leaf.product.material, leaf.product.colour)
            if key not in self._materials:
                self._materials[key] = len(self._materials)
                name = _quoted(leaf.product.material or "wood")
                yield f'<base name={name} displaycolor="{_hexadecimal(leaf.product.colour)}"/>\n'
        yield "</basematerials>\n"

    def _product(self, product: Product, materials: int) -> Iterator[str]:
        key = _key(product)
        if key in self._products:
            return
        number = self._products[key] = self._number()
        material = self._materials[product.material, product.colour]
        name = _quoted(product.name)
        made_of = f'pid="{materials}" pindex="{material}"'
        yield f'<object id="{number}" type="model" name={name} partnumber={name} {made_of}>\n'
        yield from _mesh(self.made.triangles(product))
        yield "</object>\n"

    def _branch(self, branch: Branch) -> tuple[int, str]:
        """The number of a branch's object, and the text of it and of all branches below, the lowest first."""
        below, components = [], []
        for child in branch.children:
            if isinstance(child, Leaf):
                number = self._products[_key(child.product)]
            elif any(leaves(child)):
                number, text = self._branch(child)
                below.append(text)
            else:
                continue
            components.append(f'<component objectid="{number}" transform="{_transform(child.frame)}"/>\n')
        number = self._number()
        opened = f'<object id="{number}" type="model" name={_quoted(branch.name)}>\n<components>\n'
        return number, "".join([*below, opened, *components, "</components>\n</object>\n"])


def _key(product: Product) -> tuple[str, str, tuple[float, float, float]]:
    return product.key, product.material, product.colour


def _mesh(found: Triangles) -> Iterator[str]:
    yield "<mesh>\n<vertices>\n"
    for x, y, z in found.points.tolist():
        yield f'<vertex x="{_number(x, PLACES)}" y="{_number(y, PLACES)}" z="{_number(z, PLACES)}"/>\n'
    yield "</vertices>\n<triangles>\n"
    for a, b, c in found.faces.tolist():
        yield f'<triangle v1="{a}" v2="{b}" v3="{c}"/>\n'
    yield "</triangles>\n</mesh>\n"


def _transform(frame: Frame) -> str:
    """Twelve numbers: where x, y and z go, then the origin (core specification, section 3.3)."""
    turn = (c for axis in (frame.x, frame.y, frame.z) for c in axis)
    return " ".join([*(_number(c, TURNS) for c in turn), *(_number(c, PLACES) for c in frame.origin)])


def _number(value: float, decimals: int) -> str:
    return f"{round(value, decimals) + 0.0:.{decimals}f}".rstrip("0").rstrip(".")


def _hexadecimal(colour: tuple[float, float, float]) -> str:
    return "#" + "".join(f"{round(255 * c):02X}" for c in colour)


def _quoted(text: str) -> str:
    return quoteattr(printable(text))


def _text(text: str) -> str:
    return printable(text).replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
