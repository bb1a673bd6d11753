"""The site starts: its pages open for those signed in and nobody else."""

from django.test import Client


def test_first_page_opens(fitter: Client) -> None:
    assert fitter.get("/").status_code == 200


def test_stranger_is_sent_to_sign_in(client: Client, db: None) -> None:
    response = client.get("/")
    assert response.status_code == 302
    assert response["Location"].startswith("/people/sign-in/")
    assert client.get(response["Location"]).status_code == 200


def test_nul_in_an_address_is_refused_plainly(fitter: Client) -> None:
    assert fitter.get("/?q=%00").status_code == 400
    assert fitter.get("/%00").status_code in (400, 404)
