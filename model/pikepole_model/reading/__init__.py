"""A file into a checked scene, or one report with everything that is wrong."""
