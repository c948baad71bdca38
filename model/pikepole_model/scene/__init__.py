"""What the user wrote, read and checked."""
