"""What a consultant leaves behind: a page to hand on, a workbook, the reporting list of STRESS-DES.

Start at `contents.py`: what a report is made of. Sections (`first_page`, `answer_section`, `stress`, ...) turn it into
`blocks`, which `page` and `digest` write out; `workbook` takes the same contents.
"""
