"""Board and rider in the water."""
