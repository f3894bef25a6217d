"""The bench page: the same services as the command line, for a browser beside the chassis."""
