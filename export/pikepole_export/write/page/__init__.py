"""The page to turn the building in: one file that needs nothing else."""
