"""Partsbin: a spare-parts catalogue and substitution matcher for a one-person repair bench."""

__version__ = "0.1.0"
