"""Finding bars on the board by text, and leaving out what does not concern somebody now."""
