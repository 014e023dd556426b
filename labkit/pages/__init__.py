"""What stands on a page: the widgets behind a bench."""
