"""One module for each part of the building: scene and datums in, pieces out."""
