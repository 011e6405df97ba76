"""The triangles of each distinct part, made once for all the formats that need them."""

from __future__ import annotations

from solids.export.tree import Product
from solids.kernel.skin import Skin, skin_of
from solids.kernel.triangles import Triangles, triangles_of


class Meshes:
    """Triangles and skins by the key of a product, made when they are first asked for."""

    def __init__(self) -> None:
        self._triangles: dict[str, Triangles] = {}
        self._skins: dict[str, Skin] = {}

    def triangles(self, product: Product) -> Triangles:
        """The part on the bench, closed. Raises OpenMesh where it can't be."""
        if product.key not in self._triangles:
            self._triangles[product.key] = triangles_of(product.shape)
        return self._triangles[product.key]

    def skin(self, product: Product) -> Skin:
        """The same with the normals of its round faces."""
        if product.key not in self._skins:
            found = self.triangles(product)
            self._skins[product.key] = skin_of(found.points, found.faces, found.source)
        return self._skins[product.key]
