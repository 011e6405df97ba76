"""Text to Piece: every mistake in a spec is told with its line and what would be right."""
