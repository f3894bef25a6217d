"""Many hands on one catalogue at once."""
