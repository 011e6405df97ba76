"""What was found, for the terminal and for programs."""
