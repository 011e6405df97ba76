"""Dimensioned drawings: what a part or a piece looks like on paper, with every size once."""
