"""Labels for parts and places: a code that a camera reads, and beside it what a person reads."""
