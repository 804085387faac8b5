"""A scenario as tables that a person edits. Start reading at `layout`: which fields, in which order, under which title.

`columns` reads from the models what a field may hold, `words` says it in the trade's words, `tables` turns plain values
into rows and edited cells into changes, `cell_faults` puts each fault beside its cell, `editing` keeps the text that is
being edited, comments and all, and takes edits back.
"""
