"""The building into a picture of every stage."""
