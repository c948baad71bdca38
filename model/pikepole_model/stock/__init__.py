"""What can be bought, and what it weighs."""
