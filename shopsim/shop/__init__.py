"""The shop on paper: frozen strict models, their files, and the checks that no single part can make."""
