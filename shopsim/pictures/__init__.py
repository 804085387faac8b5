"""Pictures: a table in, a Plotly figure out, and the same in words; one idea a file, the look in `style`."""
