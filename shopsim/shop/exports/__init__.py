"""Order books and logs as other software exports them: a mapping file says which column is what, every row is told.

Start reading at `reading.read_export`; what the tables hold stands in `table_kinds`.
"""
