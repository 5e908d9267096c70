"""Close-cut blanks, wire programs, nesting, stocking."""
