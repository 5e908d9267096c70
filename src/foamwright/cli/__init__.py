"""The command line: parse and show, no arithmetic."""
