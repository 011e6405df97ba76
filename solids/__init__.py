"""dryfit: every part fits every other, before the first cut."""

__version__ = "0.1.0"
