"""Who may talk to the page: only the browser that was given a key, on this machine.

A page on the same machine can be reached by any web site that a browser on it
shows. So each request needs the cookie that a key is changed for, once; the key comes in the address that a
parent types, or in the body of what the file of ``keys.hand_over`` sends. It also needs the loopback address as its host (a name that was bent to 127.0.0.1 is refused:
DNS rebinding) and, where the browser says where it comes from, this page as
its origin. The measures are those of the OWASP cheat sheets on cross-site request
forgery and cross-site WebSocket hijacking (from memory).
"""

import asyncio
import hmac
import secrets
from http.cookies import CookieError, SimpleCookie
from urllib.parse import parse_qs

from starlette.datastructures import Headers
from starlette.responses import HTMLResponse, PlainTextResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from sayit.page.keys import Keys

__all__ = ["HANDED", "HOST", "Guard", "headers"]

HOST = "127.0.0.1"
HANDED = "/key"
"""Where the file with the key sends it."""

_PAGES = ("/", "/desk")
_READING = ("GET", "HEAD")
_ASK_TERMINAL = (
    "Open the newest address that sayit printed in the terminal: each opens the desk once, in one browser, and this "
    "browser was not given one."
)
# A cookie for this site alone is not sent along where another one led here, so the page leads on itself.
_LET_IN = '<!doctype html><html lang="en"><meta http-equiv="refresh" content="0;url=/desk"><title>sayit</title></html>'
_LONGEST_KEY = 1_000
_KEY_SECONDS = 5.0


def headers(port: int) -> dict[str, str]:
    """What every answer tells the browser: nothing from elsewhere, no inline script or style, no framing."""
    return {
        "Content-Security-Policy": (
            "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; media-src 'self'; "
            f"worker-src 'self'; connect-src 'self' ws://{HOST}:{port}; base-uri 'none'; form-action 'none'; "
            "frame-ancestors 'none'"
        ),
        "Permissions-Policy": "microphone=(self), camera=(), geolocation=()",
        "Referrer-Policy": "no-referrer",
        "X-Content-Type-Options": "nosniff",
        "Cross-Origin-Opener-Policy": "same-origin",
        "Cross-Origin-Resource-Policy": "same-origin",
        "Cache-Control": "no-store",
    }


class Guard:
    """ASGI middleware that refuses whoever was not let in; each of ``keys`` lets one browser in."""

    def __init__(self, app: ASGIApp, *, port: int, keys: Keys) -> None:
        self._app = app
        self._port = port
        self._keys = keys
        # Cookies do not know ports: two pages on one machine must not take each other's.
        self._cookie = f"sayit-{port}"
        self._secret = secrets.token_urlsafe(32)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] == "lifespan":
            await self._app(scope, receive, send)
            return
        asked = Headers(scope=scope)
        if scope["type"] == "http" and scope["path"] == HANDED and scope["method"] == "POST":
            await self._take_key(scope, receive, send)
            return
        trouble = self._stranger(scope, asked)
        if not trouble and scope["type"] == "http" and scope["path"] in _PAGES and (key := self._key_in(scope)):
            if self._keys.use(key):
                await self._let_in(RedirectResponse(scope["path"], 303, headers(self._port)))(scope, receive, send)
                return
            if self._known(asked):
                # Asked for a second time, as by a browser that goes back.
                await RedirectResponse(scope["path"], 303, headers(self._port))(scope, receive, send)
                return
        if not trouble and not self._known(asked):
            trouble = _ASK_TERMINAL
        if not trouble:
            await self._app(scope, receive, self._with_headers(send))
        elif scope["type"] == "websocket":
            await receive()
            await send({"type": "websocket.close", "code": 4403, "reason": trouble[:120]})
        else:
            await PlainTextResponse(trouble, 403, headers=headers(self._port))(scope, receive, send)

    async def _take_key(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let in who sends a key; a file has no origin that could be checked, and the key is known to nobody else."""
        trouble = self._elsewhere(Headers(scope=scope))
        try:
            body = await asyncio.wait_for(_short(receive), _KEY_SECONDS)
        except TimeoutError:
            body = b""
        given = parse_qs(body.decode("ascii", "replace")).get("key", [""])
        if trouble or len(given) != 1 or not self._keys.use(given[0]):
            await PlainTextResponse(trouble or _ASK_TERMINAL, 403, headers(self._port))(scope, receive, send)
            return
        await self._let_in(HTMLResponse(_LET_IN, headers=headers(self._port)))(scope, receive, send)

    def _let_in(self, response: Response) -> Response:
        response.set_cookie(self._cookie, self._secret, path="/", httponly=True, samesite="strict")
        return response

    def _elsewhere(self, asked: Headers) -> str:
        here = f"{HOST}:{self._port}"
        return "" if asked.getlist("host") == [here] else f"This page answers at {here} only."

    def _stranger(self, scope: Scope, asked: Headers) -> str:
        if trouble := self._elsewhere(asked):
            return trouble
        origins = asked.getlist("origin")
        own = [f"http://{HOST}:{self._port}"]
        must = scope["type"] == "websocket" or scope.get("method") not in _READING
        if origins != own and (origins or must):
            return "Another site asked for this page: only the page itself may."
        if asked.get("sec-fetch-site", "none") not in ("none", "same-origin"):
            return "Another site asked for this page: type its address yourself."
        return ""

    @staticmethod
    def _key_in(scope: Scope) -> str:
        given = parse_qs(scope["query_string"].decode("latin-1")).get("key", [""])
        return given[0] if len(given) == 1 else ""

    def _known(self, asked: Headers) -> bool:
        try:
            found = SimpleCookie(asked.get("cookie", "")).get(self._cookie)
        except CookieError:
            return False
        return found is not None and hmac.compare_digest(found.value.encode(), self._secret.encode())

    def _with_headers(self, send: Send) -> Send:
        usual = [(name.lower().encode(), value.encode()) for name, value in headers(self._port).items()]

        async def sending(message: Message) -> None:
            if message["type"] == "http.response.start":
                own = message.get("headers", ())
                named = {name.lower() for name, _ in own}
                message = {**message, "headers": [*own, *(one for one in usual if one[0] not in named)]}
            await send(message)

        return sending


async def _short(receive: Receive) -> bytes:
    """The body of a request; nothing of one that is longer than a key."""
    body: bytes = b""
    while len(body) <= _LONGEST_KEY:
        message = await receive()
        body += message.get("body", b"")
        if message["type"] != "http.request" or not message.get("more_body"):
            return body
    return b""
