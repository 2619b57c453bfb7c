"""Files: a sheet in, bytes out. No geometry is decided here; only `save` touches the disk."""
