"""The building on paper: what is decided before a piece is laid out."""
