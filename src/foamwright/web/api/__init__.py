"""The interface for programs: the same names as in sheets and results, one shape for errors, OpenAPI."""
