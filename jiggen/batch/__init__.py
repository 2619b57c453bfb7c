"""Many designs in one go: each design's own set, the parts of all nested together, and what became of each."""
