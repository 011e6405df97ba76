"""The dry fit: placed solids measured against each other, and what a maker should know of it."""
