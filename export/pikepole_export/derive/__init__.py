"""Building in, rows of numbers out. Nothing here touches a file."""
