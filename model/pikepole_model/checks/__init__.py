"""What a finished building is looked at for."""
