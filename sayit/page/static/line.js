// The websocket to sayit: opened again and again until it holds, because a page outlives a restart.

export function openLine(path, take, state) {
  let socket = null;
  let wait = 300;
  let over = false;

  function open() {
    socket = new WebSocket(`ws://${location.host}${path}`);
    socket.binaryType = "arraybuffer";
    socket.onopen = () => { wait = 300; state(true); };
    socket.onmessage = (event) => take(JSON.parse(event.data));
    socket.onclose = () => {
      if (over) return;
      state(false);
      setTimeout(open, wait);
      wait = Math.min(wait * 1.6, 4000);
    };
  }
  open();

  return {
    end() {
      over = true;
      socket.close();
    },
    tell(message) {
      if (socket.readyState === WebSocket.OPEN) socket.send(JSON.stringify(message));
    },
    frames(buffer) {
      // Sound that piles up is late sound: rather lose it, and let the silence be noticed.
      if (socket.readyState === WebSocket.OPEN && socket.bufferedAmount < 65536) socket.send(buffer);
    },
  };
}
