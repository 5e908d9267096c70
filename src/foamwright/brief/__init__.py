"""From a rider's brief to the numbers of a board."""
