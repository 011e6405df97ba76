"""Commands that have a file of their own, and what all commands tell a terminal with."""
