"""Every measure on a drawing."""
