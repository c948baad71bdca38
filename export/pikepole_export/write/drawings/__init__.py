"""Plans and shapes into drawings to cut by."""
