"""What is derived from a building: numbers, files and pictures."""
