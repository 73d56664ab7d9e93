"""The peer: PocketSphinx (Carnegie Mellon, BSD) with its own model and a grammar of number words."""

import time

from sayit.hearing.heard import Heard
from tests import speech_data


class PocketSphinx:
    name = "pocketsphinx"

    def __init__(self):
        from pocketsphinx import Decoder

        words = sorted(speech_data.NUMBER_WORDS - {"to", "too", "for", "ate", "won"})
        grammar = f"#JSGF V1.0; grammar n; public <n> = ({' | '.join(words)})+;"
        self._decoder = Decoder(samprate=16000, loglevel="FATAL")
        self._decoder.add_jsgf_string("n", grammar)
        self._decoder.activate_search("n")

    def hear(self, samples):
        began = time.perf_counter()
        self._decoder.start_utt()
        self._decoder.process_raw((samples * 32767).astype("<i2").tobytes(), full_utt=True)
        self._decoder.end_utt()
        found = self._decoder.hyp()
        words = found.hypstr if found else ""
        return Heard(words, 1.0, True, (), self.name, len(samples) / 16000, time.perf_counter() - began)

    def weigh(self, samples, phrases):
        return {}
