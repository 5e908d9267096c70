"""Fins, laminate, mass, materials, price."""
