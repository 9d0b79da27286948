"""What Kettleside does with a sentence once it is understood. In the order of the way:

1. `names.py`         names from the knowledge base, handed to the language
2. `conversation.py`  one line in, one reply out: context, open questions, alerts
3. `dispatch.py`      which handler answers which act
4. `handlers/`        one file a topic; the sums are tables in `handlers/sums/`
5. `brew.py`          what the batch knows, each value with where it came from
6. `engine/`, `session/`   the sums themselves, and the memory
7. `questions.py`, `safety.py`, `cautions.py`, `reply.py`, `wording.py`   what is asked back and said
8. `meanings.py`, `lines.py`, `chat/`   the front ends
"""
