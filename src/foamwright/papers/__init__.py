"""Drawings and documents."""
