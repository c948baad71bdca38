"""Where a piece is, and what shape it has."""
