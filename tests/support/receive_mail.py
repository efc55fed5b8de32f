"""A real SMTP server on a free port: prints the port, then each mail that it took as a line of JSON."""

import asyncio
import base64
import json
import sys

from aiosmtpd.smtp import SMTP


class Printing:
    async def handle_DATA(self, server, session, envelope):
        mail = {
            "sender": envelope.mail_from,
            "recipients": envelope.rcpt_tos,
            "content": base64.b64encode(envelope.original_content).decode("ascii"),
        }
        print(json.dumps(mail), flush=True)
        return "250 taken"


async def main():
    server = await asyncio.get_running_loop().create_server(
        lambda: SMTP(Printing(), hostname="mail.example.org"), "127.0.0.1", 0
    )
    print(server.sockets[0].getsockname()[1], flush=True)
    # Ends with the test that reads from it.
    await asyncio.get_running_loop().run_in_executor(None, sys.stdin.read)


asyncio.run(main())
