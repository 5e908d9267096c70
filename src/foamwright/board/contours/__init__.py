"""Bottom contours: what a bottom does between stringer and tuck, one object a kind; terms add."""
