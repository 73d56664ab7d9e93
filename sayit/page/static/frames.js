// Runs beside the page: hands the microphone on as 16-bit frames of 1024 samples.

class Frames extends AudioWorkletProcessor {
  constructor() {
    super();
    this.frame = new Int16Array(1024);
    this.filled = 0;
  }

  process(inputs) {
    const channel = inputs[0][0];
    if (!channel) return true;
    for (const sample of channel) {
      this.frame[this.filled++] = Math.max(-1, Math.min(1, sample)) * 32767;
      if (this.filled === this.frame.length) {
        this.port.postMessage(this.frame.buffer, [this.frame.buffer]);
        this.frame = new Int16Array(1024);
        this.filled = 0;
      }
    }
    return true;
  }
}

registerProcessor("frames", Frames);
