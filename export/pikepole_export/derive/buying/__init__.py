"""What to order: amounts, supplies, fasteners, prices."""
