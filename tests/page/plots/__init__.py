"""Plots of the page."""
