"""What raising, carrying and moving a piece asks of people and gear."""
