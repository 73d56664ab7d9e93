"""How well, how fast and at what cost the listeners hear, side by side.

    python -m tests.benchmarks.listening                       all sets but voices, all listeners there are (half an hour and more)
    python -m tests.benchmarks.listening --set new             those of the 14 children whose recordings came last
    python -m tests.benchmarks.listening --set children        all 121 digit strings of the corpus, see below
    python -m tests.benchmarks.listening --set wrapped         numbers with words around them, childlike voices
    python -m tests.benchmarks.listening --set unlisted        the same with wordings that nobody chose by, in all forms
    python -m tests.benchmarks.listening --set joined          children's digits with their own other speech before or after
    python -m tests.benchmarks.listening --set mistakes        a child's own mistakes, well heard: are they still judged?
    python -m tests.benchmarks.listening --set reasons         answers that show the way: counted, summed, "no tens", two numbers
    python -m tests.benchmarks.listening --set speech          sentences without number words
    python -m tests.benchmarks.listening --set childlike       two voices with a child's pitch and vocal tract, both forms
    python -m tests.benchmarks.listening --set noise           the same at 10 dB in white noise, in pink noise and among other children's voices
    python -m tests.benchmarks.listening --set spared          four variants of espeak-ng kept from training, in the same noises
    python -m tests.benchmarks.listening --set words           names of words that one woman recorded: as they are, childlike, in noise
    python -m tests.benchmarks.listening --set digits          2,000 single digits by four adults, telephone quality
    python -m tests.benchmarks.listening --set voices          200 numbers in both forms, four synthetic voices as they are
    python -m tests.benchmarks.listening --set cost            time to load, memory, work on an idle and a busy machine

``numbers-en`` learnt from all speakers in the sets new, children, joined and speech.  On them it is therefore judged by what sister
networks found, each trained the same way without a sixth of those speakers (nothing of them in any stage), and heard on
that sixth (``models/recipe/out-of-fold.npz``, see the recipe); grammar, search and thresholds are the listener's own.
In brackets: where an answer that may be the number asked for is asked again (``hearing.doubt``).
That these networks took the place of those before was decided with the figures in sight, nothing else about them;
that one speed is enough was seen on folds 0, 2 and 4, and "other half" is the figure of folds 1, 3 and 5.
No listener here learnt from the voices flite awb and rms.

Sources: speechocean762 (CC BY 4.0) for children and speech; the Free Spoken Digit Dataset
(Jackson et al., CC BY-SA 4.0) for digits; flite and espeak-ng for the voices; recorded words: ``recorded_words``.
``pocketsphinx`` (its own model, number-word grammar) is a peer where it is installed.
"""

import argparse
import random
import subprocess
import sys
import tempfile
from collections import Counter
from pathlib import Path

import numpy as np
import soxr

from sayit.hearing.heard import Heard
from sayit.hearing.listener import DEFAULT, listeners, open_listener
from sayit.numbers import name, read
from sayit.sound.audio import RATE, load
from tests import recorded_words, speech_data
from tests.benchmarks import noises
from tests.benchmarks.beside import REASONS, UNLISTED, WRAPPED, joined
from tests.benchmarks.sphinx import PocketSphinx
from tests.benchmarks.tally import Kept, Tally
from tests.sounds import in_room, silence

OUT_OF_FOLD = Path(__file__).parents[2] / "models" / "recipe" / "out-of-fold.npz"
CHILDLIKE = 1.25
"""Times pitch and formants of an adult man: about a child of seven (from memory)."""
RESERVED = ("flite awb", "flite rms")
DIGITS = "zero one two three four five six seven eight nine".split()


def opened(wanted):
    names = wanted or [*listeners(), "pocketsphinx"]
    for one in names:
        if one != "pocketsphinx":
            yield open_listener(one)
            continue
        try:
            yield PocketSphinx()
        except ImportError:
            print("pocketsphinx: not installed (pip install pocketsphinx)")


def edits(a, b):
    row = list(range(len(b) + 1))
    for i, x in enumerate(a, 1):
        last, row[0] = row[0], i
        for j, y in enumerate(b, 1):
            last, row[j] = row[j], min(row[j] + 1, row[j - 1] + 1, last + (x != y))
    return row[-1]


def said_digits(row) -> str:
    return "".join(str(DIGITS.index(word)) for word in row.words.split())


def heard_digits(words: str) -> str:
    reading = read(words)
    return reading.digits or (str(reading.value) if reading.value is not None else "")


LATER = frozenset("0026 0054 0075 0096 0114 0133 1042 1061 1203 1418 1447 1465 1502 2034".split())
"""Of the speakers of digit strings, those whose recordings came last."""
FOLDS = 6


def ear(listener, seed="", timed=False):
    """A function from a recording to what is heard, by networks that never heard its speaker; with ``seed`` one sister."""
    if listener.name != DEFAULT:
        return lambda row: listener.hear(load(row.path))
    kept = np.load(OUT_OF_FOLD)

    def hear(row):
        key = f"{row.speaker}|{row.words}" + (f"|{seed}" if seed else "")
        samples = listener.samples = load(row.path)
        work = listener.hear(samples).work_seconds if timed else 0.0
        scores = listener.search(kept[key] / -8.0)
        return Heard(*listener.decide(scores), listener.name, len(samples) / RATE, work, scores=scores)

    return hear


def sums(listener, rows, hear, show=False):
    """How the strings fared."""
    tally, wrong, digits = Tally(listener, show), 0, 0
    for row in rows:
        truth = said_digits(row)
        heard = hear(row)
        got = heard_digits(heard.words)
        wrong += edits(truth, got)
        digits += len(truth)
        tally.count(heard, int(truth), got == truth, f"{row.path.name}: {row.words!r}")
    return f"{len({r.speaker for r in rows})} speakers: digits wrong {wrong / max(1, digits):.1%}, {tally}", tally


def children(listener, every, show, new=False):
    rows = [row for row in speech_data.recordings("numbers") if not new or row.speaker in LATER][::every]
    told, tally = sums(listener, rows, ear(listener, timed=True), show)
    lines = [f"{told}, real-time factor {sum(tally.work) / sum(tally.sound):.3f}"]
    if listener.name == DEFAULT:
        seeds = sorted({key.split("|")[2] for key in np.load(OUT_OF_FOLD).files if key.count("|") == 2})
        lines += [f"seed {seed}: {sums(listener, rows, ear(listener, seed))[0]}" for seed in seeds]
    if listener.name == DEFAULT and not new:
        averaged = ear(listener)
        speakers = sorted({row.speaker for row in speech_data.recordings("numbers")})
        parts = {"other half": lambda row: speakers.index(row.speaker) % FOLDS % 2 == 1}
        parts |= {f"aged {age}": lambda row, age=age: row.age == age for age in sorted({row.age for row in rows})}
        lines += [
            f"{name}: {sums(listener, [r for r in rows if keep(r)], averaged)[0]}" for name, keep in parts.items()
        ]
    return "\n               ".join(lines)


def numbers() -> list[int]:
    """200 numbers: the teen and ty pairs, lost-zero pairs, then spread over the ranges."""
    pairs = [n for unit in range(3, 10) for n in (10 + unit, 10 * unit)]
    pairs += [430, 4030, 806, 8006, 340, 3040, 100, 1000, 110, 1010]
    chance = random.Random(20)
    rest = [n for n in range(1, 13) if n != 10] + [
        n for low, high in ((20, 100), (100, 1000), (1000, 10000)) for n in chance.sample(range(low, high), 70)
    ]
    return list(dict.fromkeys(pairs + rest))[:200]


def with_breaks(text):
    # The joint after "ten" is said with a short break, as the tool itself says it.
    return text.replace("-ten ", "-ten, ").replace("-", " ")


def voices(listener, every, show):
    tally = Tally(listener, show)
    with tempfile.TemporaryDirectory() as folder:
        for voice in speech_data.VOICES:
            for number in numbers()[::every]:
                for form in ("plain", "explicit"):
                    speech_data.speak(voice, with_breaks(name(number, form)), Path(folder) / "answer.wav")
                    samples = np.pad(load(Path(folder) / "answer.wav"), 4_000)
                    tally.of_form(listener.hear(samples), number, form, voice)
    return f"{tally}, {np.mean(tally.work):.3f} s an answer"


def noise(listener, every, show, **voices):
    """``childlike`` in each noise, 10 dB below the voice."""
    return "\n               ".join(
        f"{kind.__name__}: {childlike(listener, every, show, kind, **voices)}"
        for kind in (noises.white, noises.pink, noises.babble)
    )


def childlike(listener, every, show, kind=None, decibels=10, voices=RESERVED, factor=CHILDLIKE):
    """Both forms in two voices that no listener learnt from, raised to a child's pitch and vocal tract."""
    chance, drawn = random.Random(3), np.random.default_rng(3)
    pairs = [n for unit in range(3, 10) for n in (10 + unit, 10 * unit)] + [430, 4030]
    ranges = ((1, 100, 12), (100, 1000, 10), (1000, 10_000, 7))
    rest = [n for low, high, many in ranges for n in chance.choices(range(low, high), k=many)]
    found = []
    with tempfile.TemporaryDirectory() as folder:
        for form in ("plain", "explicit"):
            tally = Tally(listener, show)
            for voice in voices:
                for number in (pairs + rest)[::every]:
                    samples = noises.mixed(
                        raised(voice, with_breaks(name(number, form)), folder, factor), kind, decibels, drawn
                    )
                    tally.of_form(listener.hear(samples), number, form, voice)
            found.append(f"{form}: {tally}")
    return "; ".join(found)


def words(listener, every, show, decibels=10):
    """Every second of :func:`numbers`, in both forms, as the woman said it and made childlike."""
    if not recorded_words.present():
        return recorded_words.MISSING
    drawn, found = np.random.default_rng(3), []
    ways = {"in quiet": lambda samples: samples, "by telephone": recorded_words.through_a_telephone}
    for kind in (noises.white, noises.pink, noises.babble):
        ways[f"{kind.__name__}, {decibels} dB"] = lambda samples, kind=kind: noises.mixed(
            samples, kind, decibels, drawn
        )
    for way, through in ways.items():
        for factor in (1, CHILDLIKE):
            for form in ("plain", "explicit"):
                tally = Tally(listener, show)
                for number in numbers()[:: 2 * every]:
                    heard = listener.hear(through(at_pitch(recorded_words.said(number, form), factor)))
                    tally.of_form(heard, number, form, way)
                found.append(f"{way}, times {factor}, {form}: {tally}")
    return "\n               ".join(found)


def wrapped(listener, every, show, frames=WRAPPED, forms=("plain",)):
    """The same two voices, raised alike: is the number's value right?"""
    chance = random.Random(7)
    tally = Tally(listener, show)
    with tempfile.TemporaryDirectory() as folder:
        for voice in RESERVED:
            for i, frame in enumerate(frames * 3):
                number = chance.choice([chance.randrange(11, 100), chance.randrange(100, 1000)])
                said = name(number, forms[i % len(forms)])
                text = frame.format(said, other=name(chance.randrange(11, 100), "plain"))
                if i % every == 0:
                    samples = raised(voice, with_breaks(text), folder)
                    tally.of_value(listener.hear(samples), number, f"{voice}: {text!r}")
    return tally


def raised(voice, text, folder, factor=CHILDLIKE):
    """``text`` in a voice with a child's pitch and vocal tract, with quiet around it."""
    speech_data.speak(voice, text, Path(folder) / "answer.wav")
    return at_pitch(load(Path(folder) / "answer.wav"), factor)


def at_pitch(samples, factor):
    """Pitch and formants times ``factor``, at one level, with quiet around it."""
    samples = soxr.resample(samples, RATE * factor, RATE)
    return np.pad(0.3 * samples / np.abs(samples).max(), 4_800).astype(np.float32)


def beside(listener, every, show):
    """Children's own other speech beside their digits, by networks that never heard them; half of the speakers."""
    if listener.name != DEFAULT:
        return "only what our networks made of it is kept"
    tally = Tally(listener, show)
    for row, rows in list(joined(np.load(OUT_OF_FOLD)))[::every]:
        scores = listener.search(rows)
        number = int(said_digits(row))
        tally.of_value(Heard(*listener.decide(scores), listener.name, 1.0, 0.0, scores=scores), number, repr(row.words))
    return tally


def reasons(listener, every, show):
    """The same two voices: is the answer read as its text is, in value, form and what else was said?"""
    found = []
    with tempfile.TemporaryDirectory() as folder:
        for kind, texts in REASONS.items():
            same = mistaken = 0
            for voice in RESERVED:
                for text in texts[::every]:
                    heard = listener.hear(raised(voice, text.replace("-", " "), folder))
                    one, other = read(text), read(heard.words)
                    alike = (one.value, one.form, one.others) == (other.value, other.form, other.others)
                    same += alike
                    mistaken += bool(heard.clear and heard.words) and not alike
                    if show and not alike:
                        print(f"    {voice}: {text!r} heard {heard.words!r} ({heard.confidence:.2f})")
            found.append(f"{kind}: {same} of {2 * len(texts[::every])} as said, {mistaken} clear and otherwise")
    return "; ".join(found)


def mistakes(listener, every, show):
    """Numbers said in place of the one asked, the same two voices: how many would be asked again for being near."""
    chance = random.Random(11)
    total, near = Counter(), Counter()
    with tempfile.TemporaryDirectory() as folder:
        for i in range(0, 90, every):
            said = chance.randrange(*((21, 100), (100, 1000), (1000, 10_000))[i % 3])
            form = "plain" if chance.random() < 0.6 else "explicit"
            heard = listener.hear(raised(RESERVED[i % 2], with_breaks(name(said, form)), folder))
            if not heard.clear or read(heard.words).value != said:
                continue
            ten, one = said // 10 % 10, said % 10
            asked = {"one more": said + 1, "ten more": said + 10}
            if said < 100:
                asked["turned round"] = one * 10 + ten
            elif said < 1000:
                asked |= {"hundreds left out": said % 100, "a zero too many": said // 100 * 1000 + said % 100}
            elif said // 100 % 10:
                asked["thousands as hundreds"] = said // 1000 * 100 + said % 100
            for kind, value in asked.items():
                total[kind] += value not in (0, said)
                near[kind] += value not in (0, said) and listener.may_be(heard, value)
    return "; ".join(f"{kind}: {near[kind]} of {total[kind]} asked again" for kind in total)


def speech(listener, every, show):
    """Sentences of the children who also read numbers: of their age, and kept out of the fold like their numbers."""
    readers = {row.speaker for row in speech_data.recordings("numbers")}
    rows = [
        row
        for row in speech_data.recordings("read-speech")
        if row.speaker in readers and not speech_data.NUMBER_WORDS & set(row.words.lower().split())
    ]
    if listener.name == DEFAULT:  # sentences with words of no dictionary were neither learnt nor kept
        kept = set(np.load(OUT_OF_FOLD).files)
        rows = [row for row in rows if f"{row.speaker}|{row.words}" in kept]
    rows = rows[::every]
    hear = ear(listener)
    taken = proposed = 0
    for row in rows:
        heard = hear(row)
        taken += bool(heard.words) and heard.clear
        proposed += bool(heard.words)
        if show and heard.words:
            print(
                f"    {row.words!r} heard {heard.words!r} ({heard.confidence:.2f}, {'clear' if heard.clear else 'unclear'})"
            )
    return f"{len(rows)} sentences: taken for a number {taken / len(rows):.1%} ({proposed / len(rows):.1%} with the unclear ones)"


def digits(listener, every, show):
    """All recordings; no listener learnt from them, Whisper's weights were fitted on them."""
    tally = Tally(listener, show)
    for path in sorted((speech_data.FOLDER / "digits-8khz").glob("*.wav"))[::every]:
        digit, speaker, _ = path.stem.split("_")
        tally.of_form(listener.hear(np.pad(load(path), 4_000)), int(digit), "plain", speaker)
    return tally


def cost(listener):
    """In a process of its own, so that no other listener is counted; Linux only."""
    if listener.name == PocketSphinx.name:
        return "not measured"
    with tempfile.TemporaryDirectory() as folder:
        speech = raised("flite rms", "four thousand three hundred five", folder)[:40_000]
        np.save(Path(folder) / "speech.npy", np.pad(speech, (0, 40_000 - len(speech))))
        for number in (45, 400_305):
            answer = raised("flite rms", name(number), folder)
            np.save(Path(folder) / f"{number}.npy", in_room(silence(0.5), answer, silence(3)))
        paths = [f"{folder}/{which}.npy" for which in ("speech", 45, 400_305)]
        command = [sys.executable, "-m", "tests.benchmarks.listening_cost", listener.name, *paths]
        return subprocess.run(command, capture_output=True, text=True, check=True).stdout.strip()


SETS = {
    "new": lambda listener, every, show: children(listener, every, show, new=True),
    "children": children,
    "wrapped": wrapped,
    "unlisted": lambda listener, every, show: wrapped(listener, every, show, UNLISTED, ("plain", "plain", "explicit")),
    "joined": beside,
    "mistakes": mistakes,
    "reasons": reasons,
    "speech": speech,
    "childlike": childlike,
    "noise": noise,
    "spared": lambda listener, every, show: noise(listener, 3 * every, show, voices=speech_data.SPARED, factor=1),
    "words": words,
    "digits": digits,
    "voices": voices,
    "cost": lambda listener, every, show: cost(listener),
}


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--listener", action="append")
    parser.add_argument("--set", choices=SETS, action="append")
    parser.add_argument("--every", type=int, default=1, help="take every nth item")
    parser.add_argument("--alone", action="store_true", help="without a second opinion before a number is judged wrong")
    parser.add_argument("--show", action="store_true", help="print every mistake")
    args = parser.parse_args()
    if not speech_data.present():
        raise SystemExit(speech_data.MISSING)
    for listener in opened(args.listener):
        for one in args.set or [s for s in SETS if s != "voices"]:
            print(
                f"{listener.name:14} {one:9} {SETS[one](Kept(listener, args.alone), args.every, args.show)}", flush=True
            )


if __name__ == "__main__":
    main()
