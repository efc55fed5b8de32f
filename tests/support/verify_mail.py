"""Verifies the DKIM signature of the message on stdin by dkimpy, with the TXT record in argv[1] (its name) and argv[2]
(its text) in place of the DNS, and prints the headers that it covers."""

import sys

import dkim

name, record = sys.argv[1].encode() + b".", sys.argv[2].encode()


def answered(asked, timeout=5):
    return record if asked.rstrip(b".") + b"." == name else None


verifier = dkim.DKIM(sys.stdin.buffer.read())
try:
    holds = verifier.verify(dnsfunc=answered)
except (dkim.ValidationError, ValueError):
    holds = False
if not holds:
    sys.exit("the signature does not hold")
print(" ".join(name.decode().lower() for name, _ in verifier.signed_headers))
