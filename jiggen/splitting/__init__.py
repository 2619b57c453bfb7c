"""Parts that are larger than the bed, made in pieces that join on the bench."""
