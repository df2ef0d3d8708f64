"""Lets `python -m lugbook` do what `lugbook` does."""

from lugbook.cli.app import main

main()
