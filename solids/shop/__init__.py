"""The bench's papers: what is cut, how the saw is set, what is drilled, bought, carried and put together."""
