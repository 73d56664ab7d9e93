"""All that is said: the key of each phrase, and the blanks that numbers fill. The wordings are in the phrase bank."""

PHRASES: dict[str, tuple[str, ...]] = {
    # A sitting.
    "session.hello": (),
    "session.goodbye": (),
    "session.call-parent": (),  # nothing was answered for a while
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
    "ask.grow-plain": (),  # things are in sight: name them and see the number grow
    "ask.grow-explicit": (),
    "ask.grow-heard": ("number",),  # heard: the everyday name; the tens name is wanted and grows
    "ask.things": ("number",),  # build it with things
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
    "reply.good": (),  # right, where more follows that says the number
    "reply.counted": ("number",),  # right, reached by counting
    "reply.counted-short": ("number",),  # the same, where much follows
    "reply.model": ("number",),  # the right answer
    "reply.comes-back": (),  # other questions first, then this one again
    "reply.model-built": ("number", "digits"),  # the right answer and its digits
    "reply.other-form-explicit": ("number",),  # the same number, in the form asked
    "reply.other-form-plain": ("number",),
    "reply.other-form-digits": ("number",),  # the same number, told digit by digit
    "reply.built": ("number",),  # what was built with things
    "reply.built-both": ("number", "tens"),  # the same, by both its names
    "reply.again": (),  # not clear
    "reply.which-ten": (),  # a teen or its ten was said: its tens name tells which
    "reply.again-built": (),  # what was put down is no number
    "reply.not-heard": (),  # nothing came
    "reply.not-a-number": (),  # something else was said
    # After a miss, a word about the number that was missed. Each holds the right answer or follows on it.
    "follow.teen-ty-swap": ("teen", "teen_in_tens", "ty", "ty_in_tens"),  # both, each by both of its names
    "follow.in-tens": ("number", "in_tens"),  # both of its names
    "follow.rest-in-tens": ("number", "in_tens"),  # both names of what is below a hundred in it
    "follow.digits-swapped": ("number", "in_tens"),  # below a hundred: the tens are said first
    "follow.written": ("number", "digits"),  # its digits
    "follow.lost-zero": ("number", "digits"),  # its digits, with a zero in them
    "follow.added-zero": ("number", "digits"),  # just these digits
    "follow.added-part": ("number",),  # just this number
    "follow.dropped-part": ("number",),  # there is more to it
    "follow.after": ("first", "second"),  # the second comes right after the first
    "follow.before": ("first", "second"),  # the second comes right before the first
    "follow.new-ten": ("first", "second"),  # a whole ten after so many tens and nine; by their tens names
    "follow.ten-more": ("number",),  # ten more is this
    "follow.ten-less": ("number",),
    "follow.one-for-ten-more": ("one", "ten"),  # one more is this, ten more is that
    "follow.one-for-ten-less": ("one", "ten"),
    "follow.tens-and-ones": ("tens", "ones"),  # so many tens, and these are the ones
    "follow.tens-and-one": ("tens",),  # so many tens, and one more
    "follow.one-ten-and": ("tens", "ones"),  # one ten, and so many more
    "follow.tens-make": ("tens", "number"),  # so many tens make that
    "follow.one-ten": ("tens",),  # one ten is ten
    "follow.ten-tens": ("tens",),  # ten tens are one hundred
    "follow.tens-past-hundred": ("more", "tens"),  # ten tens and some more
    "follow.hundreds-make": ("hundreds", "number"),
    "follow.make-ten": ("first", "second"),  # the two make ten
    "follow.is-more": ("number",),  # the larger of two
    "follow.see-parts": ("part", "rest", "number"),  # a quantity as five or ten and some
    "follow.counted": (),  # now look, it is to be seen at once
    # Claps and digits.
    "teach.claps-same": ("number", "claps", "digits"),  # as many claps as digits
    "teach.claps-seven": ("number", "claps", "digits"),  # sev-en has two claps for one digit
    "teach.claps-thousand": ("number", "claps", "digits"),  # thou-sand has two claps for three zeros
    "teach.claps-seven-thousand": ("number", "claps", "digits"),  # both, which make up for each other
}
"""Blanks are filled with ``Named`` numbers; ``Named.words`` is what to say for one."""
