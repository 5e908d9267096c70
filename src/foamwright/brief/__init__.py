"""Starting numbers for a board from a rider: families of boards, scaled to fit."""
