"""What to buy and how to cut it, with as little waste as can be proved."""
