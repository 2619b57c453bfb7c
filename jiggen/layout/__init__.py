"""What the instrument is: pure geometry in mm. No tools, no files."""
