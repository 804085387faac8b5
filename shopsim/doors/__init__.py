"""The commands, one module each: read the arguments, call the library, show or write what comes back."""
