"""How Schemathesis sends what it does not know: lines of JSON are a text like any other."""

import schemathesis

schemathesis.serializer.alias("application/jsonl", "text/plain")
