"""One script for each step from form to form."""
