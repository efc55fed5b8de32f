"""Verifies the compact JWS on stdin by PyJWT with the JWK set in argv[1], and prints what it says as JSON."""

import json
import sys

import jwt

certificate = sys.stdin.read().strip()
name = jwt.get_unverified_header(certificate)["kid"]
try:
    key = next(key for key in jwt.PyJWKSet.from_json(sys.argv[1]).keys if key.key_id == name)
    print(json.dumps(jwt.decode(certificate, key.key, algorithms=["EdDSA"], options={"verify_iat": False})))
except jwt.InvalidTokenError as error:
    sys.exit(f"it does not hold: {error}")
