"""Lifts into cards: what is drawn and written on each of them."""
