"""A building moved whole: what goes along, what to do first, and what carries or draws it."""
