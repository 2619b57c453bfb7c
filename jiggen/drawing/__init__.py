"""The working plan: what a drawing office would make of a layout, as lines, areas and words on pages."""
