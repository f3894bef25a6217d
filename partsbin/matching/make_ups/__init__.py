"""Make-ups: several parts joined into one that does what no single part of the shelf does."""
