"""Shaded pictures of the piece, without a screen and without a graphics library."""
