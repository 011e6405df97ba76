"""Families of pieces: one spec at many sizes, each put together dry, on all cores or on many machines."""
