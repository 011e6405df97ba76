"""Two states of one piece beside each other: what stays good, what is cut again, what is found that was not."""
