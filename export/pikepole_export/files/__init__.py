"""Files that are whole or not there, and folders that are all of one building."""
