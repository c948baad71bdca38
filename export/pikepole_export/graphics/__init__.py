"""What pictures, cards and the window share: camera, colours, meshes, lettering."""
