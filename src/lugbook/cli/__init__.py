"""The command line: reads what was typed, calls one job, shows what was found."""
