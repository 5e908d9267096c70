"""The app: parse and show, no arithmetic."""
