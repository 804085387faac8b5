"""Long studies whose answers are known, as scripts with their results beside them; each tells how to run it again."""
