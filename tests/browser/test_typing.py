"""What scripts add while somebody types: a line that reads along, rows in place, a block pasted from a sheet."""

from collections.abc import Callable

from playwright.sync_api import Page, expect

Open = Callable[..., Page]

# As Control+V does, without a clipboard that all programs share.
PASTE = """(box, text) => {
    const held = new DataTransfer();
    held.setData("text/plain", text);
    box.dispatchEvent(new ClipboardEvent("paste", { clipboardData: held, bubbles: true, cancelable: true }));
}"""


def test_a_box_says_what_it_is_read_as_before_it_is_sent(open_page: Open, violations) -> None:
    page = open_page("/calculate/clutch-engagement/", role="fitter")
    page.locator("summary").filter(has_text="Lining, two faces").click()
    page.get_by_label("Lining outside diameter").fill("9 1/2 in")
    expect(page.get_by_text("read as 241.3 mm")).to_be_visible()
    page.get_by_label("Lining outside diameter").fill("9 1/2")
    expect(page.get_by_text("looks like inches")).to_be_visible()
    assert violations(page) == []


def test_rows_are_added_and_pasted_in_place(open_page: Open) -> None:
    page = open_page("/calculate/axial-stack/", role="fitter")
    names = page.locator("[name='contributors.name']")
    names.first.focus()
    names.first.evaluate(PASTE, "plate\t12.5\t0.05\t1\nhub\t12\t0.1\t-1\tspare\n")
    pasted = page.get_by_role("status").filter(has_text="pasted")
    expect(pasted).to_have_text("2 rows pasted. No place here for “spare” (row 2).")
    page.get_by_role("button", name="Add rows").first.click()
    expect(names.nth(2)).to_be_focused()
    for column, typed in {"name": "shim", "nominal": "0.3", "tolerance": "0.01", "sign": "-1"}.items():
        page.locator(f"[name='contributors.{column}']").nth(2).fill(typed)
    page.get_by_role("button", name="Work it out").last.click()
    expect(page.get_by_role("heading", name="Results")).to_be_visible()
    assert [names.nth(at).input_value() for at in range(3)] == ["plate", "hub", "shim"]


def test_a_file_that_is_checked_says_so_and_is_sent_once(open_page: Open) -> None:
    page = open_page("/orders/import/", role="buyer")
    sent: list[str] = []
    page.on("request", lambda asked: sent.append(asked.url) if asked.method == "POST" else None)
    page.get_by_label("paste").fill("supplier,reference,ordered_on,part,quantity,price\nNuvo,R-1,2026-01-05,part,1,9")
    check = page.get_by_role("button", name="Check the file")
    press_twice = "button => { button.click(); button.click(); return document.querySelector('.sending').innerText; }"
    assert check.evaluate(press_twice).strip() == "Reading and checking every row …"
    expect(page.get_by_text("1 order, 1 row.")).to_be_visible()
    assert len(sent) == 1
