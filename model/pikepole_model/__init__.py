"""What a timber outbuilding is: scene in, building out."""
