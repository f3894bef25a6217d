"""Bad days: the power fails, the disk is full, the file is broken, the text is hostile."""
