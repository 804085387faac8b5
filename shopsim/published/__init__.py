"""Values from the world outside, and what this installation finds for them: the cases of `shopsim verify`."""
