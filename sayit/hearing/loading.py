"""Loading the listener while the greeting is spoken."""

from collections.abc import Callable
from threading import Thread

from sayit.errors import SayitError
from sayit.hearing.heard import Listener
from sayit.hearing.listener import listeners, open_listener


class Loading:
    """Runs ``load`` in the background once started; calling this waits for the listener, or raises what went wrong."""

    def __init__(self, load: Callable[[], Listener]) -> None:
        self._load = load
        self._listener: Listener | None = None
        self._error: Exception | None = None
        # A daemon, so that Ctrl-C in the greeting does not wait for the weights.
        self._thread = Thread(target=self._run, name="load listener", daemon=True)

    def start(self) -> None:
        """Begin; once is enough."""
        if self._thread.ident is None:
            self._thread.start()

    @property
    def ready(self) -> bool:
        """Whether a call gives the listener, or raises, without waiting."""
        return self._listener is not None or self._error is not None

    def __call__(self) -> Listener:
        """The listener, once it is loaded; raises what went wrong."""
        self.start()
        self._thread.join()
        if self._listener is None:
            raise self._error or RuntimeError("no listener was loaded")
        return self._listener

    def _run(self) -> None:
        try:
            self._listener = self._load()
        except Exception as error:  # noqa: BLE001  # raised again to who asks for the listener
            self._error = error


def loading(name: str | None) -> Loading:
    """The listener of that name (the default one where it is None), not begun yet; ``SayitError`` for an unknown name."""
    if name is not None and name not in listeners():
        raise SayitError(f"No listener called {name!r}: choose one of {', '.join(listeners())}.")
    return Loading(lambda: open_listener(name))
