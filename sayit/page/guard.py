"""Who may talk to the page: only the browser that was given the address, on this machine.

A page on the same machine can be reached by any web site that a browser on it
shows. So each request needs the cookie that the opened address is changed for,
the loopback address as its host (a name that was bent to 127.0.0.1 is refused:
DNS rebinding) and, where the browser says where it comes from, this page as
its origin. The measures are those of the OWASP cheat sheets on cross-site request
forgery and cross-site WebSocket hijacking (from memory).
"""

import hmac
import secrets
from http.cookies import CookieError, SimpleCookie
from urllib.parse import parse_qs

from starlette.datastructures import Headers
from starlette.responses import PlainTextResponse, RedirectResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

__all__ = ["HOST", "Guard", "headers"]

HOST = "127.0.0.1"

_PAGES = ("/", "/desk")
_READING = ("GET", "HEAD")
_ASK_TERMINAL = "Open the address that sayit printed in the terminal: this browser was not given it yet."


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
    """ASGI middleware that refuses whoever was not let in; ``token`` is the part of the address that lets in."""

    def __init__(self, app: ASGIApp, *, port: int, token: str) -> None:
        self._app = app
        self._port = port
        self._token = token
        # Cookies do not know ports: two pages on one machine must not take each other's.
        self._cookie = f"sayit-{port}"
        self._secret = secrets.token_urlsafe(32)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] == "lifespan":
            await self._app(scope, receive, send)
            return
        asked = Headers(scope=scope)
        trouble = self._stranger(scope, asked)
        if not trouble and scope["type"] == "http" and scope["path"] in _PAGES and self._has_token(scope):
            response = RedirectResponse(scope["path"], status_code=303, headers=headers(self._port))
            response.set_cookie(self._cookie, self._secret, path="/", httponly=True, samesite="strict")
            await response(scope, receive, send)
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

    def _stranger(self, scope: Scope, asked: Headers) -> str:
        if asked.getlist("host") != [f"{HOST}:{self._port}"]:
            return f"This page answers at {HOST}:{self._port} only."
        origins = asked.getlist("origin")
        own = [f"http://{HOST}:{self._port}"]
        must = scope["type"] == "websocket" or scope.get("method") not in _READING
        if origins != own and (origins or must):
            return "Another site asked for this page: only the page itself may."
        if asked.get("sec-fetch-site", "none") not in ("none", "same-origin"):
            return "Another site asked for this page: type its address yourself."
        return ""

    def _has_token(self, scope: Scope) -> bool:
        given = parse_qs(scope["query_string"].decode("latin-1")).get("token", [""])
        return len(given) == 1 and hmac.compare_digest(given[0].encode(), self._token.encode())

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
