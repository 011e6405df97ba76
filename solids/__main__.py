"""`python -m solids` is `dryfit`."""

from solids.cli import main

main(prog_name="dryfit")
