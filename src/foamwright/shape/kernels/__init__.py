"""Compiled loops. Kernels take and return plain arrays and a status; wrappers elsewhere explain it."""
