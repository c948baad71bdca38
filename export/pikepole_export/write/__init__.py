"""Rows or building in, one kind of file out. Writers know nothing of each other."""
