"""A spec followed while it is written: each save is checked and shown in a browser."""
