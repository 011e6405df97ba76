"""The client's page: the piece to turn, open and take apart, in one file that fetches nothing."""
