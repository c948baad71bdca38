"""Loads on a building, what they do to its members, and how that compares with the rules."""
