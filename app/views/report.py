"""What is handed on: a page, a PDF and a workbook of the answers chosen."""

import streamlit as st

from app import state
from app.reports import answered, contents_of
from app.say import plain
from shopsim.pictures.text import capital
from shopsim.report.folder import folder_of, zipped
from shopsim.report.page import page_of
from shopsim.report.pdf import chromium, missing, pdf_of
from shopsim.report.stress import ITEMS, open_items
from shopsim.report.workbook import workbook_of

PAGE = "report"
SHEETS = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
st.title("Report")
st.caption("For the client, the bank and another modeller: what was asked, what came out, and what it rests on.")
shop = state.sound_shop()
found = answered()
fresh = {each.title: each for each in found if each.fresh}
old = [each.title for each in found if not each.fresh]
if old:
    told = "\n".join(f"- {plain(title)}" for title in old)
    st.warning(f"Asked of the shop as it was before; ask again to have them in:\n\n{told}", icon=":material/history:")
if not fresh:
    st.info(
        "There is no answer yet. A report is made of answers: begin with how the shop does.", icon=":material/info:"
    )
    st.page_link("views/as_we_are.py", label="Ask how the shop does")
    st.stop()

entered = state.entered(PAGE)
left_out = set(entered.get("left_out", []))
chosen = st.multiselect(
    "Answers to put in, the first as the first on the page", list(fresh), [one for one in fresh if one not in left_out],
    key=f"{PAGE}.chosen",
)  # fmt: skip
one, two = st.columns(2)
title = one.text_input("Title", entered.get("title", ""), max_chars=120, placeholder=shop.scenario.shop.name,
                       key=f"{PAGE}.title")  # fmt: skip
author = two.text_input("Made by", entered.get("author", ""), max_chars=120, key=f"{PAGE}.author")
state.keep_entered(PAGE, left_out=[each for each in fresh if each not in chosen], title=title, author=author)
if not chosen:
    st.info("Choose at least one answer.", icon=":material/info:")
    st.stop()

contents = contents_of([fresh[each] for each in chosen], title, author)
stem = state.required().path.stem
for number, each in enumerate(contents.answers, start=1):
    st.markdown(f"**{number}. {plain(each.about['question'])}**  \n{plain(each.document['sentence'])}")
page, pdf, workbook, everything = st.columns(4)
page.download_button("Page (HTML)", lambda: page_of(contents), f"{stem}_report.html", "text/html", on_click="ignore",
                     icon=":material/description:", width="stretch")  # fmt: skip
if chromium() is None:
    pdf.caption(plain(capital(missing())))
else:
    pdf.download_button("PDF", lambda: pdf_of(page_of(contents)), f"{stem}_report.pdf", "application/pdf",
                        on_click="ignore", icon=":material/picture_as_pdf:", width="stretch")  # fmt: skip
everything.download_button(
    "Everything (ZIP)", lambda: zipped(folder_of(contents)), f"{stem}_report.zip", "application/zip", on_click="ignore",
    icon=":material/folder_zip:", width="stretch",
)  # fmt: skip
workbook.download_button(
    "Workbook (XLSX)", lambda: workbook_of(contents), f"{stem}_report.xlsx", SHEETS, on_click="ignore",
    icon=":material/table_view:", width="stretch",
)  # fmt: skip
st.caption("Everything: page, workbook, answers, the numbers of each replication, and the files it was made from. "
           "`shopsim report` writes the records of a run as well.")  # fmt: skip

still_open = open_items(contents)
with st.expander(f"Left for you to fill in: {len(still_open)} of {len(ITEMS)} items of the reporting list",
                 icon=":material/edit_note:"):  # fmt: skip
    titles = {item.number: item.title for item in ITEMS}
    lines = [f"- **{number} {plain(titles[number])}**: {plain(' '.join(told))}" for number, told in still_open.items()]
    st.markdown("\n".join(lines))
