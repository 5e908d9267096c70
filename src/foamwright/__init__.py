"""Plans and checks the shaping of a foam board core by hand."""

__version__ = "0.1.0"
