"""Handlers: what each act does. One file a topic; `assistant/dispatch.py` says which is whose."""
