"""The nouns: part, piece, joint, stage; what touches, and how it is held."""
