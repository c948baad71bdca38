"""One module for each part of the building: scene and levels in, pieces out."""
