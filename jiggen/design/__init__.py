"""What the maker said: values, units, and where each came from."""
