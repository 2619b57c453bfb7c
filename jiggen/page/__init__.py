"""The page: one local web page that shows a design live. A face of the same core; it computes nothing of its own.

A browser holds the text of the design file, and asks. `serve.py` listens on this machine only, `guard.py` lets in no
one but the page itself, `app.py` passes questions on to `lane.py`, which has a process of its own answer them
(`worker.py`), so that nothing a text asks for can hold up the page or outlive its time.
"""
