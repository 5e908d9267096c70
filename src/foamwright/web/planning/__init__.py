"""The planning page: a board's numbers, its blank, its lay, what comes off, the strokes and the papers."""
