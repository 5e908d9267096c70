"""Blanks in blocks of foam: stacked along their rockers, side by side, in the least blocks, proved."""
