"""Which blanks to keep: expected boards, candidate blanks, the lay of each in each, and the choice."""
