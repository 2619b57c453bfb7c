"""How this material on this machine makes it: kerf, growth, scale, side, limits, and the tag that says so."""
