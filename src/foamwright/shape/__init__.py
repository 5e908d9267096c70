"""Curves, sections, height fields and meshes; knows no word of the trade."""
