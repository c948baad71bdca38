"""What must go together in a scene, checked before anything is laid out."""
