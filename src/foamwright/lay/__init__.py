"""Where the board sits in the blank."""
