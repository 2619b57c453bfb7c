"""The kernel everything stands on: points, and paths of lines and arcs. Millimetres and radians only."""
