"""The invented boats that come with the console: each a whole boat file, to look at or to start from."""
