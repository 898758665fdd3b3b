"""Who may talk to the page: the browser that was opened with this start's token, and no page from elsewhere.

A page of some other site can make a browser send requests to a local port. It cannot know the token, its Origin is its
own, and a name of its own that it points at this machine stands in Host (DNS rebinding): all three are checked.
"""

from __future__ import annotations

import hmac
from http.cookies import CookieError, SimpleCookie
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from starlette.types import ASGIApp, Message, Receive, Scope, Send

MOST_BODY = 8_000_000  # bytes; a whole plan as text within JSON
TOO_LARGE = "larger than a plan can be; expected at most 2 MB"
HEADERS = {
    "Content-Security-Policy": "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; "
    "connect-src 'self'; form-action 'none'; base-uri 'none'; frame-ancestors 'none'",
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cache-Control": "no-store",
}


class TooLargeError(Exception):
    """A body beyond what a plan can be."""


class Guard:
    """Lets through what comes from the page itself, with safe headers on every answer."""

    def __init__(self, app: ASGIApp, token: str, port: int) -> None:
        self.app, self.token, self.cookie = app, token, f"padtempo_{port}"
        self.hosts = {f"127.0.0.1:{port}", f"localhost:{port}"}

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """As ASGI has it."""
        if scope["type"] != "http":
            return await self.app(scope, receive, send) if scope["type"] == "lifespan" else None
        headers = {name.decode("latin-1").lower(): value.decode("latin-1") for name, value in scope["headers"]}
        refused = self._refused(scope, headers)
        if refused:
            return await _answer(send, *refused)
        return await self.app(scope, _bounded(receive), _with_headers(send))

    def _refused(self, scope: Scope, headers: dict[str, str]) -> tuple[int, str] | None:
        if headers.get("host", "").lower() not in self.hosts:
            return 421, "this page is only served under 127.0.0.1"
        origin = headers.get("origin")
        ours = {f"http://{host}" for host in self.hosts}
        if origin is not None and origin not in ours:
            return 403, "asked for by a page from elsewhere"
        changing = scope["method"] not in {"GET", "HEAD"}
        if changing and (origin is None or headers.get("x-padtempo") != "1"):
            return 403, "a change must come from the page itself"
        if not self._is_known(scope, headers):
            return 403, "open the page by the address that padtempo printed when it started"
        length = headers.get("content-length", "0")
        return (413, TOO_LARGE) if not length.isdecimal() or int(length) > MOST_BODY else None

    def _is_known(self, scope: Scope, headers: dict[str, str]) -> bool:
        if scope["path"] == "/open":
            return True  # where the token itself is looked at
        try:
            cookies = SimpleCookie(headers.get("cookie", ""))
        except CookieError:
            return False
        found = cookies.get(self.cookie)
        return found is not None and hmac.compare_digest(found.value.encode(), self.token.encode())


def _bounded(receive: Receive) -> Receive:
    seen = 0

    async def receive_some() -> Message:
        nonlocal seen
        message = await receive()
        seen += len(message.get("body", b""))
        if seen > MOST_BODY:
            raise TooLargeError
        return message

    return receive_some


def _with_headers(send: Send) -> Send:
    async def send_some(message: Message) -> None:
        if message["type"] == "http.response.start":
            own = [(name.encode(), value.encode()) for name, value in HEADERS.items()]
            message = {**message, "headers": [*message.get("headers", []), *own]}
        await send(message)

    return send_some


async def _answer(send: Send, status: int, text: str) -> None:
    body = f"{text}\n".encode()
    headers = {"Content-Type": "text/plain; charset=utf-8", "Content-Length": str(len(body)), **HEADERS}
    listed = [(name.encode(), value.encode()) for name, value in headers.items()]
    await send({"type": "http.response.start", "status": status, "headers": listed})
    await send({"type": "http.response.body", "body": body})
