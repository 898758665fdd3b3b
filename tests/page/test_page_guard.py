"""Who may talk to the page, and that nothing outside its folder can be named through it.

The attacks are the usual ones of local servers: requests forged by other sites (cross-site request forgery), other
names that point at this machine (DNS rebinding), and paths that climb (CWE-22). See OWASP's cheat sheet on the first
and CWE's entry on the last (from memory).
"""

from __future__ import annotations

import os
import socket
from contextlib import suppress
from pathlib import Path

import pytest
from opened import PAD, Page

from analysis.page.serving import LOOPBACK, _listening

SECRET = "the secret outside"


def test_it_listens_on_loopback_alone() -> None:
    """No other machine can reach it."""
    listening = _listening(0)
    try:
        assert listening.getsockname()[0] == LOOPBACK == "127.0.0.1"
    finally:
        listening.close()


@pytest.mark.parametrize(
    ("cookie", "path"),
    [
        (None, "/"),
        (None, "/api/desk"),
        ("padtempo_1=guess", "/api/desk"),
        (None, "/static/main.js"),
        (None, "/open?token=guess"),
    ],
)
def test_nobody_gets_in_without_the_token(page: Page, cookie: str | None, path: str) -> None:
    """Another program or user of this machine does not know it."""
    assert page.ask("GET", path, Cookie=cookie).status == 403


def test_the_token_is_taken_out_of_the_address(page: Page) -> None:
    """It stays in no history, and no script can read the cookie that it becomes."""
    answer = page.ask("GET", f"/open?token={page.token}", Cookie=None)
    assert (answer.status, answer.headers["location"]) == (303, "/")
    cookie = answer.headers["set-cookie"].lower()
    assert "httponly" in cookie
    assert "samesite=strict" in cookie


@pytest.mark.parametrize("host", ["padtempo.example", "127.0.0.1:1", "localhost", "127.0.0.1.example:80", None])
def test_another_name_for_this_machine_is_refused(page: Page, host: str | None) -> None:
    """As with DNS rebinding."""
    assert page.ask("GET", "/api/desk", Host=host).status in {400, 421}


@pytest.mark.parametrize("origin", ["http://padtempo.example", "null", "http://127.0.0.1:1", "https://127.0.0.1"])
@pytest.mark.parametrize("method", ["GET", "POST"])
def test_other_sites_are_refused(page: Page, origin: str, method: str) -> None:
    """Even if their request came with the cookie."""
    assert page.ask(method, "/api/runs", Origin=origin).status == 403


def test_a_change_needs_an_origin_and_a_header_that_forms_cannot_send(page: Page) -> None:
    """A form of another site sends neither."""
    assert page.ask("POST", "/api/plans/pad.yaml/discard", {}, Origin=None).status == 403
    assert page.ask("POST", "/api/plans/pad.yaml/discard", {}, X_Padtempo=None).status == 403
    assert page.ask("POST", "/api/plans/pad.yaml/discard", {}).status == 200


def test_every_answer_forbids_what_the_page_does_not_need(page: Page) -> None:
    """No script, style or connection but its own, no frame around it, and no copy kept."""
    for path in ("/", "/api/desk", "/static/main.js", "/nothing"):
        headers = page.ask("GET", path).headers
        policy = headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "unsafe" not in policy
        assert "http:" not in policy
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["cache-control"] == "no-store"


CLIMBING = [
    "../outside.yaml",
    "..%2foutside.yaml",
    "%2e%2e%2foutside.yaml",
    "link.yaml",
    ".hidden.yaml",
    "a%00.yaml",
    "pad.txt",
    "%2fetc%2fpasswd",
]


@pytest.fixture
def outside(page: Page) -> Path:
    """A file beside the folder, and a link to it inside."""
    file = page.folder.parent / "outside.yaml"
    file.write_text(f"{PAD}# {SECRET}\n", encoding="utf-8")
    link = page.folder / "link.yaml"
    if not link.is_symlink():
        os.symlink(file, link)
    return file


@pytest.mark.parametrize("name", CLIMBING)
@pytest.mark.parametrize(
    "path", ["/api/plans/{}", "/files/{}/plan.xlsx", "/api/runs/{}/results", "/static/{}", "/files/x/{}"]
)
def test_nothing_outside_the_folder_is_read(page: Page, outside: Path, path: str, name: str) -> None:
    """However it is written."""
    answer = page.ask("GET", path.format(name))
    assert answer.status in {404, 422}
    assert SECRET.encode() not in answer.body


@pytest.mark.parametrize("name", CLIMBING)
def test_nothing_outside_the_folder_is_written(page: Page, outside: Path, name: str) -> None:
    """Neither a new plan nor a draft nor a saved one."""
    before = outside.read_bytes()
    for path, body in (
        ("add", {"text": "x: 1"}),
        ("change", {"version": "", "text": "x: 1"}),
        ("save", {"version": ""}),
    ):
        assert page.ask("POST", f"/api/plans/{name}/{path}", body).status in {404, 422}
    assert outside.read_bytes() == before
    assert not list(page.folder.parent.glob("**/.outside*"))


@pytest.mark.parametrize("table", ["{}", "../outside.yaml", "link.yaml"])
def test_a_plan_cannot_name_a_table_outside_the_folder(page: Page, outside: Path, table: str) -> None:
    """Otherwise an uploaded plan would show the first line of any file."""
    wells = PAD.index("wells:"), PAD.index("units:")
    text = PAD[: wells[0]] + f"wells: {table.format(outside)}\n" + PAD[wells[1] :]
    shown = page.post("plans/pad.yaml/change", {"version": page.get("plans/pad.yaml")["version"], "text": text})
    page.post("plans/pad.yaml/discard")
    assert "outside the folder of the plan" in shown["problems"][0]["message"]
    assert SECRET not in str(shown["problems"])


def test_a_scenario_cannot_make_anything_run(page: Page) -> None:
    """Tags that other readers of YAML turn into calls are refused as tags."""
    marker = page.folder / "made"
    text = PAD + f"uncertain: !!python/object/apply:os.mknod ['{marker}']\n"
    shown = page.post("plans/pad.yaml/change", {"version": page.get("plans/pad.yaml")["version"], "text": text})
    page.post("plans/pad.yaml/discard")
    assert any("a tag" in each["message"] for each in shown["problems"])
    assert not marker.exists()


def test_uploads_are_bounded(page: Page) -> None:
    """A plan has at most 2 MB, and no body is read beyond what that can need."""
    refused = page.ask("POST", "/api/plans/big.yaml/add", {"text": "x" * 2_000_001})
    assert (refused.status, "2 MB" in refused.data["error"]) == (422, True)
    assert page.ask("POST", "/api/plans/big.yaml/add", b"x" * 9_000_000).status == 413
    assert not (page.folder / "big.yaml").exists()


NONSENSE = [
    b'{"edits": 1}',
    b'{"edits": [{}]}',
    b'{"moved": {"water": "x"}}',
    b'{"replications": 1e99}',
    b"null",
    b"{",
    b"[" * 99_999,
]


@pytest.mark.parametrize("body", NONSENSE)
@pytest.mark.parametrize("path", ["change", "save", "what-if"])
def test_nonsense_is_refused_in_plain_words(page: Page, path: str, body: bytes) -> None:
    """And changes nothing."""
    before = page.get("plans/pad.yaml")["version"]
    answer = page.ask("POST", f"/api/plans/pad.yaml/{path}", body)
    assert answer.status == 422
    assert answer.data["error"]
    assert page.get("plans/pad.yaml")["version"] == before


@pytest.mark.parametrize("count", [b"1e99", b"-1", b'"many"', b"true", b"[]"])
@pytest.mark.parametrize("path", ["run", "compare"])
def test_a_number_that_is_none_starts_nothing(page: Page, path: str, count: bytes) -> None:
    """Neither a run nor a study."""
    answer = page.ask("POST", f"/api/plans/pad.yaml/{path}", b'{"replications": ' + count + b"}")
    assert answer.status == 422
    assert "replications" in answer.data["error"]


def test_a_body_without_a_length_is_bounded_too(page: Page) -> None:
    """Sent piece by piece, it is read no further than a plan can need."""
    address = ("127.0.0.1", page.port)
    head = (
        f"POST /api/plans/big.yaml/add HTTP/1.1\r\nHost: 127.0.0.1:{page.port}\r\nX-Padtempo: 1\r\n"
        f"Origin: http://127.0.0.1:{page.port}\r\nCookie: padtempo_{page.port}={page.token}\r\n"
        "Transfer-Encoding: chunked\r\n\r\n"
    )
    with socket.create_connection(address, timeout=20) as sender:
        sender.sendall(head.encode())
        with suppress(OSError):
            for _ in range(10):
                sender.sendall(b"f4240\r\n" + b"x" * 1_000_000 + b"\r\n")
        assert b" 413 " in sender.recv(200)
