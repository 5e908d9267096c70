"""Run-offs, rail bands and scoops: how hand tools get there."""
