"""All that is said: the key of each phrase, and the blanks that numbers fill. The wordings are in the phrase bank."""

PHRASES: dict[str, tuple[str, ...]] = {
    # A sitting.
    "session.hello": (),
    "session.goodbye": (),
    "session.parent-listens": (),  # the microphone is gone, and the parent judges
    "your-turn": (),  # in a sitting of several, the turn passes on
    "sound-check": (),
    # Questions. What follows a key says what is asked.
    "ask.say-back": ("number",),  # say it back
    "ask.other-way-explicit": ("number",),  # heard: the everyday name, wanted: the tens name
    "ask.other-way-plain": ("number",),  # heard: the tens name, wanted: the everyday name
    "ask.build": ("number",),  # put its digits down
    "ask.read-out-plain": (),  # digits are shown: which number is it?
    "ask.read-out-explicit": (),  # digits are shown: say the tens name
    "ask.places": ("number",),  # tell its digits one by one
    "ask.claps-count": ("number",),  # clap its name: how many claps?
    "ask.claps-digits": ("number",),  # clap its name, then tell its digits one by one
    "ask.tens-in": ("number",),  # how many tens are in it?
    "ask.hundreds-in": ("number",),  # how many hundreds are in it?
    "ask.to-ten": ("number",),  # what goes with it to make ten?
    "ask.glimpse": (),  # things were shown for a second: how many?
    "ask.next": ("number",),  # what comes after it?
    "ask.before": ("number",),  # what comes before it?
    "ask.ten-more": ("number",),
    "ask.ten-less": ("number",),
    "ask.which-more": ("first", "second"),  # which of the two is more?
    "closing.start": (),  # three last questions; said before the first of them
    # Answers.
    "reply.yes": ("number",),
    "reply.model": ("number",),  # the right answer, and that it comes back
    "reply.model-built": ("number", "digits"),  # the right answer and its digits
    "reply.other-form-explicit": ("number",),  # the same number, in the form asked
    "reply.other-form-plain": ("number",),
    "reply.other-form-digits": ("number",),  # the same number, told digit by digit
    "reply.again": (),  # not clear
    "reply.again-built": (),  # what was put down is no number
    "reply.not-heard": (),  # nothing came
    "reply.not-a-number": (),  # something else was said
    # After the right answer was said, what the next question is for.
    "follow.teen-ty-swap": ("teen", "ty"),  # one is one ten and some, the other is so many tens
    "follow.lost-zero": ("number",),  # every place has a digit, the empty one a zero; number in digits
    "follow.added-part": ("number",),  # just these digits; number in digits
    "follow.other-digit": ("number",),  # these digits; number in digits
    "follow.glued-parts": ("number",),  # one digit for each place; number in digits
    "follow.digits-swapped": ("number",),  # which comes first
    "follow.wrong-place-word": ("number",),
    "follow.dropped-part": ("number",),  # hear all its parts
    "follow.digit-by-digit": ("number",),  # say it as one number
    "follow.off-by-one": ("number",),
    "follow.off-by-ten": ("number",),
    "follow.counted": (),  # look for the five, no need to count
    # Claps and digits.
    "teach.claps-same": ("number", "claps", "digits"),  # as many claps as digits
    "teach.claps-seven": ("number", "claps", "digits"),  # sev-en has two claps for one digit
    "teach.claps-thousand": ("number", "claps", "digits"),  # thou-sand has two claps for three zeros
    "teach.claps-seven-thousand": ("number", "claps", "digits"),  # both, which make up for each other
}
"""Blanks are filled with ``Named`` numbers; ``Named.words`` is what to say for one."""
