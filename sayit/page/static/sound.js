// The browser's microphone and loudspeaker.

export function openSound({ frame, lost }) {
  let context = null;
  let stream = null;
  let source = null;
  let playing = null;

  async function listen() {
    await context.audioWorklet.addModule("/static/frames.js");
    stream = await navigator.mediaDevices.getUserMedia({
      // The recogniser learnt from plain sound: filters made for calls take soft consonants away.
      audio: { channelCount: 1, echoCancellation: false, noiseSuppression: false, autoGainControl: true },
    });
    const track = stream.getAudioTracks()[0];
    track.onended = () => lost();
    source = context.createMediaStreamSource(stream);
    const frames = new AudioWorkletNode(context, "frames", { numberOfOutputs: 0 });
    frames.port.onmessage = (event) => frame(event.data);
    source.connect(frames);
  }

  return {
    // Opens loudspeaker and microphone; throws where the browser or its user says no.
    async open(withMicrophone, patience) {
      if (!context) {
        context = new AudioContext();
      }
      await Promise.race([context.resume(), new Promise((done) => setTimeout(done, patience))]);
      if (context.state !== "running") throw new DOMException("a touch is needed", "NotAllowedError");
      if (withMicrophone && !stream) await listen();
      return context.sampleRate;
    },
    async again() {
      stream = null;
      await listen();
      return context.sampleRate;
    },
    // Gives the microphone back, so that the browser shows no sign of listening.
    deaf() {
      if (source) source.disconnect();
      if (stream) for (const track of stream.getAudioTracks()) track.stop();
      source = stream = null;
    },
    resume() {
      if (context && context.state !== "running") context.resume();
    },
    listening(on) {
      if (stream) for (const track of stream.getAudioTracks()) track.enabled = on;
    },
    // `started` is given a clock of the seconds since the sound began.
    async play(address, started) {
      const answer = await fetch(address);
      if (!answer.ok || !context) return false;
      const buffer = await context.decodeAudioData(await answer.arrayBuffer());
      return new Promise((done) => {
        playing = context.createBufferSource();
        playing.buffer = buffer;
        playing.connect(context.destination);
        playing.onended = () => { playing = null; done(true); };
        playing.start();
        const began = context.currentTime;
        started(() => context.currentTime - began);
      });
    },
    hush() {
      if (playing) playing.stop();
    },
    get speaks() { return Boolean(context && context.state === "running"); },
    get hears() { return stream !== null; },
    get rate() { return context ? context.sampleRate : 0; },
  };
}

// How far a meter is out for a frame of 16-bit samples: 0 at -60 dBFS and below, 1 at -12 dBFS.
export function loudness(buffer) {
  const samples = new Int16Array(buffer);
  let sum = 0;
  for (const sample of samples) sum += sample * sample;
  const level = 10 * Math.log10(sum / samples.length / (32768 * 32768) + 1e-12);
  return Math.min(1, Math.max(0, (level + 60) / 48));
}
