"""The whole plan of a job as one value: choice, stages, marks, runs, bands, scoop, cautions."""
