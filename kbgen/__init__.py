"""Turns repair notes into a checked, cross-linked and searchable help site."""

__all__ = ["__version__"]

__version__ = "0.1.0"
