"""One writer a format: models of the whole piece and of each part."""
