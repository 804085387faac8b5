"""One page a file, one question a page; each is run from top to bottom whenever something is entered."""
