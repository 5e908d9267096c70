"""The app in a browser: pages and an interface over the same functions that the command line calls."""
