"""Small sound specs that `dryfit new` writes."""
