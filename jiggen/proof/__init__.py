"""Proof: reads files back with code of its own and measures what they say."""
