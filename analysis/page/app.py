"""The page's addresses: each reads what was asked for, calls what does it, and answers in JSON."""

from __future__ import annotations

import hmac
import json
from collections.abc import Callable, Mapping
from contextlib import asynccontextmanager
from dataclasses import dataclass, field
from importlib.resources import files
from math import isfinite
from typing import TYPE_CHECKING, Any
from urllib.parse import quote

from analysis.page.desk import Desk
from analysis.page.folder import NotAllowedError
from analysis.page.guard import TOO_LARGE, Guard, TooLargeError
from analysis.page.plan import told

if TYPE_CHECKING:
    from starlette.applications import Starlette
    from starlette.requests import Request
    from starlette.responses import Response

STATIC = {".js": "text/javascript", ".css": "text/css", ".svg": "image/svg+xml"}
Work = Callable[[Desk, Mapping[str, str], Any], Any]


@dataclass
class Opened:
    """A page that is being served."""

    app: Guard
    desk: Desk
    token: str = field(repr=False)


def page_of(desk: Desk, token: str, port: int) -> Opened:
    """The page over a desk, as an ASGI application that only the holder of the token may use."""
    return Opened(Guard(_application(desk, token, port), token, port), desk, token)


def _application(desk: Desk, token: str, port: int) -> Starlette:
    from starlette.applications import Starlette
    from starlette.routing import Route

    @asynccontextmanager
    async def lifespan(_: Any) -> Any:
        yield
        desk.close()

    routes = [
        Route("/", _page),
        Route("/open", _opener(token, f"padtempo_{port}")),
        Route("/static/{name}", _static),
        Route("/files/{run}/{name}", _download(desk)),
        *(Route(f"/api/{path}", _doing(desk, work), methods=[method]) for method, path, work in ADDRESSES),
    ]
    return Starlette(routes=routes, lifespan=lifespan)


ADDRESSES: tuple[tuple[str, str, Work], ...] = (
    ("GET", "desk", lambda desk, _, __: desk.overview()),
    ("GET", "plans/{plan}", lambda desk, at, _: desk.plan(at["plan"])),
    ("POST", "plans/{plan}/change", lambda desk, at, body: desk.change(at["plan"], body)),
    ("POST", "plans/{plan}/save", lambda desk, at, body: desk.save(at["plan"], body)),
    ("POST", "plans/{plan}/discard", lambda desk, at, _: desk.discard(at["plan"])),
    ("POST", "plans/{plan}/add", lambda desk, at, body: desk.add(at["plan"], body)),
    ("POST", "plans/{plan}/run", lambda desk, at, body: desk.run(at["plan"], body)),
    ("POST", "plans/{plan}/compare", lambda desk, at, body: desk.compare(at["plan"], body)),
    ("GET", "plans/{plan}/levers", lambda desk, at, _: desk.levers(at["plan"])),
    ("POST", "plans/{plan}/what-if", lambda desk, at, body: desk.what_if(at["plan"], body)),
    ("GET", "runs", lambda desk, _, __: desk.runs.listed()),
    ("POST", "runs/{run}/cancel", lambda desk, at, _: desk.cancel(at["run"])),
    ("POST", "runs/{run}/go-on", lambda desk, at, _: desk.go_on(at["run"])),
    ("GET", "runs/{run}/results", lambda desk, at, _: desk.results(at["run"])),
    ("GET", "runs/{run}/replay", lambda desk, at, _: desk.replay(at["run"])),
    ("POST", "runs/{run}/explain", lambda desk, at, body: desk.explain(at["run"], body)),
    ("POST", "runs/{run}/where", lambda desk, at, _: desk.studies.where(at["run"])),
    ("POST", "runs/{run}/report", lambda desk, at, _: desk.studies.report(at["run"])),
    ("POST", "studies/cancel", lambda desk, _, body: desk.studies.cancel(body)),
)


def _doing(desk: Desk, work: Work) -> Callable[[Request], Any]:
    """Do the work in a thread of its own, so that one slow answer holds up nobody else."""

    async def answer(request: Request) -> Response:
        from starlette.concurrency import run_in_threadpool
        from starlette.responses import Response

        try:
            body = await _body(request)
        except TooLargeError:
            return Response(TOO_LARGE, 413, media_type="text/plain")
        return await run_in_threadpool(_answered, lambda: work(desk, request.path_params, body))

    return answer


async def _body(request: Request) -> Any:
    raw = await request.body()
    try:
        return json.loads(raw) if raw else {}
    except (ValueError, RecursionError):
        return None


def _answered(work: Callable[[], Any]) -> Response:
    from starlette.responses import Response

    from analysis.asked import NotUnderstoodError
    from sim.scenario import ScenarioError

    try:
        status, said = 200, work()
    except ScenarioError as error:
        status, said = 422, {"error": told(error) or "not a plan that can be played"}
    except (NotAllowedError, NotUnderstoodError) as error:
        status, said = 422, {"error": str(error)}
    except OSError as error:
        status, said = 500, {"error": f"cannot be read or written: {error.strerror}"}
    return Response(json.dumps(_finite(said), ensure_ascii=False), status, media_type="application/json")


def _finite(value: Any) -> Any:
    """JSON has no infinity: what has no number is null."""
    if isinstance(value, float) and not isfinite(value):
        return None
    if isinstance(value, dict):
        return {key: _finite(each) for key, each in value.items()}
    return [_finite(each) for each in value] if isinstance(value, list | tuple) else value


async def _page(_: Request) -> Response:
    from starlette.responses import HTMLResponse

    return HTMLResponse(_packed("templates", "page.html").decode())


def _opener(token: str, cookie: str) -> Callable[[Request], Any]:
    """Takes the token out of the address at once, so that it stays in no history, and into a cookie."""

    async def opening(request: Request) -> Response:
        from starlette.responses import PlainTextResponse, RedirectResponse

        if not hmac.compare_digest(request.query_params.get("token", "").encode(), token.encode()):
            return PlainTextResponse("not the address of this start; see the one that padtempo printed\n", 403)
        plan = request.query_params.get("plan")
        answer = RedirectResponse(f"/#plan/{quote(plan)}/" if plan else "/", 303)
        answer.set_cookie(cookie, token, httponly=True, samesite="strict", path="/")
        return answer

    return opening


async def _static(request: Request) -> Response:
    from starlette.responses import PlainTextResponse, Response

    name = request.path_params["name"]
    found = {each.name for each in files("analysis.page").joinpath("static").iterdir()}
    ending = f".{name.rpartition('.')[2]}"
    if name not in found or ending not in STATIC:
        return PlainTextResponse("no such file\n", 404)
    return Response(_packed("static", name), media_type=STATIC[ending])


def _packed(folder: str, name: str) -> bytes:
    return files("analysis.page").joinpath(folder, name).read_bytes()


def _download(desk: Desk) -> Callable[[Request], Any]:
    async def sending(request: Request) -> Response:
        from starlette.responses import FileResponse, PlainTextResponse

        run, name = request.path_params["run"], request.path_params["name"]
        try:
            path = desk.runs.file(run, name)
        except NotAllowedError as error:
            return PlainTextResponse(f"{error}\n", 404)
        return FileResponse(path, filename=f"{run} {name}", content_disposition_type="attachment")

    return sending
