"""Board sheets made solid, and checked."""
