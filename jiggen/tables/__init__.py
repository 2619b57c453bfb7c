"""TOML texts as tables whose every value knows the line on which it stands."""
