"""Lugbook: a book of heavy DC cable terminals and what they measure over the years."""

__version__ = "0.1.0"
