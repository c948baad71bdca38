"""What is seen of parts from one side, and where a plane cuts them."""
