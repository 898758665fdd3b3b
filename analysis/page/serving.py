"""Serve the page on this machine alone, until Ctrl-C."""

from __future__ import annotations

import contextlib
import os
import secrets
import socket
import threading
import webbrowser
from collections.abc import Callable
from pathlib import Path
from typing import Any
from urllib.parse import quote

from analysis.page.folder import NAME, Folder, NotAllowedError

LOOPBACK = "127.0.0.1"
USUAL_PORT = 8642
BACKLOG = 200  # browsers that knock before the server is up wait for it, and are not refused
PATIENCE_S = 2  # with open connections, when the page ends


class PageError(Exception):
    """The page cannot be opened; the message says why."""


def serve(folder: Path, plan: str | None, port: int | None, *, browser: bool, tell: Callable[[str], None]) -> None:
    """Serve the plans in a folder. Raises PageError where there is no such folder or no such port to be had."""
    uvicorn = _server_library()
    _refuse_unusable(folder, plan)
    listening = _listening(port)
    own_port = listening.getsockname()[1]
    from analysis.page.app import page_of
    from analysis.page.desk import Desk

    desk, token = Desk(folder), secrets.token_urlsafe(32)
    opened = page_of(desk, token, own_port)
    address = f"http://{LOOPBACK}:{own_port}/open?token={token}" + (f"&plan={quote(plan)}" if plan else "")
    tell(f"The page of {folder.resolve()} is open on this machine until Ctrl-C:\n{address}")
    if browser:
        threading.Timer(0.5, lambda: webbrowser.open(address)).start()
    config = uvicorn.Config(
        opened.app,
        log_level="error",
        access_log=False,
        server_header=False,
        timeout_graceful_shutdown=PATIENCE_S,
        limit_concurrency=200,
        proxy_headers=False,
    )
    with contextlib.suppress(KeyboardInterrupt):
        uvicorn.Server(config).run(sockets=[listening])
    if not desk.close():
        os._exit(0)  # a long replication is not waited for: its workers end with this process, and parts are whole


def _server_library() -> Any:
    try:
        import starlette  # noqa: F401
        import uvicorn
    except ImportError as error:
        raise PageError(
            "the page needs two more packages; install padtempo with its extra: pip install 'padtempo[page]'"
        ) from error
    return uvicorn


def _refuse_unusable(folder: Path, plan: str | None) -> None:
    if not folder.is_dir():
        raise PageError(f"{folder}: no such folder; expected one that holds plans, or will")
    if plan is not None:
        try:
            Folder(folder).there(plan)
        except (NotAllowedError, OSError) as error:
            expected = "expected a plan in that folder, with a name such as pad.yaml"
            raise PageError(f"{folder / plan}: cannot be opened; {expected}") from error
        if not NAME.fullmatch(plan):
            raise PageError(f"{plan}: not a name that the page can open")


def _listening(port: int | None) -> socket.socket:
    """A socket on loopback: the usual port or, if it is taken and none was asked for, any that is free."""
    for attempt in [port] if port is not None else [USUAL_PORT, 0]:
        listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
        try:
            listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            listening.bind((LOOPBACK, attempt))
            listening.listen(BACKLOG)
        except OSError as error:
            listening.close()
            if attempt == port:
                raise PageError(f"port {port}: cannot be used: {error.strerror}; choose another") from error
        else:
            return listening
    raise PageError("no port is free on this machine")
